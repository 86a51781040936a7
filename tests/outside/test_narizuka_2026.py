"""Pressure as the least arrival time of any opponent, by drive minus drag with 1.0 /s and 10.0 m/s (second-hand). Times
are computed from the law.
"""

import pytest

from pressinglib.physics import Running, least_arrival
from tests.outside.check import Check, value_of

SOURCE = (
    "Narizuka et al. 2026, arXiv 2606.09452"
)

LAW = Running(1.0, 10.0)


def pressure(*players):
    """From pairs of place and velocity, on a carrier at the centre spot."""
    return least_arrival([xy for xy, _ in players], [velocity for _, velocity in players], (0, 0), LAW)


REST_5, REST_10, REST_20 = (((distance, 0), (0, 0)) for distance in (5, 10, 20))
CHECKS = [
    Check("one opponent, 5 m, at rest, s", "arrival time", "computed", 1.1983, lambda: pressure(REST_5), 5e-5),
    Check("one opponent, 10 m, at rest, s", "arrival time", "computed", 1.8414, lambda: pressure(REST_10), 5e-5),
    Check("one opponent, 20 m, at rest, s", "arrival time", "computed", 2.9475, lambda: pressure(REST_20), 5e-5),
    Check("10 m, 5 m/s toward, s", "arrival time", "computed", 1.3734, lambda: pressure(((10, 0), (-5, 0))), 5e-5),
    Check("10 m, 5 m/s away, s", "arrival time", "computed", 2.3581, lambda: pressure(((10, 0), (5, 0))), 5e-5),
    Check("the first of several counts, s", "definition", "published", 1.1983,
          lambda: pressure(REST_20, REST_5, REST_10), 5e-5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
