"""A tutor makes an exercise, a learner opens its file, the tutor marks the files of the class: all by buttons."""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Callable
from html import escape
from pathlib import Path
from types import EllipsisType
from typing import Any

import ipywidgets as w

from pressinglib.errors import PressingError
from pressinglib.field.situation import Situation
from pressinglib.files import file_name, made_folder
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.board import Board
from pressinglib.show.controls import Display, Displayed, LiveText
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.answer_file import FOLDER as ANSWERS
from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.charts import Chart
from pressinglib.teach.class_results import ClassResults, read_class, read_exercises
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.handout import Handout
from pressinglib.teach.own_exercise import KINDS, load_exercise, make_exercise, save_exercise
from pressinglib.teach.page_exercises import save_page
from pressinglib.teach.slides import save_slides, slides_of
from pressinglib.teach.verdict import Card
from pressinglib.teach.widget import TryIt, opened

FOLDER = "my-exercises"
TEAM = "my team"  # what the tries of a tutor's exercises are filed under
WIDE = "24em"


class Workshop:
    """Makes an exercise of what a tutor fills in, and keeps it to be saved and printed under its title."""

    def __init__(self, folder: str | os.PathLike[str] = FOLDER, rulebook: Rulebook | None = None) -> None:
        self.folder, self.rulebook = Path(folder), rulebook
        self.exercise: Exercise | EllipsisType = ...

    def make(self, situation: Situation, title: str, task: str, kind: str, asked: Any = "") -> Card:
        """An exercise of these fields, tried out; one that was made before stays if this one has a fault."""
        return _said(lambda: self._make(situation, title, task, kind, asked))

    def save(self) -> Card:
        """The exercise as a file to share."""
        return self._written(".json", save_exercise)

    def print_handout(self) -> Card:
        """The exercise as a handout, PDF."""
        return self._written(".pdf", lambda exercise, path: Handout(exercise).save(path))

    def save_slides(self) -> Card:
        """Question and answer as slides, GIF."""
        return self._written(".gif", lambda exercise, path: save_slides(slides_of(exercise), path))

    def save_page(self) -> Card:
        """The exercise as a page for a phone, HTML; who reads its source can read the answers."""
        return self._written(".html", save_page)

    def _make(self, situation: Situation, title: str, task: str, kind: str, asked: Any) -> Card:
        self.exercise = make_exercise(situation, title, task, kind, asked, rulebook=self.rulebook)
        return Card(f"It can be solved. {Accepted(self.exercise).card!r}")

    def _written(self, ending: str, write: Callable[[Exercise, Path], object]) -> Card:
        exercise = self.exercise
        if not isinstance(exercise, Exercise):
            return Card("Make an exercise first: fill in the fields.")
        path = self.folder / f"{file_name(exercise.title, 'exercise')}{ending}"
        return _said(lambda: self._file(exercise, path, write))

    def _file(self, exercise: Exercise, path: Path, write: Callable[[Exercise, Path], object]) -> Card:
        made_folder(self.folder)
        new = not path.exists()
        write(exercise, path)
        return Card(f"{'Saved' if new else 'Saved anew'} as {path}.")


def _said(make: Callable[[], Card]) -> Card:
    """A card, also of what went wrong."""
    try:
        return make()
    except PressingError as error:
        return Card(str(error))


def kept(field: w.ValueWidget, name: str, values: dict[str, Any], width: str = WIDE) -> w.ValueWidget:
    """A field that shows the value of this name, and keeps what is filled in."""
    field.description, field.layout, field.value = name, w.Layout(width=width), values[name]
    field.observe(lambda change: values.update({name: change["new"]}), "value")
    return field


class Desk(Displayed):
    """A form under a board: what is on the board becomes an exercise, to be tried, saved and printed.

    Parameters
    ----------
    board : Board
    folder : str
        Where files go, beside the notebook.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> desk = Desk(Board(scene("worked scene")))
    >>> desk.fields["Title"].value, desk.fields["Task"].value = "Who goes?", "Write his number."
    >>> desk.make()
    Note: It can be solved. Right: 9 and nothing else.
    >>> desk.exercise
    Who goes? Write his number.
    """

    def __init__(self, board: Board, folder: str = FOLDER) -> None:
        self.board, self.shop = board, Workshop(folder, board.rulebook)
        self.filled = {"Title": "", "Task": "", "Kind": next(iter(KINDS)), "Asked": ""}
        self.widget = self.build()

    def build(self) -> Display:
        """Fields, buttons and words under the board, as they were filled in."""
        fields = {"Title": w.Text(placeholder="a question"), "Task": w.Textarea(placeholder="what to do", rows=2),
                  "Kind": w.Dropdown(options=list(KINDS)), "Asked": w.Text()}
        self.fields = {name: kept(field, name, self.filled, "34em") for name, field in fields.items()}
        self.fields["Kind"].observe(lambda _: self._ask(), "value")
        self._ask()
        acts = {"Try": self.make, "Save": self.shop.save, "Handout": self.shop.print_handout,
                "Slides": self.shop.save_slides, "Page": self.shop.save_page}
        self.buttons = {word: w.Button(description=word) for word in acts}
        for word, act in acts.items():
            self.buttons[word].on_click(lambda _, act=act: self._say(act()))
        self.words = LiveText(text="Move the players, fill in the fields, then press Try.")
        return Display([opened(self.board), *self.fields.values(), w.HBox([*self.buttons.values()]), self.words])

    def __repr__(self) -> str:
        return f"A form for an exercise, under a {self.board!r}"

    @property
    def exercise(self) -> Exercise | EllipsisType:
        """The one that was made last; `...` before."""
        return self.shop.exercise

    def make(self) -> Card:
        """An exercise of what is on the board and in the fields."""
        title, task, kind, asked = self.filled.values()
        return self.shop.make(self.board.situation, title, task, kind, asked if KINDS[kind].asks else "")

    def _ask(self) -> None:
        kind = KINDS[self.filled["Kind"]]
        self.fields["Asked"].placeholder, self.fields["Asked"].disabled = kind.words, not kind.asks

    def _say(self, card: Card) -> None:
        self.words.text = repr(card)


class Homework(Displayed):
    """For a learner: write a name, choose one of the files the tutor has handed out, and answer on the board.

    Parameters
    ----------
    folder : str
        Where the tutor's files lie, beside the notebook.
    answers : str
        Where the tries are kept, a file for each learner.

    Examples
    --------
    >>> Homework("nowhere").words.text
    'No file yet. Lay the files of your tutor into the folder nowhere, then run this cell again.'
    """

    def __init__(self, folder: str = FOLDER, answers: str = ANSWERS) -> None:
        self.folder, self.answers = folder, answers
        self.filled: dict[str, Any] = {"Your name": "", "Exercise": None}
        self.task: TryIt | None = None
        self.widget = self.build()

    def build(self) -> Display:
        """The fields, and the exercise that is open."""
        place = Path(self.folder)
        files = sorted(path.name for path in place.glob("*.json")) if os.path.isdir(place) else []
        if self.filled["Exercise"] not in files:
            self.filled["Exercise"] = files[0] if files else None
        self.name = kept(w.Text(), "Your name", self.filled)
        self.which = kept(w.Dropdown(options=files), "Exercise", self.filled)
        self.open = w.Button(description="Open", disabled=not files)
        self.open.on_click(lambda _: self._open())
        self.words = LiveText(text="Write your name and choose an exercise, then press Open." if files else
                              f"No file yet. Lay the files of your tutor into the folder {self.folder}, then run this "
                              "cell again.")
        self.place = w.VBox([] if self.task is None else [opened(self.task)])
        return Display([w.HBox([self.name, self.which, self.open]), self.words, self.place])

    def __repr__(self) -> str:
        return "Exercises from your tutor: write your name, choose one, press Open."

    def _open(self) -> None:
        """The chosen exercise on its board; every try goes into the learner's file."""
        name = self.filled["Your name"].strip()
        if not name:
            self.words.text = "Write your name first: your tries are kept under it."
            return
        try:
            exercise = load_exercise(Path(self.folder) / self.filled["Exercise"])
        except PressingError as error:
            self.words.text = str(error)
            return
        progress = progress_of(name, TEAM, self.answers)
        if self.task is not None:
            self.task.close()
        self.task = TryIt(exercise, progress=progress)
        self.place.children = [self.task.widget]
        self.words.text = f"Your tries are kept in {progress.path}: hand that file in. Nothing leaves this machine."


class MarkClass(Displayed):
    """For a tutor: two folders, and a button that judges every answer of the class again.

    Parameters
    ----------
    answers : str
        Holds a file for each learner.
    folder : str
        Holds the exercises that were handed out.

    Examples
    --------
    >>> desk = MarkClass("nowhere")
    >>> desk.button.click()
    >>> desk.words.text
    'folder my-exercises: expected a folder of exercise files; got none there. Check the name.'
    """

    def __init__(self, answers: str = ANSWERS, folder: str = FOLDER) -> None:
        self.filled = {"Answers": answers, "Exercises": folder}
        self.widget = self.build()

    def build(self) -> Display:
        """The fields as they were filled in."""
        self.fields = {name: kept(w.Text(), name, self.filled) for name in self.filled}
        self.button = w.Button(description="Mark")
        self.button.on_click(lambda _: self._mark())
        self.words = LiveText(text="Lay the files of your class into one folder, name it, then press Mark.")
        self.table, self.plot = w.HTML(), w.HTML()
        return Display([w.HBox([*self.fields.values(), self.button]), self.words, self.table, self.plot])

    def __repr__(self) -> str:
        return "The files of your class: name two folders, press Mark."

    def _mark(self) -> None:
        answers, folder = (name.strip() for name in self.filled.values())
        try:
            results = read_class(answers, {TEAM: read_exercises(folder)})
        except PressingError as error:
            self.words.text = str(error)
            return
        self._show(results)

    def _show(self, results: ClassResults) -> None:
        """Table and picture; every name is text."""
        self.table.value = results._repr_html_()
        self.plot.value = _image(results.plot()) if results.learners else ""
        self.words.text = (f"Answer files: {len(results.learners)}. Exercises: {len(results.exercises)}. "
                           f"Skipped: {len(results.skipped)}.")


def _image(plot: Chart) -> str:
    """The picture with its words."""
    png = b64encode(plot._repr_png_()).decode()
    return f'<img alt="{escape(repr(plot), quote=True)}" src="data:image/png;base64,{png}">'
