"""A learner opens what the tutor has handed out, the tutor marks the files of the class: all by buttons."""

from __future__ import annotations

import os
from pathlib import Path

import ipywidgets as w

from pressinglib.errors import PressingError
from pressinglib.show import picture_html
from pressinglib.show.controls import Display
from pressinglib.teach.answer_file import FOLDER as ANSWERS
from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.class_results import ClassResults, read_class
from pressinglib.teach.course import ENDING, FOLDER, TEAM, Course, read_exercises
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.form import Form
from pressinglib.teach.own_exercise import load_exercise
from pressinglib.teach.widget import TryIt, opened


class Homework(Form):
    """For a learner: write a name, choose what the tutor has handed out, and answer on the board.

    Parameters
    ----------
    folder : str
        Where the tutor's files lie, beside the notebook: a course, or single exercises.
    answers : str
        Where the tries are kept, a file for each learner.

    Examples
    --------
    >>> Homework("nowhere").words.text
    'No file yet. Lay the file of your tutor into the folder nowhere, then run this cell again.'
    """

    def __init__(self, folder: str = FOLDER, answers: str = ANSWERS) -> None:
        self.folder, self.answers = folder, answers
        self.task: TryIt | None = None
        super().__init__({"Your name": "", "Exercise": None})

    def build(self) -> Display:
        """The fields, and the exercise that is open."""
        self.given, trouble = self._given()
        begin = "Write your name and choose an exercise, then press Open." if self.given else (
            f"No file yet. Lay the file of your tutor into the folder {self.folder}, then run this cell again.")
        if self.filled["Exercise"] not in self.given:
            self.filled["Exercise"] = next(iter(self.given), None)
        self.lay({"Your name": w.Text(), "Exercise": w.Dropdown(options=list(self.given))}, {"Open": self._open},
                 " ".join([begin, *trouble]))
        self.buttons["Open"].disabled = not self.given
        self.place = w.VBox([] if self.task is None else [opened(self.task)])
        return Display([w.HBox([*self.fields.values(), *self.buttons.values()]), self.words, self.place])

    def __repr__(self) -> str:
        return "Exercises from your tutor: write your name, choose one, press Open."

    def _given(self) -> tuple[dict[str, tuple[str, Exercise]], list[str]]:
        """The exercises by a name to choose, the courses first in their order; and what is wrong with other files."""
        place = Path(self.folder)
        files = sorted(place.glob("*.json")) if os.path.isdir(place) else []
        given: dict[str, tuple[str, Exercise]] = {}
        trouble = []
        for path in sorted(files, key=lambda path: not path.name.endswith(ENDING)):
            try:
                course = read_exercises(path) if path.name.endswith(ENDING) else Course(TEAM, (load_exercise(path),))
            except PressingError as error:
                trouble.append(str(error))
                continue
            for one in course:
                name = one.title if course.title == TEAM else f"{course.title}: {one.title}"
                given[name] = course.title, one
        return given, trouble

    def _open(self) -> str:
        """The chosen exercise on its board; every try goes into the learner's file."""
        name = self.filled["Your name"].strip()
        if not name:
            return "Write your name first: your tries are kept under it."
        lesson, exercise = self.given[self.filled["Exercise"]]
        progress = progress_of(name, lesson, self.answers)
        if self.task is not None:
            self.task.close()
        self.task = TryIt(exercise, progress=progress)
        self.place.children = [self.task.widget]
        return f"Your tries are kept in {progress.path}: hand that file in. Nothing leaves this machine."


class MarkClass(Form):
    """For a tutor: the answers of the class, the exercises, and a button that judges every answer again.

    Parameters
    ----------
    answers : str
        A folder with a file for each learner.
    exercises : str
        The file of the course, or the folder of the exercises.

    Examples
    --------
    >>> desk = MarkClass("nowhere")
    >>> desk.buttons["Mark"].click()
    >>> desk.words.text
    'folder my-exercises: expected a folder of exercise files; got none there. Check the name.'
    """

    def __init__(self, answers: str = ANSWERS, exercises: str = FOLDER) -> None:
        self.results: ClassResults | None = None
        super().__init__({"Answers": answers, "Exercises": exercises})

    def build(self) -> Display:
        """The fields as they were filled in."""
        self.lay({name: w.Text() for name in self.filled}, {"Mark": self._mark, "Spreadsheet": self._save},
                 "Lay the files of your class into one folder, name it, then press Mark.")
        self.table = w.HTML("" if self.results is None else _shown(self.results))
        return Display([w.HBox([*self.fields.values(), *self.buttons.values()]), self.words, self.table])

    def __repr__(self) -> str:
        return "The files of your class: name two folders, press Mark."

    def _mark(self) -> str:
        answers, exercises = (name.strip() for name in self.filled.values())
        course = read_exercises(exercises)
        self.results = read_class(answers, course)
        self.table.value = _shown(self.results)
        return (f"Answer files: {len(self.results.learners)}. Exercises: {len(self.results.exercises)}. "
                f"Skipped: {len(self.results.skipped)}.")

    def _save(self) -> str:
        if self.results is None:
            return "Press Mark first."
        path = self.results.save(Path(self.filled["Answers"].strip()) / "class.xlsx")
        return f"Saved as {path}: exercises, learners, and what they answered."


def _shown(results: ClassResults) -> str:
    """Tables, bars, and the places of all; every name is text."""
    return results._repr_html_() + "".join(picture_html(results.places(title)) or "" for title in results.placed)
