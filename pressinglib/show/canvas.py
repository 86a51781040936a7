"""The widgets under a board: the canvas with its picture, the hand's messages, lines that are read out, and the cell.

The page carries a drag itself and sends a small message now and then. Python answers when it has a moment; of messages
that arrived meanwhile only the last counts, so a slow plan never falls behind the hand.
"""

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

PAUSE_S = 0.005


class DragMessage(NamedTuple):
    """What the page says of a drag: who, where, whether the hand has let go, and which turn of the page this is."""

    team: str
    number: str
    x: float
    y: float
    done: bool
    turn: str

    @classmethod
    def of(cls, message: dict[str, Any]) -> DragMessage:
        """A message as the page sends it."""
        return cls(str(message["team"]), str(message["number"]), float(message["x"]), float(message["y"]),
                   bool(message["done"]), str(message["turn"]))


class DragQueue:
    """Hears the messages of a drag and calls `carry` with the latest."""

    def __init__(self, carry: Callable[[DragMessage], None]) -> None:
        self._carry = carry
        self._waiting: DragMessage | None = None

    def hear(self, message: DragMessage) -> None:
        """A message of the page."""
        waits = self._waiting
        if waits is not None and (waits.done or waits[:2] != message[:2]):
            self.work()  # the end of one drag is never lost to the start of the next
        started, self._waiting = self._waiting is not None, message
        if started:
            return
        try:
            asyncio.get_running_loop().call_later(PAUSE_S, self.work)
        except RuntimeError:  # no loop: plain Python, where nothing else can arrive meanwhile
            self.work()

    def work(self) -> None:
        """Answer the latest message now."""
        message, self._waiting = self._waiting, None
        if message is not None:
            self._carry(message)


class LiveText(anywidget.AnyWidget):
    """A line that screen readers read out when it changes; plain text, so that no name can be markup."""

    text = traitlets.Unicode().tag(sync=True)
    live = traitlets.Bool(True).tag(sync=True)  # not while a picture plays: nobody can listen to all of that
    role = traitlets.Unicode("status").tag(sync=True)
    tone = traitlets.Unicode().tag(sync=True)  # a kind of words that looks otherwise, such as "right" or "wrong"
    _esm = Path(__file__).with_name("live_text.js")


# -- Where a board lives among the widgets of a kernel: shown by cells, and closed when no cell shows it any more.
# Widgets live in the kernel until they are closed. A cell that runs again replaces what it showed: whatever only its
# earlier runs have shown can be seen by nobody and is closed. A page that is loaded again finds all others alive.

class Display(w.VBox):
    """The outermost widget of a board or a task; knows by which run of which cell it is shown."""

    def __init__(self, children: list[w.Widget]) -> None:
        super().__init__(children)
        self.runs: dict[str, str] = {}
        for widget in inside(self):
            if widget.comm is not None:
                widget.comm._reply_subshell_for = _in_a_row

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
        """Close all that is in it, but for what another cell shows."""
        for widget in list(inside(self)):
            for part in (getattr(widget, "layout", None), getattr(widget, "style", None)):
                if isinstance(part, w.Widget):
                    part.close()
            if widget is not self:
                widget.close()
        super().close()


def _in_a_row(data: Any, subshell: str | None) -> str | None:
    """The kernel's main queue for every message of a page.

    Kernels may answer each widget on another thread: Check would overtake what was typed before it.
    """
    return None


def inside(widget: w.Widget) -> Iterator[w.Widget]:
    """A widget and all below it."""
    yield widget
    for child in getattr(widget, "children", ()):
        if not (isinstance(child, Display) and child.runs):
            yield from inside(child)


def cell_and_run() -> tuple[str, str]:
    """The cell that runs now, and which run of it this is; empty where there are no cells."""
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


# -- The canvas.

LABEL = "the picture: arrow keys take whoever is chosen 0.5 m further, with Shift 5 m"
PICK_LABEL = "the picture: arrow keys go from one to the next, Enter picks"


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

    `carry` is called with the latest message of a drag, `answer` with every other message, a dict with its `kind`:
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

    def _carried(self, message: DragMessage) -> None:
        self._answers = message.turn
        self._carry(message)

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        """A message of the page, in the order in which the hand made them."""
        if message.get("kind") == "carry":
            self.drags.hear(DragMessage.of(message))
        else:
            self.drags.work()
            self._answer(message)
