"""Scene files: one picture as UTF-8 JSON, checked on the way in and out, saved whole or not at all.

The schema stands in `pressinglib.field.scene_check`.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput, SceneFileError
from pressinglib.field.scene_check import VERSION, scene_problems, situation_of
from pressinglib.field.situation import Situation

SIZE_LIMIT_BYTES = 200_000
FAULTS_SHOWN = 40

# How to bring a file of an older version one version up: {1: to_version_2, ...}. Version 1 is the first.
Migrations = Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]]
MIGRATIONS: Migrations = {}


@dataclass(frozen=True)
class SceneFile:
    """A picture with its title and notes."""

    situation: Situation
    title: str = ""
    notes: str = ""


def load_situation(path: str | os.PathLike[str]) -> Situation:
    """The picture in a scene file.

    Parameters
    ----------
    path : str or path
        Written by `save_situation`, or by hand: the schema is in `pressinglib.field.scene_check`.

    Raises
    ------
    SceneFileError
        Lists every fault with its place ("pressing[3].slot: ..."), or says why the file cannot be read.

    Examples
    --------
    >>> load_situation("no such scene.json")
    Traceback (most recent call last):
    pressinglib.errors.SceneFileError: scene file no such scene.json: got no such file. Check the name and the folder.
    """
    return load_scene(path).situation


def load_scene(path: str | os.PathLike[str]) -> SceneFile:
    """The picture in a scene file with its title and notes; errors as in `load_situation`.

    Examples
    --------
    >>> import tempfile
    >>> from pressinglib.field.scenes import scene
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = save_situation(scene("low block"), f"{folder}/low.json", title="Low block")
    ...     load_scene(f"{folder}/low.json").title
    'Low block'
    """
    return _scene_in(_read(Path(path)), str(path))


def save_situation(situation: Situation, path: str | os.PathLike[str], title: str = "", notes: str = "") -> Path:
    """Save a picture as a scene file; a file that is there is replaced as a whole or stays as it was.

    Parameters
    ----------
    situation : Situation
    path : str or path
    title, notes : str
        At most 200 and 5000 characters.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    BadInput
        If `situation` is none.
    SceneFileError
        If title or notes are not fit for a file, or the folder cannot be written to.
    """
    if not isinstance(situation, Situation):
        raise BadInput("situation", expected="a Situation", got=type(situation).__name__, todo="give the picture first")
    text = _text({"version": VERSION, "title": title, "notes": notes, **situation.to_dict()}, str(path))
    _scene_in(text, str(path))  # what could not be loaded again must not replace a good file
    target = Path(os.path.realpath(path))
    try:
        _replace(target, text)
    except OSError as error:
        raise SceneFileError(str(path), [str(error.strerror)], "choose a folder that you can write to") from error
    return Path(path)


# -- reading -----------------------------------------------------------------------------------------------------------

def _read(path: Path) -> bytes:
    if not path.is_file():
        found = "a folder, not a file" if path.is_dir() else "no such file"
        raise SceneFileError(str(path), [found], "check the name and the folder")
    try:
        with path.open("rb") as file:
            return file.read(SIZE_LIMIT_BYTES + 1)
    except OSError as error:
        raise SceneFileError(str(path), [str(error.strerror)], "check the rights of the file") from error


def _scene_in(data: bytes, path: str) -> SceneFile:
    document = migrated(_document(data, path), path)
    faults = scene_problems(document)
    if faults:
        more = [f"and {len(faults) - FAULTS_SHOWN} more"] if len(faults) > FAULTS_SHOWN else []
        raise SceneFileError(path, faults[:FAULTS_SHOWN] + more)
    return SceneFile(situation_of(document), document.get("title", ""), document.get("notes", ""))


def _document(data: bytes, path: str) -> Any:
    """The values of the file; refuses what JSON readers let pass: doubled keys, NaN, Infinity."""
    faults: list[str] = []

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        faults.extend(f"{key[:40]}: stands twice in one pair of braces" for key in _twice([key for key, _ in items]))
        return dict(items)

    if len(data) > SIZE_LIMIT_BYTES:
        raise SceneFileError(path, [f"more than {SIZE_LIMIT_BYTES // 1000} kB"], "a scene is a few kB: check the file")
    try:
        document = json.loads(data.decode("utf-8-sig"), object_pairs_hook=pairs,
                              parse_constant=lambda name: faults.append(f"{name}: not a number for a scene"))
    except UnicodeDecodeError as error:
        raise SceneFileError(path, ["text that is not UTF-8"], "save it as UTF-8") from error
    except (ValueError, RecursionError) as error:
        raise SceneFileError(path, [f"not JSON: {_reason(error)}"], "mend the text there, or save it anew") from error
    if faults:
        raise SceneFileError(path, faults[:FAULTS_SHOWN])
    return document


def _twice(keys: list[str]) -> list[str]:
    seen: set[str] = set()
    return [key for key in keys if key in seen or seen.add(key)]  # type: ignore[func-returns-value]


def _reason(error: Exception) -> str:
    if isinstance(error, json.JSONDecodeError):
        return f"line {error.lineno}, column {error.colno}: {error.msg}"
    return "braces in braces without end" if isinstance(error, RecursionError) else "a number with too many digits"


def migrated(document: Any, path: str, steps: Migrations = MIGRATIONS, newest: int = VERSION) -> Any:
    """The values of a file of any known version, brought up to the newest one step at a time.

    Examples
    --------
    >>> migrated({"version": 1, "balls": 1}, "a.json", {1: lambda d: {**d, "balls": 2}}, newest=2)
    {'version': 2, 'balls': 2}
    """
    version = document.get("version") if isinstance(document, dict) else newest
    if type(version) is not int or not 1 <= version <= newest:
        todo = "get a newer pressinglib" if type(version) is int and version > newest else "mend the version"
        got = str(version)[:40]
        raise SceneFileError(path, [f"version: expected a whole number, at most {newest}; got {got}"], todo)
    for step in range(version, newest):
        document = {**steps[step](document), "version": step + 1}
    return document


# -- writing -----------------------------------------------------------------------------------------------------------

def _text(document: dict[str, Any], path: str) -> bytes:
    """JSON with one player a line."""
    try:
        lines = [f"{json.dumps(key)}: {_value(value)}" for key, value in document.items()]
        return ("{" + ",\n ".join(lines) + "}\n").encode("utf-8")
    except (TypeError, UnicodeEncodeError) as error:
        raise SceneFileError(path, [f"a value that is not text: {error}"], "give title and notes as text") from error


def _value(value: Any) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[\n  " + ",\n  ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _replace(target: Path, text: bytes) -> None:
    """Write beside the target, then put it in its place in one step: a kill leaves the old file or the new."""
    beside = target.parent / f".{secrets.token_hex(8)}.tmp"
    try:
        with beside.open("xb") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        os.replace(beside, target)
    finally:
        beside.unlink(missing_ok=True)
