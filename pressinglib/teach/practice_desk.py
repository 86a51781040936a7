"""A practice in a notebook: its card with a button that prints it; a board and a form on which one's own is made."""

from __future__ import annotations

import json
from functools import partial
from typing import Any

import ipywidgets as w

from pressinglib.show.board import Board
from pressinglib.show.controls import Display
from pressinglib.teach.course import Workshop
from pressinglib.teach.form import PAPER, Form
from pressinglib.teach.practice import HEADS, LESSONS, LISTS, PRACTICE, Practice, lesson_practice, started

FOLDER = "my-practices"
KEPT = 12.0, 70.0  # cm wide, dots an inch: of the picture that a notebook keeps


class PracticeCard(Form):
    """A practice to look at, and a button that prints it.

    Parameters
    ----------
    practice : Practice or str
        One of your own, or the number of a lesson.

    Examples
    --------
    >>> PracticeCard("00").practice.title
    'Four against three'
    """

    def __init__(self, practice: Practice | str, folder: str = FOLDER) -> None:
        self.practice = practice if isinstance(practice, Practice) else lesson_practice(practice)
        self.shop = Workshop(folder)
        super().__init__({})

    def build(self) -> Display:
        """The picture, the words, the button."""
        self.lay(PAPER, {"PDF": self._print})
        shown = w.Image(value=self.practice._repr_png_() or b"", layout=w.Layout(max_width="100%", width="640px"))
        keys = w.Box([*self.fields.values(), *self.buttons.values()])
        return Display([shown, w.HTML(self.practice._repr_html_()), keys, self.words])

    def __repr__(self) -> str:
        return f"A card: {self.practice.title}"

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        return {**super()._repr_mimebundle_(**how), "image/png": self.practice._repr_png_(*KEPT)}

    def _print(self) -> object:
        return self.shop.written(self.practice.title, ".pdf", partial(self.practice.save, **self.paper))


class PracticeDesk(Form):
    """A board on which a practice is set up and drawn, and a form for its words; printed, kept, opened again.

    Parameters
    ----------
    begin : Practice or str
        One of your own, or the number of a lesson.
    folder : str
        Where files go, beside the notebook.

    Examples
    --------
    >>> desk = PracticeDesk("00", "nowhere")
    >>> desk.fields["Title"].value = "Four against three, for my team"
    >>> desk.made().title, len(desk.made().steps)
    ('Four against three, for my team', 4)
    """

    def __init__(self, begin: Practice | str = "00", folder: str = FOLDER) -> None:
        self.shop = Workshop(folder)
        self.first = begin if isinstance(begin, Practice) else lesson_practice(begin)
        self.board = Board(self.first.situation or started(4, 4), width_px=560, with_plan=False,
                           marks=self.first.marks, controls=("steps", "move", "draw", "view"))
        self.board.set_view(part=self.first.on_pitch)
        super().__init__({"We are": len(self.board.situation.pressing),
                          "They are": len(self.board.situation.possession), **_words_of(self.first)})

    def build(self) -> Display:
        """The board on the left, the words on the right."""
        several = json.loads(LESSONS.read_text("utf-8"))
        self.begins = {f"Lesson {number}: {one['title']}": partial(lesson_practice, number)
                       for number, one in several.items()}
        self.begins |= {title: partial(PRACTICE.load, path) for title, path in self.shop.titles().items()}
        counts = list(range(1, 12))
        self.lay({"Begin": ["-", *self.begins], "We are": counts, "They are": counts, "Title": str,
                  **{head: 4 if name in LISTS else 2 for name, head in HEADS.items()}, **PAPER},
                 {"Print": self._print, "Save": self._save})
        left = self.beside(self.board, w.HTML("Drag the players; <i>Draw</i> gives area, cones, goals, ways: write the "
                                              "number of a step into its words."),
                           *self.fields.values(), w.Box([*self.buttons.values()]), self.words)
        self.board.panel.table.layout.display = "none"
        return left

    def __repr__(self) -> str:
        return f"A form for a practice, beside a {self.board!r}"

    def changed(self, name: str = "", old: Any = None) -> None:
        """Another practice to begin with, or other numbers of players."""
        if name in ("We are", "They are"):
            self.board.show(started(self.filled["We are"], self.filled["They are"]))
        elif name == "Begin" and self.filled[name] in self.begins:
            self.tell(partial(self._begin, self.filled[name]))

    def _begin(self, title: str) -> object:
        practice = self.begins[title]()
        self.board.show(practice.situation or self.board.situation, practice.marks)
        self.board.set_view(part=practice.on_pitch)
        for head, words in _words_of(practice).items():
            self.fields[head].value = words
        return "Drag, draw, write: it is yours."

    def made(self) -> Practice:
        """The practice on the screen; a PressingError says what is wrong with it."""
        said = {name: self.filled[head] for name, head in HEADS.items()}
        lines = {name: tuple(filter(None, map(str.strip, said[name].splitlines()))) for name in LISTS}
        return Practice(self.filled["Title"], **(said | lines), situation=self.board.situation,
                        marks=self.board.state.marks)

    def _print(self) -> object:
        practice = self.made()
        return self.shop.written(practice.title, ".pdf", partial(practice.save, **self.paper))

    def _save(self) -> object:
        practice = self.made()
        return self.shop.written(practice.title, ".json", practice.save)


def _words_of(practice: Practice) -> dict[str, str]:
    """What stands in the fields of a form."""
    return {"Title": practice.title, **{head: value if isinstance(value, str) else "\n".join(value)
                                        for name, head in HEADS.items() for value in [getattr(practice, name)]}}
