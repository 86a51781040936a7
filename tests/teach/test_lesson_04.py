"""Lesson 04: what the prose says must be what the engine says."""

from __future__ import annotations

from math import dist

import pytest

from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.lessons import lesson_04 as lesson
from pressinglib.teach.stand import Denial
from tests.teach.kept import kept, prose, rows

NOTEBOOK = kept("04")


def away_m(plan: Plan, number: str, man: str) -> float:
    s = plan.situation
    return dist(s.player("pressing", number).xy, s.player("possession", man).xy)


def test_nine_is_nearer_to_their_8_on_the_wrong_side_and_their_6_is_in_the_shadow() -> None:
    plan = lesson.covers.plan
    assert plan.presser == "10"
    assert round(away_m(plan, "6", "8") - away_m(plan, "9", "8")) == 2
    assert (plan.assignments["6"].mark, plan.account["6"]) == ("8", "shadow")
    assert plan.assignments["9"].duty == "keep the block"
    assert plan.situation.player("pressing", "9").xy[0] > plan.situation.player("possession", "8").xy[0]


def test_the_full_back_has_their_11_and_their_goalkeeper_is_left_alone() -> None:
    plan = lesson.no_cover.plan
    assert (plan.presser, plan.assignments["2"].role, plan.account["11"]) == ("7", "back line", "held by line")
    assert {plan.assignments[n].role for n in ("8", "9")} == {"cover"}
    assert [man for man, found in lesson.left_alone(plan).items() if found.holds] == ["1"]


def test_who_stays_beside_the_ball_leaves_their_3_and_the_danger_as_it_is() -> None:
    yours, solution = rows(NOTEBOOK, "place-compare")
    assert yours["lanes open to"].startswith("3 ")
    assert abs(int(yours["danger"]) - int(solution["danger"])) <= 2
    assert "nearly the same" in prose(NOTEBOOK, "place-then")


def test_a_little_more_than_six_metres_off_their_6() -> None:
    plan = lesson.how_near.plan
    slack_m = Denial(plan, "6", (0.0, 0.0)).slack_m
    assert 6.0 < slack_m < 7.0
    tight = lesson.how_near.check(2)
    assert (tight.outcome, tight.share) == ("wrong", 0.5) and "in time" in tight.words
    metres = [float(line.split(":")[1].split()[0]) for line in lesson.by_pass(plan.situation).splitlines()]
    assert metres == sorted(metres)


def test_the_line_slides_across_as_one_and_the_full_back_is_near_their_11() -> None:
    plan = lesson.no_cover.plan
    across = [plan.assignments[n].target_xy[1] - plan.situation.player("pressing", n).xy[1] for n in "2543"]
    assert max(across) < -3  # the ball is on their side -y
    p = plan.picture
    man = next(m for m in range(11) if p.opp_number(0, m) == "11")
    two = next(n for n in range(11) if p.own_number(0, n) == "2")
    assert p.marking_s[0, two, man] - p.pass_s[0, man] <= plan.rulebook.settings.control_time_s


def test_the_same_picture_is_covered_loosely_high_up_and_tightly_before_the_box() -> None:
    high, home = lesson.cover_band(lesson.high_up.plan), lesson.cover_band(lesson.home.plan)
    assert (round(high.best), round(home.best)) == (8, 4)
    assert high.low > home.best and home.high < high.best  # what is right in one is wrong in the other
    for exercise, band in ((lesson.high_up, high), (lesson.home, home)):
        assert exercise.plan.assignments["6"].duty == "guard the straight way out"
        nearer, inside = ([f.kind for f in find_faults(lesson.behind_him(exercise.situation, band.low + m))]
                          for m in (-0.1, 0.1))
        assert "cover too near" in nearer and "cover too near" not in inside
    places = [{p.number: p.xy[1] for p in e.situation.players("pressing")} for e in (lesson.high_up, lesson.home)]
    assert places[0] == places[1]
    text = prose(NOTEBOOK, "twice-why")
    assert "about eight metres" in text and "about four" in text


@pytest.mark.parametrize("exercise", [lesson.high_up, lesson.home])
def test_the_cover_stands_where_he_stands_though_the_presser_is_still_on_his_way(exercise: Exercise) -> None:
    late = exercise.situation.moved("pressing", "10", (exercise.situation.ball_xy[0] - 6.0, 0.0))
    plans = [exercise.plan, plan_press(late)]
    assert [plan.presser for plan in plans] == ["10", "10"]
    assert tuple(plans[0].assignments["6"].target_xy) == pytest.approx(tuple(plans[1].assignments["6"].target_xy))
    assert "still six metres off" in prose(NOTEBOOK, "twice-why")


def test_ten_hands_their_6_over_eight_metres_before_halfway() -> None:
    walk = [plan_press(lesson.how_near.situation.moved("possession", "6", (x, 1))) for x in (9, 6, -1)]
    assert [{n: plan.assignments[n].mark for n in ("10", "6")} for plan in walk] == [
        {"10": "6", "6": "8"}, {"10": None, "6": "6"}, {"10": None, "6": "8"}]
    assert [plan.assignments["10"].duty for plan in walk[1:]] == ["keep the block"] * 2
    assert walk[2].account["6"] == "lane closed"
    assert "eight metres before halfway" in prose(NOTEBOOK, "free-why")


def test_six_takes_over_and_nine_is_nearest_behind_the_ball() -> None:
    plan = lesson.who_next.plan
    who, there_s = plan.take_over["straight"]
    assert (who, plan.assignments["6"].duty) == ("6", "deny their 8")
    assert there_s < plan.rulebook.settings.take_over_limit_s
    assert (plan.assignments["8"].mark, plan.assignments["9"].duty) == ("10", "run back goal-side")
    ball = plan.situation.ball_xy
    assert min(lesson.BEHIND, key=lambda n: dist(plan.situation.player("pressing", n).xy, ball)) == "9"
    assert plan.situation.player("pressing", "9").xy[0] > ball[0]
