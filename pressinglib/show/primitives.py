"""A drawing in primitives: marks turned into fills, strokes, tokens and type of a certain colour and size, in metres.

Both views draw the same, so that board and print look alike. What lies above what is settled here: ground, lines of
the pitch, fills, strokes, tokens, type. Landscape or portrait is settled here too: a portrait page shows the pressing
team attacking upwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from math import hypot

from shapely import LineString, MultiLineString, MultiPolygon, Polygon, box

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.marks import XY, Area, Arrow, Label, Line, Mark, Points, Spot, Token, as_points
from pressinglib.show.style import FILLS, HEAD_M, LABEL_M, LETTER_M, OTHER, PENS, ROLES, Dash

# -- A part of the pitch: which one, and the marks that are in it.


Box = tuple[float, float, float, float]  # x from, x to, y from, y to
Crop = str | Box
CROPS = ("whole", "attacking half", "own half")
LEAST_M = 15.0
OVER_HALFWAY_M = 8.0  # a half shows a little of the other


def crop_box(pitch: Pitch, part: Crop, margin_m: float) -> Box:
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
    >>> crop_box(Pitch(), "attacking half", 3.0), crop_box(Pitch(), (0, 40, -90, 90), 3.0)
    ((-8.0, 55.5, -37.0, 37.0), (0.0, 40.0, -37.0, 37.0))
    >>> crop_box(Pitch(), "left half", 3.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: part of the pitch: expected one of whole, attacking half, own half or ...
    """
    half_x, half_y = (half + margin_m for half in pitch.corner_xy)
    named: dict[str, Box] = {"whole": (-half_x, half_x, -half_y, half_y),
                             "attacking half": (-OVER_HALFWAY_M, half_x, -half_y, half_y),
                             "own half": (-half_x, OVER_HALFWAY_M, -half_y, half_y)}
    if isinstance(part, str):
        if part not in named:
            raise BadInput("part of the pitch", expected=f"one of {', '.join(CROPS)} or four numbers", got=repr(part),
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


def cropped(marks: Iterable[Mark], edges: Box) -> Iterator[Mark]:
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


# -- The primitives of a drawing.


HANGS_M = 2.0
MARGIN_M = 3.6  # round the pitch: players may stand 3 m off it


@dataclass(frozen=True)
class Filled:
    """A filled shape; `cover` is how much of it covers what lies below (0-1)."""

    points: Points
    colour: str
    cover: float


@dataclass(frozen=True)
class Stroke:
    """A line; `dash` in line widths."""

    points: Points
    colour: str
    width_m: float
    dash: Dash


@dataclass(frozen=True)
class Type:
    """A line of type: its middle, or its left end where `left` is set."""

    xy: XY
    words: str
    colour: str
    size_m: float
    bold: bool = True
    left: bool = False
    serif: bool = False
    halo: bool = False  # on a piece of paper, to be read above lines


@dataclass(frozen=True)
class Primitives:
    """All of it, by what lies above what; `frame` is left, right, low, high."""

    frame: tuple[float, float, float, float]
    grounds: list[Filled] = field(default_factory=list)
    markings: list[Stroke] = field(default_factory=list)
    fills: list[Filled] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    tokens: list[Token] = field(default_factory=list)
    type: list[Type] = field(default_factory=list)


def primitives_of(drawing: Drawing, portrait: bool = False, part: Crop = "whole") -> Primitives:
    """The primitives of a drawing, without key and caption.

    Parameters
    ----------
    drawing : Drawing
    portrait : bool
        The pressing team attacks upwards.
    part : str or (x, x, y, y)
        See `pressinglib.show.part`.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> drawing = draw_situation(Situation.line_up())
    >>> primitives_of(drawing).frame, primitives_of(drawing, portrait=True).frame
    ((-56.1, 56.1, -37.6, 37.6), (-37.6, 37.6, -56.1, 56.1))
    """
    marks: Iterable[Mark] = drawing.marks
    if part == "whole":
        half_x, half_y = (round(half + MARGIN_M, 3) for half in drawing.pitch.corner_xy)
        x0, x1, y0, y1 = -half_x, half_x, -half_y, half_y
    else:
        x0, x1, y0, y1 = crop_box(drawing.pitch, part, MARGIN_M)
        marks = cropped(marks, (x0, x1, y0, y1))
        # Room for whoever stands at an edge that is not the edge of the pitch.
        x0, x1, y0, y1 = x0 - HANGS_M, x1 + HANGS_M, y0 - HANGS_M, y1 + HANGS_M
    shapes = Primitives((-y1, -y0, x0, x1) if portrait else (x0, x1, y0, y1))
    put(shapes, (turned(mark) for mark in marks) if portrait else marks)
    return shapes


def turned(mark: Mark) -> Mark:
    """The mark on a portrait page: a quarter turn, +x becomes up."""
    if isinstance(mark, Line):
        return replace(mark, points=tuple(portrait_xy(xy) for xy in mark.points))
    return replace(mark, xy=portrait_xy(mark.xy)) if isinstance(mark, Spot) else mark


def portrait_xy(xy: XY) -> XY:
    """A place on a portrait page."""
    return -xy[1], xy[0]


def landscape_xy(xy: XY) -> XY:
    """Back from a portrait page."""
    return xy[1], -xy[0]


def put(shapes: Primitives, marks: Iterable[Mark]) -> None:
    """Add the primitives of some marks."""
    for mark in marks:
        if isinstance(mark, Token):
            shapes.tokens.append(mark)
        elif isinstance(mark, Label):
            shapes.type.append(_type(mark))
        elif isinstance(mark, Spot):
            shapes.strokes.extend(form(mark.style, mark.xy))
        elif isinstance(mark, Area):
            fills = shapes.grounds if mark.style == "ground" else shapes.fills
            fills.append(Filled(mark.points, *FILLS[mark.style]))
        elif isinstance(mark, Arrow):
            _put_arrow(shapes, mark)
        elif isinstance(mark, Line):
            strokes = shapes.markings if mark.style == "marking" else shapes.strokes
            strokes.append(Stroke(mark.points, *PENS[mark.style]))


def _type(mark: Label) -> Type:
    size = LETTER_M if mark.style in ROLES else LABEL_M  # the letters of another rulebook are smaller
    return Type(mark.xy, mark.words, PENS[mark.style].colour, size, halo=True)


def form(role_name: str, xy: XY, size: float = 1.0) -> list[Stroke]:
    """The outline form of a role about a place, `size` times its usual size; thin and dashed for "other cover" ..."""
    (x, y), role = xy, ROLES[role_name.removeprefix(OTHER)]
    pen = PENS[role_name] if role_name.startswith(OTHER) else PENS[role_name]._replace(dash=role.dash)
    return [Stroke(tuple((x + size * dx, y + size * dy) for dx, dy in line), *pen) for line in role.form]


def _put_arrow(shapes: Primitives, mark: Arrow) -> None:
    """A shaft that ends inside its head, so that the tip stays sharp."""
    pen, tip = PENS[mark.style], mark.points[-1]
    back = next((xy for xy in reversed(mark.points) if hypot(tip[0] - xy[0], tip[1] - xy[1]) > 1e-6), None)
    if back is None:
        return
    length = hypot(tip[0] - back[0], tip[1] - back[1]) / HEAD_M
    ux, uy = (tip[0] - back[0]) / length, (tip[1] - back[1]) / length
    neck = (tip[0] - 0.8 * ux, tip[1] - 0.8 * uy)
    barbs = [(tip[0] - ux - side * 0.42 * uy, tip[1] - uy + side * 0.42 * ux) for side in (1, -1)]
    shapes.fills.append(Filled((tip, barbs[0], neck, barbs[1]), pen.colour, 1.0))
    shapes.strokes.append(Stroke((*mark.points[:-1], neck), pen.colour, pen.width_m, pen.dash))
