"""Lesson 02: what the prose says must be what the engine says."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from math import dist

from pressinglib.physics import Running
from pressinglib.roles.plan import plan_press
from pressinglib.teach.lessons import lesson_02 as lesson
from pressinglib.teach.press_questions import Race
from tests.teach.kept import told


def test_the_nearest_runs_away_and_loses_more_than_half_a_second() -> None:
    picture = lesson.nearest.situation
    away = {p.number: dist(p.xy, picture.ball_xy) for p in picture.pressing}
    assert min(away, key=away.__getitem__) == "10"
    assert 4 <= away["9"] - away["10"] < 5
    standing = replace(picture, pressing=tuple(
        replace(p, velocity=(0.0, 0.0)) if p.number == "10" else p for p in picture.pressing))
    turned = Race(lesson.nearest.plan).time_s("10")
    assert turned - Race(plan_press(standing)).time_s("10") > 0.5


def test_the_second_in_the_order_covers() -> None:
    assert lesson.in_order.plan.assignments[lesson.in_order.solution().answer[1]].role == "cover"


def test_a_stop_costs_half_a_second_and_more() -> None:
    law, rest, words = Running(), (0.0, 0.0), told(lesson, "stop_clock")
    for metres in (8, 15):
        end = (float(metres), 0.0)
        flat, stop = law.time(rest, rest, end, 0.3), law.braked_time(rest, rest, end, 0.3)
        assert 0.45 < stop - flat < 1.0
        pace = law.top_speed_mps * (1 - math.exp(-law.alpha_per_s * (flat - 0.3)))  # the law from rest
        assert f"{metres} m flat out: {flat:.1f} s, going {pace:.1f} m/s by then; with a stop: {stop:.1f} s" in words


def test_in_two_seconds_he_stands_three_metres_off_and_flat_out_he_is_at_the_ball() -> None:
    asked, law = lesson.stop_clock, Running()
    away_m = dist(asked.situation.player("pressing", "9").xy, asked.situation.ball_xy)
    assert round(away_m - asked.solution().answer) == 3 and "three metres off" in told(lesson, "stop_clock")
    assert abs(law.covered_m(lesson.LOOK_UP_S - 0.3) - away_m) < 0.3 and asked.check(away_m).outcome == "wrong"


def test_he_brakes_four_metres_before_he_stops_and_slowly_he_may_wait() -> None:
    """7 m/s at 6 m/s2: 49 / 12 = 4.08 m, by hand; an arm's length of 1.5 m on top."""
    assert round(lesson.brake_band(lesson.where_to_brake.plan).best, 1) == round(49 / 12 + 1.5, 1)
    assert "Four metres to stop" in told(lesson, "where_to_brake")


def test_in_time_is_what_the_two_clocks_say() -> None:
    for exercise in (lesson.in_time, *(lesson.in_time.variant(seed) for seed in range(6))):
        words = exercise.solution().words
        ready_s, touch_s = map(float, re.findall(r"after (\d+\.\d) s", words))
        assert words.startswith("in time" if ready_s <= touch_s + 0.1 else "late")


def test_eleven_is_late_and_still_sent() -> None:
    plan = lesson.in_time.plan
    assert (plan.presser, plan.timing) == ("11", "late")
    assert lesson.where_he_ends.plan.presser == "11"


def test_he_who_goes_through_to_arms_length_is_too_late_and_who_stands_off_too_far() -> None:
    assert "s late" in lesson.where_he_ends.check((27, 29)).words
    assert "m nearer" in lesson.where_he_ends.check((22, 25.5)).words
    assert "not goal-side" in lesson.where_he_ends.check((30, 30)).words
