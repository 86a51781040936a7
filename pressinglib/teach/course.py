"""A tutor's folder of exercises, and a course: exercises in their order, which go out to a class as one file.

The schema, version 1 (JSON object, UTF-8):

    version     1
    made_with   version of pressinglib that wrote it
    title       text, at most 80 characters: answers are kept under it
    exercises   list of 1-60, each as in `pressinglib.teach.own_exercise`, no title twice
"""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import count
from pathlib import Path
from typing import TypeVar

from pressinglib import __version__
from pressinglib.errors import BadInput, ExerciseFileError, as_items, as_text
from pressinglib.files import Format, file_name, made_folder, made_of, printable, several, short, text, write_file
from pressinglib.teach.exercise import Card, Exercise
from pressinglib.teach.own_exercise import EXERCISE, LONGEST_VERSION, document_of, load_exercise, save_exercise

FOLDER = "my-exercises"
TEAM = "my team"  # what tries are filed under where no course has a title
ENDING, ORDER = ".course.json", "course.txt"
MOST_FILES, MOST_EXERCISES, LONGEST_TITLE, LONGEST_WHY = 500, 60, 80, 400
Made = TypeVar("Made")
Skipped = tuple[tuple[str, str], ...]  # names of files, and why they could not be used


@dataclass(frozen=True, repr=False)
class Course:
    """Exercises in their order, under a title; `skipped` names the files that are faulty, and why.

    >>> from pressinglib.teach.lessons.lesson_00 import which_side, who_goes
    >>> Course("Tuesday", (who_goes, which_side))
    Tuesday: Who goes?; To which side?
    """

    title: str
    exercises: tuple[Exercise, ...]
    skipped: Skipped = ()

    def __post_init__(self) -> None:
        title = as_text(self.title, "the title of the course", 1, LONGEST_TITLE).strip()
        object.__setattr__(self, "title", title)
        object.__setattr__(self, "exercises", as_items(self.exercises, Exercise, "exercises of the course", "exercises",
                                                       "make them first: make_exercise(...)"))
        for words, times in Counter(one.title for one in self.exercises).items():
            if times > 1:
                raise BadInput(f"exercises of {title}", expected="each title once", got=words,
                               todo="give one of them another title")

    def __repr__(self) -> str:
        return f"{self.title}: {'; '.join(one.title for one in self.exercises) or 'no exercise'}"

    def __iter__(self) -> Iterator[Exercise]:
        return iter(self.exercises)

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write it as one file to hand out; replaced as a whole, and a PressingError says what cannot be kept."""
        return COURSE.save({"made_with": __version__, "title": self.title,
                            "exercises": [{"version": EXERCISE.version, **document_of(one)} for one in self]}, path)


COURSE = Format(ExerciseFileError, 1, 4_000_000, made_of(
    lambda made_with, title, exercises: Course(title, exercises), made_with=text(1, LONGEST_VERSION), title=None,
    exercises=several(EXERCISE.newest, 1, MOST_EXERCISES, "exercises")))


def read_exercises(path: str | os.PathLike[str]) -> Course:
    """What is in the file of a course or an exercise; or the exercises in a folder, by name, a faulty one named.

    A folder in which one course lies stands for that course, whose order counts. A PressingError says that there is no
    such file or folder, or what is damaged.
    """
    if isinstance(path, str | os.PathLike) and os.path.isfile(path):
        return COURSE.load(path) if str(path).endswith(ENDING) else Course(TEAM, (load_exercise(path),))
    files = json_files(path, "exercise files")
    courses = [file for file in files if file.name.endswith(ENDING)]
    if len(courses) == 1:
        return COURSE.load(courses[0])
    made, skipped = each_file([file for file in files if file not in courses], lambda file: (file, load_exercise(file)))
    by_title: dict[str, Exercise] = {}
    for file, exercise in made:
        if by_title.setdefault(exercise.title, exercise) is not exercise:
            skipped += ((file.name, f"another file has its title: {exercise.title}"),)
    return Course(TEAM, tuple(by_title.values()), skipped)


def each_file(files: Iterable[Path], use: Callable[[Path], Made]) -> tuple[list[Made], Skipped]:
    """What is made of each file, and the files of which nothing can be made: one must not cost the tutor the others."""
    made, skipped = [], []
    for path in files:
        try:
            made.append(use(path))
        except Exception as error:
            faults = getattr(error, "problems", [f"it cannot be judged ({type(error).__name__})"])
            skipped.append((printable(path.name)[:100], short("; ".join(faults[:3]), LONGEST_WHY)))
    return made, tuple(skipped)


def json_files(folder: object, what: str) -> list[Path]:
    """The files of a folder that may be ours, by name."""
    if not (isinstance(folder, str | os.PathLike) and os.path.isdir(folder) and os.access(folder, os.R_OK | os.X_OK)):
        raise BadInput(f"folder {str(folder)[:200]}", expected=f"a folder of {what}", got="none there",
                       todo="check its name and rights")
    paths = sorted(path for path in Path(folder).iterdir() if path.suffix.lower() == ".json")
    if len(paths) > MOST_FILES:
        raise BadInput(f"folder {folder}", expected=f"at most {MOST_FILES} files", got=str(len(paths)),
                       todo="take a folder for each class")
    return paths


class Workshop:
    """The folder of a tutor's exercises: each under its title, none written over another unasked; and of the course."""

    def __init__(self, folder: str | os.PathLike[str] = FOLDER) -> None:
        self.folder = Path(folder)

    def titles(self) -> dict[str, Path]:
        """The exercises that lie there, by title."""
        files = sorted(self.folder.glob("*.json")) if os.path.isdir(self.folder) else []
        found, _ = each_file(files, lambda file: (json.loads(file.read_text("utf-8"))["title"], file))
        return {title: file for title, file in found if isinstance(title, str) and not file.name.endswith(ENDING)}

    def course(self) -> tuple[str, list[Path]]:
        """The title of the course and the files of its exercises in their order, as kept; at first all that lie there.

        They stand in `course.txt`: the title, then the names of the files, each on a line.
        """
        there = {path.name: path for path in self.titles().values()}
        try:
            title, *names = (self.folder / ORDER).read_text("utf-8").split("\n")
        except (OSError, ValueError):
            title, names = "My course", [*there]
        return printable(title), [there[name] for name in dict.fromkeys(names) if name in there]

    def keep(self, title: str, files: Iterable[Path]) -> None:
        """Keep title and order for the next time."""
        if os.path.isdir(self.folder):
            lines = "\n".join([title, *(path.name for path in files)])
            write_file(self.folder / ORDER, lines.encode("utf-8", "replace"))

    def path(self, title: str, ending: str) -> Path:
        """The name for a title: its own, or the next that is free."""
        stem = file_name(title, "exercise")
        names = (self.folder / f"{stem}{'' if n == 1 else f'_{n}'}.json" for n in count(1))
        mine = self.titles().get(title) or next(name for name in names if not os.path.lexists(name))
        return mine.with_name(mine.stem + ending)

    def save(self, exercise: Exercise, replace: bool = False) -> Card:
        """The exercise as a file; another one of the same title stays unless it is to be replaced."""
        path = self.path(exercise.title, ".json")
        if os.path.lexists(path) and not replace:
            return Card(f"{path} has an exercise of this title. Give yours another title, or press Replace.",
                        title="Not saved")
        return self.written(exercise.title, ".json", partial(save_exercise, exercise))

    def written(self, title: str, ending: str, write: Callable[[Path], object]) -> Card:
        """What comes of writing a file under a title."""
        path = self.path(title, ending)
        made_folder(self.folder)
        new = not path.exists()
        write(path)
        return Card(f"{'Saved' if new else 'Saved anew'} as {path}.")
