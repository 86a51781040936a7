"""A trap: one option is left on purpose and closed by two while the ball travels to it."""

from __future__ import annotations

import numpy as np

from pressinglib import simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Pass
from tests.play.stories import happened, place, when

TO_FULL_BACK = [Pass("2", at_s=2.5)]


def test_until_it_springs_he_is_left_and_the_carrier_is_led_to_him() -> None:
    trap = simulate(scene("worked scene"), TO_FULL_BACK, duration_s=6, trap="2")
    plain = simulate(scene("worked scene"), TO_FULL_BACK, duration_s=6)
    before = trap.at(2.0).plan
    assert before.steer == "left"
    assert "2" not in {a.mark for a in before.assignments.values()}
    assert "2" in {a.mark for a in plain.at(2.0).plan.assignments.values()}
    assert before.presser == "9"


def test_two_close_him_while_the_ball_travels() -> None:
    """The second runs as the ball does, comes in square to the presser, and together they win it."""
    trap = simulate(scene("worked scene"), [Pass("2", speed_mps=20, at_s=2.5)], duration_s=8, trap="2")
    closed, received = when(trap, "trap closed"), when(trap, "pass received")
    assert 2.5 <= closed < received
    won = happened(trap, "ball won")
    assert won and won[0].time_s - received < 3.5
    ball = trap.at(won[0].time_s).situation.ball_xy
    ways = [np.subtract(place(trap, n, won[0].time_s), ball) for n in won[0].words.split() if n in ("9", "10", "11")]
    assert len(ways) == 2 and all(np.hypot(*way) < 2.1 for way in ways)


def test_the_mirrored_trap_mirrors() -> None:
    picture = scene("worked scene")
    one = simulate(picture, TO_FULL_BACK, duration_s=4, trap="2")
    other = simulate(picture.mirrored(), TO_FULL_BACK, duration_s=4, trap="2")
    np.testing.assert_allclose(one.frames.pressing_xy * (1, -1), other.frames.pressing_xy, atol=1e-6)
