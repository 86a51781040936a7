"""A drawing in primitives: marks turned into fills, strokes, tokens and type of a certain colour and size, in metres.

Both views draw the same, so that board and print look alike: the browser's, SVG, stands here too. What lies above what
is settled here: ground, lines of the pitch, fills, strokes, tokens, type. So are the part of the pitch that is shown,
landscape or portrait (a portrait page shows the pressing team attacking upwards), and the legend.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from html import escape
from math import dist
from typing import Any, NamedTuple

from shapely import LineString, Polygon, box, clip_by_rect, get_parts

from pressinglib.errors import BadInput, as_items, as_known, as_number, shown
from pressinglib.field.pitch import Pitch
from pressinglib.show.drawing import Drawing
from pressinglib.show.labels import text_half
from pressinglib.show.layers import ticks
from pressinglib.show.layers_field import hatch
from pressinglib.show.marks import XY, Area, Arrow, Label, Line, Mark, Points, Spot, Token, as_points, waves
from pressinglib.show.style import FILLS, HEAD_M, LABEL_M, PENS, QUIET, TOKENS, Outline, Pen, form_of, role_of, type_m
from pressinglib.show.tokens import nose

# -- A part of the pitch: which one, and the marks that are in it.

Box = tuple[float, float, float, float]  # x from, x to, y from, y to
Crop = str | Box  # "whole", "attacking half", "own half", or a box in metres, at least 15 m long and wide
CROPS = ("whole", "attacking half", "own half")
LEAST_M = 15.0
OVER_HALFWAY_M = 8.0  # a half shows a little of the other


def crop_box(pitch: Pitch, part: Crop, margin_m: float) -> Box:
    """The box of a part, with its margin where it touches the lines; BadInput for one that is none."""
    half_x, half_y = (round(half + margin_m, 3) for half in pitch.corner_xy)
    if isinstance(part, str):
        as_known(part, CROPS, "part of the pitch", "or give four numbers")
        ends = {"attacking half": (-OVER_HALFWAY_M, half_x), "own half": (-half_x, OVER_HALFWAY_M)}
        return *ends.get(part, (-half_x, half_x)), -half_y, half_y
    edges = as_items(part, object, "part of the pitch", "x from, x to, y from, y to", "give four numbers", 4, 4)
    x0, x1, y0, y1 = (as_number(edge, "edge of a part in m") for edge in edges)
    whole = (max(x0, -half_x), min(x1, half_x), max(y0, -half_y), min(y1, half_y))
    if min(whole[1] - whole[0], whole[3] - whole[2]) < LEAST_M:
        raise BadInput("part of the pitch", expected=f"at least {LEAST_M:g} m long and wide", got=shown(part),
                       todo="take a larger one")
    return whole


def cropped(marks: Iterable[Mark], edges: Box) -> Iterator[Mark]:
    """The marks in a part: lines and areas cut at its edges, places only if they are inside."""
    x0, x1, y0, y1 = edges
    for mark in marks:
        if isinstance(mark, Line):
            yield from (replace(mark, points=points) for points in _inside(mark, (x0, y0, x1, y1)))
        elif all(x0 <= x <= x1 and y0 <= y <= y1 for x, y in mark.places):
            yield mark


def _inside(mark: Line, edges: Box) -> list[Points]:
    line = LineString(mark.points)
    if isinstance(mark, Arrow):  # a head cut off would lie: an arrow is shown if it ends inside
        return [mark.points] if box(*edges).covers(line) else []
    if isinstance(mark, Area):
        seen = get_parts(clip_by_rect(Polygon(mark.points).buffer(0), *edges))
        return [as_points(part.exterior.coords) for part in seen if part.area]
    return [as_points(part.coords) for part in get_parts(clip_by_rect(line, *edges)) if part.length]


# -- The primitives of a drawing: lengths in metres.

HANGS_M = 2.0
MARGIN_M = 3.6  # round the pitch: players may stand 3 m off it


class Filled(NamedTuple):
    """A filled shape; `cover` is how much of it covers what lies below (0-1)."""

    points: Points
    colour: str
    cover: float = 1.0


class Stroke(NamedTuple):
    """A line."""

    points: Points
    pen: Pen


class Figure(NamedTuple):
    """A player or the ball."""

    x: float
    y: float
    words: str
    team: str
    number: str
    look: Outline
    type_m: float


class Type(NamedTuple):
    """A line of type: `x` is its middle, or its left end; with a `halo` on a piece of paper, to be read above lines."""

    x: float
    y: float
    words: str
    colour: str
    type_m: float
    weight: str = "bold"
    align: str = "center"
    halo: bool = False
    face: str = "sans"


GROUPS = ("grounds", "markings", "fills", "strokes", "legend", "leaders", "tokens", "type")  # lowest first


@dataclass(frozen=True)
class Primitives:
    """All of them, in their groups; `frame` is left, right, low, high; `least_m` the height of small type."""

    frame: Box
    least_m: float = 0.0
    groups: dict[str, list[Any]] = field(default_factory=lambda: {name: [] for name in GROUPS})

    @property
    def ratio(self) -> float:
        """Width by height."""
        left, right, low, high = self.frame
        return (right - left) / (high - low)

    def put(self, marks: Iterable[Mark], tokens: str = "tokens") -> None:
        """Add the primitives of some marks."""
        for mark in marks:
            if isinstance(mark, Token):
                self.groups[tokens].append(Figure(*mark.xy, mark.words, mark.style, mark.number, TOKENS[mark.style],
                                                  type_m(mark.style, mark.words)))
            elif isinstance(mark, Label):
                size = max(type_m(mark.style, mark.words), self.least_m)
                self.write(mark.xy, mark.words, PENS[mark.style].colour, size, halo=True)
            elif isinstance(mark, Spot):
                self.groups["strokes"] += form(mark.style, mark.xy)
            elif isinstance(mark, Area):
                name = "grounds" if mark.style == "ground" else "fills"
                self.groups[name].append(Filled(mark.points, *FILLS[mark.style]))
            elif isinstance(mark, Arrow):
                self._put_arrow(mark)
            elif isinstance(mark, Line):
                name = {"marking": "markings", "leader": "leaders"}.get(mark.style, "strokes")
                self.groups[name].append(Stroke(mark.points, PENS[mark.style]))

    def write(self, xy: XY, words: str, colour: str, size_m: float, **how: Any) -> None:
        """Add a line of type."""
        self.groups["type"].append(Type(*xy, words, colour, size_m, **how))

    def _put_arrow(self, mark: Arrow) -> None:
        """A shaft that ends inside its head, so that the tip stays sharp."""
        pen, (*before, tip) = PENS[mark.style], mark.points
        back = next((xy for xy in reversed(before) if dist(tip, xy) > 1e-6), None)
        if back is None:
            return
        ux, uy = ((b - a) / dist(tip, back) * HEAD_M for a, b in zip(back, tip, strict=True))
        neck = (tip[0] - 0.8 * ux, tip[1] - 0.8 * uy)
        barbs = [(tip[0] - ux - side * 0.42 * uy, tip[1] - uy + side * 0.42 * ux) for side in (1, -1)]
        self.groups["fills"].append(Filled((tip, barbs[0], neck, barbs[1]), pen.colour))
        self.groups["strokes"].append(Stroke((*before, neck), pen))


def primitives_of(drawing: Drawing, part: Crop = "whole") -> Primitives:
    """The primitives of a drawing, without legend and caption."""
    x0, x1, y0, y1 = crop_box(drawing.pitch, part, MARGIN_M)
    marks: Iterable[Mark] = drawing.marks
    if part != "whole":
        marks = cropped(marks, (x0, x1, y0, y1))
        # Room for whoever stands at an edge that is not the edge of the pitch.
        x0, x1, y0, y1 = x0 - HANGS_M, x1 + HANGS_M, y0 - HANGS_M, y1 + HANGS_M
    portrait = drawing.labels.upright
    frame = (-y1, -y0, x0, x1) if portrait else (x0, x1, y0, y1)
    shapes = Primitives(frame, drawing.labels.least_m * type_scale(frame))
    shapes.put((mark.at(portrait_xy) for mark in marks) if portrait else marks)
    return shapes


def portrait_xy(xy: XY) -> XY:
    """A place on a portrait page: a quarter turn, +x becomes up."""
    return -xy[1], xy[0]


def landscape_xy(xy: XY) -> XY:
    """Back from a portrait page."""
    return xy[1], -xy[0]


def form(role_name: str, xy: XY, size: float = 1.0) -> list[Stroke]:
    """The outline form of a role about a place, `size` times its usual size."""
    (x, y), (lines, pen) = xy, form_of(role_name)
    return [Stroke(tuple((x + size * dx, y + size * dy) for dx, dy in line), pen) for line in lines]


# -- The legend under a picture: what is in it, and nothing else.

ROW_M = 4.0
SAMPLE_M = 4.4  # width of a sample
BETWEEN_M = 1.6
EDGE_M = 3.0
FORM_SIZE = 0.75
REGULAR = 0.9  # letters of regular type are narrower than bold ones by so much
FULL_SIZE_M = 75.0  # in a picture that is less wide, title, legend and words are smaller


def type_scale(frame: Box) -> float:
    """How large title, legend and words are, so that they fit a picture that shows little of the pitch."""
    return min(1.0, (frame[1] - frame[0]) / FULL_SIZE_M)


def put_legend(shapes: Primitives, lines: list[tuple[str, str]]) -> float:
    """Add the legend below the frame; the height it takes, metres."""
    left, right, low, _ = shapes.frame
    x, y, size = left + EDGE_M, low - ROW_M / 2, max(LABEL_M * type_scale(shapes.frame), shapes.least_m)
    for style, words in lines:
        sample_m = SAMPLE_M if style else 0.0
        width = sample_m + 2 * REGULAR * text_half(words, size)[0]
        if x + width > right and x > left + EDGE_M:
            x, y = left + EDGE_M, y - ROW_M
        if role := role_of(style):
            shapes.groups["strokes"] += form(style, (x + 1.9, y), FORM_SIZE)
            shapes.write((x + 1.9, y), role.letter, role.colour, max(LABEL_M, shapes.least_m))
        elif style:
            shapes.put(_sample(style, x, y), "legend")
        shapes.write((x + sample_m, y), words, QUIET, size, weight="normal", align="left")
        x += width + BETWEEN_M
    return low - y + ROW_M / 2 if lines else 0.0


BOX: Points = ((0.0, -1.2), (3.8, -1.2), (3.8, 1.2), (0.0, 1.2))
SHAPES: dict[str, Points] = {  # areas that are no box
    "shadow": ((0.0, -0.3), (3.8, -1.3), (3.8, 1.3), (0.0, 0.3)), "facing": nose((1.5, 0.0), 0.0, 0.0),
    "own cone": ((0.9, -0.9), (2.9, -0.9), (1.9, 0.9))}


def _sample(style: str, x: float, y: float) -> list[Mark]:
    """What a style looks like, to the right of a place."""
    ends, corners = ((x, y), (x + 3.6, y)), tuple((x + dx, y + dy) for dx, dy in SHAPES.get(style, BOX))
    if style in TOKENS:
        return [Token("legend", style, (x + 1.9, y), "")]
    if style == "brake":
        return [Line("legend", "pressure", ends), Line("legend", style, ((x + 1.9, y - 0.9), (x + 1.9, y + 0.9)))]
    if style in ("own run", "own pass", "own dribble"):
        return [Arrow("legend", style, waves(ends) if style == "own dribble" else ends)]
    if style in FILLS:
        return [Area("legend", style, corners), *(hatch("legend", corners, 1.2) if style == "control theirs" else [])]
    return [Line("legend", style, ends), *ticks("legend", style, ends)]


# -- As SVG, in metres: what a board shows, and what a page shows before its script runs.

MIDDLE = 0.36  # of the height of type: from its middle down to its foot


def svg(some: Iterable[Filled | Stroke | Figure | Type]) -> str:
    """Primitives one above the other; attributes in single quotes, which JSON need not escape."""
    return "".join(map(_svg, some))


@lru_cache(4096)  # most of a picture is as it was before the hand moved
def _svg(one: Filled | Stroke | Figure | Type) -> str:
    if isinstance(one, Type):
        look = " class='halo'" if one.halo else "" if one.align == "center" else " class='beside'"
        return (f"<text x='{one.x:.2f}' y='{MIDDLE * one.type_m - one.y:.2f}' font-size='{one.type_m:.2f}' "
                f"fill='{one.colour}'{look}>{escape(one.words)}</text>")
    if isinstance(one, Figure):
        return _token(one)
    points = " ".join([f"{round(x, 2):g},{round(-y, 2):g}" for x, y in one.points])
    if isinstance(one, Filled):
        return f"<polygon points='{points}' fill='{one.colour}' fill-opacity='{one.cover:g}'/>"
    dash = f" stroke-dasharray='{' '.join(map(str, one.pen.dash_m))}'" if one.pen.dash else ""
    return f"<polyline points='{points}' fill='none' stroke='{one.pen.colour}' stroke-width='{one.pen.width_m}'{dash}/>"


def _token(one: Figure) -> str:
    """A group that its place alone moves."""
    look, r = one.look, one.look.radius_m
    shape = f"rect x='{-r}' y='{-r}' width='{2 * r}' height='{2 * r}'" if look.square else f"circle r='{r}'"
    number = _svg(Type(0.0, 0.0, one.words, look.number, one.type_m)) if one.words else ""
    return (f"<g data-team='{one.team}' data-number='{escape(one.number)}' transform='translate({one.x:.5g} "
            f"{-one.y:.5g})'><{shape} fill='{look.fill}' stroke='{look.edge}' stroke-width='{look.width_m}'/>"
            f"{number}</g>")
