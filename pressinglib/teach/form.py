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


class Form(Displayed):
    """What was filled in is there again when it is shown anew; whatever goes wrong is said in words."""

    def __init__(self, filled: dict[str, Any]) -> None:
        self.filled, self.filling = filled, False
        self.widget = self.build()

    def lay(self, fields: Mapping[str, w.Widget], acts: Mapping[str, Callable[[], object]], words: str = "") -> None:
        """Fields with what was filled in, and a button for each act, which gives what is to be said."""
        self.fields, self.words = dict(fields), LiveText(text=words, tone="note")
        for name, field in fields.items():
            field.description = name[:1].upper() + name[1:]
            if self.filled[name] is not None:
                field.value = self.filled[name]
            field.observe(partial(self._fill, name), "value")
        self.buttons = {word: button(word, word, partial(self.tell, act), max(84, 10 * len(word)))
                        for word, act in acts.items()}

    def beside(self, board: Board, *side: w.Widget) -> Display:
        """A board to the left, the form to the right."""
        left, right = w.VBox([opened(board)]), w.VBox(side)
        parts = [left.add_class("pressing-desk-left"), right.add_class("pressing-desk-side")]
        return Display([w.Box(parts).add_class("pressing-desk-grid")]).add_class("pressing-desk")

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
