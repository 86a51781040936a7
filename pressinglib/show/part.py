"""A part of the pitch: which one, and the marks that are in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from shapely import LineString, MultiLineString, MultiPolygon, Polygon, box

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import as_number
from pressinglib.show.marks import Area, Arrow, Line, Mark, Points, Spot, as_points

Box = tuple[float, float, float, float]  # x from, x to, y from, y to
Part = str | Box
PARTS = ("whole", "attacking half", "own half")
LEAST_M = 15.0
OVER_HALFWAY_M = 8.0  # a half shows a little of the other


def part_box(pitch: Pitch, part: Part, margin_m: float) -> Box:
    """The box of a part, with its margin where it touches the lines.

    Parameters
    ----------
    pitch : Pitch
    part : str or (x from, x to, y from, y to)
        "whole", "attacking half", "own half", or a box in metres, at least 15 m long and wide.
    margin_m : float

    Raises
    ------
    BadInput

    Examples
    --------
    >>> part_box(Pitch(), "attacking half", 3.0), part_box(Pitch(), (0, 40, -90, 90), 3.0)
    ((-8.0, 55.5, -37.0, 37.0), (0.0, 40.0, -37.0, 37.0))
    >>> part_box(Pitch(), "left half", 3.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: part of the pitch: expected one of whole, attacking half, own half or ...
    """
    half_x, half_y = (half + margin_m for half in pitch.corner_xy)
    named: dict[str, Box] = {"whole": (-half_x, half_x, -half_y, half_y),
                             "attacking half": (-OVER_HALFWAY_M, half_x, -half_y, half_y),
                             "own half": (-half_x, OVER_HALFWAY_M, -half_y, half_y)}
    if isinstance(part, str):
        if part not in named:
            raise BadInput("part of the pitch", expected=f"one of {', '.join(PARTS)} or four numbers", got=repr(part),
                           todo="check the spelling")
        return named[part]
    if len(tuple(part)) != 4:
        raise BadInput("part of the pitch", expected="x from, x to, y from, y to", got=repr(part), todo="give four")
    x0, x1, y0, y1 = (as_number(v, "edge of a part in m") for v in part)
    whole = (max(x0, -half_x), min(x1, half_x), max(y0, -half_y), min(y1, half_y))
    if min(whole[1] - whole[0], whole[3] - whole[2]) < LEAST_M:
        raise BadInput("part of the pitch", expected=f"at least {LEAST_M:g} m long and wide", got=repr(part),
                       todo="take a larger one")
    return whole


def cut(marks: Iterable[Mark], edges: Box) -> Iterator[Mark]:
    """The marks in a part: lines and areas cut at its edges, places only if they are inside."""
    x0, x1, y0, y1 = edges
    inside = box(x0, y0, x1, y1)
    for mark in marks:
        if isinstance(mark, Line):
            yield from (replace(mark, points=points) for points in _inside(mark, inside))
        elif not isinstance(mark, Spot) or (x0 <= mark.xy[0] <= x1 and y0 <= mark.xy[1] <= y1):
            yield mark


def _inside(mark: Line, edges: Polygon) -> list[Points]:
    if isinstance(mark, Arrow):  # a head cut off would lie: an arrow is shown if it ends inside
        return [mark.points] if edges.covers(LineString(mark.points)) else []
    if isinstance(mark, Area):
        seen = Polygon(mark.points).buffer(0).intersection(edges)
        shapes = [part for part in getattr(seen, "geoms", [seen]) if isinstance(part, Polygon | MultiPolygon)]
        return [as_points(part.exterior.coords) for part in shapes if not part.is_empty]
    seen = LineString(mark.points).intersection(edges)
    ways = seen.geoms if isinstance(seen, MultiLineString) else [seen]
    return [as_points(way.coords) for way in ways if isinstance(way, LineString) and not way.is_empty]
