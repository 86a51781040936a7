"""The block: Forcher et al. 2024, 10.1177/17479541231172695 (published means and deviations of professional teams out
of possession): length 32.5 +- 8.7 m, width 37.3 +- 4.8 m over players, gaps between the middles of the lines
10.2 +- 3.8 m and 13.3 +- 4.2 m.
"""

import numpy as np
import pytest

from pressinglib.field.block import lined_up_xy
from pressinglib.field.formations import KNOWN, formation_slots
from pressinglib.field.pitch import Pitch
from pressinglib.field.slots import LINE_OF_SLOT

THREE_LINES = ["4-4-2", "5-3-2"]


def team(formation):
    """Outfield places (balls, 10, 2) and lines (10,) for balls along the pitch."""
    slots = formation_slots(formation)
    balls = [(x, y) for x in range(-20, 50, 10) for y in (-20, 0, 20)]
    places = np.array([lined_up_xy(slots, ball, Pitch())[1:] for ball in balls], float)
    return places, np.array([LINE_OF_SLOT[s] for s in slots[1:]])


@pytest.mark.parametrize(("axis", "mean_m", "deviation_m"), [(0, 32.5, 8.7), (1, 37.3, 4.8)])
@pytest.mark.parametrize("formation", KNOWN)
def test_length_and_width(formation, axis, mean_m, deviation_m):
    places, _ = team(formation)
    extent = np.ptp(places[..., axis], axis=1)
    assert abs(extent.mean() - mean_m) < deviation_m


@pytest.mark.parametrize("formation", THREE_LINES)
def test_gaps_between_three_lines(formation):
    """Only where there are three lines: which of two midfield lines the figures mean, the part we know does not say."""
    places, lines = team(formation)
    middles = [places[:, lines == line, 0].mean() for line in np.unique(lines)]
    for gap, (mean_m, deviation_m) in zip(np.diff(middles), ((10.2, 3.8), (13.3, 4.2)), strict=True):
        assert abs(gap - mean_m) < deviation_m
