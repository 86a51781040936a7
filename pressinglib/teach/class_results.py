"""A class folder: one answer file for each learner, every answer judged again: who solved what, and what went wrong."""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from html import escape
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from pressinglib import __version__
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.player import XY
from pressinglib.field.scene_file import OwnMark
from pressinglib.files import as_path, printable, write_file
from pressinglib.show.drawing import draw_situation
from pressinglib.show.export import Picture, picture
from pressinglib.tables import Table, harmless
from pressinglib.teach.accepted import Accepted, in_words
from pressinglib.teach.answer_file import AnswerFile, Category, load_answers, so_far
from pressinglib.teach.charts import Bars
from pressinglib.teach.course import TEAM, Course, Skipped, each_file, folder_of, json_files, read_exercises
from pressinglib.teach.exercise import NOT_ATTEMPTED, RIGHT, WRONG, Exercise, judged

MAKES_NO_SENSE = "an answer that makes no sense"
BOOK = Path(__file__).with_name("class_book.json")
MOST_SHOWN = 3  # of a learner's answers to one exercise
Exercises = Mapping[tuple[str, str], Exercise]  # by lesson and title


class Judged(NamedTuple):
    """One try judged again: its outcome, the answer in words, what of it was wrong, and where players were placed."""

    outcome: str
    words: str
    wrong: str = ""
    places: tuple[XY, ...] = ()


@dataclass(frozen=True)
class Mark:
    """What came of a learner's tries at one exercise, oldest first."""

    tries: tuple[Judged, ...] = ()

    @property
    def outcomes(self) -> tuple[str, ...]:
        """Right or wrong, oldest first."""
        return tuple(one.outcome for one in self.tries)

    @property
    def category(self) -> Category:
        """How far the learner got."""
        return Category.of(self.outcomes)

    @property
    def words(self) -> str:
        """The same with the number of tries: "right, try 2", "not yet, 3 tries" or "-"."""
        return so_far(self.outcomes)

    @property
    def answers(self) -> str:
        """What was answered, oldest first; of many the last ones."""
        said = [one.words for one in self.tries]
        more = ["..."] if len(said) > MOST_SHOWN else []
        return ", then ".join([*more, *said[-MOST_SHOWN:]]) or "-"


class Marking:
    """Judges answers; one that comes again is judged once."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, str], Judged] = {}

    def mark(self, exercise: Exercise, answers: Iterable[Any]) -> Mark:
        """The tries judged again, whatever their file says of them."""
        tries = [self.judged(exercise, answer) for answer in answers]
        return Mark(tuple(one for one in tries if one.outcome != NOT_ATTEMPTED))

    def judged(self, exercise: Exercise, answer: Any) -> Judged:
        """One try."""
        key = id(exercise), repr(answer)
        if key not in self._known:
            self._known[key] = _judged(exercise, answer)
        return self._known[key]


def _judged(exercise: Exercise, answer: Any) -> Judged:
    try:
        value = exercise.read(answer)
    except PressingError:
        return Judged(WRONG, MAKES_NO_SENSE, MAKES_NO_SENSE)
    if value is None:
        return Judged(NOT_ATTEMPTED, "")
    findings, words = exercise.judge.findings(exercise.plan, value), in_words(exercise, value)
    outcome = judged(findings).outcome
    places = tuple(value.values()) if isinstance(value, dict) else (value,)
    places = places if exercise.form.placed else ()
    failed = ", ".join(dict.fromkeys(one.criterion for one in findings if not one.holds and one.criterion))
    wrong = "" if outcome == RIGHT else f"not met: {failed}" if failed and places else words
    return Judged(outcome, words, wrong, places)


@dataclass(frozen=True)
class Learner:
    """A learner's marks, in the order of the class's exercises."""

    name: str
    marks: tuple[Mark, ...]
    other: int = 0  # tries at exercises that are not asked for
    claims: tuple[str, ...] = ()  # titles to which the file says right where the engine does not
    made_with: str = __version__


@dataclass(frozen=True, repr=False)
class ClassResults:
    """Who solved what, and what went wrong; shows itself as tables and a picture, in which every name is text.

    Exercises are titles in the order of the course, learners come by name; `skipped` names files that could not be
    read, and why; `asked` are the exercises themselves. Numbers are learners, each counted once in a row.
    """

    exercises: tuple[str, ...]
    learners: tuple[Learner, ...]
    skipped: Skipped = ()
    asked: tuple[Exercise, ...] = ()

    def table(self) -> Table:
        """A learner a row: name, then a mark for each exercise."""
        rows = [(learner.name, *(mark.words for mark in learner.marks)) for learner in self.learners]
        return Table(("Learner", *self.exercises), rows, empty="No answers.")

    def answers(self) -> Table:
        """A learner a row: what he or she answered."""
        rows = [(learner.name, *(mark.answers for mark in learner.marks)) for learner in self.learners]
        return Table(("Learner", *self.exercises), rows, empty="No answers.")

    def overview(self) -> Table:
        """An exercise a row: how many learners solved it at once, later, not yet; the commonest wrong answer."""
        rows = []
        for n, title in enumerate(self.exercises):
            wrong = self._wrong(n).most_common(1) or [("-", 0)]
            rows.append((title, *(counts[n] for counts in self._counts().values()), *wrong[0]))
        return Table(("Exercise", *map(str, Category), "Commonest wrong answer", "given by"), rows)

    def _wrong(self, n: int) -> Counter[str]:
        """What was wrong in an exercise, and how many learners did it in some try."""
        said = [list(dict.fromkeys(one.wrong for one in learner.marks[n].tries if one.wrong))
                for learner in self.learners]
        return Counter(sorted(word for words in said for word in words))

    def _counts(self) -> dict[str, list[int]]:
        return {str(category): [sum(learner.marks[n].category is category for learner in self.learners)
                                for n in range(len(self.exercises))] for category in Category}

    def plot(self) -> Bars:
        """How many solved each exercise, as a picture with its words."""
        return Bars(self.exercises, self._counts())

    def places(self, title: str) -> Picture:
        """Where everybody has placed the players of an exercise in the last try, all on one pitch.

        Raises
        ------
        BadInput
            If in no exercise of this title players are placed.
        """
        if title not in self.placed:
            raise BadInput("exercise", expected=f"one in which players are placed: {', '.join(self.placed) or 'none'}",
                           got=str(title)[:100], todo="take another title")
        n = self.exercises.index(title)
        last = [learner.marks[n].tries[-1] for learner in self.learners if learner.marks[n].tries]
        dots = [OwnMark("note", (xy,), "o" if one.outcome == RIGHT else "x") for one in last for xy in one.places]
        words = f"{title} o: right, x: not yet, the last try of each of {len(last)}."
        drawing = draw_situation(self.asked[n].situation, title, marks=[*Accepted(self.asked[n]).area(), *dots])
        return picture(replace(drawing, words=words))

    @property
    def placed(self) -> list[str]:
        """Titles of the exercises in which players are placed."""
        return [one.title for one in self.asked if one.form.placed]

    @property
    def notes(self) -> list[str]:
        """What a tutor has to know beside the table."""
        shared = [one for one in self.asked if one.note]
        notes = [f"{one.title}: {one.note}" for one in shared]
        notes += [f"Skipped {name}: {why}" for name, why in self.skipped]
        for one in self.learners:
            if one.claims:
                notes.append(f"{one.name}: the file says right where the answer is not: {', '.join(one.claims)}")
            if one.made_with != __version__:
                notes.append(f"{one.name}: answered with pressinglib {one.made_with}, judged here with {__version__}.")
            if one.other:
                notes.append(f"{one.name}: {one.other} tries at other exercises are not in the table.")
        twice = [name for name, n in Counter(one.name for one in self.learners).items() if n > 1]
        return notes + [f"{name}: more than one file; each has a row." for name in sorted(twice)]

    @property
    def accepted(self) -> Table:
        """What counts as right in each exercise, alternatives too; places take a second each."""
        return Table(("Exercise", "Right"), [(one.title, Accepted(one).card.words) for one in self.asked])

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write who solved what as .csv; or the class as .xlsx: exercises, learners, answers; nothing in it can run.

        Raises
        ------
        PressingError
            For another ending, or if the file cannot be written.
        """
        kind = as_path(path).suffix.lower()
        if kind == ".csv":
            return self.table().to_csv(path)
        if kind != ".xlsx":
            raise BadInput(f"name {str(path)[:100]}", expected="one that ends in .csv or .xlsx", got=repr(kind),
                           todo="change its ending")
        return write_file(path, _book([self.overview(), self.table(), self.answers()]))

    def __repr__(self) -> str:
        return "\n\n".join(map(repr, self._tables()))

    def _repr_html_(self) -> str:
        first, *rest = self._tables()
        return first._repr_html_() + self.plot()._repr_html_() + "".join(table._repr_html_() for table in rest)

    def _tables(self) -> list[Table]:
        several = [self.overview(), self.table()] if self.learners else []
        return [*several, replace(self.answers(), notes=self.notes)]


def _book(tables: Iterable[Table]) -> bytes:
    """A workbook (ECMA-376); its parts, but for the rows, stand in class_book.json. No date: same class, same bytes."""
    parts, content = json.loads(BOOK.read_text("utf-8")), BytesIO()
    sheet = parts.pop("xl/worksheets/sheet.xml")
    for n, table in enumerate(tables, 1):
        rows = "".join(f"<row>{''.join(map(_cell, row))}</row>" for row in (table.head, *table.rows))
        parts[f"xl/worksheets/sheet{n}.xml"] = sheet.replace("ROWS", rows)
    with ZipFile(content, "w", ZIP_DEFLATED) as book:
        for name, text in parts.items():
            book.writestr(ZipInfo(name), text)
    return content.getvalue()


def _cell(value: Any) -> str:
    """A number, or text that no program takes for a formula."""
    if isinstance(value, int):
        return f"<c><v>{value}</v></c>"
    return f'<c t="inlineStr"><is><t xml:space="preserve">{escape(printable(harmless(str(value))))}</t></is></c>'


def read_class(folder: str | os.PathLike[str],
               lessons: Course | Mapping[str, Iterable[Exercise]] | str | os.PathLike[str]) -> ClassResults:
    """The answers of a class, judged again.

    Parameters
    ----------
    folder : str or path
        Holds one answer file (.json) for each learner. What else lies there is left alone; a file that is damaged, or
        tries to be clever, is named and skipped.
    lessons : path, Course or mapping
        The file of the course, or the folder of your exercises; or for each lesson's name its exercises, such as
        ``{"00": exercises_of(lesson_00)}``.

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
    ...     _ = progress_of("Kim", "00", folder).check(lesson_00.who_goes, "3")
    ...     read_class(folder, {"00": [lesson_00.who_goes]}).overview()
    Exercise   right at once  right later  not yet  not tried  Commonest wrong answer  given by
    Who goes?              0            0        1          0  3                              1
    >>> read_class("nowhere", {})
    Traceback (most recent call last):
    pressinglib.errors.BadInput: folder nowhere: expected a folder of answer files; got none there. ...
    """
    place = folder_of(folder, "answer files")
    course = read_exercises(lessons) if isinstance(lessons, str | os.PathLike) else lessons
    by_lesson = {course.title: course} if isinstance(course, Course) else course
    exercises, marking = _by_name(by_lesson), Marking()
    learners, skipped = each_file(json_files(place), lambda path: _learner(load_answers(path), exercises, marking))
    skipped = (*(one for some in by_lesson.values() for one in getattr(some, "skipped", ())), *skipped)
    learners.sort(key=lambda one: one.name.casefold())
    titles, asked = tuple(title for _, title in exercises), tuple(exercises.values())
    return ClassResults(titles, tuple(learners), skipped, asked)


def _by_name(lessons: object) -> Exercises:
    named: dict[tuple[str, str], Exercise] = {}
    if not isinstance(lessons, Mapping):
        raise BadInput("exercises of the class", expected="a course, or exercises by lesson",
                       got=type(lessons).__name__, todo='read them: read_exercises("my-exercises")')
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


def _learner(answers: AnswerFile, exercises: Exercises, marking: Marking) -> Learner:
    alone = {title: (lesson, title) for lesson, title in exercises}  # an exercise may be opened from a file of its own
    given: dict[tuple[str, str], list[Any]] = {}
    for one in answers.tries:
        key = (one.lesson, one.exercise)
        given.setdefault(alone.get(one.exercise, key) if one.lesson == TEAM else key, []).append(one)
    marks = tuple(marking.mark(exercise, [one.answer for one in given.get(key, [])])
                  for key, exercise in exercises.items())
    claims = [exercise.title for key, exercise in exercises.items() for one in given.get(key, [])
              if one.outcome == RIGHT != marking.judged(exercise, one.answer).outcome]
    other = sum(len(tries) for key, tries in given.items() if key not in exercises)
    return Learner(answers.learner, marks, other, tuple(dict.fromkeys(claims)), answers.made_with)
