"""A class folder: one answer file for each learner, every answer judged again."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

from pressinglib import __version__
from pressinglib.errors import AnswerFileError, BadInput, PressingError
from pressinglib.teach.accepted import AcceptedTable
from pressinglib.teach.answer_file import AnswerFile, load_answers, so_far
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.own_exercise import SharedExercise, load_exercise
from pressinglib.teach.verdict import NOT_ATTEMPTED, RIGHT, table_html

if TYPE_CHECKING:
    from pressinglib.teach.charts import ClassPlot



# -- Marking: a learner's tries at one exercise, judged again, whatever their file says of them.


MAKES_NO_SENSE = "an answer that makes sense"
THE_ANSWER = "the answer"  # where there is but one criterion


@dataclass(frozen=True)
class Mark:
    """What came of a learner's tries at one exercise.

    Parameters
    ----------
    outcomes : tuple of str
        "right" or "wrong" for each try, oldest first.
    failed : tuple of str
        Criteria that a try did not meet, each once.
    """

    outcomes: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()

    @property
    def solved(self) -> bool:
        """Whether one of the tries was right."""
        return RIGHT in self.outcomes

    @property
    def words(self) -> str:
        """How far the learner got: "right, try 2", "not yet, 3 tries" or "-"."""
        return so_far(list(self.outcomes)) if self.outcomes else "-"


def mark(exercise: Exercise, answers: Iterable[Any]) -> Mark:
    """The tries judged again.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> mark(who_goes, ["3", "11"]).words, mark(who_goes, []).words
    ('right, try 2', '-')
    """
    answers = list(answers)
    failed = dict.fromkeys(criterion for answer in answers for criterion in failed_criteria(exercise, answer))
    outcomes = [exercise.check(answer).outcome for answer in answers]
    return Mark(tuple(outcome for outcome in outcomes if outcome != NOT_ATTEMPTED), tuple(failed))


def failed_criteria(exercise: Exercise, answer: Any) -> list[str]:
    """What an answer does not meet, in the words of the exercise's criteria.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> failed_criteria(who_goes, "11"), failed_criteria(who_goes, "nine")
    ([], ['an answer that makes sense'])
    """
    try:
        value = exercise.judge.read(answer, exercise.situation)
    except PressingError:
        return [MAKES_NO_SENSE]
    findings = [] if value is None else exercise.judge.findings(exercise.plan, value)
    return [finding.criterion or THE_ANSWER for finding in findings if not finding.holds]


# -- The results of a class: who solved what, and what failed most; as text, table and picture.


@dataclass(frozen=True)
class Learner:
    """A learner's marks, in the order of the class's exercises."""

    name: str
    marks: tuple[Mark, ...]
    other: int = 0  # tries at exercises that are not asked for
    made_with: str = __version__


@dataclass(frozen=True, repr=False)
class ClassResults:
    """Who solved what; shows itself as a table in which every name is text.

    Parameters
    ----------
    exercises : tuple of str
        Titles, in the order of the marks.
    learners : tuple of Learner
        By name.
    skipped : tuple of (str, str)
        Files that could not be read, and why.
    asked : tuple of Exercise
        The exercises themselves.
    """

    exercises: tuple[str, ...]
    learners: tuple[Learner, ...]
    skipped: tuple[tuple[str, str], ...] = ()
    asked: tuple[Exercise, ...] = ()

    def rows(self) -> list[tuple[str, ...]]:
        """A learner a row: name, then a mark for each exercise."""
        return [(learner.name, *(mark.words for mark in learner.marks)) for learner in self.learners]

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
    def accepted(self) -> AcceptedTable:
        """What counts as right in each exercise, alternatives too; places take a second each."""
        return AcceptedTable(self.asked)

    def plot(self) -> ClassPlot:
        """The same as a picture: how many solved each exercise, and what failed most."""
        from pressinglib.teach.charts import ClassPlot

        return ClassPlot(self)

    def __repr__(self) -> str:
        lines = [f"{name}: " + ", ".join(f"{title} {word}" for title, word in zip(self.exercises, words, strict=True))
                 for name, *words in self.rows()]
        return "\n".join([*lines, *self._failed_words(), *self.notes]) or "No answers."

    def _repr_html_(self) -> str:
        tables = [table_html(("Learner", *self.exercises), self.rows())]
        if self.failed:
            failed = [(title, criterion, str(n)) for title, criterion, n in self.failed]
            tables.append(table_html(("Exercise", "Not met", "Learners"), failed))
        if self.notes:
            tables.append(table_html(("Notes",), [(note,) for note in self.notes]))
        return "".join(tables)

    def _failed_words(self) -> list[str]:
        return [f"Not met by {n}: {criterion} ({title})" for title, criterion, n in self.failed]


# -- A class folder: one answer file for each learner, every answer judged again.


MOST_FILES = 500
Exercises = Mapping[tuple[str, str], Exercise]  # by lesson and title


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
    Kim: Who goes? right, try 1
    >>> read_class("nowhere", {})
    Traceback (most recent call last):
    pressinglib.errors.BadInput: folder nowhere: expected a folder of answer files; got none there. ...
    """
    place = _folder(folder, "answer files")
    exercises, learners, skipped = _by_name(lessons), [], []
    for path in _json_files(place):
        try:
            learners.append(_learner(load_answers(path), exercises))
        except AnswerFileError as error:
            skipped.append((shown_name(path), "; ".join(error.problems[:3])))
        except Exception as error:  # one file must not cost the tutor the others
            skipped.append((shown_name(path), f"its answers cannot be judged ({type(error).__name__})"))
    learners.sort(key=lambda one: one.name.casefold())
    titles, asked = tuple(title for _, title in exercises), tuple(exercises.values())
    return ClassResults(titles, tuple(learners), tuple(skipped), asked)


def exercises_of(lesson: ModuleType) -> tuple[Exercise, ...]:
    """The exercises of a lesson, in the order in which they stand in its file.

    Examples
    --------
    >>> from pressinglib.teach.lessons import lesson_00
    >>> [exercise.title for exercise in exercises_of(lesson_00)]
    ['Who goes?', 'To which side?', 'Where does the cover stand?']
    """
    return tuple(value for value in vars(lesson).values() if isinstance(value, Exercise))


def read_exercises(folder: str | os.PathLike[str]) -> tuple[Exercise, ...]:
    """The exercises whose files lie in a folder, by the names of the files.

    Raises
    ------
    BadInput
        If there is no such folder.
    ExerciseFileError
        For the first file that is faulty: without it the class could not be marked.

    Examples
    --------
    >>> read_exercises("nowhere")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: folder nowhere: expected a folder of exercise files; got none there. Check the name.
    """
    return tuple(load_exercise(path) for path in _json_files(_folder(folder, "exercise files")))


def shown_name(path: Path) -> str:
    """A file's name as it can be printed: signs that print nothing, or turn the line round, become question marks.

    Examples
    --------
    >>> shown_name(Path("kim\\n.json"))
    'kim?.json'
    """
    return "".join(sign if sign.isprintable() else "?" for sign in path.name)[:100]


def _folder(folder: object, what: str) -> Path:
    if not isinstance(folder, str | os.PathLike) or not Path(folder).is_dir():
        raise BadInput(f"folder {str(folder)[:200]}", expected=f"a folder of {what}", got="none there",
                       todo="check the name")
    return Path(folder)


def _json_files(folder: Path) -> list[Path]:
    paths = sorted(path for path in folder.iterdir() if path.suffix.lower() == ".json")
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
