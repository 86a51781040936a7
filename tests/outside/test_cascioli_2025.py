"""Cover shadow: reach 0.7 m from Cascioli, Wang, Stradiotti, Van Roy, Robberechts, Wouters, Jaspers, Davis 2025,
Quantifying Off-Ball Defensive Impact through Cover Shadows, KU Leuven and RBFA (published).

The half-angles asin(reach / distance) are computed; reach 1 m is common practice.
"""

import pytest

from pressinglib.physics import shadow_half_angle


@pytest.mark.parametrize(
    ("distance_m", "reach_m", "angle_deg"),
    [(2.0, 0.7, 20.4873), (5.0, 0.7, 8.0478), (10.0, 0.7, 4.0140), (2.0, 1.0, 30.0), (5.0, 1.0, 11.5370)],
)
def test_half_angle(distance_m, reach_m, angle_deg):
    assert shadow_half_angle(distance_m, reach_m) == pytest.approx(angle_deg, abs=6e-5)
