"""Braking: a deceleration of 6 m/s2 is published; the stopping ways v^2 / (2 b) are computed."""

import pytest

from pressinglib.physics import Running
from tests.outside.check import Check, value_of

SOURCE = (
    "Oliva-Lozano et al. 2020, PLoS ONE, 10.1371/journal.pone.0236959"
)

CHECKS = [
    Check("way to stop from 5 m/s, m", "decelerations", "computed", 2.0833, lambda: Running().braking_m(5.0), 5e-5),
    Check("way to stop from 7 m/s, m", "decelerations", "computed", 4.0833, lambda: Running().braking_m(7.0), 5e-5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
