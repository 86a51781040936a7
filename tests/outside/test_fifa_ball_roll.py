"""Rolling ball: a constant deceleration of 0.7 to 1.5 m/s2 follows from the ball-roll test of 4 to 8 m (second-hand).
The time is computed for 12 m/s and 1 m/s2, in the middle of that range.
"""

import pytest

from pressinglib.physics import rolling_time
from tests.outside.check import Check, value_of

SOURCE = (
    "FIFA Quality Programme for Football Turf, ball-roll test, 4 to 8 m"
)

CHECKS = [
    Check("20 m at 12 m/s, deceleration 1 m/s2, s", "ball roll", "computed", 1.8020,
          lambda: rolling_time(20, 12, 1.0), 5e-5),
    Check("stops short of 100 m", "ball roll", "computed", float("inf"), lambda: rolling_time(100, 12, 1.0)),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
