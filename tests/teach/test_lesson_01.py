"""Lesson 01: what the prose says must be what the engine says."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pressinglib.physics.ball import ball_time
from pressinglib.teach.lessons import lesson_01 as lesson
from pressinglib.teach.line_questions import in_block, left_alone, ten_band, ten_shifted
from tests.teach.kept import kept, printed, prose, rows

NOTEBOOK = kept("01")


def test_the_nearest_is_not_the_first_and_the_first_is_twice_as_far_off() -> None:
    words = lesson.whose_ball.check("8").words
    near, first = map(float, re.findall(r"is (\d+\.\d) m off", words))
    assert near == 4.5 and "4.5 m" in prose(NOTEBOOK, "ball")
    assert 1.6 < first / near < 2.2
    assert words.startswith("8 is") and ", 10 is" in words


def test_the_hand_over_holds_with_a_second_to_spare() -> None:
    times = lesson.whose_man.hint(3).words.split(": ", 1)[1]
    first_s, _, ball_s = map(float, re.findall(r"(\d+\.\d) s[.,]", times))
    assert ball_s - first_s > 0.9


def test_half_of_the_balls_way_is_more_than_two_passes_allow() -> None:
    low, _, high = lesson.shift_band(lesson.how_far.plan)
    half_m = abs(lesson.how_far.situation.ball_xy[1]) / 2
    assert f"here {half_m:.0f} m" in prose(NOTEBOOK, "shift-why")
    assert 3 < low < high < half_m
    assert "switch" in lesson.how_far.check(half_m).words
    assert "before 2" in lesson.how_far.check(low - 1).words


@pytest.mark.parametrize("seed", range(3))
def test_the_band_is_where_both_passes_are_paid_for(seed: int) -> None:
    """At its ends one of the two is just paid for; a metre beyond it no longer is."""
    exercise = lesson.how_far.variant(seed)
    low, _, high = lesson.shift_band(exercise.plan)
    assert [exercise.check(m).outcome for m in (low, high, low - 1, high + 1)] == ["right", "right", "wrong", "wrong"]


def test_nine_metres_of_the_ten_are_right_for_both_passes() -> None:
    words = prose(NOTEBOOK, "ten-why")
    assert "9 m does it both times" in words
    for exercise, way_m in ((lesson.ten_to_b, 20), (lesson.ten_to_c, 18)):
        assert exercise.check(9).outcome == "right"
        assert f"{way_m} m" in prose(NOTEBOOK, "ten-b" if way_m == 20 else "ten-c")
        blocks = exercise.situation, in_block(exercise.situation)
        before, after = (np.mean([p.xy[1] for p in s.pressing if not p.is_goalkeeper]) for s in blocks)
        assert 7 < abs(after - before) < 9.5  # the block that the library itself lines up


def test_too_few_and_too_many_metres_leave_somebody_alone_on_either_side() -> None:
    rules, start = lesson.ten_to_b.rulebook, lesson.ten_to_b.situation
    low, _, high = ten_band(lesson.ten_to_b.plan)
    assert [left_alone(ten_shifted(start, m), rules) for m in (low - 0.5, low, high, high + 0.5)] == [
        ("7",), (), (), ("11",)]


def test_the_ball_is_sooner_there_than_the_ten() -> None:
    s = lesson.ten_to_b.rulebook.settings
    ball_s = [float(ball_time(m, s.ball_mps)) for m in (20, 18)]
    ten_s = float(s.running.rest_time(9.0, s.reaction_s))
    assert ball_s == pytest.approx([1.5, 1.4], abs=0.05) and 2.0 < ten_s < 2.3
    assert "a second and a half" in prose(NOTEBOOK, "ten-why") and "two and more" in prose(NOTEBOOK, "ten-why")


def test_the_far_back_may_stand_more_than_twenty_metres_off() -> None:
    assert re.search(r"and is 2\d\.\d m off", lesson.the_ends.solution().words)
    assert "more than twenty metres" in prose(NOTEBOOK, "ends-why")


def test_men_leave_less_open_for_almost_twice_the_running() -> None:
    text = printed(NOTEBOOK, "contested-both")
    zones_m, men_m = (int(m) for m in re.findall(r": (\d+) m of running", text))
    zones, men = rows(NOTEBOOK, "contested-both")
    assert int(men["danger"]) < int(zones["danger"])
    assert (zones["lanes open to"], men["lanes open to"]) == ("11", "nobody")
    assert 1.8 < men_m / zones_m < 2.0
