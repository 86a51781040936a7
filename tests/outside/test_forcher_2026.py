"""Coverage of a passing lane and the index made of it. Formulas are published; values are computed from them."""

import pytest

from pressinglib.physics import lane_coverage, oval_pressure, pass_coverage, reception_index
from tests.outside.check import Check, value_of

SOURCE = (
    "Forcher et al. 2026, J Quant Anal Sports, 10.1515/jqas-2025-0053"
)

CHECKS = [
    Check("coverage 10 m along, 1 m off, %", "formula of CPL", "computed", 67.6718, lambda: pass_coverage(10, 1), 5e-5),
    Check("coverage 10 m along, 2.5 m off, %", "formula of CPL", "computed", 29.7302,
          lambda: pass_coverage(10, 2.5), 5e-5),
    Check("coverage 10 m along, 5 m off, %", "formula of CPL", "computed", 0.0, lambda: pass_coverage(10, 5)),
    Check("the same of a lane on the pitch, %", "formula of CPL", "computed", 67.6718,
          lambda: lane_coverage((0, 0), [(0, 20)], [(1, 10)])[0, 0], 5e-5),
    Check("a defender behind the passer, %", "own limit to the segment", "computed", 0.0,
          lambda: lane_coverage((0, 0), [(20, 0)], [(-10, 1)])[0, 0]),
    Check("index of a receiver, pressure 49.19, coverage 67.67, %", "formula of xPR", "computed", 41.5712,
          lambda: reception_index(oval_pressure(3, 0), pass_coverage(10, 1)), 5e-5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
