"""Directional oval of pressure. Formula read in the restatement of Forcher et al. 2026, appendix 1; the reach of 9 m
and 3 m is second-hand. Values are computed from the formula.
"""

import numpy as np
import pytest
from scipy.integrate import quad

from pressinglib.physics import oval_pressure, oval_reach
from tests.outside.check import Check, value_of

SOURCE = (
    "Andrienko et al. 2017, Visual analysis of pressure in football, Data Min Knowl Disc 31:1793-1839, "
    "10.1007/s10618-017-0513-2; formula as restated by Forcher et al. 2026, 10.1515/jqas-2025-0053"
)


def zone_area_m2():
    return quad(lambda angle: oval_reach(np.degrees(angle)) ** 2 / 2, 0, 2 * np.pi)[0]


CHECKS = [
    Check("reach in front, m", "parameters", "second-hand", 9.0, lambda: oval_reach(0.0)),
    Check("reach behind, m", "parameters", "second-hand", 3.0, lambda: oval_reach(180.0), 1e-12),
    Check("reach at 45 degrees, m", "formula of L", "computed", 7.051963, lambda: oval_reach(45.0), 5e-7),
    Check("reach at 90 degrees, m", "formula of L", "computed", 4.269231, lambda: oval_reach(90.0), 5e-7),
    Check("pressure 3 m in front, %", "formula of Pr", "computed", 49.1859, lambda: oval_pressure(3, 0), 5e-5),
    Check("pressure 2 m at the side, %", "formula of Pr", "computed", 33.0884, lambda: oval_pressure(2, 90), 5e-5),
    Check("pressure 2 m behind, %", "formula of Pr", "computed", 14.6230, lambda: oval_pressure(2, 180), 5e-5),
    Check("pressure 4.5 m in front, %", "formula of Pr", "computed", 29.7302, lambda: oval_pressure(4.5, 0), 5e-5),
    Check("area of the zone, m2", "formula of L", "computed", 96.8453, zone_area_m2, 5e-5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
