"""Drive minus drag with the pair of the paper, 1.3 /s and 7.8 m/s (from memory). Times are computed from the law; the
distance run is checked against scipy's integrator of its equation of motion.
"""

import pytest
from scipy.integrate import solve_ivp

from pressinglib.physics import Running
from tests.outside.check import Check, value_of

SOURCE = (
    "Fujimura and Sugihara 2005, Geometric analysis and quantitative evaluation of sport teamwork, Systems and "
    "Computers in Japan 36(6):49-58, 10.1002/scj.20254"
)


def from_rest(distance_m):
    return lambda: Running().time((0, 0), (0, 0), (distance_m, 0))


def run_m(time_s, speed_mps):
    """Integrated: dv/dt = 1.3 (7.8 - v), straight on."""
    run = solve_ivp(lambda _, s: [s[1], 1.3 * (7.8 - s[1])], (0, time_s), [0.0, speed_mps], rtol=1e-10, atol=1e-10)
    return float(run.y[0, -1])


CHECKS = [
    Check("5 m from rest, s", "arrival time", "computed", 1.2609, from_rest(5), 5e-5),
    Check("10 m from rest, s", "arrival time", "computed", 1.9937, from_rest(10), 5e-5),
    Check("20 m from rest, s", "arrival time", "computed", 3.3231, from_rest(20), 5e-5),
    Check("10 m from rest, from the table, s", "arrival time", "computed", 1.9937,
          lambda: Running().rest_time(10), 5e-5),
    Check("run in 2 s from rest, m", "equation of motion", "computed", run_m(2.0, 0.0),
          lambda: Running().reached_xy((0, 0), (0, 0), (60, 0), 2.0)[0], 1e-6),
    Check("run in 1 s from 4 m/s, m", "equation of motion", "computed", run_m(1.0, 4.0),
          lambda: Running().reached_xy((0, 0), (4, 0), (60, 0), 1.0)[0], 1e-6),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
