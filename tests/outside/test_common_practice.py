"""What many use and no paper owns: react, then run; a switch of play."""

import pytest

from pressinglib.physics import lofted_time, react_then_run
from tests.outside.check import Check, value_of

SOURCE = (
    "Common practice in teaching and match analysis"
)

CHECKS = [
    Check("react, then run: 5 m from rest, s", "0.7 s and 5 m/s", "common practice", 1.7,
          lambda: react_then_run((0, 0), (0, 0), (5, 0)), 1e-12),
    Check("switch of 40 m: 2.1 to 3.1 s, the middle, s", "lofted ball", "common practice", 2.6,
          lambda: lofted_time(40.0), 0.5, band=True),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
