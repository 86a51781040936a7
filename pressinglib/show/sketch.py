"""What a hand has drawn, made into an arrow, a zone, a note or a ruler."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import LineString

from pressinglib.errors import PressingError
from pressinglib.field.own_mark import CORNERS, OwnMark
from pressinglib.show.marks import XY, as_points

SMOOTH_M = 0.4  # a hand trembles less than that
LEAST_M = 0.5


def sketched(kind: str, trail: Sequence[XY], words: str = "") -> OwnMark:
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
    >>> sketched("arrow", [(0, 0), (5, 0.1), (10, 0)]).points, sketched("zone", [(0, 0), (10, 5)]).points
    (((0.0, 0.0), (10.0, 0.0)), ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0)))
    >>> sketched("ruler", [(0, 0), (0, 0)])
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
