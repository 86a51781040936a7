"""Lesson 04: what the prose says must be what the engine says."""

from __future__ import annotations

from math import dist

import pytest

from pressinglib.field.scene_file import scene
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.teach.choices import SAME_S
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.lessons import lesson_04 as lesson
from pressinglib.teach.stand import Denial, Stand
from tests.teach.kept import kept, told

NOTEBOOK = kept("04")


def away_m(plan: Plan, number: str, man: str) -> float:
    s = plan.situation
    return dist(s.player("pressing", number).xy, s.player("possession", man).xy)


def test_nine_is_nearer_to_their_8_on_the_wrong_side_and_their_6_is_in_the_shadow() -> None:
    plan = lesson.covers.plan
    assert plan.presser == "10"
    assert 1.0 < away_m(plan, "6", "8") - away_m(plan, "9", "8") < 2.0
    first_s, later_s = (float(lesson.covers.check(n).words.split("after ")[1].split()[0]) for n in ("6", "9"))
    assert first_s + SAME_S < later_s and "and leaves nobody" in lesson.covers.check("9").words
    assert (plan.assignments["6"].mark, plan.account["6"]) == ("8", "shadow")
    assert plan.assignments["9"].duty == "keep the block"
    assert plan.situation.player("pressing", "9").xy[0] > plan.situation.player("possession", "8").xy[0]


def test_nobody_goes_to_their_goalkeeper_and_to_the_man_in_the_shadow() -> None:
    plan = lesson.no_cover.plan
    assert (plan.presser, plan.account["4"], plan.account["1"]) == ("9", "shadow", "free")
    assert [man for man, found in lesson.left_alone(plan).items() if found.holds] == ["1", "4"]


def test_a_man_whom_a_full_back_holds_is_not_left_alone_and_nobody_is_left_in_front_of_the_ball() -> None:
    found = lesson.left_alone(plan_press(scene("low block")))
    assert "3 has him" in found["7"].words
    assert all(("goes back" in each.words or "square" in each.words or "hides him" in each.words) == each.holds
               for each in found.values())


def test_who_stays_beside_the_ball_leaves_their_2_by_more_than_a_second() -> None:
    asked = lesson.two_covers
    both = {"10": (30.0, 8.0), "11": (30.0, 12.0)}
    now = Stand(asked.plan, asked.judge.shown(asked.situation, both))
    who = now.nearest("2")
    assert "2" in now.free and (who.number, who.late_s > 1.0) == ("11", True)
    assert asked.check(both).outcome == "wrong"


def test_a_little_more_than_six_metres_off_their_6() -> None:
    plan = lesson.how_near.plan
    slack_m = Denial(plan, "6", (0.0, 0.0)).slack_m
    assert 6.0 < slack_m < 7.0
    assert "He is in time there" in lesson.how_near.check(2).words
    x, y = plan.situation.ball_xy
    for long_m in (6.0, 12.0, 18.0, 24.0):
        there = plan_press(plan.situation.moved("possession", "6", (x - long_m, y)))
        assert f"a pass of {long_m:.0f} m: {Denial(there, '6', (0.0, 0.0)).slack_m:.1f} m" in told(lesson, "how_near")


def test_the_same_picture_is_covered_loosely_high_up_and_tightly_before_the_box() -> None:
    high, home = lesson.cover_band(lesson.high_up.plan), lesson.cover_band(lesson.home.plan)
    assert (round(high.best), round(home.best)) == (8, 4)
    assert high.low > home.high  # what is right in one is wrong in the other
    for exercise, band in ((lesson.high_up, high), (lesson.home, home)):
        assert exercise.plan.assignments["6"].duty == "guard the straight way out"
        for metres in (band.low + 0.1, band.best, band.high - 0.1):
            kinds = [f.kind for f in find_faults(exercise.judge.shown(exercise.situation, metres))]
            assert not {"flat cover", "cover on the wrong side"} & set(kinds)
    places = [{p.number: p.xy[1] for p in e.situation.players("pressing")} for e in (lesson.high_up, lesson.home)]
    assert places[0] == places[1]
    assert "about eight metres" in told(lesson, "high_up") and "about four" in told(lesson, "home")


@pytest.mark.parametrize("exercise", [lesson.high_up, lesson.home])
def test_the_cover_stands_where_he_stands_though_the_presser_is_still_on_his_way(exercise: Exercise) -> None:
    late = exercise.situation.moved("pressing", "10", (exercise.situation.ball_xy[0] - 6.0, 0.0))
    plans = [exercise.plan, plan_press(late)]
    assert [plan.presser for plan in plans] == ["10", "10"]
    assert tuple(plans[0].assignments["6"].target_xy) == pytest.approx(tuple(plans[1].assignments["6"].target_xy))
    assert "still six metres off" in told(lesson, "high_up")


def test_ten_hands_their_6_over_eight_metres_before_halfway() -> None:
    walk = [plan_press(lesson.how_near.situation.moved("possession", "6", (x, 1))) for x in (9, 6, -1)]
    assert [{n: plan.assignments[n].mark for n in ("10", "6")} for plan in walk] == [
        {"10": "6", "6": "8"}, {"10": None, "6": "6"}, {"10": None, "6": "8"}]
    assert [plan.assignments["10"].duty for plan in walk[1:]] == ["keep the block"] * 2
    assert walk[2].account["6"] == "lane closed"


def test_six_takes_over_and_nine_is_nearest_behind_the_ball() -> None:
    plan = lesson.who_next.plan
    ball = plan.situation.ball_xy
    assert plan.situation.player("pressing", "10").xy[0] > ball[0]  # beaten
    assert lesson.who_next.solution().answer == "6"
    assert (plan.assignments["6"].mark, plan.assignments["8"].mark) == ("8", "10")
    there_s = float(lesson.who_next.solution().words.split("after ")[1].split()[0])
    assert there_s < plan.rulebook.settings.take_over_limit_s
    assert min(lesson.BEHIND, key=lambda n: dist(plan.situation.player("pressing", n).xy, ball)) == "9"
    assert plan.situation.player("pressing", "9").xy[0] > ball[0]
    assert "only chases" in lesson.who_next.check("9").words


def test_a_number_that_is_set_is_drawn_as_it_is_judged() -> None:
    """Too far off he loses the race that is drawn, in the band he wins it; one that gainsays the words is not drawn."""
    shown = {metres: [holds for holds, _ in lesson.how_near.check(metres).judged] for metres in (2.0, 6.0, 7.1, 9.0)}
    assert shown == {2.0: [], 6.0: [True, True], 7.1: [], 9.0: [False, False]}
