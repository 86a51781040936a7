"""Exercise files: an exercise to share, with the settings that judge it, so that marks stay as they are.

The schema, version 1 (JSON object, UTF-8):

    version     1
    made_with   version of pressinglib that wrote it
    title, task, look   texts
    kind        one of `pressinglib.teach.own_exercise.KINDS`
    asked       {words: number}, as the kind wants it
    settings    every setting by name; see `pressinglib.roles.settings.Settings`
    scene       the picture with its own version; see `pressinglib.field.scene_check`
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any

from pressinglib import __version__
from pressinglib.errors import BadInput, ExerciseFileError, PressingError, SceneFileError
from pressinglib.field.plain_file import complain, document_of, lines_of, read, save, text_of, too_deep
from pressinglib.field.scene_check import VERSION as SCENE_VERSION
from pressinglib.field.scene_check import scene_problems, situation_of
from pressinglib.field.scene_file import SceneFile, migrated
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.own_exercise import KINDS, kind_of, make_exercise

VERSION = 1
SIZE_LIMIT_BYTES = 200_000
DEEPEST = 8
KEYS = {"version", "made_with", "title", "task", "look", "kind", "asked", "settings", "scene"}
STOCK = Rulebook()


@dataclass(frozen=True, repr=False)
class SharedExercise(Exercise):
    """An exercise as it was shared, with the settings of its file; says so if another version wrote it.

    Parameters
    ----------
    made_with : str
        The version of pressinglib that wrote it.
    missing : tuple of str
        Settings that the file does not know, because they are newer; they have their usual values.
    """

    made_with: str = __version__
    missing: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return f"{super().__repr__()} {self.note}".strip()

    @property
    def note(self) -> str:
        """What a marker has to know if the versions differ; else ""."""
        if self.made_with == __version__ and not self.missing:
            return ""
        usual = f" Not in the file, so at their usual values: {', '.join(self.missing)}." if self.missing else ""
        return (f"Made with pressinglib {self.made_with}, judged here with {__version__} and the settings of the file: "
                f"look again where a mark is close.{usual}")


def save_exercise(exercise: Exercise, path: str | os.PathLike[str]) -> Path:
    """Save an exercise as a file to share; a file that is there is replaced as a whole or stays as it was.

    Raises
    ------
    BadInput
        If it cannot be kept: a rule of one's own, or a kind that only lessons have.
    ExerciseFileError
        If it cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> from pressinglib.field.scenes import scene
    >>> exercise = make_exercise(scene("worked scene"), "Who?", "Name the one who goes.", "who goes")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     load_exercise(save_exercise(exercise, f"{folder}/who.json")).check("9").outcome
    'right'
    """
    if not isinstance(exercise, Exercise):
        raise BadInput("exercise", expected="an Exercise", got=type(exercise).__name__, todo="make one first")
    document = _document(exercise)
    text = text_of(lambda: lines_of(document) + "\n", str(path), ExerciseFileError)
    _exercise_in(text, str(path))  # what could not be loaded again must not replace a good file
    return save(path, text, ExerciseFileError)


def load_exercise(path: str | os.PathLike[str]) -> SharedExercise:
    """The exercise in a file, to be judged with the file's settings.

    Raises
    ------
    ExerciseFileError
        Lists every fault with its place, or says why the file cannot be read.

    Examples
    --------
    >>> load_exercise("no such exercise.json")
    Traceback (most recent call last):
    pressinglib.errors.ExerciseFileError: exercise file no such exercise.json: got no such file. ...
    """
    return _exercise_in(read(Path(path), SIZE_LIMIT_BYTES, ExerciseFileError), str(path))


def _document(exercise: Exercise) -> dict[str, Any]:
    if exercise.rulebook != STOCK.with_settings(**asdict(exercise.rulebook.settings)):
        raise BadInput("rulebook of the exercise", expected="settings only", got="a rule of your own",
                       todo="a function cannot be kept in a file: use with_settings")
    asked = {word: getattr(exercise.judge, word) for word in KINDS[kind_of(exercise)].asks}
    return {"version": VERSION, "made_with": __version__, "title": exercise.title, "task": exercise.task,
            "look": exercise.look, "kind": kind_of(exercise), "asked": asked,
            "settings": asdict(exercise.rulebook.settings),
            "scene": {"version": SCENE_VERSION, **SceneFile(exercise.situation).to_dict()}}


def _exercise_in(data: bytes, path: str) -> SharedExercise:
    document = document_of(data, path, SIZE_LIMIT_BYTES, ExerciseFileError)
    complain(path, exercise_problems(document), ExerciseFileError)
    rulebook = Rulebook(Settings(**document["settings"]))
    words = {key: document[key] for key in ("title", "task", "kind", "asked", "look")}
    try:
        exercise = make_exercise(situation_of(migrated(document["scene"], path)), **words, rulebook=rulebook)
    except PressingError as error:
        raise ExerciseFileError(path, [str(error)]) from error
    newer = tuple(f.name for f in fields(Settings) if f.name not in document["settings"])
    return SharedExercise(**{f.name: getattr(exercise, f.name) for f in fields(Exercise)},
                          made_with=document["made_with"], missing=newer)


def exercise_problems(document: Any) -> list[str]:
    """Every fault in the values of an exercise file, each with its place; what it asks is looked at later.

    Examples
    --------
    >>> exercise_problems({"version": 2})
    ['version: expected 1; got 2 (get a newer pressinglib)']
    >>> exercise_problems({**dict.fromkeys(KEYS, "x"), "version": 1})[:2]
    ['asked: expected numbers by their words', 'settings: expected values by their names']
    """
    if not isinstance(document, dict) or too_deep(document, DEEPEST):
        return [f"file: expected named values in braces, at most {DEEPEST} deep"]
    version = document.get("version")
    if type(version) is not int or version != VERSION:
        newer = " (get a newer pressinglib)" if type(version) is int and version > VERSION else ""
        return [f"version: expected {VERSION}; got {repr(version)[:40]}{newer}"]
    faults = [f"{key}: missing" for key in sorted(KEYS - set(document))]
    faults += [f"{key[:40]}: unknown key" for key in sorted(set(document) - KEYS)]
    return faults or [*_texts(document), *_asked(document), *_settings(document), *_scene(document)]


def _texts(document: dict[str, Any]) -> Iterator[str]:
    for key in ("title", "task", "look", "kind", "made_with"):
        if not isinstance(document[key], str):
            yield f"{key}: expected a text"
    made_with = document["made_with"]
    if isinstance(made_with, str) and not (1 <= len(made_with) <= 40 and made_with.isprintable()):
        yield "made_with: expected a version"


def _asked(document: dict[str, Any]) -> Iterator[str]:
    asked = document["asked"]
    if not isinstance(asked, dict) or not all(isinstance(number, str) for number in asked.values()):
        yield "asked: expected numbers by their words"


def _settings(document: dict[str, Any]) -> Iterator[str]:
    settings = document["settings"]
    if not isinstance(settings, dict):
        yield "settings: expected values by their names"
        return
    for name, value in settings.items():
        try:
            Settings(**{name: value})
        except PressingError as error:
            yield f"settings.{name[:40]}: expected {error.expected[:200]}; got {error.got[:80]}"


def _scene(document: dict[str, Any]) -> Iterator[str]:
    try:
        yield from (f"scene.{fault}" for fault in scene_problems(migrated(document["scene"], "")))
    except SceneFileError as error:
        yield from (f"scene.{fault}" for fault in error.problems)
