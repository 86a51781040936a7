"""A class folder: one answer file for each learner, every answer judged again."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import ModuleType

from pressinglib.errors import AnswerFileError, BadInput
from pressinglib.teach.answer_file import AnswerFile, load_answers
from pressinglib.teach.class_results import ClassResults, Learner
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.exercise_file import load_exercise
from pressinglib.teach.marking import mark

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
    >>> from pressinglib.teach.progress import progress_of
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
