"""The canvas: a picture on the page, and the hand that moves what is on it.

Bokeh draws an empty figure once, and every picture comes as columns in metres: the page (`canvas.js`) sizes them to its
room. It carries a drag itself and sends a small message now and then; of those that arrive while Python is busy only
the last place of each counts, so a slow plan never falls behind the hand.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from time import monotonic
from typing import Any, NamedTuple

import anywidget
import bokeh
import ipywidgets as w
import traitlets
from bokeh.core.properties import value
from bokeh.embed import json_item
from bokeh.models import CDSView, ColumnDataSource, GroupFilter, Range1d
from bokeh.plotting import figure

from pressinglib.show.drawing import Drawing
from pressinglib.show.primitives import GROUPS, Crop, Figure, Filled, Stroke, primitives_of, put_legend
from pressinglib.show.style import HALO_COVER, INK, PAPER, TOKENS

LABEL = "the picture: arrow keys take whoever is chosen 0.5 m further, with Shift 5 m"
PICK_LABEL = "the picture: arrow keys go from one to the next, Enter picks"
HALO = f"{PAPER}{round(255 * HALO_COVER):02x}"
FACE = value("ui-sans-serif, 'DejaVu Sans', Verdana, sans-serif")
TEAMS = ("ghost possession", "ghost pressing", "ghost ball", "possession", "pressing", "ball")  # lowest first
START_PX = 600  # until the page has measured its room
PAUSE_S, SHARE = 0.005, 0.3  # how long more is waited for: at least, and as a share of what an answer takes

Columns = dict[str, list[Any]]


# -- The hand.

class DragMessage(NamedTuple):
    """What the page says of a drag: who, where, whether the hand has let go, and which turn of which page this is."""

    team: str
    number: str
    x: float
    y: float
    done: bool
    turn: tuple[str, int]

    @classmethod
    def of(cls, message: dict[str, Any]) -> DragMessage:
        """A message as the page sends it."""
        return cls(str(message["team"]), str(message["number"]), float(message["x"]), float(message["y"]),
                   bool(message["done"]), turn_of(message))


def turn_of(message: dict[str, Any]) -> tuple[str, int]:
    """Page and turn of a message."""
    page, turn = message["turn"]
    return str(page), int(turn)


class DragQueue:
    """What the hand has said and nobody has answered: the last place of each that it let go, and whom it carries.

    `answer` gets all that was let go together, or the one that is carried: it has to plan once.
    """

    def __init__(self, answer: Callable[[list[DragMessage]], None]) -> None:
        self._answer = answer
        self._dropped: dict[tuple[str, ...], DragMessage] = {}
        self._carried: DragMessage | None = None
        self._asked, self._took_s = False, 0.0

    def hear(self, message: DragMessage) -> None:
        """A message of the page."""
        who = message[:2]
        if message.done:
            self._dropped.pop(who, None)  # the last word is the last to be carried out
            self._dropped[who] = message
        if not message.done or (self._carried is not None and self._carried[:2] == who):
            self._carried = None if message.done else message
        if not self._asked:
            self._ask()

    def _ask(self) -> None:
        """Answer in a moment: the longer an answer takes, the more has been said while the last one was made."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # no loop: plain Python, where nothing else can arrive meanwhile
            return self.work()
        self._asked = True
        loop.call_later(max(PAUSE_S, SHARE * self._took_s), self.work)

    def work(self) -> None:
        """Answer now what was let go, or else whoever is carried."""
        self._asked, began = False, monotonic()
        words = list(self._dropped.values())
        if not words and self._carried is not None:
            words, self._carried = [self._carried], None
        self._dropped = {}
        if words:
            self._answer(words)
            self._took_s = monotonic() - began
        if self._carried is not None and not self._asked:
            self._ask()


# -- The empty figure.

def figure_item() -> str:
    """The renderers, lowest first, with nothing in them: the same for every board."""
    f = figure(x_range=Range1d(0, 1), y_range=Range1d(0, 1), width=START_PX, height=START_PX, min_border=0, tools="",
               toolbar_location=None, background_fill_color=PAPER, border_fill_color=PAPER, outline_line_color=None)
    f.axis.visible = f.grid.visible = False

    def lines(name: str, **ink: Any) -> None:
        f.multi_line("xs", "ys", source=_source(name, "xs", "ys"), line_color=INK, **ink)

    for name, kind in GROUPS.items():
        if name == "legend":  # below the tokens
            lines("gaps", line_width=1.2, line_dash=[4, 4])
            lines("picked gaps", line_width=5)
        source = _source(name, *(column.removesuffix("_m") for column in columns_of(kind)))
        if kind is Filled:
            f.patches("xs", "ys", source=source, fill_color="colour", fill_alpha="cover", line_color=None)
        elif kind is Stroke:
            f.multi_line("xs", "ys", source=source, line_color="colour", line_width="width", line_dash="dash")
        elif kind is Figure:
            _draw_tokens(f, source)
        else:
            f.text("x", "y", text="words", source=source, text_color="colour", text_font_size="type",
                   text_font_style="weight", text_align="align", text_baseline="middle", text_font=FACE,
                   background_fill_color=HALO, background_fill_alpha="halo", padding=1, border_radius=3)
    lines("trail", line_width=2, line_dash=[6, 3])
    # What can be picked and what is; who is chosen.
    for name, ink in (("handles", {"fill_color": PAPER, "line_width": 1.2}), ("picked", {"line_width": 3.5}),
                      ("chosen", {"line_width": 1.5, "line_dash": [3, 3]})):
        rings = _source(name, "x", "y", "size", "words")
        f.scatter("x", "y", source=rings, marker="circle", size="size", line_color=INK, **{"fill_color": None, **ink})
        f.text("x", "y", text="words", source=rings, x_offset=16, y_offset=-14, text_color=INK, text_font=FACE,
               text_font_size="15px", text_font_style="bold", text_baseline="middle", text_align="center")
    return json.dumps(json_item(f))


def _source(name: str, *columns: str) -> ColumnDataSource:
    return ColumnDataSource({column: [] for column in columns}, name=name)


def _draw_tokens(f: figure, source: ColumnDataSource) -> None:
    for team in TEAMS:
        shape = TOKENS[team]
        view = CDSView(filter=GroupFilter(column_name="team", group=team))
        f.scatter("x", "y", source=source, view=view, marker="square" if shape.square else "circle", size="size",
                  fill_color=shape.fill, line_color=shape.edge, line_width="edge")
        f.text("x", "y", text="words", source=source, view=view, text_font_size="type", text_font=FACE,
               text_color=shape.number, text_font_style="bold", text_align="center", text_baseline="middle")


# -- A drawing as columns.

def board_columns(drawing: Drawing, portrait: bool = False, part: Crop = "whole",
                  unlisted: tuple[str, ...] = ()) -> tuple[dict[str, Columns], dict[str, Any]]:
    """Ground columns, which keep still, and the picture: its frame (left, right, low, high) and columns.

    Styles that are `unlisted` stand in no legend: what comes and goes with a hand must not change the room under a
    picture.
    """
    shapes = primitives_of(drawing, portrait, part)
    left, right, low, high = shapes.frame
    low -= put_legend(shapes, [line for line in drawing.legend() if line[0] not in unlisted], portrait)
    columns = {name: columns_of(kind, shapes.groups[name]) for name, kind in GROUPS.items()}
    ground = {name: columns.pop(name) for name in ("grounds", "markings")}
    return ground, {"frame": (left, right, low, high), "columns": columns}


def columns_of(kind: Any, some: Sequence[Any] = ()) -> Columns:
    """Primitives of a kind as columns: one for each of its fields, two for points."""
    columns = {name: [getattr(one, name) for one in some] for name in kind._fields}
    lines = columns.pop("points", None)
    # Two decimals: a centimetre is enough, and the message to the browser is half as long.
    axes = {} if lines is None else {name: [[round(xy[axis], 2) for xy in line] for line in lines]
                                     for axis, name in enumerate(("xs", "ys"))}
    return columns | axes


# -- The canvas.

class Script(anywidget.AnyWidget):
    """Bokeh's own script and the empty figure, which pages ask for once; nothing to see."""

    code = traitlets.Unicode().tag(sync=True)
    item = traitlets.Unicode().tag(sync=True)
    version = traitlets.Unicode(bokeh.__version__).tag(sync=True)
    _esm = "export default { render() {} }"


@cache
def script() -> Script:
    """The script of this kernel: one for all canvases."""
    code = (Path(bokeh.__file__).parent / "server" / "static" / "js" / "bokeh.min.js").read_text("utf-8")
    return Script(code=code, item=figure_item())


class Canvas(anywidget.AnyWidget):
    """A picture on the page; every page that shows it draws all of it from these values.

    `carry` is called with the latest messages of the hand, `answer` with every other message, a dict with its `kind`:
    "choose", "step", "pick" or "drawn".

    `pick` says what the hand picks in place of moving anything: `{"team": ..., "ids": [...]}` players of a team, or
    `{"gaps": {id: (end, end)}}` in metres; empty, it moves what it takes. `picked` are the ids that are picked.
    """

    script = traitlets.Instance(Script).tag(sync=True, **w.widget_serialization)
    ground = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    tool = traitlets.Unicode().tag(sync=True)
    pick = traitlets.Dict().tag(sync=True)
    picked = traitlets.List().tag(sync=True)
    label = traitlets.Unicode(LABEL).tag(sync=True)
    width_px = traitlets.Int(740).tag(sync=True)
    _esm = Path(__file__).with_name("canvas.js")
    _css = Path(__file__).with_name("canvas.css")

    def __init__(self, carry: Callable[[list[DragMessage]], None], answer: Callable[[dict[str, Any]], None],
                 **how: Any) -> None:
        self.drags, self._carry, self._answer = DragQueue(self._carried), carry, answer
        self._turns: dict[str, int] = {}
        super().__init__(script=script(), **how)
        self.on_msg(self._heard)

    def show(self, drawing: Drawing, portrait: bool = False, part: Crop = "whole",
             unlisted: tuple[str, ...] = ()) -> None:
        """Show another drawing, and say which turns of the hand it answers."""
        ground, picture = board_columns(drawing, portrait, part, unlisted)
        self.columns = picture["columns"]
        with self.hold_sync():
            self.ground = json.dumps(ground)
            self.picture = json.dumps({**picture, "answers": self._turns})

    def show_players(self, drawing: Drawing, portrait: bool = False, part: Crop = "whole") -> None:
        """Move the players of the picture that is shown, and nothing else."""
        alone = replace(drawing, marks=tuple(mark for mark in drawing.marks if mark.layer == "players"))
        groups = primitives_of(alone, portrait, part).groups
        moved = {name: columns_of(GROUPS[name], groups[name]) for name in ("leaders", "tokens")}
        self.columns = {**self.columns, **moved}
        self.send(moved)

    def _carried(self, words: list[DragMessage]) -> None:
        self._turns.update(word.turn for word in words)
        self._carry(words)

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        """A message of the page, in the order in which the hand made them."""
        if message.get("kind") == "carry":
            self.drags.hear(DragMessage.of(message))
            return
        self.drags.work()
        if "turn" in message:
            self._turns.update([turn_of(message)])
        self._answer(message)
