"""A ball in a vacuum: T = 2 v sin / g, range v^2 sin(2 angle) / g, apex (v sin)^2 / (2 g); computed for 25 m/s at 30
degrees and g 9.8 m/s2.
"""

import numpy as np
import pytest

from pressinglib.physics import ball_time, loft
from tests.outside.check import Check, value_of

SOURCE = (
    "School mechanics: throw in a vacuum, even motion"
)

CHECKS = [
    Check("time in the air, s", "2 v sin / g", "computed", 25.0 / 9.8, lambda: loft(25.0, 30.0, 0.0)[0], 1e-8),
    Check("range, m", "v^2 sin 2a / g", "computed", float(625.0 * np.sin(np.radians(60.0)) / 9.8),
          lambda: loft(25.0, 30.0, 0.0)[1], 1e-7),
    Check("apex, m", "(v sin)^2 / 2g", "computed", 12.5**2 / 19.6, lambda: loft(25.0, 30.0, 0.0)[2], 1e-7),
    Check("rolling without drag, 20 m at 15 m/s, s", "d / v", "computed", 20.0 / 15.0,
          lambda: ball_time(20, 15, 0.0), 1e-12),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
