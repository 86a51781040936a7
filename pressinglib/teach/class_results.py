"""A class folder: one answer file for each learner, every answer judged again: who solved what, and what went wrong."""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from html import escape
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from pressinglib import __version__
from pressinglib.errors import PressingError, as_known
from pressinglib.field.player import XY
from pressinglib.files import printable
from pressinglib.show.drawing import draw_situation
from pressinglib.show.export import Picture
from pressinglib.show.marks import Token
from pressinglib.tables import Table, harmless
from pressinglib.teach.accepted import Accepted, frame_of, in_words
from pressinglib.teach.answer_file import CATEGORIES, category, load_answers, so_far
from pressinglib.teach.charts import bars
from pressinglib.teach.course import TEAM, Course, Skipped, each_file, json_files, read_exercises
from pressinglib.teach.exercise import NOT_ATTEMPTED, RIGHT, WRONG, Exercise, judged
from pressinglib.teach.handout import printed

MAKES_NO_SENSE = "an answer that makes no sense"
BOOK = json.loads(Path(__file__).with_name("class_book.json").read_text("utf-8"))
MOST_SHOWN = 3  # of a learner's answers to one exercise


class Judged(NamedTuple):
    """One try judged again: its outcome, the answer in words, what of it was wrong, and where players were placed."""

    outcome: str
    words: str
    wrong: str = ""
    places: tuple[XY, ...] = ()


def judged_again(exercise: Exercise, answer: Any) -> Judged:
    """A try, whatever its file says of it."""
    try:
        value = exercise.read(answer)
    except PressingError:
        return Judged(WRONG, MAKES_NO_SENSE, MAKES_NO_SENSE)
    if value is None:
        return Judged(NOT_ATTEMPTED, "")
    findings, words = exercise.judge.findings(exercise.plan, value), in_words(exercise, value)
    outcome = judged(findings).outcome
    if not exercise.form.placed:
        return Judged(outcome, words, "" if outcome == RIGHT else words)
    failed = dict.fromkeys(BOOK["wrong"].get(one.criterion, one.criterion) for one in findings if not one.holds)
    return Judged(outcome, words, ", ".join(filter(None, failed)) or words if failed else "", tuple(value.values()))


@dataclass(frozen=True, repr=False)
class ClassResults:
    """Who solved what, and what went wrong; shows itself as tables and a picture, in which every name is text.

    Exercises stand in the order of the course, learners come by name. All is read from the `tries`, oldest first, by
    the places of learner and exercise. `skipped` names files that could not be read, and why; `notes` say what a tutor
    has to know beside the tables. Numbers are learners, each counted once in a row.
    """

    asked: tuple[Exercise, ...]
    learners: tuple[str, ...] = ()
    tries: Mapping[tuple[int, int], tuple[Judged, ...]] = field(default_factory=dict)
    skipped: Skipped = ()
    notes: tuple[str, ...] = ()

    @property
    def exercises(self) -> tuple[str, ...]:
        """Their titles."""
        return tuple(one.title for one in self.asked)

    def table(self) -> Table:
        """A learner a row: name, then for each exercise "right, try 2", "not yet, 3 tries" or "-"."""
        return self._by_learner(lambda tries: so_far([one.outcome for one in tries]))

    def answers(self) -> Table:
        """A learner a row: what he or she answered, oldest first; of many the last ones."""
        return self._by_learner(lambda tries: ", then ".join(
            ["..."] * (len(tries) > MOST_SHOWN) + [one.words for one in tries[-MOST_SHOWN:]]) or "-")

    def _by_learner(self, said: Callable[[tuple[Judged, ...]], str]) -> Table:
        columns = [[said(tries) for tries in self._of(n)] for n in range(len(self.asked))]
        return Table(("Learner", *self.exercises), zip(self.learners, *columns, strict=True), empty="No answers.")

    def _of(self, n: int) -> list[tuple[Judged, ...]]:
        """Everybody's tries at an exercise."""
        return [self.tries.get((learner, n), ()) for learner in range(len(self.learners))]

    def overview(self) -> Table:
        """An exercise a row: how many learners solved it at once, later, not yet; the commonest wrong answer."""
        rows = []
        for n, title in enumerate(self.exercises):
            far = Counter(category([one.outcome for one in tries]) for tries in self._of(n))
            said = Counter(sorted(wrong for tries in self._of(n) for wrong in {one.wrong for one in tries} - {""}))
            rows.append((title, *(far[one] for one in CATEGORIES), *(said.most_common(1) or [("-", 0)])[0]))
        return Table(("Exercise", *CATEGORIES, "Commonest wrong answer", "given by"), rows)

    def places(self, title: str) -> Picture:
        """Where everybody has placed the players of an exercise in the last try; UnknownName where none are placed."""
        n = self.exercises.index(as_known(title, self.placed, "exercise in which players are placed"))
        last = [tries[-1] for tries in self._of(n) if tries]
        dots = tuple(Token("class", f"place {one.outcome}", xy, "") for one in last for xy in one.places)
        words = f"{title} Discs: right, squares: not yet, the last try of each of {len(last)}."
        drawing = draw_situation(self.asked[n].situation, title, marks=Accepted(self.asked[n]).area())
        return Picture(replace(drawing, words=words, marks=drawing.marks + dots), part=frame_of(self.asked[n]))

    @property
    def placed(self) -> list[str]:
        """Titles of the exercises in which players are placed."""
        return [one.title for one in self.asked if one.form.placed]

    @property
    def accepted(self) -> Table:
        """What counts as right in each exercise, alternatives too; places take a second each."""
        return Table(("Exercise", "Right"), [(one.title, Accepted(one).card.words) for one in self.asked])

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write who solved what as .csv; or the class as .xlsx: exercises, learners, answers; nothing in it can run."""
        return printed(path, {".csv": self.table().csv,
                              ".xlsx": lambda: _book([self.overview(), self.table(), self.answers()])})

    def __repr__(self) -> str:
        return "\n\n".join(map(repr, self._tables()))

    def _repr_html_(self) -> str:
        first, *rest = self._tables()
        solved = bars({row["Exercise"]: {one: row[one] for one in CATEGORIES} for row in self.overview()})
        return first._repr_html_() + solved + "".join(table._repr_html_() for table in rest)

    def _tables(self) -> list[Table]:
        several = [self.overview(), self.table()] if self.learners else []
        return [*several, replace(self.answers(), notes=self.notes)]


def _book(tables: Iterable[Table]) -> bytes:
    """A workbook (ECMA-376); its parts, but for the rows, stand in class_book.json. No date: same class, same bytes."""
    parts, content = dict(BOOK["parts"]), BytesIO()
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


def read_class(folder: str | os.PathLike[str], course: Course | str | os.PathLike[str]) -> ClassResults:
    """The answers of a class, judged again.

    The folder holds one answer file (.json) for each learner. What else lies there is left alone; a file that is
    damaged, or tries to be clever, is named and skipped. `course` is the file of the course, or the folder of your
    exercises; or its exercises under their title, such as ``Course("00", [lesson_00.who_goes])`` for a lesson.

    >>> import tempfile
    >>> from pressinglib.teach.lessons import lesson_00
    >>> from pressinglib.teach.answer_file import progress_of
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = progress_of("Kim", "00", folder).check(lesson_00.who_goes, "3")
    ...     read_class(folder, Course("00", [lesson_00.who_goes])).overview()
    Exercise   right at once  right later  not yet  not tried  Commonest wrong answer  given by
    Who goes?              0            0        1          0  3                              1
    >>> read_class("nowhere", Course("00", ()))
    Traceback (most recent call last):
    pressinglib.errors.BadInput: folder nowhere: expected a folder of answer files; got none there. ...
    """
    course = course if isinstance(course, Course) else read_exercises(course)
    files, skipped = each_file(json_files(folder, "answer files"), partial(_read, course, {}))
    files.sort(key=lambda file: file[0].casefold())
    skipped, names = course.skipped + skipped, [name for name, _, _ in files]
    tries = {(k, n): tuple(some) for k, (_, mine, _) in enumerate(files) for n, some in mine.items()}
    notes = [*(f"{one.title}: {one.note}" for one in course if one.note),
             *(f"Skipped {name}: {why}" for name, why in skipped), *(note for *_, said in files for note in said),
             *(f"{name}: more than one file; each has a row." for name, n in Counter(names).items() if n > 1)]
    return ClassResults(course.exercises, tuple(names), tries, skipped, tuple(notes))


def _read(course: Course, known: dict[tuple[int, str], Judged], path: Path
          ) -> tuple[str, dict[int, list[Judged]], list[str]]:
    """A learner, the tries judged again by exercise, each answer once, and what a tutor has to know."""
    answers, places = load_answers(path), {one.title: n for n, one in enumerate(course)}
    # An exercise may be opened from a file of its own, too.
    asked = [one for one in answers.tries if one.lesson in (course.title, TEAM) and one.exercise in places]
    tries: dict[int, list[Judged]] = {}
    claims: dict[str, None] = {}
    for one in asked:
        n = places[one.exercise]
        key = n, repr(one.answer)
        again = known[key] = known.get(key) or judged_again(course.exercises[n], one.answer)
        if again.outcome != NOT_ATTEMPTED:
            tries.setdefault(n, []).append(again)
        if one.outcome == RIGHT != again.outcome:
            claims[one.exercise] = None
    notes = [f"the file says right where the answer is not: {', '.join(claims)}"] if claims else []
    if answers.made_with != __version__:
        notes.append(f"answered with pressinglib {answers.made_with}, judged here with {__version__}.")
    if other := len(answers.tries) - len(asked):
        notes.append(f"tries at other exercises, not in the table: {other}.")
    return answers.learner, tries, [f"{answers.learner}: {note}" for note in notes]
