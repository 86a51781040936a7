"""Time to intercept and the chance made of it; a measure that is kept for comparison only. Formula and parameters are
published; values are computed from them.
"""

import pytest

from pressinglib.physics import chance_to_reach, joint_chance, time_to_reach
from tests.outside.check import Check, value_of

SOURCE = (
    "Bekkers 2024, Pressing intensity: an intuitive measure for pressing in soccer, arXiv 2501.04712"
)

REST, RUN = ((0, 0), (0, 0), (5, 0)), ((0, 0), (5, 0), (10, 0))
CHECKS = [
    Check("time from rest over 5 m, s", "time to intercept", "computed", 1.11667, lambda: time_to_reach(*REST), 5e-6),
    Check("chance from rest over 5 m", "logistic", "computed", 0.82420, lambda: chance_to_reach(*REST), 5e-6),
    Check("time at 5 m/s straight over 10 m, s", "time to intercept", "computed", 1.24167,
          lambda: time_to_reach(*RUN), 5e-6),
    Check("chance at 5 m/s straight over 10 m", "logistic", "computed", 0.73909, lambda: chance_to_reach(*RUN), 5e-6),
    Check("two chances of one half together", "total", "computed", 0.75, lambda: joint_chance([0.5, 0.5]), 1e-12),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
