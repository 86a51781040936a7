"""Oval of pressure by distance to goal: front 0.02 G + 6.9, back a third of it, G halved in the penalty area. Read in
the restatement of Forcher et al. 2026, appendix 1; that G is halved, not the zone, is our reading.
"""

import pytest

from pressinglib.physics import goal_oval, oval_reach
from tests.outside.check import Check, value_of

SOURCE = (
    "Herold et al. 2022, Off-ball behavior in association football, J Sports Sci 40(12), "
    "10.1080/02640414.2022.2081405; formula as restated by Forcher et al. 2026, 10.1515/jqas-2025-0053"
)

CHECKS = [
    Check("front, goal 52.5 m away, m", "formula of D", "computed", 7.95, lambda: goal_oval(52.5)[0], 1e-12),
    Check("at the side, goal 52.5 m away, m", "formula of D", "computed", 3.7712,
          lambda: oval_reach(90.0, *goal_oval(52.5)), 5e-5),
    Check("front, goal 105 m away: that of Andrienko et al., m", "formula of D", "computed", 9.0,
          lambda: goal_oval(105.0)[0], 1e-12),
    Check("back, goal 105 m away: that of Andrienko et al., m", "formula of D", "computed", 3.0,
          lambda: goal_oval(105.0)[1], 1e-12),
    Check("front, 10 m from goal in the area, m", "formula of D", "computed", 7.0,
          lambda: goal_oval(10.0, in_box=True)[0], 1e-12),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
