"""Influence of players. Exact values of the published formula: a player alone on his spot, and one against one."""

import numpy as np
import pytest

from pressinglib.physics import influence, influence_radius, influence_share
from tests.outside.check import Check, value_of

SOURCE = (
    "Fernandez and Bornn 2018, Wide open spaces, MIT Sloan Sports Analytics Conference"
)


def on_the_spot(*teams):
    """Both teams' players at rest on one spot."""
    hills = [influence(np.zeros((count, 2)), np.zeros((count, 2)), (5, 0), [(0, 0)]) for count in teams]
    return influence_share(*hills)[0]


CHECKS = [
    Check("a player alone on his spot, share", "logistic of the sum", "computed", 0.731059,
          lambda: on_the_spot(1, 0), 5e-7),
    Check("one against one on a spot, share", "logistic of the sum", "computed", 0.5, lambda: on_the_spot(1, 1), 1e-12),
    Check("radius beside the ball, m", "curve of the radius", "from memory", 4.0, lambda: influence_radius(0.0)),
    Check("radius far from the ball, m", "curve of the radius", "from memory", 10.0, lambda: influence_radius(30.0)),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
