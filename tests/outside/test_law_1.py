"""The field of play: IFAB, Laws of the Game, Law 1 (law). Youth sizes: The FA and US Soccer, in yards (second-hand).

Widths of the areas and the angle at the penalty mark are computed from the law's distances.
"""

import numpy as np
import pytest

from pressinglib.errors import BadInput
from pressinglib.field import pitch as law
from pressinglib.field.pitch import Pitch, corridor, goal_angle_deg, goal_distance_m


@pytest.mark.parametrize("size", [(90, 45), (120, 90), (100, 64), (110, 75), (105, 68)])
def test_sizes_inside_the_law(size):
    assert (Pitch(*size).length_m, Pitch(*size).width_m) == size


@pytest.mark.parametrize("size", [(89.9, 45), (120.1, 90), (90, 44.9), (120, 90.1), (90, 90), (68, 105)])
def test_sizes_outside_the_law(size):
    with pytest.raises(BadInput, match="Law 1"):
        Pitch(*size)


@pytest.mark.parametrize(("ours", "metres"), [
    (law.PENALTY_AREA_M, 16.5), (law.GOAL_AREA_M, 5.5), (law.PENALTY_MARK_M, 11.0), (law.CIRCLE_M, 9.15),
    (law.GOAL_WIDTH_M, 7.32), (law.CORNER_ARC_M, 1.0),
])
def test_markings(ours, metres):
    assert ours == metres


def test_areas_are_as_wide_as_the_law_makes_them():
    """Penalty area 40.32 m, goal area 18.32 m: the corridors end at their sides."""
    y = np.array([20.17, 20.15, 9.17, 9.15])
    assert corridor(Pitch(), y).tolist() == [4, 3, 3, 2]
    assert corridor(Pitch(), -y).tolist() == [0, 1, 1, 2]


def test_penalty_mark():
    mark = (law.PENALTY_MARK_M - 52.5, 0.0)
    assert goal_distance_m(Pitch(), mark) == pytest.approx(11.0)
    assert goal_angle_deg(Pitch(), mark) == pytest.approx(2 * np.degrees(np.arctan(3.66 / 11)))


@pytest.mark.parametrize(("kind", "yards"), [
    ("7v7", (60, 40)), ("9v9", (80, 50)), ("11v11 U13-14", (90, 55)), ("9v9 US", (75, 50)),
])
def test_youth_formats(kind, yards):
    youth = Pitch.youth(kind)
    assert (youth.length_m, youth.width_m) == pytest.approx([0.9144 * size for size in yards], abs=5e-4)
