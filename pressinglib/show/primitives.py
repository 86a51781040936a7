"""A drawing in primitives: marks turned into fills, strokes, tokens and type of a certain colour and size, in metres.

Both views draw the same, so that board and print look alike. What lies above what is settled here: ground, lines of
the pitch, fills, strokes, tokens, type. So are the part of the pitch that is shown, landscape or portrait (a portrait
page shows the pressing team attacking upwards), and the legend.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from math import hypot

from shapely import LineString, Polygon, box

from pressinglib.errors import BadInput, as_bool, as_number, shown
from pressinglib.field.pitch import Pitch
from pressinglib.show.drawing import Drawing
from pressinglib.show.labels import text_half
from pressinglib.show.layers import nose, ticks
from pressinglib.show.layers_field import hatch
from pressinglib.show.marks import XY, Area, Arrow, Label, Line, Mark, Points, Spot, Token, as_points
from pressinglib.show.style import FILLS, HEAD_M, LABEL_M, LETTER_M, OTHER, PENS, QUIET, ROLES, TICKED, TOKENS, Dash

# -- A part of the pitch: which one, and the marks that are in it.

Box = tuple[float, float, float, float]  # x from, x to, y from, y to
Crop = str | Box  # "whole", "attacking half", "own half", or a box in metres, at least 15 m long and wide
CROPS = ("whole", "attacking half", "own half")
LEAST_M = 15.0
OVER_HALFWAY_M = 8.0  # a half shows a little of the other


def crop_box(pitch: Pitch, part: Crop, margin_m: float) -> Box:
    """The box of a part, with its margin where it touches the lines; BadInput for one that is none."""
    half_x, half_y = (half + margin_m for half in pitch.corner_xy)
    named: dict[str, Box] = {"whole": (-half_x, half_x, -half_y, half_y),
                             "attacking half": (-OVER_HALFWAY_M, half_x, -half_y, half_y),
                             "own half": (-half_x, OVER_HALFWAY_M, -half_y, half_y)}
    if isinstance(part, str):
        if part not in named:
            raise BadInput("part of the pitch", expected=f"one of {', '.join(CROPS)} or four numbers", got=shown(part),
                           todo="check the spelling")
        return named[part]
    if not isinstance(part, (tuple, list)) or len(part) != 4:
        raise BadInput("part of the pitch", expected="x from, x to, y from, y to", got=shown(part), todo="give four")
    x0, x1, y0, y1 = (as_number(v, "edge of a part in m") for v in part)
    whole = (max(x0, -half_x), min(x1, half_x), max(y0, -half_y), min(y1, half_y))
    if min(whole[1] - whole[0], whole[3] - whole[2]) < LEAST_M:
        raise BadInput("part of the pitch", expected=f"at least {LEAST_M:g} m long and wide", got=shown(part),
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
    kind, shape = (Polygon, Polygon(mark.points).buffer(0)) if isinstance(mark, Area) else (
        LineString, LineString(mark.points))
    seen = shape.intersection(edges)
    parts = [part for part in getattr(seen, "geoms", [seen]) if isinstance(part, kind) and not part.is_empty]
    return [as_points((part.exterior if kind is Polygon else part).coords) for part in parts]


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
    """All of them, by what lies above what; `frame` is left, right, low, high; `least_m` the height of small type."""

    frame: tuple[float, float, float, float]
    least_m: float = 0.0
    grounds: list[Filled] = field(default_factory=list)
    markings: list[Stroke] = field(default_factory=list)
    fills: list[Filled] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    tokens: list[Token] = field(default_factory=list)
    type: list[Type] = field(default_factory=list)

    @property
    def ratio(self) -> float:
        """Width by height."""
        left, right, low, high = self.frame
        return (right - left) / (high - low)


def primitives_of(drawing: Drawing, portrait: bool = False, part: Crop = "whole") -> Primitives:
    """The primitives of a drawing, without legend and caption."""
    marks: Iterable[Mark] = drawing.marks
    if isinstance(part, str) and part == "whole":
        half_x, half_y = (round(half + MARGIN_M, 3) for half in drawing.pitch.corner_xy)
        x0, x1, y0, y1 = -half_x, half_x, -half_y, half_y
    else:
        x0, x1, y0, y1 = crop_box(drawing.pitch, part, MARGIN_M)
        marks = cropped(marks, (x0, x1, y0, y1))
        # Room for whoever stands at an edge that is not the edge of the pitch.
        x0, x1, y0, y1 = x0 - HANGS_M, x1 + HANGS_M, y0 - HANGS_M, y1 + HANGS_M
    frame = (-y1, -y0, x0, x1) if as_bool(portrait, "portrait") else (x0, x1, y0, y1)
    shapes = Primitives(frame, drawing.labels.least_m * type_scale(frame))
    put(shapes, (_upright(mark) for mark in marks) if portrait else marks)
    return shapes


def _upright(mark: Mark) -> Mark:
    """The mark on a portrait page."""
    if isinstance(mark, Line):
        return replace(mark, points=tuple(portrait_xy(xy) for xy in mark.points))
    return replace(mark, xy=portrait_xy(mark.xy)) if isinstance(mark, Spot) else mark


def portrait_xy(xy: XY) -> XY:
    """A place on a portrait page: a quarter turn, +x becomes up."""
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
            size = LETTER_M if mark.style in ROLES else LABEL_M  # the letters of another rulebook are smaller
            shapes.type.append(Type(mark.xy, mark.words, PENS[mark.style].colour, max(size, shapes.least_m), halo=True))
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


# -- The legend under a picture: what is in it, and nothing else.

ROW_M = 4.0
SAMPLE_M = 4.4  # width of a sample
BETWEEN_M = 1.6
EDGE_M = 3.0
FORM_SIZE = 0.75
REGULAR = 0.9  # letters of regular type are narrower than bold ones by so much
FULL_SIZE_M = 75.0  # in a picture that is less wide, title, legend and words are smaller


def type_scale(frame: tuple[float, float, float, float]) -> float:
    """How large title, legend and words are, so that they fit a picture that shows little of the pitch."""
    return min(1.0, (frame[1] - frame[0]) / FULL_SIZE_M)


def put_legend(shapes: Primitives, lines: list[tuple[str, str]], portrait: bool = False) -> float:
    """Add the legend below the frame; the height it takes, metres."""
    left, right, low, _ = shapes.frame
    x, y, size = left + EDGE_M, low - ROW_M / 2, max(LABEL_M * type_scale(shapes.frame), shapes.least_m)
    for style, words in lines:
        words = words.replace("{way}", "upwards" if portrait else "to the right")
        sample_m = SAMPLE_M if style else 0.0
        width = sample_m + 2 * REGULAR * text_half(words, size)[0]
        if x + width > right and x > left + EDGE_M:
            x, y = left + EDGE_M, y - ROW_M
        _put_sample(shapes, style, (x, y))
        shapes.type.append(Type((x + sample_m, y), words, QUIET, size, bold=False, left=True))
        x += width + BETWEEN_M
    return low - y + ROW_M / 2 if lines else 0.0


def _put_sample(shapes: Primitives, style: str, xy: XY) -> None:
    """What a style looks like, to the right of a place."""
    (x, y), ends = xy, (xy, (xy[0] + 3.6, xy[1]))
    if style.removeprefix(OTHER) in ROLES:
        role = ROLES[style.removeprefix(OTHER)]
        shapes.strokes.extend(form(style, (x + 1.9, y), FORM_SIZE))
        shapes.type.append(Type((x + 1.9, y), role.letter, role.colour, max(LABEL_M, shapes.least_m)))
    elif style in TOKENS:
        put(shapes, [Token("legend", style, (x + 1.9, y), "")])
    elif style in FILLS:
        put(shapes, _area_sample(style, xy))
    elif style == "brake":
        put(shapes, [Line("legend", "pressure", ends), Line("legend", style, ((x + 1.9, y - 0.9), (x + 1.9, y + 0.9)))])
    elif style:
        put(shapes, [Line("legend", style, ends), *(ticks("legend", style, ends) if style in TICKED else [])])


def _area_sample(style: str, xy: XY) -> list[Mark]:
    x, y = xy
    if style == "shadow":
        return [Area("legend", style, ((x, y - 0.3), (x + 3.8, y - 1.3), (x + 3.8, y + 1.3), (x, y + 0.3)))]
    if style == "facing":
        return [Area("legend", style, nose((x + 1.5, y), 0.0, 0.0))]
    corners = ((x, y - 1.2), (x + 3.8, y - 1.2), (x + 3.8, y + 1.2), (x, y + 1.2))
    return [Area("legend", style, corners), *(hatch("legend", corners, 1.2) if style == "control theirs" else [])]
