"""Braking: deceleration b of 6 m/s2, Oliva-Lozano et al. 2020, 10.1371/journal.pone.0236959 (published).

The stopping ways v^2 / (2 b) are computed.
"""

import pytest

from pressinglib.physics import braking_distance


@pytest.mark.parametrize(("speed_mps", "way_m"), [(5.0, 2.0833), (7.0, 4.0833)])
def test_stopping_ways(speed_mps, way_m):
    assert braking_distance(speed_mps) == pytest.approx(way_m, abs=6e-5)
