"""Worked 4-4-2, own goal at x = 0 (own example): centroid, length and width by hand, the rest by scipy's convex hull
and pairwise distances. Moving the team by 8 m changes its centroid only.
"""

import numpy as np
import pytest
from scipy.spatial import ConvexHull
from scipy.spatial.distance import pdist

from pressinglib.roles.measures import shape_measures
from tests.outside.check import Check, value_of

SOURCE = (
    "Worked example of a 4-4-2; scipy.spatial"
)

BACKS, MIDFIELD = [(30, -15), (28, -5), (28, 5), (30, 15)], [(40, -16), (38, -5.5), (38, 5.5), (40, 16)]
TEAM = np.array([*BACKS, *MIDFIELD, (52, -4), (52, 4)])
OURS, MOVED = shape_measures(TEAM), shape_measures(TEAM + (8.0, 0.0))
CHECKS = [
    Check("centroid along the pitch, m", "by hand", "computed", 37.6, lambda: OURS.centroid_xy[0], 1e-12),
    Check("centroid across the pitch, m", "by hand", "computed", 0.0, lambda: OURS.centroid_xy[1], 1e-12),
    Check("length, m", "by hand", "computed", 24.0, lambda: OURS.length_m),
    Check("width, m", "by hand", "computed", 32.0, lambda: OURS.width_m),
    Check("hull, m2", "by hand", "computed", 590.0, lambda: OURS.hull_m2, 1e-9),
    Check("hull of scipy, m2", "ConvexHull", "computed", float(ConvexHull(TEAM).volume), lambda: OURS.hull_m2, 1e-9),
    Check("mean distance to the centroid, m", "by hand", "computed", 12.8557, lambda: OURS.stretch_m, 5e-5),
    Check("mean distance of all pairs, m", "by hand", "computed", 18.8763, lambda: OURS.spacing_m, 5e-5),
    Check("mean distance of all pairs by scipy, m", "pdist", "computed", float(pdist(TEAM).mean()),
          lambda: OURS.spacing_m, 1e-9),
    Check("moved by 8 m: centroid, m", "by hand", "computed", 45.6, lambda: MOVED.centroid_xy[0], 1e-12),
    Check("moved by 8 m: hull, m2", "by hand", "computed", 590.0, lambda: MOVED.hull_m2, 1e-9),
    Check("moved by 8 m: mean distance to the centroid, m", "by hand", "computed", 12.8557,
          lambda: MOVED.stretch_m, 5e-5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
