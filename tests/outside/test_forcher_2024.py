"""The block: published means and deviations of professional teams out of possession, length 32.5 +- 8.7 m, width 37.3
+- 4.8 m over players, gaps between the middles of the lines 10.2 +- 3.8 m and 13.3 +- 4.2 m. Ours is the block of the
library, for balls all over the pitch; it has to lie within one deviation. Gaps only of shapes with three lines: which
of two midfield lines the figures mean, the part of the paper that we know does not say.
"""

import numpy as np
import pytest

from pressinglib.field.formations import KNOWN, formation_slots
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import LINE_OF_SLOT
from pressinglib.field.zonal_block import lined_up_xy
from tests.match.block import line_gaps
from tests.outside.check import Check, value_of

SOURCE = (
    "Forcher et al. 2024, Int J Sports Sci Coach, 10.1177/17479541231172695"
)

THREE_LINES = ["4-4-2", "5-3-2"]
BALLS = [(x, y) for x in range(-20, 50, 10) for y in (-20, 0, 20)]


def team(formation):
    """Outfield places (balls, 10, 2)."""
    return np.array([lined_up_xy(formation_slots(formation), ball, Pitch())[1:] for ball in BALLS], float)


def gap(formation, number):
    lines = [LINE_OF_SLOT[slot] for slot in formation_slots(formation)[1:]]
    lines = [sorted(set(lines)).index(line) for line in lines]
    return lambda: line_gaps(team(formation), lines)[:, number].mean()


CHECKS = [
    *(Check(f"length of the block, {f}, m", "mean and deviation", "published", 32.5,
            lambda f=f: np.ptp(team(f), axis=1)[:, 0].mean(), 8.7, band=True) for f in KNOWN),
    *(Check(f"width of the block, {f}, m", "mean and deviation", "published", 37.3,
            lambda f=f: np.ptp(team(f), axis=1)[:, 1].mean(), 4.8, band=True) for f in KNOWN),
    *(Check(f"gap from defence to midfield, {f}, m", "mean and deviation", "published", 10.2, gap(f, 0), 3.8,
            band=True)
      for f in THREE_LINES),
    *(Check(f"gap from midfield to forwards, {f}, m", "mean and deviation", "published", 13.3, gap(f, 1), 4.2,
            band=True)
      for f in THREE_LINES),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
