"""A form: fields that remember, buttons, and a line that says what came of it; alone, or beside a board."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import ipywidgets as w

from pressinglib.errors import PressingError
from pressinglib.show.board import Board
from pressinglib.show.controls import Display, Displayed, LiveText, button
from pressinglib.teach.widget import opened

WORKING = "Working on it ..."
GREY = "Black and white"
PAPER: dict[str, Any] = {"Paper": ["A4", "Letter"], GREY: bool}  # the fields of whatever is printed


class Form(Displayed):
    """What was filled in is there again when it is shown anew; whatever goes wrong is said in words."""

    def __init__(self, filled: dict[str, Any]) -> None:
        self.filled, self.filling = filled, False
        self.widget = self.build()

    def lay(self, fields: Mapping[str, Any], acts: Mapping[str, Callable[[], object]], words: str = "") -> None:
        """Fields with what was filled in, and a button for each act, which gives what is to be said.

        A field is `str` or `bool`, a number of lines to write, or a list to choose from.
        """
        self.fields = {name: _field(kind) for name, kind in fields.items()}
        self.words = LiveText(text=words, tone="note")
        for name, field in self.fields.items():
            field.description = name[:1].upper() + name[1:]
            if self.filled.setdefault(name, field.value) is not None and getattr(field, "options", True):
                field.value = self.filled[name]
            field.observe(partial(self._fill, name), "value")
        self.buttons = {word: button(word, word, partial(self.tell, act), max(84, 10 * len(word)))
                        for word, act in acts.items()}

    def beside(self, board: Board, *side: w.Widget) -> Display:
        """A board to the left, the form to the right."""
        left, right = w.VBox([opened(board)]), w.VBox(side)
        parts = [left.add_class("pressing-desk-left"), right.add_class("pressing-desk-side")]
        return Display([w.Box(parts).add_class("pressing-desk-grid")]).add_class("pressing-desk")

    @property
    def paper(self) -> dict[str, Any]:
        """How it is printed."""
        return {"paper": self.filled["Paper"], "grey": self.filled[GREY]}

    def _fill(self, name: str, change: dict[str, Any]) -> None:
        if not self.filling:
            self.filled[name] = change["new"]
            self.changed(name, change["old"])

    def changed(self, name: str = "", old: Any = None) -> None:
        """A person has changed a field."""

    def tell(self, act: Callable[[], object]) -> None:
        """Do it and say what came of it; also what went wrong."""
        self.words.text = WORKING
        try:
            self.words.text = str(act())
        except PressingError as error:
            self.words.text = str(error)


def _field(kind: Any) -> w.Widget:
    if isinstance(kind, int):
        return w.Textarea(rows=kind)
    return w.Dropdown(options=kind) if isinstance(kind, list) else w.Text() if kind is str else w.Checkbox()
