"""The same drawing on a Bokeh canvas, whose tokens can be dragged, among the widgets of a notebook."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import anywidget
import bokeh
import ipywidgets
import traitlets
from bokeh.core.properties import value
from bokeh.models import CDSView, ColumnDataSource, CustomJS, GroupFilter, Range1d
from bokeh.plotting import figure
from jupyter_bokeh import BokehModel

from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.show.drawing import Drawing
from pressinglib.show.hand import CARRY, GRAB, PAUSE_MS, REDRAW, Hand, Word
from pressinglib.show.ink import Filled, Ink, Stroke, Type, ink_of, landscape_xy
from pressinglib.show.key import key_lines, put_key
from pressinglib.show.look import HALO_COVER, PAPER, TOKENS, number_size_m
from pressinglib.show.marks import XY, Points, Token

FACE = value("ui-sans-serif, 'DejaVu Sans', Verdana, sans-serif")
TAKES_M = 2.2  # how far from its middle the hand still takes a token
TEAMS = ("ghost possession", "ghost pressing", "ghost ball", "possession", "pressing", "ball")  # lowest first

Columns = dict[str, list[Any]]
Carry = Callable[[Token, XY, bool], None]


class BokehView:
    """A canvas that shows drawings and lets a hand move their tokens.

    Parameters
    ----------
    drawing : Drawing
        The first one; later ones must be of the same pitch.
    carry : callable
        Called with token, place in metres and whether the hand has let go.
    width_px : int
    portrait : bool
        The pressing team attacks upwards.
    """

    def __init__(self, drawing: Drawing, carry: Carry, width_px: int = 860, portrait: bool = False) -> None:
        self.portrait, self._carry = portrait, carry
        self.hand = Hand(self._carried)
        ink = ink_of(drawing, portrait)
        left, right, low, high = ink.frame
        self._px = width_px / (right - left)
        self._rows: list[Token] = []
        self.columns: dict[str, Columns] = {}
        self._sources = {name: ColumnDataSource(name=name) for name in ("fills", "strokes", "key", "tokens", "type")}
        self._text = ColumnDataSource({"text": []})
        self.figure = figure(x_range=Range1d(left, right), y_range=Range1d(low, high), width=width_px, min_border=0,
                             height=round(self._px * (high - low)), tools="", toolbar_location=None,
                             background_fill_color=PAPER, border_fill_color=PAPER, outline_line_color=None)
        self.figure.axis.visible = self.figure.grid.visible = False
        self._lay_out(ink)
        self._listen(drawing)
        self.show(drawing)

    # -- from Python to the browser ------------------------------------------------------------------------------

    def show(self, drawing: Drawing) -> None:
        """Show another drawing; a token in the hand stays where the hand has it."""
        ink = ink_of(drawing, self.portrait)
        self._rows, key = ink.tokens.copy(), len(ink.tokens)
        self._fit(ink.frame[2] - put_key(ink, key_lines(drawing), self.portrait), ink.frame[3])
        self.columns = {"fills": _fill_columns(ink.fills), "strokes": self._stroke_columns(ink.strokes),
                        "key": self._token_columns(ink.tokens[key:]), "tokens": self._token_columns(self._rows),
                        "type": self._type_columns(ink.type)}
        # One text and not five tables: several times faster, as Bokeh sends and is sent back each table by itself.
        self._text.data = {"text": [json.dumps(self.columns)]}

    def settle(self) -> None:
        """Put what is shown into the figure itself, for a page that is about to draw it for the first time."""
        for name, columns in self.columns.items():
            self._sources[name].data = columns

    def _fit(self, low: float, high: float) -> None:
        """Room under the pitch for the key."""
        if low != self.figure.y_range.start:
            self.figure.y_range.start = low
            self.figure.height = round(self._px * (high - low))

    # -- from the browser to Python ------------------------------------------------------------------------------

    def _listen(self, drawing: Drawing) -> None:
        most = [half + OUTSIDE_M for half in drawing.pitch.corner_xy]
        most_x, most_y = reversed(most) if self.portrait else most
        word = ColumnDataSource({name: [] for name in ("row", "x", "y", "done", "turn", "at")})
        word.on_change("data", self.hand.hear)
        known = {"src": self._sources["tokens"], "word": word, "fig": self.figure}
        grab = CustomJS(args={**known, "reach": TAKES_M * self._px}, code=GRAB)
        carry = CustomJS(args={**known, "most_x": most_x, "most_y": most_y, "pause_ms": PAUSE_MS}, code=CARRY)
        for event, answer in (("panstart", grab), ("pan", carry), ("panend", carry)):
            self.figure.js_on_event(event, answer)
        redraw = CustomJS(args={"ink": self._text, "sources": self._sources, "word": word}, code=REDRAW)
        self._text.js_on_change("data", redraw)
        self.figure.tags = [self._text]  # or it would not travel with the figure

    def _carried(self, word: Word) -> None:
        xy = (word.x, word.y)
        self._carry(self._rows[word.row], landscape_xy(xy) if self.portrait else xy, word.done)

    # -- what is drawn with what ---------------------------------------------------------------------------------

    def _lay_out(self, ink: Ink) -> None:
        """The renderers, lowest first; ground and lines of the pitch never change."""
        still = ColumnDataSource(_fill_columns(ink.grounds)), ColumnDataSource(self._stroke_columns(ink.markings))
        self._draw_fills(still[0])
        self._draw_strokes(still[1])
        self._draw_fills(self._sources["fills"])
        self._draw_strokes(self._sources["strokes"])
        for source in (self._sources["key"], self._sources["tokens"]):
            for team in TEAMS:
                self._draw_tokens(source, team)
        self._draw_type(self._sources["type"])

    def _draw_fills(self, source: ColumnDataSource) -> None:
        self.figure.patches("xs", "ys", source=source, fill_color="colour", fill_alpha="cover", line_color=None)

    def _draw_strokes(self, source: ColumnDataSource) -> None:
        self.figure.multi_line("xs", "ys", source=source, line_color="colour", line_width="width", line_dash="dash")

    def _draw_tokens(self, source: ColumnDataSource, team: str) -> None:
        shape = TOKENS[team]
        view = CDSView(filter=GroupFilter(column_name="team", group=team))
        self.figure.scatter("x", "y", source=source, view=view, marker="square" if shape.square else "circle",
                            size=2 * shape.radius_m * self._px, fill_color=shape.fill, line_color=shape.edge,
                            line_width=shape.width_m * self._px)
        self.figure.text("x", "y", text="words", source=source, view=view, text_font_size="size", text_font=FACE,
                         text_color=shape.number, text_font_style="bold", text_align="center", text_baseline="middle")

    def _draw_type(self, source: ColumnDataSource) -> None:
        self.figure.text("x", "y", text="words", source=source, text_color="colour", text_font_size="size",
                         text_font_style="weight", text_align="align", text_baseline="middle", text_font=FACE,
                         background_fill_color=PAPER, background_fill_alpha="halo", padding=1, border_radius=3)

    def _stroke_columns(self, strokes: Sequence[Stroke]) -> Columns:
        return {**_points([s.points for s in strokes]), "colour": [s.colour for s in strokes],
                "width": [round(s.width_m * self._px, 2) for s in strokes],
                "dash": [[max(1, round(d * s.width_m * self._px)) for d in s.dash] for s in strokes]}

    def _type_columns(self, lines: Sequence[Type]) -> Columns:
        return {"x": [t.xy[0] for t in lines], "y": [t.xy[1] for t in lines], "words": [t.words for t in lines],
                "colour": [t.colour for t in lines], "size": [self._type_px(t.size_m) for t in lines],
                "weight": ["bold" if t.bold else "normal" for t in lines],
                "align": ["left" if t.left else "center" for t in lines],
                "halo": [HALO_COVER * t.halo for t in lines]}

    def _token_columns(self, tokens: Sequence[Token]) -> Columns:
        return {"x": [t.xy[0] for t in tokens], "y": [t.xy[1] for t in tokens], "words": [t.words for t in tokens],
                "team": [t.style for t in tokens], "size": [self._type_px(number_size_m(t.words)) for t in tokens]}

    def _type_px(self, size_m: float) -> str:
        return f"{size_m * self._px:.1f}px"


def _points(lines: Sequence[Points]) -> dict[str, list[list[float]]]:
    # Two decimals: a centimetre is enough, and the message to the browser is half as long.
    return {name: [[round(xy[axis], 2) for xy in line] for line in lines] for axis, name in enumerate(("xs", "ys"))}


def _fill_columns(fills: Sequence[Filled]) -> Columns:
    return {**_points([f.points for f in fills]), "colour": [f.colour for f in fills],
            "cover": [f.cover for f in fills]}


class Script(anywidget.AnyWidget):
    """Carries Bokeh's own script to the page once, so that no page fetches it from elsewhere and no file stores it."""

    code = traitlets.Unicode().tag(sync=True)
    version = traitlets.Unicode(bokeh.__version__).tag(sync=True)
    page = traitlets.Float(0).tag(sync=True)
    _esm = """
    export default { render({ model }) {
      if (window.Bokeh?.version !== model.get("version")) {
        const script = document.createElement("script")
        script.textContent = model.get("code")
        document.head.append(script)
      }
      model.set("page", performance.timeOrigin)
      model.save_changes()
    } }"""


@cache
def script() -> Script:
    """The script of this kernel: one for all canvases."""
    folder = Path(bokeh.__file__).parent / "server" / "static" / "js"
    return Script(code=(folder / "bokeh.min.js").read_text("utf-8"))


def canvas(view: BokehView) -> ipywidgets.VBox:
    """A view as a widget: filled when the page is ready, and again after the page is loaded anew.

    The model of a figure takes its picture of it when it is made, so it is made no sooner.
    """
    carrier = script()
    place = ipywidgets.VBox([carrier])

    def fill(_: Any = None) -> None:
        old = place.children[1:]
        view.settle()
        place.children = (carrier, BokehModel(view.figure))
        for model in old:
            model.close()

    carrier.observe(fill, "page")
    if carrier.page:
        fill()
    return place
