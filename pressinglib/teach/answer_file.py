"""What a learner has answered, try by try: one file that stays on this machine, read again tomorrow.

The schema, version 1 (JSON object, UTF-8):

    version     1
    made_with   version of pressinglib that wrote it
    learner     a name, at most 80 characters
    tries       list of at most 2000 {lesson, exercise, answer, outcome}, oldest first
        lesson      which lesson or course, at most 80 characters
        exercise    the exercise's title
        answer      a text, a number, a place [x, y], or lists and braces of these
        outcome     "right" or "wrong", as it was judged then: for the learner's own eye, nobody marks by it
"""

from __future__ import annotations

import json
import os
import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import count
from pathlib import Path
from secrets import token_hex
from typing import Any, NamedTuple

from pressinglib import __version__
from pressinglib.errors import AnswerFileError, PressingError
from pressinglib.files import Format, file_name, made_folder, made_of, several, text, that
from pressinglib.teach.exercise import NOT_ATTEMPTED, RIGHT, WRONG, Exercise, Verdict
from pressinglib.teach.own_exercise import LONGEST, LONGEST_VERSION

FOLDER = "answers"
LOCK, WAIT_S, LET_IN_S = ".lock", 30.0, 0.01  # who is done lets others in
MOST_TRIES, LONGEST_NAME, LONGEST_TEXT = 2000, 80, 200
DEEPEST_ANSWER, MOST_PARTS = 4, 40


class Try(NamedTuple):
    """One answer to one exercise."""

    lesson: str
    exercise: str
    answer: Any
    outcome: str


@dataclass(frozen=True)
class AnswerFile:
    """A learner and all tries, oldest first."""

    learner: str
    tries: tuple[Try, ...] = ()
    made_with: str = __version__


def save_answers(answers: AnswerFile, path: str | os.PathLike[str]) -> Path:
    """Save a learner's answers; AnswerFileError if a value is not fit for a file."""
    return ANSWERS.save({"made_with": __version__, "learner": answers.learner,
                         "tries": [one._asdict() for one in answers.tries]}, path)


def is_plain(value: Any, levels: int = DEEPEST_ANSWER) -> bool:
    """Whether an answer is fit for a file: texts, finite numbers, short lists and braces of these."""
    if isinstance(value, str):
        return len(value) <= LONGEST_TEXT and value.isprintable()
    if isinstance(value, int | float):
        return abs(value) < 1e9
    if not isinstance(value, list | tuple | dict):
        return False
    parts = [*value, *value.values()] if isinstance(value, dict) else value
    return levels > 0 and len(value) <= MOST_PARTS and all(is_plain(part, levels - 1) for part in parts)


TRY = made_of(Try, lesson=text(1, LONGEST_NAME), exercise=text(1, LONGEST["title"]),
              answer=that(is_plain, "a text, a number, a place, or a few of these"),
              outcome=that((RIGHT, WRONG).__contains__, f"{RIGHT} or {WRONG}"))
ANSWERS = Format(AnswerFileError, 1, 1_000_000, made_of(
    AnswerFile, made_with=text(1, LONGEST_VERSION), learner=text(1, LONGEST_NAME),
    tries=several(TRY, 0, MOST_TRIES, "tries")))
load_answers = ANSWERS.load
AT_ONCE, LATER, NOT_YET, NOT_TRIED = CATEGORIES = "right at once", "right later", "not yet", "not tried"


def category(outcomes: Sequence[str]) -> str:
    """How far one is with an exercise, by the outcomes of the tries, oldest first."""
    if RIGHT in outcomes:
        return AT_ONCE if outcomes[0] == RIGHT else LATER
    return NOT_YET if outcomes else NOT_TRIED


def so_far(outcomes: Sequence[str]) -> str:
    """The same with the number of tries: "right, try 2", "not yet, 3 tries" or "-"."""
    if RIGHT in outcomes:
        return f"right, try {outcomes.index(RIGHT) + 1}"
    return f"not yet, {len(outcomes)} {'try' if len(outcomes) == 1 else 'tries'}" if outcomes else "-"


@dataclass(frozen=True)
class Progress:
    """What a learner has answered; `check` judges an answer and keeps it.

    Nothing is written before the first answer. Every try is added to the file as it is then, by one program after the
    other, so several lessons may be open at once. A try that could not be kept is said so beside its verdict. A file
    that cannot be read, or is somebody else's, is left alone: another is begun. `lesson`: or course, to which they
    belong.

    >>> import tempfile
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     me = progress_of("Kim", "00", folder)
    ...     _ = me.check(who_goes, ...), me.check(who_goes, "3"), me.check(who_goes, "11")
    ...     [one.outcome for one in progress_of("Kim", "00", folder).tries]
    ['wrong', 'right']
    """

    folder: Path
    learner: str
    lesson: str = ""
    sign: str = field(default_factory=partial(token_hex, 4), compare=False)  # two of one name never share a file's name

    def check(self, exercise: Exercise, answer: Any) -> Verdict:
        """The exercise's verdict; the answer is kept, if it is one."""
        verdict = exercise.check(answer)
        return verdict if verdict.outcome == NOT_ATTEMPTED else self.kept(exercise, answer, verdict)

    def kept(self, exercise: Exercise, answer: Any, verdict: Verdict) -> Verdict:
        """The verdict of an answer that is added to the file; it says so where that could not be done.

        The same answer twice running is one try, and the oldest go when there are too many.
        """
        value = plain_answer(exercise, answer)
        if value is None:
            return verdict
        try:
            with _alone(made_folder(self.folder)):
                path, before = self._found()
                one = Try(self.lesson or "-", exercise.title, value, verdict.outcome)
                if [old.answer for old in before.tries if old[:2] == one[:2]][-1:] != [value]:
                    save_answers(replace(before, tries=(*before.tries, one)[-MOST_TRIES:]), path)
        except PressingError as error:
            return replace(verdict, words=f"{verdict.words} (Not kept: {error})")
        return verdict

    @property
    def path(self) -> Path:
        """The learner's file."""
        return self._found()[0]

    @property
    def tries(self) -> tuple[Try, ...]:
        """All that is kept, oldest first."""
        return self._found()[1].tries

    def tries_at(self, exercise: Exercise) -> list[Try]:
        """Those at one exercise of this lesson."""
        return [one for one in self.tries if one[:2] == (self.lesson or "-", exercise.title)]

    def _found(self) -> tuple[Path, AnswerFile]:
        """The learner's file and what it holds; a new one where there is none yet."""
        stem = file_name(self.learner, "learner")
        for path in sorted(self.folder.glob(f"{stem}*.json")):
            with suppress(AnswerFileError):
                if (kept := load_answers(path)).learner == self.learner:
                    return path, kept
        new = (self.folder / f"{stem}_{self.sign}{'' if n == 1 else f'_{n}'}.json" for n in count(1))
        return next(path for path in new if not os.path.lexists(path)), AnswerFile(self.learner)


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """One program after the other reads a file of the folder, adds to it and writes it; PressingError after a while.

    The lock is that of a database, the same on every system: it goes with whoever has it, also with one that is killed.
    On a disk that knows no locks nobody waits, and two at the same moment may undo each other's try.
    """
    end = time.monotonic() + WAIT_S
    with ExitStack() as held:
        with suppress(sqlite3.Error):
            lock = held.enter_context(closing(sqlite3.connect(folder / LOCK, LET_IN_S, isolation_level=None)))
            while not _taken(lock):
                if time.monotonic() > end:
                    raise PressingError(f"folder {folder}", todo="try again in a moment",
                                        got=f"another program that has been writing there for {WAIT_S:g} s")
        yield
    time.sleep(LET_IN_S)


def _taken(lock: sqlite3.Connection) -> bool:
    """Asked often: in a long wait SQLite itself asks ever more seldom, and whoever comes later goes first."""
    try:
        lock.executescript("PRAGMA journal_mode = MEMORY; BEGIN EXCLUSIVE")  # no second file for a kill to leave
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode != sqlite3.SQLITE_BUSY:
            raise
        return False
    return True


def progress_of(learner: str = "me", lesson: str = "", folder: str | os.PathLike[str] = FOLDER) -> Progress:
    """The progress of a learner, in the folder `answers` beside the notebook; one who is new begins a new file.

    >>> progress_of("Kim/../Lee", folder="nowhere").path.name
    'kim_lee_....json'
    """
    name = " ".join("".join(c if c.isprintable() else " " for c in str(learner)).split())[:LONGEST_NAME] or "me"
    return Progress(Path(folder), name, str(lesson))


def plain_answer(exercise: Exercise, answer: Any) -> Any:
    """An answer as a file keeps it; None if it makes no sense, or is a function."""
    value = exercise.meant(answer)
    if value is None or callable(value):
        return None
    # As values if they read the same again, else as the words that a learner would write: "9-10 and 10-11".
    forms = [json.loads(json.dumps(value))] if is_plain(value) else []
    return next((form for form in (*forms, exercise.judge.written(value))
                 if is_plain(form) and exercise.meant(form) == value), None)
