"""Ball and control: Spearman, Basye, Dick, Hotovy, Pop 2017, Physics-based modeling of pass probabilities in soccer.

Formulas and constants are published (eq. 1 for the drag; sigma 0.45 s, lambda 4.30 /s). Values are computed from them,
those of the lofted ball by integrating the same drag in the plane with gravity 9.8 m/s2.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pressinglib.physics import (
    ball_speed,
    ball_time,
    control_probability,
    control_shares,
    interception_probability,
    loft,
    lofted_time,
)
from pressinglib.physics.ball import DRAG_PER_M


def test_drag_constant():
    assert pytest.approx(0.0137976, abs=6e-8) == DRAG_PER_M


@pytest.mark.parametrize(("distance_m", "time_s"), [(10.0, 0.7148), (20.0, 1.5355)])
def test_ground_pass(distance_m, time_s):
    assert ball_time(distance_m, 15.0) == pytest.approx(time_s, abs=6e-5)


def test_speed_after_twenty_metres():
    assert ball_speed(20.0, 15.0) == pytest.approx(11.3827, abs=6e-5)


def test_without_drag_a_ball_keeps_its_speed():
    assert ball_time(20.0, 15.0, drag_per_m=0.0) == pytest.approx(20.0 / 15.0, rel=1e-12)
    assert ball_time(20.0, 15.0, drag_per_m=1e-9) == pytest.approx(20.0 / 15.0, rel=1e-6)


def test_lofted_ball():
    time_s, range_m, apex_m = loft(25.0, 30.0)
    assert time_s == pytest.approx(2.273, abs=6e-4)
    assert range_m == pytest.approx(37.05, abs=6e-3)
    assert apex_m == pytest.approx(6.37, abs=6e-3)


@pytest.mark.parametrize(("speed_mps", "angle_deg"), [(18.0, 45.0), (28.0, 25.0), (40.0, 70.0)])
def test_lofted_ball_against_a_general_solver(speed_mps, angle_deg):
    """scipy's integrator with events, on the equations of motion."""

    def motion(_, s):
        pull = -DRAG_PER_M * np.hypot(s[2], s[3])
        return [s[2], s[3], pull * s[2], pull * s[3] - 9.8]

    def ground(t, s):
        return s[1] if t > 0.1 else 1.0

    ground.terminal = True
    angle = np.radians(angle_deg)
    start = [0.0, 0.0, speed_mps * np.cos(angle), speed_mps * np.sin(angle)]
    flight = solve_ivp(motion, (0, 20), start, events=[ground, lambda t, s: s[3]], rtol=1e-10, atol=1e-10)
    time_s, range_m, apex_m = loft(speed_mps, angle_deg)
    assert time_s == pytest.approx(flight.t_events[0][0], abs=1e-6)
    assert range_m == pytest.approx(flight.y_events[0][0][0], abs=1e-5)
    assert apex_m == pytest.approx(flight.y_events[1][0][1], abs=1e-5)


def test_lofted_ball_in_a_vacuum():
    """School mechanics: T = 2 v sin / g, range v^2 sin(2 angle) / g, apex (v sin)^2 / (2 g)."""
    time_s, range_m, apex_m = loft(25.0, 30.0, drag_per_m=0.0)
    assert time_s == pytest.approx(25.0 / 9.8, rel=1e-9)
    assert range_m == pytest.approx(625.0 * np.sin(np.radians(60.0)) / 9.8, rel=1e-9)
    assert apex_m == pytest.approx(12.5**2 / 19.6, rel=1e-9)


def test_a_switch_of_forty_metres():
    """2.1 to 3.1 s (computed for common speeds and angles)."""
    assert 2.1 < lofted_time(40.0) < 3.1


def test_chance_to_intercept():
    assert interception_probability(0.0, 0.0) == 0.5
    assert interception_probability(1.0, 0.0) == pytest.approx(0.98255, abs=6e-6)


def test_chance_to_control():
    assert control_probability(1.0) == pytest.approx(0.98643, abs=6e-6)


def test_race_against_a_general_solver():
    """The equation of the paper with its constants, for players who arrive one after another."""
    attack, defence = np.array([1.2, 2.0]), np.array([1.0, 1.6, 3.0])
    arrival = np.concatenate([attack, defence])

    def motion(time, shares):
        return (1.0 - shares.sum()) * 4.30 * interception_probability(time, arrival, 0.45)

    race = solve_ivp(motion, (0.9, 15.0), np.zeros(5), rtol=1e-9, atol=1e-12, max_step=0.1)
    shares = control_shares(attack, defence, 0.9, rate_per_s=4.30, sigma_s=0.45, defence_factor=1.0)
    assert shares[0] == pytest.approx(race.y[:2, -1].sum(), abs=5e-4)
    assert shares[1] == pytest.approx(race.y[2:, -1].sum(), abs=5e-4)
