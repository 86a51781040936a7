"""The canvas of a board as a widget: carries the picture to the page and the hand's messages back."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as w
import traitlets

from pressinglib.show.bokeh_view import VERSION, bokeh_script, figure_item, inked, tokens_of
from pressinglib.show.drawing import Drawing
from pressinglib.show.hand import Hand, Word
from pressinglib.show.part import Part

LABEL = "the picture: arrow keys take whoever is chosen 0.5 m further, with Shift 5 m"


class Script(anywidget.AnyWidget):
    """Bokeh's own script and the empty figure, which pages ask for once; nothing to see."""

    code = traitlets.Unicode().tag(sync=True)
    item = traitlets.Unicode().tag(sync=True)
    version = traitlets.Unicode(VERSION).tag(sync=True)
    _esm = "export default { render() {} }"


@cache
def script() -> Script:
    """The script of this kernel: one for all canvases."""
    return Script(code=bokeh_script(), item=figure_item())


class Canvas(anywidget.AnyWidget):
    """A picture on the page; every page that shows it draws all of it from these values.

    Parameters
    ----------
    carry : callable
        Called with the latest `Word` of a drag.
    answer : callable
        Called with every other message, a dict with its `kind`: "choose", "step" or "drawn".
    """

    script = traitlets.Instance(Script).tag(sync=True, **w.widget_serialization)
    ground = traitlets.Unicode().tag(sync=True)
    ink = traitlets.Unicode().tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    tool = traitlets.Unicode().tag(sync=True)
    label = traitlets.Unicode(LABEL).tag(sync=True)
    width_px = traitlets.Int(740).tag(sync=True)
    _esm = Path(__file__).with_name("canvas.js")
    _css = Path(__file__).with_name("canvas.css")

    def __init__(self, carry: Callable[[Word], None], answer: Callable[[dict[str, Any]], None], **how: Any) -> None:
        self.hand, self._answer, self._answers = Hand(self._carried), answer, ""
        self._carry = carry
        super().__init__(script=script(), **how)
        self.on_msg(self._heard)

    def show(self, drawing: Drawing, portrait: bool = False, part: Part = "whole",
             unkeyed: tuple[str, ...] = ()) -> None:
        """Show another drawing, and say which turn of the hand it answers."""
        ground, picture = inked(drawing, portrait, part, unkeyed)
        self.columns = picture["columns"]
        with self.hold_sync():
            self.ground = json.dumps(ground)
            self.ink = json.dumps({**picture, "answers": self._answers})

    def show_players(self, drawing: Drawing, portrait: bool = False, part: Part = "whole") -> None:
        """Move the players of the picture that is shown, and nothing else."""
        self.columns = {**self.columns, "tokens": tokens_of(drawing, portrait, part)}
        self.send({"tokens": self.columns["tokens"]})

    def _carried(self, word: Word) -> None:
        self._answers = word.turn
        self._carry(word)

    def _heard(self, _: Any, said: dict[str, Any], __: Any) -> None:
        """A message of the page, in the order in which the hand made them."""
        if said.get("kind") == "carry":
            self.hand.hear(Word.of(said))
        else:
            self.hand.work()
            self._answer(said)
