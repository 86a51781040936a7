"""The lines of the pitch by Law 1, as marks."""

from __future__ import annotations

from functools import cache
from math import acos, cos, pi, sin

from pressinglib.field.pitch import (
    CIRCLE_M,
    CORNER_ARC_M,
    GOAL_AREA_M,
    GOAL_WIDTH_M,
    PENALTY_AREA_M,
    PENALTY_MARK_M,
    Pitch,
)
from pressinglib.show.marks import XY, Area, Line, Mark, Points

GOAL_DEPTH_M = 2.0  # Law 1 gives no depth (own choice)
ARC_STEPS = 48
LAW_WIDTH_M = 68.0


@cache
def markings(pitch: Pitch) -> tuple[Mark, ...]:
    """Ground, lines, areas, arcs, marks and goals.

    On a smaller pitch than Law 1 allows, the areas shrink with its width (own choice, grade D: federations differ).

    Examples
    --------
    >>> marks = markings(Pitch())
    >>> marks[0].text()
    'pitch: area ground -52.5,-34.0 52.5,-34.0 52.5,34.0 -52.5,34.0'
    >>> len(markings(Pitch.youth("7v7"))) == len(marks)
    True
    """
    size = 1.0 if pitch.by_law else min(1.0, pitch.width_m / LAW_WIDTH_M)
    half_x, half_y = pitch.corner_xy
    right = [*_end(half_x, size), *_corners(half_x, half_y, size)]
    lines = [_box(-half_x, -half_y, half_x, half_y), ((0.0, -half_y), (0.0, half_y)), arc((0.0, 0.0), CIRCLE_M * size),
             arc((0.0, 0.0), 0.15, steps=12), *right, *(_turned(points) for points in right)]
    ground = Area("pitch", "ground", _box(-half_x, -half_y, half_x, half_y)[:-1])
    return (ground, *(Line("pitch", "marking", points) for points in lines))


def arc(centre: XY, radius_m: float, start: float = -pi, end: float = pi, steps: int = ARC_STEPS) -> Points:
    """Points of an arc from `start` to `end`, radians from +x towards +y.

    Examples
    --------
    >>> [(round(x, 1), round(y, 1)) for x, y in arc((1, 0), 2, 0, pi / 2, steps=1)]
    [(3.0, 0.0), (1.0, 2.0)]
    """
    angles = (start + (end - start) * i / steps for i in range(steps + 1))
    return tuple((centre[0] + radius_m * cos(a), centre[1] + radius_m * sin(a)) for a in angles)


def _end(half_x: float, size: float) -> list[Points]:
    """Areas, mark, arc and goal at the end x = +half_x."""
    goal = GOAL_WIDTH_M / 2 * size
    mark = half_x - PENALTY_MARK_M * size
    boxes = [_box(half_x - m * size, -goal - m * size, half_x, goal + m * size) for m in (PENALTY_AREA_M, GOAL_AREA_M)]
    opening = acos((PENALTY_AREA_M - PENALTY_MARK_M) / CIRCLE_M)
    bow = arc((mark, 0.0), CIRCLE_M * size, pi - opening, pi + opening)
    net = ((half_x, -goal), (half_x + GOAL_DEPTH_M, -goal), (half_x + GOAL_DEPTH_M, goal), (half_x, goal))
    return [*boxes, bow, arc((mark, 0.0), 0.15, steps=12), net]


def _corners(half_x: float, half_y: float, size: float) -> list[Points]:
    radius = CORNER_ARC_M * size
    return [arc((half_x, half_y), radius, pi, 1.5 * pi, 8), arc((half_x, -half_y), radius, 0.5 * pi, pi, 8)]


def _box(left: float, low: float, right: float, high: float) -> Points:
    return ((left, low), (right, low), (right, high), (left, high), (left, low))


def _turned(points: Points) -> Points:
    """Half a turn about the centre spot: the other end of the pitch."""
    return tuple((-x, -y) for x, y in points)
