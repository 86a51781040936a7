"""Placing the cover: any place that does the job is right, and every other is told how far off it is."""

from __future__ import annotations

import re
from math import cos, exp, hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.field.scene_file import scene
from pressinglib.roles.plan import plan_press
from pressinglib.teach.exercise import NOT_ATTEMPTED, RIGHT, WRONG
from pressinglib.teach.lessons.lesson_00 import place_the_cover
from pressinglib.teach.stand import Denial
from tests.teach.lessons import mirrored

MAN = place_the_cover.situation.player("possession", "6").xy
BALL = place_the_cover.situation.ball_xy
GOOD = {"goal-side": (20, -9), "on him": (22, -9), "beside him": (22, -6), "in the lane": (25, -9.9),
        "half way": (28, -10.7)}
BAD = {"too far behind": (12, -9), "far away": (0, 20), "beyond him, off the lane": (24, -5.5),
       "on the ball": (32, -12)}


@pytest.mark.parametrize("place", GOOD.values(), ids=GOOD)
def test_every_place_that_does_the_job_is_right_dragged_or_typed(place: tuple[float, float]) -> None:
    dragged = place_the_cover.situation.moved("pressing", "8", place)
    assert [place_the_cover.check(place).outcome, place_the_cover.check(dragged).outcome] == [RIGHT, RIGHT]
    turned = mirrored(place_the_cover)
    assert turned.check((place[0], -place[1])) == place_the_cover.check(place)


@pytest.mark.parametrize("place", BAD.values(), ids=BAD)
def test_every_other_place_is_wrong_with_a_reason(place: tuple[float, float]) -> None:
    dragged = place_the_cover.situation.moved("pressing", "8", place)
    assert [place_the_cover.check(place).outcome, place_the_cover.check(dragged).outcome] == [WRONG, WRONG]


def test_the_picture_untouched_is_not_attempted() -> None:
    assert place_the_cover.check(place_the_cover.situation).outcome == NOT_ATTEMPTED
    others = place_the_cover.situation.moved("pressing", "10", (22, -9))
    assert place_the_cover.check(others).outcome == NOT_ATTEMPTED


@given(st.floats(0, 360), st.floats(5, 25))
def test_whoever_comes_as_much_nearer_as_he_is_told_is_no_longer_late(angle: float, away: float) -> None:
    """Along the straight way to the man; what may be left to mend is the side, never the distance."""
    way = (cos(radians(angle)), sin(radians(angle)))
    start = (MAN[0] + away * way[0], MAN[1] + away * way[1])
    told = re.search(r"come (\d+\.\d) m nearer", place_the_cover.check(start).words)
    if told:
        left_m = away - float(told[1]) - 0.06  # said to 0.1 m
        nearer = (MAN[0] + left_m * way[0], MAN[1] + left_m * way[1])
        assert "late for" not in place_the_cover.check(nearer).words


def test_the_reasons_name_the_fault() -> None:
    said = {name: place_the_cover.check(place).words for name, place in BAD.items()}
    assert re.search(r"8 is \d\.\d s late for their 6", said["too far behind"])
    assert "neither in the lane nor goal-side" in said["beyond him, off the lane"]
    assert "two press one ball" in said["on the ball"]


def test_the_slack_agrees_with_the_closed_form_of_the_running_law() -> None:
    """From rest under drive minus drag (alpha 1.3 /s, 7.8 m/s; Fujimura and Sugihara 2005, values from memory; A).

    Own arithmetic: he may be as far off as he runs until the first touch, reaction taken off, plus his reach. The
    ball's time is that of a ground pass with drag, so between that of a straight 15 m/s and 1.3 times as much.
    """
    denial = Denial(place_the_cover.plan, "6", (20.0, -9.0))
    length = hypot(MAN[0] - BALL[0], MAN[1] - BALL[1])

    def run_m(ball_s: float) -> float:
        time = ball_s + 0.5 - 0.3
        return 7.8 * (time - (1 - exp(-1.3 * time)) / 1.3) + 0.9

    assert run_m(length / 15) < denial.slack_m < run_m(1.3 * length / 15)


def test_with_the_runs_made_it_agrees_with_the_plan_about_who_is_denied() -> None:
    """Their 3 and 6 are denied by 11 and 10 at their spots; where they stand at first, neither is in time for 2."""
    plan = plan_press(scene("worked scene"))
    for number, man in (("10", "6"), ("11", "2")):
        spot = Denial(plan, man, tuple(map(float, plan.assignments[number].target_xy)))
        assert plan.account[man] == "denied"
        assert spot.late_s <= 0
    assert Denial(plan, "2", plan.situation.player("pressing", "11").xy).late_s > 0


def test_the_exercise_asks_for_what_the_plan_asks_of_him() -> None:
    """Before the runs, 8 is the cover who denies 6; presser and 10 have made their runs, the others nearly so.

    The line stands one drop higher than where the plan ends, and the wings as much wider: 5 m.
    """
    before, now = plan_press(scene("build-up right")), place_the_cover.situation
    job = before.assignments["8"]
    assert (job.role, job.mark) == ("cover", "6")
    off = {p.number: hypot(*(before.assignments[p.number].target_xy - p.xy)) for p in now.pressing if p.number != "8"}
    most = {number: 1.0 if number in ("9", "10") else 5.0 for number in off}
    assert {number: round(off_m, 1) for number, off_m in off.items() if off_m > most[number]} == {}
