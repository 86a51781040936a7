"""The lines of the pitch by Law 1, as marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from math import acos, cos, pi, sin
from typing import Any

from shapely import LineString

from pressinglib.errors import PressingError
from pressinglib.field.annotation import CORNERS, OwnMark
from pressinglib.field.pitch import (
    CIRCLE_M,
    CORNER_ARC_M,
    GOAL_AREA_M,
    GOAL_WIDTH_M,
    PENALTY_AREA_M,
    PENALTY_MARK_M,
    Pitch,
)

# -- Marks: what a picture is made of. Places in metres, names of styles instead of colours; no mark knows a view.


XY = tuple[float, float]
Points = tuple[XY, ...]


def as_points(values: Iterable[Any]) -> Points:
    """Rows of two numbers as plain tuples.

    Examples
    --------
    >>> as_points([[1, 2], (3, 4)])
    ((1.0, 2.0), (3.0, 4.0))
    >>> as_points([])
    ()
    """
    return tuple((float(x), float(y)) for x, y in values)


def _written(xy: XY) -> str:
    # + 0.0 turns -0.0 into 0.0: a sign that nobody sees must not change a picture's text.
    return "{:.1f},{:.1f}".format(*(round(v, 1) + 0.0 for v in xy))


@dataclass(frozen=True)
class Mark:
    """One thing to draw: the layer it belongs to and the name of its style."""

    layer: str
    style: str

    def text(self) -> str:
        """One line of stable text, places to 0.1 m."""
        return " ".join([f"{self.layer}: {type(self).__name__.lower()} {self.style}", *self._said(), *self._places()])

    def _said(self) -> list[str]:
        return []

    def _places(self) -> list[str]:
        return []


@dataclass(frozen=True)
class Line(Mark):
    """A line through `points`."""

    points: Points

    def _places(self) -> list[str]:
        return [_written(xy) for xy in self.points]


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

    def _places(self) -> list[str]:
        return [_written(self.xy)]


@dataclass(frozen=True)
class Label(Spot):
    """A few words, centred on `xy`."""

    words: str

    def _said(self) -> list[str]:
        return [repr(self.words)]


@dataclass(frozen=True)
class Token(Label):
    """A player, or the ball: style "pressing", "possession" or "ball"; `words` is what stands on the shirt."""

    number: str = ""


# -- What a hand has drawn, made into an arrow, a zone, a note or a ruler.


SMOOTH_M = 0.4  # a hand trembles less than that
LEAST_M = 0.5


def freehand(kind: str, trail: Sequence[XY], words: str = "") -> OwnMark:
    """The mark that a trail means.

    Parameters
    ----------
    kind : "arrow", "zone", "note" or "ruler"
    trail : sequence of (x, y)
        Metres, as the hand went: an arrow follows it, a ruler joins its ends, a note stands where it began. A zone is
        what a closed trail goes round, or the rectangle between the ends of one that hardly bends.
    words : str

    Raises
    ------
    PressingError
        If there is too little of it.

    Examples
    --------
    >>> freehand("arrow", [(0, 0), (5, 0.1), (10, 0)]).points, freehand("zone", [(0, 0), (10, 5)]).points
    (((0.0, 0.0), (10.0, 0.0)), ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0)))
    >>> freehand("ruler", [(0, 0), (0, 0)])
    Traceback (most recent call last):
    pressinglib.errors.PressingError: Too short for a ruler: drag from one end to the other.
    """
    points = as_points(trail)
    if kind == "note":
        return _note(points, words)
    if len(points) < 2 or LineString(points).length < LEAST_M:
        raise PressingError(f"Too short for {'an' if kind == 'arrow' else 'a'} {kind}: drag from one end to the other.")
    if kind == "ruler":
        return OwnMark(kind, (points[0], points[-1]), words)
    way = _calm(points, CORNERS[kind][1])
    return OwnMark(kind, way if kind == "arrow" else _corners(way), words)


def _note(points: Sequence[XY], words: str) -> OwnMark:
    if not words.strip():
        raise PressingError("Write the words of the note first, then click where it shall stand.")
    return OwnMark("note", (points[0],), words)


def _calm(points: Sequence[XY], most: int) -> tuple[XY, ...]:
    """Fewer points, without the trembling."""
    smooth_m = SMOOTH_M
    while len(way := as_points(LineString(points).simplify(smooth_m).coords)) > most:
        smooth_m *= 1.5
    return way


def _corners(way: tuple[XY, ...]) -> tuple[XY, ...]:
    if len(way) > 2:
        return way
    (x0, y0), (x1, y1) = way
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


# -- The lines of the pitch by Law 1, as marks.


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
    right = [*_end(half_x, size), *_corner_arcs(half_x, half_y, size)]
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


def _corner_arcs(half_x: float, half_y: float, size: float) -> list[Points]:
    radius = CORNER_ARC_M * size
    return [arc((half_x, half_y), radius, pi, 1.5 * pi, 8), arc((half_x, -half_y), radius, 0.5 * pi, pi, 8)]


def _box(left: float, low: float, right: float, high: float) -> Points:
    return ((left, low), (right, low), (right, high), (left, high), (left, low))


def _turned(points: Points) -> Points:
    """Half a turn about the centre spot: the other end of the pitch."""
    return tuple((-x, -y) for x, y in points)
