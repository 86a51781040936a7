"""A class folder: one answer file for each learner, every answer judged again: who solved what, what failed most."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any, TypeVar

from pressinglib import __version__
from pressinglib.errors import BadInput, PlainFileError, PressingError
from pressinglib.files import printable, short
from pressinglib.tables import Table
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.answer_file import AnswerFile, Category, load_answers, so_far
from pressinglib.teach.charts import Chart, class_chart
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.own_exercise import SharedExercise, load_exercise
from pressinglib.teach.verdict import NOT_ATTEMPTED

MAKES_NO_SENSE = "an answer that makes sense"
THE_ANSWER = "the answer"  # where there is but one criterion
MOST_FILES, LONGEST_WHY = 500, 400
Made = TypeVar("Made")
Exercises = Mapping[tuple[str, str], Exercise]  # by lesson and title
Skipped = tuple[tuple[str, str], ...]  # names of files, and why they could not be used


@dataclass(frozen=True)
class Mark:
    """What came of a learner's tries at one exercise: right or wrong, oldest first, and the criteria not met."""

    outcomes: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()

    @property
    def category(self) -> Category:
        """How far the learner got."""
        return Category.of(self.outcomes)

    @property
    def words(self) -> str:
        """The same with the number of tries: "right, try 2", "not yet, 3 tries" or "-"."""
        return so_far(self.outcomes)


def mark(exercise: Exercise, answers: Iterable[Any]) -> Mark:
    """The tries judged again, whatever their file says of them."""
    answers = list(answers)
    failed = dict.fromkeys(criterion for answer in answers for criterion in failed_criteria(exercise, answer))
    outcomes = [exercise.check(answer).outcome for answer in answers]
    return Mark(tuple(outcome for outcome in outcomes if outcome != NOT_ATTEMPTED), tuple(failed))


def failed_criteria(exercise: Exercise, answer: Any) -> list[str]:
    """What an answer does not meet, in the words of the exercise's criteria."""
    try:
        value = exercise.read(answer)
    except PressingError:
        return [MAKES_NO_SENSE]
    findings = [] if value is None else exercise.judge.findings(exercise.plan, value)
    return [finding.criterion or THE_ANSWER for finding in findings if not finding.holds]


@dataclass(frozen=True)
class Learner:
    """A learner's marks, in the order of the class's exercises."""

    name: str
    marks: tuple[Mark, ...]
    other: int = 0  # tries at exercises that are not asked for
    made_with: str = __version__


@dataclass(frozen=True, repr=False)
class ClassResults:
    """Who solved what; shows itself as tables in which every name is text; `table().to_csv("class.csv")` writes one.

    Exercises are titles in the order of the marks, learners come by name; `skipped` names files that could not be read,
    and why; `asked` are the exercises themselves.
    """

    exercises: tuple[str, ...]
    learners: tuple[Learner, ...]
    skipped: Skipped = ()
    asked: tuple[Exercise, ...] = ()

    def table(self) -> Table:
        """A learner a row: name, then a mark for each exercise."""
        rows = [(learner.name, *(mark.words for mark in learner.marks)) for learner in self.learners]
        return Table(("Learner", *self.exercises), rows, empty="No answers.")

    def not_met(self) -> Table:
        """What failed most: criterion by criterion, how many learners did not meet it in some try."""
        return Table(("Exercise", "Not met", "Learners"), self.failed, empty="Everything is met.")

    @property
    def failed(self) -> list[tuple[str, str, int]]:
        """Exercise, criterion, and how many learners did not meet it in some try; most first."""
        counted = Counter((title, criterion) for learner in self.learners
                          for title, mark in zip(self.exercises, learner.marks, strict=True)
                          for criterion in mark.failed)
        return sorted(((*key, n) for key, n in counted.items()), key=lambda row: (-row[2], row[:2]))

    @property
    def notes(self) -> list[str]:
        """What a tutor has to know beside the table."""
        shared = [one for one in self.asked if isinstance(one, SharedExercise) and one.note]
        notes = [f"{one.title}: {one.note}" for one in shared]
        notes += [f"Skipped {name}: {why}" for name, why in self.skipped]
        notes += [f"{one.name}: answered with pressinglib {one.made_with}, judged here with {__version__}."
                  for one in self.learners if one.made_with != __version__]
        notes += [f"{one.name}: {one.other} tries at other exercises are not in the table."
                  for one in self.learners if one.other]
        twice = [name for name, n in Counter(one.name for one in self.learners).items() if n > 1]
        return notes + [f"{name}: more than one file; each has a row." for name in sorted(twice)]

    @property
    def accepted(self) -> Table:
        """What counts as right in each exercise, alternatives too; places take a second each."""
        return Table(("Exercise", "Right"), [(one.title, Accepted(one).card.words) for one in self.asked])

    def plot(self) -> Chart:
        """The same as a picture: how many solved each exercise, and what failed most."""
        counts = {str(category): [sum(learner.marks[n].category is category for learner in self.learners)
                                  for n in range(len(self.exercises))] for category in Category}
        return class_chart(self.exercises, counts, self.failed)

    def __repr__(self) -> str:
        return "\n\n".join(map(repr, self._tables()))

    def _repr_html_(self) -> str:
        return "".join(table._repr_html_() for table in self._tables())

    def _tables(self) -> list[Table]:
        *first, last = [self.table(), self.not_met()] if self.failed else [self.table()]
        return [*first, replace(last, notes=self.notes)]


def read_class(folder: str | os.PathLike[str], lessons: Mapping[str, Iterable[Exercise]]) -> ClassResults:
    """The answers of a class, judged again.

    Parameters
    ----------
    folder : str or path
        Holds one answer file (.json) for each learner. What else lies there is left alone; a file that is damaged, or
        tries to be clever, is named and skipped.
    lessons : mapping
        For each lesson's name its exercises, such as ``{"00": exercises_of(lesson_00)}``.

    Raises
    ------
    BadInput
        If there is no such folder, or two exercises of a lesson have one title.

    Examples
    --------
    >>> import tempfile
    >>> from pressinglib.teach.lessons import lesson_00
    >>> from pressinglib.teach.answer_file import progress_of
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = progress_of("Kim", "00", folder).check(lesson_00.who_goes, "11")
    ...     read_class(folder, {"00": [lesson_00.who_goes]})
    Learner  Who goes?
    Kim      right, try 1
    >>> read_class("nowhere", {})
    Traceback (most recent call last):
    pressinglib.errors.BadInput: folder nowhere: expected a folder of answer files; got none there. ...
    """
    place = _folder(folder, "answer files")
    exercises = _by_name(lessons)
    learners, skipped = _each(place, lambda path: _learner(load_answers(path), exercises))
    skipped = (*(one for some in lessons.values() for one in getattr(some, "skipped", ())), *skipped)
    learners.sort(key=lambda one: one.name.casefold())
    titles, asked = tuple(title for _, title in exercises), tuple(exercises.values())
    return ClassResults(titles, tuple(learners), skipped, asked)


def _each(folder: Path, use: Callable[[Path], Made]) -> tuple[list[Made], Skipped]:
    """What is made of each file, and the files of which nothing can be made: one must not cost the tutor the others."""
    made, skipped = [], []
    for path in _json_files(folder):
        try:
            made.append(use(path))
        except PlainFileError as error:
            skipped.append((printable(path.name)[:100], short("; ".join(error.problems[:3]), LONGEST_WHY)))
        except Exception as error:
            skipped.append((printable(path.name)[:100], f"it cannot be judged ({type(error).__name__})"))
    return made, tuple(skipped)


def exercises_of(lesson: ModuleType) -> tuple[Exercise, ...]:
    """The exercises of a lesson, in the order in which they stand in its file."""
    return tuple(value for value in vars(lesson).values() if isinstance(value, Exercise))


class SharedExercises(tuple[SharedExercise, ...]):
    """The exercises of a folder; `skipped` names the files that are faulty, and why."""

    skipped: Skipped = ()


def read_exercises(folder: str | os.PathLike[str]) -> SharedExercises:
    """The exercises whose files lie in a folder, by the names of the files; a faulty one is named beside the marks.

    Raises
    ------
    BadInput
        If there is no such folder.
    """
    made, skipped = _each(_folder(folder, "exercise files"), load_exercise)
    exercises = SharedExercises(made)
    exercises.skipped = skipped
    return exercises


def _folder(folder: object, what: str) -> Path:
    if not isinstance(folder, str | os.PathLike) or not os.path.isdir(folder):
        raise BadInput(f"folder {str(folder)[:200]}", expected=f"a folder of {what}", got="none there",
                       todo="check the name")
    return Path(folder)


def _json_files(folder: Path) -> list[Path]:
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix.lower() == ".json")
    except OSError as error:
        raise BadInput(f"folder {folder}", expected="one that can be read", got=error.strerror or str(error),
                       todo="check its rights") from error
    if len(paths) > MOST_FILES:
        raise BadInput(f"folder {folder}", expected=f"at most {MOST_FILES} files", got=str(len(paths)),
                       todo="take a folder for each class")
    return paths


def _by_name(lessons: Mapping[str, Iterable[Exercise]]) -> Exercises:
    named: dict[tuple[str, str], Exercise] = {}
    if not isinstance(lessons, Mapping):
        raise BadInput("exercises of the class", expected="them by lesson", got=type(lessons).__name__,
                       todo='write such as {"my team": read_exercises("my-exercises")}')
    for lesson, exercises in lessons.items():
        for exercise in exercises:
            if not isinstance(exercise, Exercise):
                raise BadInput(f"exercises of {lesson}", expected="exercises", got=type(exercise).__name__,
                               todo='read them: read_exercises("my-exercises")')
            if (lesson, exercise.title) in named:
                raise BadInput(f"exercises of {lesson}", expected="each title once", got=exercise.title,
                               todo="give one of them another title")
            named[lesson, exercise.title] = exercise
    return named


def _learner(answers: AnswerFile, exercises: Exercises) -> Learner:
    given: dict[tuple[str, str], list[object]] = {}
    for one in answers.tries:
        given.setdefault((one.lesson, one.exercise), []).append(one.answer)
    marks = tuple(mark(exercise, given.get(key, [])) for key, exercise in exercises.items())
    other = sum(len(tries) for key, tries in given.items() if key not in exercises)
    return Learner(answers.learner, marks, other, answers.made_with)
