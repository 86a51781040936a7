"""Rolling ball: constant deceleration of 0.7 to 1.5 m/s2 from the FIFA ball-roll test, 4 to 8 m (second-hand).

The time is computed for 12 m/s and 1 m/s2 in the middle of that range.
"""

import pytest

from pressinglib.physics import rolling_time


def test_twenty_metres():
    assert rolling_time(20.0, 12.0, 1.0) == pytest.approx(1.8020, abs=6e-5)
