"""The field of play. Widths of the areas and the angle at the penalty mark are computed from the law's distances. Youth
sizes: The FA and US Soccer, in yards (second-hand).
"""

import numpy as np
import pytest

from pressinglib.errors import BadInput
from pressinglib.field import pitch as law
from pressinglib.field.pitch import Pitch, corridor
from pressinglib.show.marks import markings
from tests.outside.check import Check, refused, value_of

SOURCE = (
    "IFAB, Laws of the Game, Law 1; youth formats of The FA and US Soccer"
)

YOUTH = [("7v7", 60, 40), ("9v9", 80, 50), ("11v11 U13-14", 90, 55), ("9v9 US", 75, 50)]


def drawn_off_the_area():
    """Points (n, 2) of the markings on the lines of the penalty areas, their corners aside: the ends of the arcs."""
    points = np.concatenate([mark.points for mark in markings(Pitch()) if mark.style == "marking"])
    on_line = np.abs(np.abs(points[:, 0]) - (52.5 - law.PENALTY_AREA_M)) < 1e-9
    return points[on_line & (np.abs(points[:, 1]) < 15.0)]


def size(length_m, width_m, answer):
    return Check(f"pitch of {length_m:g} x {width_m:g} m", "dimensions", "law", answer,
                 lambda: refused(lambda: Pitch(length_m, width_m), BadInput))


CHECKS = [
    *(size(*sides, "accepted") for sides in [(90, 45), (120, 90), (100, 64), (110, 75), (105, 68)]),
    *(size(*sides, "refused") for sides in [(89.9, 45), (120.1, 90), (90, 44.9), (120, 90.1), (90, 90), (68, 105)]),
    Check("penalty area, m", "markings", "law", 16.5, lambda: law.PENALTY_AREA_M),
    Check("goal area, m", "markings", "law", 5.5, lambda: law.GOAL_AREA_M),
    Check("penalty mark, m", "markings", "law", 11.0, lambda: law.PENALTY_MARK_M),
    Check("centre circle and arc, m", "markings", "law", 9.15, lambda: law.CIRCLE_M),
    Check("goal, m", "markings", "law", 7.32, lambda: law.GOAL_WIDTH_M),
    Check("corner arc, m", "markings", "law", 1.0, lambda: law.CORNER_ARC_M),
    Check("inside the penalty area's width of 40.32 m, y 20.15", "markings", "computed", 3,
          lambda: corridor(Pitch(), 20.15)),
    Check("outside it, y 20.17", "markings", "computed", 4, lambda: corridor(Pitch(), 20.17)),
    Check("inside the goal area's width of 18.32 m, y -9.15", "markings", "computed", 2,
          lambda: corridor(Pitch(), -9.15)),
    Check("outside it, y -9.17", "markings", "computed", 1, lambda: corridor(Pitch(), -9.17)),
    Check("drawn arcs meet the line of their area, m off the middle", "markings", "computed", 7.3125,
          lambda: np.abs(drawn_off_the_area()[:, 1]).max(), 5e-5),
    Check("how often they do", "markings", "computed", 4, lambda: len(drawn_off_the_area())),
    *(Check(f"length of {kind}, {long} yards, m", "youth formats", "second-hand", 0.9144 * long,
            lambda kind=kind: Pitch.youth(kind).length_m, 5e-4) for kind, long, _ in YOUTH),
    *(Check(f"width of {kind}, {wide} yards, m", "youth formats", "second-hand", 0.9144 * wide,
            lambda kind=kind: Pitch.youth(kind).width_m, 5e-4) for kind, _, wide in YOUTH),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
