"""A learner's progress: every try kept in one file on this machine, and read again tomorrow."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from itertools import count
from math import isfinite
from pathlib import Path
from typing import Any

from pressinglib import __version__
from pressinglib.errors import AnswerFileError, PressingError
from pressinglib.files import complain, document_of, file_name, lines_of, read, save, text_of, too_deep
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.own_exercise import LONGEST
from pressinglib.teach.verdict import NOT_ATTEMPTED, RIGHT, WRONG, Card, Verdict, table_html

# -- Answer files: what one learner has answered, try by try, as one JSON file that stays on this machine.
# The schema, version 1 (JSON object, UTF-8):
#
#     version     1
#     made_with   version of pressinglib that wrote it
#     learner     a name, at most 80 characters
#     tries       list of at most 2000 {lesson, exercise, answer, outcome}, oldest first
#         lesson      which lesson or course, at most 80 characters
#         exercise    the exercise's title
#         answer      a text, a number, a place [x, y], or lists and braces of these
#         outcome     "right" or "wrong", as it was judged then: for the learner's own eye, nobody marks by it


VERSION = 1
SIZE_LIMIT_BYTES = 1_000_000
MOST_TRIES, LONGEST_NAME, LONGEST_TEXT = 2000, 80, 200
DEEPEST, DEEPEST_ANSWER, MOST_PARTS = 8, 4, 40
KEYS, TRY_KEYS = {"version", "made_with", "learner", "tries"}, {"lesson", "exercise", "answer", "outcome"}


@dataclass(frozen=True)
class Try:
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
    """Save a learner's answers; a file that is there is replaced as a whole or stays as it was.

    Raises
    ------
    AnswerFileError
        If a value is not fit for a file, or the folder cannot be written to.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = save_answers(AnswerFile("Kim", (Try("00", "Who goes?", "9", "right"),)), f"{folder}/kim.json")
    ...     load_answers(path).tries[0].answer
    '9'
    """
    document = {"version": VERSION, "made_with": __version__, "learner": answers.learner,
                "tries": [asdict(one) for one in answers.tries]}
    text = text_of(lambda: lines_of(document) + "\n", str(path), AnswerFileError)
    _answers_in(text, str(path))  # what could not be loaded again must not replace a good file
    return save(path, text, AnswerFileError)


def load_answers(path: str | os.PathLike[str]) -> AnswerFile:
    """The answers in a file.

    Raises
    ------
    AnswerFileError
        Lists the faults with their places, or says why the file cannot be read.

    Examples
    --------
    >>> load_answers("nobody.json")
    Traceback (most recent call last):
    pressinglib.errors.AnswerFileError: answer file nobody.json: got no such file. Check the name and the folder.
    """
    return _answers_in(read(Path(path), SIZE_LIMIT_BYTES, AnswerFileError), str(path))


def _answers_in(data: bytes, path: str) -> AnswerFile:
    document = document_of(data, path, SIZE_LIMIT_BYTES, AnswerFileError)
    complain(path, answer_problems(document), AnswerFileError)
    return AnswerFile(document["learner"], tuple(Try(**one) for one in document["tries"]), document["made_with"])


def answer_problems(document: Any) -> list[str]:
    """Every fault in the values of an answer file, each with its place; empty if it is sound.

    Examples
    --------
    >>> good = {"lesson": "00", "exercise": "Who?", "answer": [1, 2], "outcome": "right"}
    >>> answer_problems({"version": 1, "made_with": "0.1.0", "learner": "Kim", "tries": [good]})
    []
    >>> answer_problems({"version": 1, "made_with": "0.1.0", "learner": "", "tries": [{**good, "outcome": "best"}]})
    ['learner: expected 1-80 printable characters', 'tries[0].outcome: expected right or wrong']
    """
    if not isinstance(document, dict) or too_deep(document, DEEPEST):
        return [f"file: expected named values in braces, at most {DEEPEST} deep"]
    version = document.get("version")
    if type(version) is not int or version != VERSION:
        return [f"version: expected {VERSION}; got {repr(version)[:40]}"]
    return list(_keys("", document, KEYS)) or [*_names(document), *_tries(document["tries"])]


def _keys(place: str, value: dict[str, Any], known: set[str]) -> Iterator[str]:
    yield from (f"{place}{key}: missing" for key in sorted(known - set(value)))
    yield from (f"{place}{key[:40]}: unknown key" for key in sorted(set(value) - known))


def _names(document: dict[str, Any]) -> Iterator[str]:
    for key, longest in (("learner", LONGEST_NAME), ("made_with", 40)):
        if not _is_text(document[key], longest):
            yield f"{key}: expected 1-{longest} printable characters"


def _is_text(value: Any, longest: int) -> bool:
    return isinstance(value, str) and 1 <= len(value) <= longest and value.isprintable() and bool(value.strip())


def _tries(tries: Any) -> Iterator[str]:
    if not isinstance(tries, list) or len(tries) > MOST_TRIES:
        yield f"tries: expected a list of at most {MOST_TRIES}"
        return
    for n, one in enumerate(tries):
        if not isinstance(one, dict):
            yield f"tries[{n}]: expected named values in braces"
        else:
            yield from list(_keys(f"tries[{n}].", one, TRY_KEYS)) or _try(f"tries[{n}]", one)


def _try(place: str, one: dict[str, Any]) -> Iterator[str]:
    for key, longest in (("lesson", LONGEST_NAME), ("exercise", LONGEST["title"])):
        if not _is_text(one[key], longest):
            yield f"{place}.{key}: expected 1-{longest} printable characters"
    if one["outcome"] not in (RIGHT, WRONG):
        yield f"{place}.outcome: expected {RIGHT} or {WRONG}"
    if not is_plain(one["answer"]):
        yield f"{place}.answer: expected a text, a number, a place, or a few of these"


def is_plain(value: Any, levels: int = DEEPEST_ANSWER) -> bool:
    """Whether an answer is fit for a file: texts, finite numbers, short lists and braces of these.

    Examples
    --------
    >>> is_plain({"8": [20.0, -9.0]}), is_plain(float("nan")), is_plain([[[[[1]]]]]), is_plain(print)
    (True, False, False, False)
    """
    if isinstance(value, str):
        return len(value) <= LONGEST_TEXT and value.isprintable()
    if isinstance(value, bool):
        return True
    if isinstance(value, int | float):
        return abs(value) < 1e9 and isfinite(value)
    if levels == 0 or not isinstance(value, list | tuple | dict) or len(value) > MOST_PARTS:
        return False
    if isinstance(value, dict):
        return all(isinstance(key, str) and is_plain(key) and is_plain(v, levels - 1) for key, v in value.items())
    return all(is_plain(part, levels - 1) for part in value)


# -- A learner's progress: every try kept in one file on this machine, and read again tomorrow.


FOLDER = "answers"
HEAD = ("Lesson", "Exercise", "Tries", "So far")


@dataclass(frozen=True, repr=False)
class Progress:
    """What a learner has answered; `check` judges an answer and keeps it.

    Nothing is written before the first answer. Every try is added to the file as it is then, so two lessons may be open
    at once.

    Parameters
    ----------
    path : Path
    learner : str
    lesson : str
        To which lesson or course the tries belong.

    Examples
    --------
    >>> import tempfile
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     me = progress_of("Kim", "00", folder)
    ...     _ = me.check(who_goes, ...), me.check(who_goes, "3"), me.check(who_goes, "11")
    ...     progress_of("Kim", "00", folder)
    Kim
    00, Who goes? right, try 2
    """

    path: Path
    learner: str
    lesson: str = ""

    def in_lesson(self, lesson: str) -> Progress:
        """The same file, for tries of another lesson."""
        return replace(self, lesson=lesson)

    def check(self, exercise: Exercise, answer: Any) -> Verdict:
        """The exercise's verdict; the answer is kept, if it is one."""
        verdict = exercise.check(answer)
        trouble = "" if verdict.outcome == NOT_ATTEMPTED else self._keep(exercise, answer, verdict.outcome)
        return replace(verdict, words=f"{verdict.words} {trouble}") if trouble else verdict

    def export(self, path: str | os.PathLike[str]) -> Card:
        """A copy of the file, to be handed in; says what went wrong if it cannot be made."""
        try:
            return Card(f"Saved as {save_answers(self._kept(), path)}.")
        except PressingError as error:
            return Card(str(error))

    @property
    def tries(self) -> tuple[Try, ...]:
        """All that is kept, oldest first; nothing if there is no file, or it cannot be read."""
        try:
            return self._kept().tries
        except AnswerFileError:
            return ()

    def rows(self) -> list[tuple[str, str, str, str]]:
        """Lesson, exercise, number of tries, and whether it was right."""
        by_exercise: dict[tuple[str, str], list[str]] = {}
        for one in self.tries:
            by_exercise.setdefault((one.lesson, one.exercise), []).append(one.outcome)
        return [(*key, str(len(outcomes)), so_far(outcomes)) for key, outcomes in by_exercise.items()]

    def __repr__(self) -> str:
        lines = [f"{lesson}, {title} {word}" for lesson, title, _, word in self.rows()]
        return "\n".join([self.learner, *lines]) if lines else f"{self.learner}: nothing answered yet"

    def _repr_html_(self) -> str:
        return table_html(HEAD, self.rows()) if self.tries else Card(repr(self))._repr_html_()

    def _kept(self) -> AnswerFile:
        return load_answers(self.path) if self.path.exists() else AnswerFile(self.learner)

    def _keep(self, exercise: Exercise, answer: Any, outcome: str) -> str:
        """Add a try to the file; why it was not kept, or ""."""
        value = plain_answer(exercise, answer)
        if value is None:
            return ""
        one = Try(self.lesson or "-", exercise.title, value, outcome)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            save_answers(_with(self._kept(), one), self.path)
        except (AnswerFileError, OSError) as error:
            return f"(Not kept: {error})"
        return ""


def progress_of(learner: str = "me", lesson: str = "", folder: str | os.PathLike[str] = FOLDER) -> Progress:
    """The progress of a learner, in the folder `answers` beside the notebook; one who is new begins a new file.

    A file that cannot be read, or is somebody else's, is left alone: the next free name is taken.

    Examples
    --------
    >>> progress_of("Kim/../Lee", folder="nowhere").path.name
    'kim_lee.json'
    """
    name = " ".join("".join(c if c.isprintable() else " " for c in str(learner)).split())[:LONGEST_NAME] or "me"
    return Progress(next(path for path in _file_names(Path(folder), name) if _is_of(path, name)), name, str(lesson))


def plain_answer(exercise: Exercise, answer: Any) -> Any:
    """An answer as a file keeps it; None if it makes no sense, or is a function."""
    value = _read(exercise, answer)
    if value is None:
        return None
    # As values if they read the same again, else as the words that a learner would write: "9-10 and 10-11".
    forms = [json.loads(json.dumps(value))] if is_plain(value) else []
    return next((form for form in (*forms, exercise.judge.written(value))
                 if is_plain(form) and _read(exercise, form) == value), None)


def _read(exercise: Exercise, answer: Any) -> Any:
    try:
        return exercise.judge.read(answer, exercise.situation)
    except PressingError:
        return None


def so_far(outcomes: list[str]) -> str:
    """How far one is with an exercise.

    Examples
    --------
    >>> so_far(["wrong", "right", "wrong"]), so_far(["wrong", "wrong"])
    ('right, try 2', 'not yet, 2 tries')
    """
    if RIGHT in outcomes:
        return f"right, try {outcomes.index(RIGHT) + 1}"
    return f"not yet, {len(outcomes)} {'try' if len(outcomes) == 1 else 'tries'}"


def _with(answers: AnswerFile, one: Try) -> AnswerFile:
    """With one try more; the same answer twice running is one try, and the oldest go when there are too many."""
    before = [kept.answer for kept in answers.tries if (kept.lesson, kept.exercise) == (one.lesson, one.exercise)]
    if before and before[-1] == one.answer:
        return answers
    return replace(answers, tries=(*answers.tries, one)[-MOST_TRIES:])


def _file_names(folder: Path, learner: str) -> Iterator[Path]:
    plain = file_name(learner, "learner")
    yield folder / f"{plain}.json"
    yield from (folder / f"{plain}_{n}.json" for n in count(2))


def _is_of(path: Path, learner: str) -> bool:
    """Whether this file is the learner's, or free to become so."""
    try:
        return not os.path.lexists(path) or load_answers(path).learner == learner
    except AnswerFileError:
        return False
