"""Pressure by zones around the carrier. The borders of the zones and the constant k3 are not settled in what we know of
the paper: only the order of pressures is checked, no value.
"""

import pytest

from pressinglib.physics import zone_pressure
from tests.outside.check import Check, value_of

SOURCE = (
    "Link, Lang, Seidenschwarz 2016, Real time quantification of dangerousity in football using spatiotemporal "
    "tracking data, PLoS ONE 11(12):e0168768"
)

ONE, TWO, NEARER = zone_pressure([2.0], [0.0]), zone_pressure([2.0, 2.5], [0.0, 90.0]), zone_pressure([1.0], [0.0])
CHECKS = [
    Check("two press more than one", "zones", "published", True, lambda: TWO > ONE),
    Check("nearer presses more", "zones", "published", True, lambda: NEARER > ONE),
    Check("in front presses more than behind", "zones", "published", True, lambda: ONE > zone_pressure([2.0], [180.0])),
    Check("the order of defenders means nothing", "zones", "published", True,
          lambda: abs(TWO - zone_pressure([2.5, 2.0], [90.0, 0.0])) < 1e-12),
    Check("eleven on the ball stay below 1", "zones", "published", True,
          lambda: zone_pressure([0.1] * 11, [0.0] * 11) <= 1),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
