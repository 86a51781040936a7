"""What all groups of controls of a board have in common."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

HEIGHT = "36px"  # large enough for a finger


class Part:
    """A group of controls: its widget, and how it shows what is on the board.

    Parameters
    ----------
    board : Board
    """

    widget: w.Widget

    def __init__(self, board: Any) -> None:
        self.board = board

    def fill(self) -> None:
        """Let the controls show what is on the board."""

    def on(self, control: w.Widget, act: Callable[[], Any]) -> None:
        """Answer a person's change of a control, and not the board's own."""
        control.observe(lambda _: None if self.board.filling else act(), "value")


def size(width: int) -> w.Layout:
    """The room of a control."""
    return w.Layout(width=f"{width}px", height=HEIGHT)


def button(word: str, tip: str, act: Callable[[], Any], width: int = 84) -> w.Button:
    """A button that does something."""
    made = w.Button(description=word, tooltip=tip, layout=size(width))
    made.on_click(lambda _: act())
    return made


def label(width: int) -> dict[str, str]:
    """The room of the word before a control."""
    return {"description_width": f"{width}px"}


def row(widgets: Sequence[w.Widget], align: str = "center") -> w.Box:
    """Side by side, and below each other where the page is narrow."""
    return w.Box(list(widgets), layout=w.Layout(flex_flow="row wrap", align_items=align, grid_gap="2px 8px"))
