"""Marks: what a picture is made of; places in metres, names of styles instead of colours. No mark knows a view.

The pitch's own lines (Law 1) stand here too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache
from math import acos, cos, pi, sin
from typing import Any

import numpy as np
from shapely import LineString
from shapely.ops import substring

from pressinglib.field import pitch as law

XY = tuple[float, float]
Points = tuple[XY, ...]


def as_points(values: Iterable[Any]) -> Points:
    """Rows of two numbers as plain tuples."""
    return tuple((float(x), float(y)) for x, y in values)


@dataclass(frozen=True)
class Mark:
    """One thing to draw: the layer it belongs to and the name of its style."""

    layer: str
    style: str

    @property
    def places(self) -> Points:
        """Where it is: a line's points, or the one place of a spot."""
        return self.points if isinstance(self, Line) else (self.xy,) if isinstance(self, Spot) else ()

    def at(self, place: Callable[[XY], XY]) -> Mark:
        """The same, its places put elsewhere."""
        points = tuple(map(place, self.places))
        return replace(self, **{"points": points} if isinstance(self, Line) else {"xy": points[0]})


@dataclass(frozen=True)
class Line(Mark):
    """A line through `points`; one that has none is not drawn."""

    points: Points


@dataclass(frozen=True)
class Arrow(Line):
    """A line with a head at its last point."""


@dataclass(frozen=True)
class Area(Line):
    """A filled shape with these corners."""


@dataclass(frozen=True)
class Spot(Mark):
    """A place to stand, in the outline form of a role (the style)."""

    xy: XY


@dataclass(frozen=True)
class Label(Spot):
    """A few words, centred on `xy`."""

    words: str


@dataclass(frozen=True)
class Token(Label):
    """A player, or the ball: style "pressing", "possession" or "ball"; `words` is what stands on the shirt."""

    number: str = ""


# -- Lines and shapes.

ARC_STEPS, SECTOR_STEPS = 48, 11
WAVE_M, WAVES_M = 0.5, 2.4  # how far a dribble swings to either side, and how long a wave is
SHORTEST_M = 0.9  # an arrow shorter than this is only a head: left out


def length_of(points: Points) -> float:
    """Length of a line, metres."""
    return float(LineString(points).length)


def place_along(points: Points, metres: float) -> XY:
    """The place so far along a line; its last point beyond the end."""
    x, y = LineString(points).interpolate(metres).coords[0]
    return x, y


def trimmed(points: Points, start_m: float, end_m: float) -> Points:
    """A line without its first and last metres; empty if next to nothing is left."""
    if len(points) < 2:
        return ()
    line = LineString(points)
    if line.length < start_m + end_m + SHORTEST_M:
        return ()
    return as_points(substring(line, start_m, line.length - end_m).simplify(0.04).coords)


def waves(points: Points) -> Points:
    """A way that swings to both sides and ends straight: nobody takes a dribble for a run."""
    line = LineString(points)
    along_m = np.linspace(0.0, line.length, max(int(line.length * 5), 2))
    at = np.array([line.interpolate(metres).coords[0] for metres in along_m])
    way = np.gradient(at, axis=0)
    aside = way[:, ::-1] * (-1.0, 1.0) / np.maximum(np.linalg.norm(way, axis=1), 1e-9)[:, None]
    swing = WAVE_M * np.sin(2 * pi * along_m / WAVES_M) * (along_m < line.length - min(2.0, line.length / 4))
    return as_points(at + swing[:, None] * aside)


def arc(centre: XY, radius_m: float, start: float = -pi, end: float = pi, steps: int = ARC_STEPS) -> Points:
    """Points of an arc from `start` to `end`, radians from +x towards +y."""
    angles = (start + (end - start) * i / steps for i in range(steps + 1))
    return tuple((centre[0] + radius_m * cos(a), centre[1] + radius_m * sin(a)) for a in angles)


def sector(centre: XY, near_m: float, far_m: float, middle: float, half: float) -> Points:
    """Corners of a part of a ring, `half` radians to either side of its middle."""
    near, far = (arc(centre, metres, middle - half, middle + half, SECTOR_STEPS) for metres in (near_m, far_m))
    return (*near, *reversed(far))


# -- The lines of the pitch by Law 1.

GOAL_DEPTH_M = 2.0  # Law 1 gives no depth (own choice)
LAW_WIDTH_M = 68.0


@cache
def markings(pitch: law.Pitch) -> tuple[Mark, ...]:
    """Ground, lines, areas, arcs, marks and goals.

    On a smaller pitch than Law 1 allows, the areas shrink with its width (own choice, grade D: federations differ).
    """
    size = 1.0 if pitch.by_law else min(1.0, pitch.width_m / LAW_WIDTH_M)
    half_x, half_y = pitch.corner_xy
    goal, circle, corner = (size * m for m in (law.GOAL_WIDTH_M / 2, law.CIRCLE_M, law.CORNER_ARC_M))
    opening = acos((law.PENALTY_AREA_M - law.PENALTY_MARK_M) / law.CIRCLE_M)
    spot = (half_x - law.PENALTY_MARK_M * size, 0.0)
    right = [*(_box(half_x - deep, -goal - deep, half_x, goal + deep)
               for deep in (law.PENALTY_AREA_M * size, law.GOAL_AREA_M * size)),
             arc(spot, circle, pi - opening, pi + opening), arc(spot, 0.15, steps=12),
             ((half_x, -goal), (half_x + GOAL_DEPTH_M, -goal), (half_x + GOAL_DEPTH_M, goal), (half_x, goal)),
             arc((half_x, half_y), corner, pi, 1.5 * pi, 8), arc((half_x, -half_y), corner, 0.5 * pi, pi, 8)]
    left = [tuple((-x, -y) for x, y in points) for points in right]  # half a turn about the centre spot
    lines = [_box(-half_x, -half_y, half_x, half_y), ((0.0, -half_y), (0.0, half_y)), arc((0.0, 0.0), circle),
             arc((0.0, 0.0), 0.15, steps=12), *right, *left]
    ground = Area("pitch", "ground", _box(-half_x, -half_y, half_x, half_y)[:-1])
    return (ground, *(Line("pitch", "marking", points) for points in lines))


def _box(left: float, low: float, right: float, high: float) -> Points:
    return ((left, low), (right, low), (right, high), (left, high), (left, low))
