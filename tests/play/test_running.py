"""Runs and balls follow the laws of the physics room."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.physics import Running, ball_time
from pressinglib.physics.ball import lofted_time
from pressinglib.play.defence import stride
from pressinglib.play.game_state import in_flight, passed, rolling, touched
from pressinglib.roles.settings import Settings

S = Settings()
HERE = np.zeros(2)


def run(metres: float, velocity: tuple[float, float] = (0.0, 0.0), stops: bool = False) -> np.ndarray:
    """(steps, 4) time, x and velocity of one who runs along x to a place, or through it."""
    xy, v, rows = np.zeros((1, 2)), np.array([velocity]), []
    for k in range(120):
        rows.append([0.1 * k, xy[0, 0], *v[0]])
        left = np.array([abs(metres - xy[0, 0]) if stops else np.inf])
        xy, v = stride(xy, v, np.array([[metres if stops else 1e3, 0.0]]), left, np.inf, 0.1, S.running)
    return np.array(rows)


@pytest.mark.parametrize("metres", [5.0, 10.0, 20.0])
def test_from_rest_as_the_law_says(metres: float) -> None:
    rows = run(metres)
    time_s = np.interp(metres, rows[:, 1], rows[:, 0])
    assert time_s == pytest.approx(float(Running().time(HERE, HERE, (metres, 0.0))), abs=0.06)


def test_he_stops_where_he_wants_to() -> None:
    rows = run(12.0, stops=True)
    assert rows[-1, 1] == pytest.approx(12.0, abs=0.1) and abs(rows[-1, 2]) < 0.1
    assert rows[:, 1].max() < 12.3
    assert np.diff(rows[:, 2]).min() >= -0.1 * S.deceleration_mps2 - 1e-9


def test_who_runs_the_other_way_brakes_first() -> None:
    rows = run(10.0, velocity=(-6.0, 0.0))
    assert rows[:, 1].min() < -2.5
    assert np.abs(rows[:, 2]).max() <= S.top_speed_mps + 1e-9


@pytest.mark.parametrize("metres", [8.0, 20.0, 35.0])
def test_a_ground_pass_takes_as_long_as_ball_time_says(metres: float) -> None:
    ball = passed("ground", 1.0, HERE, np.array([0.0, metres]), None, S)
    assert ball.travel_s == pytest.approx(float(ball_time(metres, S.ball_mps)))
    np.testing.assert_allclose(ball.xy(np.array(1.0 + ball.travel_s)), [0.0, metres], atol=1e-6)


def test_a_lofted_ball_comes_down_where_it_is_aimed() -> None:
    ball = passed("lofted", 0.0, HERE, np.array([40.0, 0.0]), None, S)
    assert ball.travel_s == pytest.approx(float(lofted_time(40.0, S.switch_mps, 25.0)))
    times = np.linspace(0, ball.travel_s, 50)
    assert ball.height_m(times)[[0, -1]] == pytest.approx([0, 0], abs=1e-9)
    assert ball.height_m(times).max() == pytest.approx(9.8 * ball.travel_s**2 / 8, rel=1e-3)  # a throw: g T^2 / 8
    assert ball.xy(times)[-1] == pytest.approx([40, 0], abs=1e-6)


@pytest.mark.parametrize(("metres", "speed"), [(1.0, None), (90.0, 4.0)])
def test_how_long_a_ball_may_be_in_the_air(metres: float, speed: float) -> None:
    ball = passed("lofted", 0.0, HERE, np.array([metres, 0.0]), speed, S)
    assert ball.travel_s == (1.0 if metres == 1.0 else 4.5)


def test_a_ball_in_flight_is_where_and_as_high_as_it_was_said() -> None:
    ball = in_flight(passed("lofted", 0.0, HERE, np.array([30.0, 0.0]), 20.0, S), 5.0)
    assert ball.xy(np.array(0.0)) == pytest.approx([0, 0], abs=1e-9)
    assert float(ball.height_m(np.array(0.0))) == pytest.approx(5.0)
    assert ball.aim == pytest.approx([30, 0], abs=1e-9)


def test_a_heavy_touch_is_as_long_as_it_says() -> None:
    ball = touched(0.0, HERE, np.array([-1.0, 0.0]), 4.0)
    assert ball.xy(np.array(0.8)) == pytest.approx([-4.0, 0.0])


def test_a_rolling_ball_comes_to_rest() -> None:
    ball = rolling(0.0, HERE, np.array([3.0, 0.0]))
    assert ball.xy(np.array([3.0, 9.0]))[:, 0] == pytest.approx([4.5, 4.5])  # v^2 / 2a
