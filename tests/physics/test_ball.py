"""Laws of the ball: farther takes longer, faster takes less, a scaled ball lands where it should."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.physics import ball_speed, ball_time, loft, lofted_time, rolling_time


@given(st.floats(0, 80), st.floats(0.1, 20), st.floats(5, 30))
def test_farther_takes_longer_and_faster_takes_less(distance, more, speed):
    assert ball_time(distance + more, speed) > ball_time(distance, speed)
    assert ball_time(distance + more, speed + 1.0) < ball_time(distance + more, speed)


@given(st.floats(0.5, 60), st.floats(5, 30))
def test_time_and_speed_belong_together(distance, speed):
    step = 1e-5
    by_difference = 2 * step / (ball_time(distance + step, speed) - ball_time(distance - step, speed))
    assert ball_speed(distance, speed) == pytest.approx(by_difference, rel=1e-4)


@given(st.floats(2, 20), st.floats(0.7, 1.5))
def test_rolling_ball_obeys_its_deceleration(speed, deceleration):
    stop = speed**2 / (2 * deceleration)
    time = rolling_time(0.9 * stop, speed, deceleration)
    assert speed * time - 0.5 * deceleration * time**2 == pytest.approx(0.9 * stop, rel=1e-9)
    assert rolling_time(1.01 * stop, speed, deceleration) == np.inf


@given(st.floats(3, 28))
def test_scaled_ball_lands_at_the_place(speed):
    time_s, range_m, _ = loft(speed, 25.0)
    assert lofted_time(range_m) == pytest.approx(time_s, abs=1e-3)


def test_beyond_the_longest_ball_it_goes_on_without_a_jump():
    _, range_m, _ = loft(28.0, 25.0)
    before, at, after, later = lofted_time(range_m + np.array([-0.01, 0.0, 0.01, 10.0]))
    assert before < at < after < at + 0.002
    assert (later - at) / 10.0 > 1.0 / 28.0  # slower than off the foot


def test_lofts_broadcast():
    time_s, range_m, apex_m = loft(np.array([[10.0], [20.0]]), np.array([0.0, 30.0, 90.0]))
    assert time_s.shape == range_m.shape == apex_m.shape == (2, 3)
    assert np.all(time_s[:, 0] == 0.0)
    np.testing.assert_allclose(range_m[:, 2], 0.0, atol=1e-9)
    assert time_s[1, 1] == pytest.approx(loft(20.0, 30.0)[0], abs=1e-12)


def test_absent_distances_stay_absent():
    for time in (ball_time, rolling_time, lofted_time):
        assert np.isnan(time([np.nan, 5.0])).tolist() == [True, False]


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: ball_time(10, 0.0), "speed_mps"),
        (lambda: ball_time(10, 15.0, drag_per_m=-1.0), "drag_per_m"),
        (lambda: loft(20.0, 100.0), "angle_deg"),
        (lambda: loft(-1.0, 20.0), "speed_mps"),
        (lambda: lofted_time(30.0, angle_deg=90.0), "angle_deg"),
        (lambda: rolling_time(5.0, 12.0, 0.0), "deceleration_mps2"),
    ],
)
def test_a_wrong_parameter_is_named(call, what):
    with pytest.raises(BadInput, match=what):
        call()
