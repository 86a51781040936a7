"""Ball, interception and control. Formulas and constants are published (eq. 1 for the drag; sigma 0.45 s, lambda 4.30
/s). Values are computed from them, those of the lofted ball and of the race by scipy's solver.
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
)
from pressinglib.physics.ball import DRAG_PER_M
from tests.outside.check import Check, value_of

SOURCE = (
    "Spearman, Basye, Dick, Hotovy, Pop 2017, Physics-based modeling of pass probabilities in soccer, MIT Sloan "
    "Sports Analytics Conference"
)

ATTACK, DEFENCE, BALL_S = np.array([1.2, 2.0]), np.array([1.0, 1.6, 3.0]), 0.9
FLIGHTS = [(18.0, 45.0), (28.0, 25.0), (40.0, 70.0)]


def flown(speed_mps, angle_deg):
    """Time, range and apex by scipy's solver with events, on the equations of motion."""

    def motion(_, s):
        pull = -DRAG_PER_M * np.hypot(s[2], s[3])
        return [s[2], s[3], pull * s[2], pull * s[3] - 9.8]

    def ground(t, s):
        return s[1] if t > 0.1 else 1.0

    ground.terminal = True
    angle = np.radians(angle_deg)
    start = [0.0, 0.0, speed_mps * np.cos(angle), speed_mps * np.sin(angle)]
    flight = solve_ivp(motion, (0, 20), start, events=[ground, lambda t, s: s[3]], rtol=1e-10, atol=1e-10)
    landing, top = flight.y_events
    return float(flight.t_events[0][0]), float(landing[0][0]), float(top[0][1])


def race():
    arrival = np.concatenate([ATTACK, DEFENCE])

    def motion(time, shares):
        return (1.0 - shares.sum()) * 4.30 * interception_probability(time, arrival, 0.45)

    run = solve_ivp(motion, (BALL_S, 15.0), np.zeros(5), rtol=1e-9, atol=1e-12, max_step=0.1)
    return float(run.y[:2, -1].sum())


def race_of_ours():
    return control_shares(ATTACK, DEFENCE, BALL_S, rate_per_s=4.30, sigma_s=0.45, defence_factor=1.0)[0]


CHECKS = [
    Check("drag of the ball, 1/m", "eq. 1", "computed", 0.0137976, lambda: DRAG_PER_M, 5e-8),
    Check("pass of 10 m at 15 m/s, s", "eq. 1", "computed", 0.7148, lambda: ball_time(10.0, 15.0), 5e-5),
    Check("pass of 20 m at 15 m/s, s", "eq. 1", "computed", 1.5355, lambda: ball_time(20.0, 15.0), 5e-5),
    Check("its speed after 20 m, m/s", "eq. 1", "computed", 11.3827, lambda: ball_speed(20.0, 15.0), 5e-5),
    Check("almost without drag, 20 m, s", "limit of eq. 1", "computed", 20 / 15,
          lambda: ball_time(20.0, 15.0, 1e-9), 1e-6),
    Check("lofted, 25 m/s at 30 degrees, s", "eq. 1 and gravity", "computed", 2.273, lambda: loft(25.0, 30.0)[0], 5e-4),
    Check("its range, m", "eq. 1 and gravity", "computed", 37.05, lambda: loft(25.0, 30.0)[1], 5e-3),
    Check("its apex, m", "eq. 1 and gravity", "computed", 6.37, lambda: loft(25.0, 30.0)[2], 5e-3),
    *(Check(f"{what} of {speed:g} m/s at {angle:g} degrees, {unit}", "eq. 1 and gravity", "computed",
            flown(speed, angle)[i], lambda ball=(speed, angle), i=i: loft(*ball)[i], 1e-5)
      for speed, angle in FLIGHTS for i, (what, unit) in enumerate([("time", "s"), ("range", "m"), ("apex", "m")])),
    Check("chance of being there when expected", "interception", "computed", 0.5,
          lambda: interception_probability(0, 0)),
    Check("chance of being there 1 s later", "interception", "computed", 0.98255,
          lambda: interception_probability(1.0, 0.0), 5e-6),
    Check("chance of control after 1 s", "control", "computed", 0.98643, lambda: control_probability(1.0), 5e-6),
    Check("two against three one after another, attackers' share", "equation of the race", "computed", race(),
          race_of_ours, 1e-4),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
