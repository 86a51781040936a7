"""Geometric lanes and cover shadow: reach 0.7 m, corridor 2 m, cone 0.2 m wide for each metre are published. Half-
angles asin(reach / distance) are computed; a reach of 1 m is common practice.
"""

import pytest

from pressinglib.physics import in_cone, in_corridor, shadow_half_angle
from pressinglib.physics.published import CONE_HALF_ANGLE_DEG
from tests.outside.check import Check, value_of

SOURCE = (
    "Cascioli, Wang, Stradiotti, Van Roy, Robberechts, Wouters, Jaspers, Davis 2025, Quantifying off-ball defensive "
    "impact through cover shadows, KU Leuven and RBFA"
)


def blocked(lane, defender):
    """A pass of 20 m along the pitch."""
    return lambda: lane((0, 0), [(20, 0)], [defender])[0, 0]


def half_angle(distance_m, reach_m, angle_deg, grade="computed"):
    return Check(f"half-angle of the shadow at {distance_m:g} m, reach {reach_m:g} m, degrees", "cover shadow", grade,
                 angle_deg, lambda: shadow_half_angle(distance_m, reach_m), 5e-5)


CHECKS = [
    half_angle(2.0, 0.7, 20.4873),
    half_angle(5.0, 0.7, 8.0478),
    half_angle(10.0, 0.7, 4.0140),
    half_angle(2.0, 1.0, 30.0, "common practice"),
    half_angle(5.0, 1.0, 11.5370, "common practice"),
    Check("half-angle of the cone, degrees", "cone", "computed", 5.7106, lambda: CONE_HALF_ANGLE_DEG, 5e-5),
    Check("corridor of 2 m blocked 0.99 m off", "corridor", "published", True, blocked(in_corridor, (10, 0.99))),
    Check("corridor of 2 m blocked 1.01 m off", "corridor", "published", False, blocked(in_corridor, (10, 1.01))),
    Check("cone blocked 0.49 m off after 5 m", "cone", "published", True, blocked(in_cone, (5, 0.49))),
    Check("cone blocked 0.51 m off after 5 m", "cone", "published", False, blocked(in_cone, (5, 0.51))),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
