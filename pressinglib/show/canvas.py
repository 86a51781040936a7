"""The canvas of a board as a widget: carries the picture to the page and the hand's messages back."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import anywidget
import ipywidgets as w
import traitlets
from IPython import get_ipython
from ipywidgets.widgets.widget import _instances

from pressinglib.show.bokeh_view import VERSION, board_columns, bokeh_script, figure_item, tokens_of
from pressinglib.show.drawing import Drawing
from pressinglib.show.primitives import Crop

# -- The hand: what the browser tells of a drag, turned into calls of Python, the latest word first.
# The browser moves the token itself and sends a small message now and then. Python answers when it has a moment; of
# messages that arrived meanwhile only the last counts, so a slow plan never falls behind the hand.


PAUSE_S = 0.005


class DragMessage(NamedTuple):
    """One message: who, where, whether the hand has let go, and which turn of the page this is."""

    team: str
    number: str
    x: float
    y: float
    done: bool
    turn: str

    @classmethod
    def of(cls, said: dict[str, Any]) -> DragMessage:
        """A message as the page sends it."""
        return cls(str(said["team"]), str(said["number"]), float(said["x"]), float(said["y"]), bool(said["done"]),
                   str(said["turn"]))


class DragQueue:
    """Hears the browser's messages and calls `carry(word)`.

    Parameters
    ----------
    carry : callable
        Called with the latest `DragMessage`.

    Examples
    --------
    >>> hand = DragQueue(print)
    >>> hand.hear(DragMessage("pressing", "9", 1.0, 2.0, True, "1.1"))
    DragMessage(team='pressing', number='9', x=1.0, y=2.0, done=True, turn='1.1')
    >>> hand.work()  # nothing waits any more
    """

    def __init__(self, carry: Callable[[DragMessage], None]) -> None:
        self._carry = carry
        self._word: DragMessage | None = None

    def hear(self, word: DragMessage) -> None:
        """A message of the browser."""
        waits = self._word
        if waits is not None and (waits.done or waits[:2] != word[:2]):
            self.work()  # the end of one drag is never lost to the start of the next
        started, self._word = self._word is not None, word
        if not started:
            self._soon()

    def _soon(self) -> None:
        try:
            asyncio.get_running_loop().call_later(PAUSE_S, self.work)
        except RuntimeError:  # no loop: plain Python, where nothing else can arrive meanwhile
            self.work()

    def work(self) -> None:
        """Answer the latest word now."""
        word, self._word = self._word, None
        if word is not None:
            self._carry(word)


# -- The words of a board: one line that is true to the picture, and a line for what went wrong.


class LiveText(anywidget.AnyWidget):
    """A line that screen readers read out when it changes; plain text, so that no name can be markup."""

    text = traitlets.Unicode().tag(sync=True)
    live = traitlets.Bool(True).tag(sync=True)  # not while a picture plays: nobody can listen to all of that
    role = traitlets.Unicode("status").tag(sync=True)
    _esm = """
    export default { render({ model, el }) {
      const line = document.createElement("p"), warns = model.get("role") == "alert"
      line.className = warns ? "pressing-complaint" : "pressing-words"
      line.setAttribute("role", model.get("role"))
      // Room for two lines, so that the picture keeps still while the words change.
      line.style.cssText = "margin: 0; font-size: 15px; line-height: 1.4; font-weight: 600"
      if (!warns) line.style.minHeight = "2.8em"
      if (warns) el.classList.add("pressing-complaint-line")
      const say = () => { line.textContent = model.get("text") }
      const live = () => line.setAttribute("aria-live", !model.get("live") ? "off" : warns ? "assertive" : "polite")
      model.on("change:text", say); model.on("change:live", live)
      live(); say()
      el.append(line)
      return () => { model.off("change:text", say); model.off("change:live", live) }
    } }"""


# -- Where a board lives among the widgets of a kernel: shown by cells, and closed when no cell shows it any more.
# Widgets live in the kernel until they are closed. A cell that runs again replaces what it showed: whatever only its
# earlier runs have shown can be seen by nobody and is closed. A page that is loaded again finds all others alive.


class Display(w.VBox):
    """The outermost widget of a board or a task; knows by which run of which cell it is shown."""

    def __init__(self, children: list[w.Widget]) -> None:
        super().__init__(children)
        self.runs: dict[str, str] = {}

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        cell, run = cell_and_run()
        if cell:
            self.runs[cell] = run
            for other in [widget for widget in _instances.values() if isinstance(widget, Display)]:
                other.leave(cell, run)
        return super()._repr_mimebundle_(**how)

    def leave(self, cell: str, run: str) -> None:
        """A newer run of a cell shows something else."""
        if self.runs.get(cell, run) != run:
            del self.runs[cell]
            if not self.runs:
                self.close()

    def close(self) -> None:
        """Close all that is in it, but for a home that another cell shows."""
        for widget in list(inside(self)):
            for part in (getattr(widget, "layout", None), getattr(widget, "style", None)):
                if isinstance(part, w.Widget):
                    part.close()
            if widget is not self:
                widget.close()
        super().close()


def inside(widget: w.Widget) -> Iterator[w.Widget]:
    """A widget and all below it."""
    yield widget
    for child in getattr(widget, "children", ()):
        if not (isinstance(child, Display) and child.runs):
            yield from inside(child)


def cell_and_run() -> tuple[str, str]:
    """The cell that runs now, and which run of it this is; empty where there are no cells.

    Examples
    --------
    >>> cell_and_run()
    ('', '')
    """
    shell = get_ipython()
    parent = shell.get_parent() if hasattr(shell, "get_parent") else {}
    return parent.get("metadata", {}).get("cellId", ""), parent.get("header", {}).get("msg_id", "")


class Displayed:
    """Something that the last line of a cell shows; built anew if it is shown after it was closed."""

    widget: Display

    def build(self) -> Display:
        """Make the widgets."""
        raise NotImplementedError

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        # The widget to see, and one steady line of text instead of the widget's long one.
        if self.widget.comm is None:
            self.widget = self.build()
        return {**self.widget._repr_mimebundle_(**how), "text/plain": repr(self)}

    def close(self) -> None:
        """Take it from the page and free what it holds; shown again, it comes back."""
        self.widget.close()


# -- The canvas of a board as a widget: carries the picture to the page and the hand's messages back.


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
        Called with the latest `DragMessage` of a drag.
    answer : callable
        Called with every other message, a dict with its `kind`: "choose", "step" or "drawn".
    """

    script = traitlets.Instance(Script).tag(sync=True, **w.widget_serialization)
    ground = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    tool = traitlets.Unicode().tag(sync=True)
    label = traitlets.Unicode(LABEL).tag(sync=True)
    width_px = traitlets.Int(740).tag(sync=True)
    _esm = Path(__file__).with_name("canvas.js")
    _css = Path(__file__).with_name("canvas.css")

    def __init__(self, carry: Callable[[DragMessage], None], answer: Callable[[dict[str, Any]], None],
                 **how: Any) -> None:
        self.drags, self._answer, self._answers = DragQueue(self._carried), answer, ""
        self._carry = carry
        super().__init__(script=script(), **how)
        self.on_msg(self._heard)

    def show(self, drawing: Drawing, portrait: bool = False, part: Crop = "whole",
             unlisted: tuple[str, ...] = ()) -> None:
        """Show another drawing, and say which turn of the hand it answers."""
        ground, picture = board_columns(drawing, portrait, part, unlisted)
        self.columns = picture["columns"]
        with self.hold_sync():
            self.ground = json.dumps(ground)
            self.picture = json.dumps({**picture, "answers": self._answers})

    def show_players(self, drawing: Drawing, portrait: bool = False, part: Crop = "whole") -> None:
        """Move the players of the picture that is shown, and nothing else."""
        self.columns = {**self.columns, "tokens": tokens_of(drawing, portrait, part)}
        self.send({"tokens": self.columns["tokens"]})

    def _carried(self, word: DragMessage) -> None:
        self._answers = word.turn
        self._carry(word)

    def _heard(self, _: Any, said: dict[str, Any], __: Any) -> None:
        """A message of the page, in the order in which the hand made them."""
        if said.get("kind") == "carry":
            self.drags.hear(DragMessage.of(said))
        else:
            self.drags.work()
            self._answer(said)
