"""Lesson 06: what the prose says must be what the engine says."""

from __future__ import annotations

import re
from dataclasses import replace
from math import dist

import pytest

from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import offside_line_m
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.lessons import lesson_06 as lesson
from pressinglib.teach.line_questions import landing, race_s
from pressinglib.teach.prices import KEPT, beside, more
from tests.teach.kept import told


def times() -> dict[str, float]:
    return race_s(lesson.over_top.situation, lesson.over_top.plan.rulebook.settings)


def off_goal_m(situation: Situation) -> float:
    """How far off his goal the plan puts the goalkeeper."""
    return float(dist(plan_press(situation).assignments["1"].anchor_xy, situation.pitch.own_goal_xy))


def test_open_ball_drops_and_closes_up() -> None:
    plan = lesson.open_ball.plan
    line = [plan.assignments[number].anchor_xy for number in lesson.BACK_FOUR]
    before = [plan.situation.player("pressing", number).xy for number in lesson.BACK_FOUR]
    assert all(after[0] < was[0] - 2 for after, was in zip(line, before, strict=True))
    assert max(y for _, y in line) - min(y for _, y in line) < max(y for _, y in before) - min(y for _, y in before)
    back = [man.number for man in plan.situation.pressing if man.xy[0] < 0]
    assert sorted(back) == sorted(["1", *lesson.BACK_FOUR, "7"])


def test_one_picture_a_move_and_each_move_is_wrong_in_the_other_two() -> None:
    asked = [lesson.open_ball, lesson.covered, lesson.back_pass]
    right = [[exercise.check(move).outcome == "right" for move in ("drop", "hold", "step")] for exercise in asked]
    assert right == [[True, False, False], [False, True, False], [False, False, True]]


def test_the_ball_is_covered_by_a_man_who_is_there_and_their_9_runs_all_the_same() -> None:
    picture = lesson.covered.situation
    assert dist(picture.player("pressing", "7").xy, picture.ball_xy) < 2.5
    nine = picture.player("possession", "9")
    assert nine.velocity[0] < -4.0
    assert offside_line_m(picture) < nine.xy[0] < offside_line_m(picture) + 2.0
    for number, xy in {"7": (2, -10), "8": (2, -5), "10": (5, 5), "6": (0, 0), "9": (8, 5)}.items():
        picture = picture.moved("pressing", number, xy)
    assert replace(lesson.covered, situation=picture).solution().answer == "drop"


def test_a_carrier_who_faces_his_own_goal_leaves_the_ball_covered() -> None:
    picture = lesson.open_ball.situation
    turned = tuple(replace(p, facing_deg=0.0) if p.number == picture.on_ball else p for p in picture.possession)
    assert replace(lesson.open_ball, situation=replace(picture, possession=turned)).solution().answer == "hold"


@pytest.mark.parametrize("drop_m", [1.0, 8.0])
def test_the_line_gives_way_by_as_much_as_is_said(drop_m: float) -> None:
    plan = plan_press(lesson.open_ball.situation, Rulebook(Settings(line_drop_m=drop_m)))
    for number in lesson.BACK_FOUR:
        for place in (plan.assignments[number].anchor_xy, plan.assignments[number].target_xy):
            assert plan.situation.player("pressing", number).xy[0] - place[0] == pytest.approx(drop_m, abs=0.1)


def test_dropping_far_leaves_their_9_open_and_a_metre_does_not() -> None:
    plans = [plan_press(lesson.open_ball.situation, Rulebook(Settings(line_drop_m=m))) for m in (1, 8)]
    brave, early = ({man for man, word in plan.account.items() if word == "free"} for plan in plans)
    assert early - brave == {"9"}


def test_9_is_past_the_centre_backs_onside_and_caught_once_2_is_up() -> None:
    picture = lesson.offside.situation
    nine = picture.player("possession", "9").xy[0]
    assert nine < min(picture.player("pressing", number).xy[0] for number in ("4", "5"))
    assert nine > offside_line_m(picture)
    mended = lesson.mend.solution().situation
    assert mended is not None
    assert nine < offside_line_m(mended)
    back, level, nearly = (lesson.mend.check({"2": (x, -15.0)}) for x in (-10.0, -9.0, -8.5))
    assert "Their 9 is 1.0 m short of the offside line: onside." in back.words
    assert "Their 9 is level with the offside line: onside." in level.words
    assert "Their 9 is 0.5 m past the offside line" in nearly.words
    assert (back.outcome, level.outcome, nearly.outcome, nearly.held) == ("wrong", "wrong", "wrong", 2)
    assert "level with the offside line" in lesson.mend.check({"2": (-8.98, -15.0)}).words  # as a hand lets go


def test_the_runner_is_first_though_the_line_is_nearer() -> None:
    race = times()
    assert 0.4 < min(race["line"], race["keeper"]) - race["runner"] < 0.5  # "almost half a second"
    assert abs(race["runner"] - 2.0) < 0.15
    picture = lesson.over_top.situation
    place = landing(picture)
    assert picture.player("possession", "9").xy[0] > max(picture.player("pressing", n).xy[0] for n in ("4", "5"))
    assert place[0] < picture.player("pressing", "5").xy[0] - 11


def test_the_race_follows_the_running() -> None:
    """Outside check by own arithmetic: at most 7.8 m/s, so nobody covers his way faster than that."""
    picture, race = lesson.over_top.situation, times()
    (x, y), (kx, ky) = landing(picture), picture.player("pressing", "1").xy
    assert race["keeper"] > 0.3 + (dist((x, y), (kx, ky)) - 0.9) / 7.8


def test_the_keeper_just_wins_where_the_prose_says() -> None:
    just, easy = (int(metres) for metres in re.findall(r"(?:At|at) (\d+) m", told(lesson, "keeper_height")))
    outcomes = [lesson.keeper_height.check({"1": (off_m - 52.5, 0.2)}).outcome for off_m in (just - 2, just, easy)]
    assert outcomes == ["wrong", "right", "right"]


def test_a_chip_beats_him_where_the_prose_says_and_nothing_else_does() -> None:
    """Their 10 has got through, 25 m from goal: of all criteria only the chip tells 14 m off the goal from 15."""
    ball_m, off_m = (int(m) for m in re.findall(r"(\d+) m away .* (\d+) m off", told(lesson, "keeper_height"))[0])
    through = lesson.open_ball.situation.moved("possession", "10", (ball_m - 52.5, 1.0))
    asked = replace(lesson.keeper_height, situation=through)
    high, lower = (asked.judge.findings(asked.plan, {"1": (m - 52.5, 0.5)}) for m in (off_m, off_m - 1))
    assert dist(through.ball_xy, through.pitch.own_goal_xy) == pytest.approx(ball_m, abs=1.0)
    assert [finding.holds for finding in lower] == [True] * 4
    assert [finding.criterion for finding in high if not finding.holds] == ["no fault"]
    assert "chip" in next(finding.words for finding in high if not finding.holds)


def test_from_halfway_no_chip_reaches_him() -> None:
    """There the room to his own line is what keeps him back."""
    high = lesson.keeper_height.judge.findings(lesson.keeper_height.plan, {"1": (-30.0, 0.4)})
    assert [finding.criterion for finding in high if not finding.holds] == ["stays home"]


def test_the_goalkeeper_goes_back_once_a_chip_can_reach_the_goal() -> None:
    from_m = 33
    picture = lesson.open_ball.situation
    far, there, near, nearer = (off_goal_m(picture.moved("possession", "10", (away_m - 52.5, 1.0)))
                                for away_m in (from_m + 10, from_m + 1, from_m - 2, from_m - 5))
    assert abs(far - there) < 0.5
    assert nearer < near - 1.0 < there - 1.5


def test_quick_and_slow_are_told_as_they_run() -> None:
    for exercise in (lesson.covered, lesson.slow_line):
        race = race_s(exercise.situation, exercise.plan.rulebook.settings)
        assert ", ".join(f"{who} {after_s:.1f} s" for who, after_s in race.items()) in told(lesson, "slow_line")


def test_of_its_games_the_lesson_shows_what_sets_the_two_apart_and_says_that_most_balls_are_won() -> None:
    rows = [[*row.values()] for row in lesson.price_of_eight()]
    for row, name in zip(rows, ("price_06", "price_06_slow"), strict=True):
        assert row[1:] == [more(beside(name, "drop eight", column)) for column in (1, 2)]
        assert all(rates[1][0] > 60 for rates in KEPT[name]["ways"].values())
    assert "lose most balls" in told(lesson, "open_ball")


def test_law_11_by_hand() -> None:
    """IFAB, Law 11: nearer the goal line than both the ball and the second-last opponent, in the other half."""
    picture = lesson.offside.situation
    second_last = sorted(p.xy[0] for p in picture.pressing)[1]
    past = {p.number for p in picture.possession if p.xy[0] < min(second_last, picture.ball_xy[0], 0.0)}
    assert past == {"11"}
    assert {number for number, found in lesson.offside_men(lesson.offside.plan).items() if found.holds} == past
