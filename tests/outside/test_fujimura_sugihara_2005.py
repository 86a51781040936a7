"""Drive minus drag: Fujimura and Sugihara 2005, Systems and Computers in Japan 36(6):49-58, 10.1002/scj.20254.

Parameter pairs: (1.0 /s, 10.0 m/s) as used by Narizuka et al. 2026, arXiv 2606.09452 (second-hand); (1.3 /s, 7.8 m/s)
of the paper (from memory). The times are computed from the published law with these pairs.
"""

import numpy as np
import pytest

from pressinglib.physics import arrival_time, rest_arrival_time

FROM_REST = [
    # distance, pair (1.0, 10.0), pair (1.3, 7.8): computed from the law
    (5.0, 1.1983, 1.2609),
    (10.0, 1.8414, 1.9937),
    (20.0, 2.9475, 3.3231),
]

# Measured sprints, seconds at 10, 20, 30, 40 m: Haugen et al. 2019, PLoS ONE (second-hand).
SPLIT_M = np.array([10.0, 20.0, 30.0, 40.0])
SPLIT_S = np.array([2.01, 3.24, 4.39, 5.51])


@pytest.mark.parametrize(("distance_m", "light", "heavy"), FROM_REST)
def test_times_from_rest(distance_m, light, heavy):
    assert arrival_time((0, 0), (0, 0), (distance_m, 0), 1.0, 10.0) == pytest.approx(light, abs=6e-5)
    assert arrival_time((0, 0), (0, 0), (distance_m, 0), 1.3, 7.8) == pytest.approx(heavy, abs=6e-5)
    assert rest_arrival_time(distance_m, 1.0, 10.0) == pytest.approx(light, abs=6e-5)
    assert rest_arrival_time(distance_m, 1.3, 7.8) == pytest.approx(heavy, abs=6e-5)


def test_own_velocity_counts():
    """5 m/s toward and away from a place 10 m off, pair (1.0, 10.0): computed from the law."""
    assert arrival_time((0, 0), (5, 0), (10, 0), 1.0, 10.0) == pytest.approx(1.3734, abs=6e-5)
    assert arrival_time((0, 0), (-5, 0), (10, 0), 1.0, 10.0) == pytest.approx(2.3581, abs=6e-5)


def test_the_law_fits_measured_sprints():
    """A least-squares fit of drag and top speed lands within 0.02 s of all four measured splits."""
    from scipy.optimize import least_squares

    places = np.stack([SPLIT_M, np.zeros(4)], axis=-1)

    def late(law):
        return arrival_time((0, 0), (0, 0), places, law[0], law[1]) - SPLIT_S

    fit = least_squares(late, x0=(1.3, 7.8), bounds=((0.3, 4.0), (3.0, 15.0)))
    assert np.abs(fit.fun).max() < 0.02
    assert np.abs(late((1.3, 7.8))).max() > 0.1  # the fit has to earn it: the default pair is a slower player
