"""Scene files and sessions: pictures as UTF-8 JSON, checked on the way in and out, saved whole or not at all.

The schema stands in `pressinglib.field.scene_check`.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput, SceneFileError
from pressinglib.field.own_mark import OwnMark
from pressinglib.field.plain_file import complain, document_of, lines_of, read, save, text_of
from pressinglib.field.scene_check import VERSION, marks_of, scene_problems, session_problems, situation_of
from pressinglib.field.situation import Situation

SIZE_LIMIT_BYTES = 200_000
SESSION_LIMIT_BYTES = 2_000_000

# How to bring a file of an older version one version up: {1: to_version_2, ...}. Version 1 is the first.
Migrations = Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]]
MIGRATIONS: Migrations = {1: dict}  # version 2 only added marks and sessions


@dataclass(frozen=True)
class SceneFile:
    """A picture with its title, notes and a person's own marks."""

    situation: Situation
    title: str = ""
    notes: str = ""
    marks: tuple[OwnMark, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Plain values as a file keeps them, without the version."""
        marks = {"marks": [mark.to_dict() for mark in self.marks]} if self.marks else {}
        return {"title": self.title, "notes": self.notes, **self.situation.to_dict(), **marks}


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
    return _scene_in(read(Path(path), SIZE_LIMIT_BYTES, SceneFileError), str(path))


def load_session(path: str | os.PathLike[str]) -> tuple[SceneFile, ...]:
    """The scenes of a session file in their order; errors as in `load_situation`.

    Examples
    --------
    >>> import tempfile
    >>> from pressinglib.field.scenes import scene
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = save_session([SceneFile(scene("low block"), "Low block")], f"{folder}/tuesday.json")
    ...     [part.title for part in load_session(f"{folder}/tuesday.json")]
    ['Low block']
    """
    return _session_in(read(Path(path), SESSION_LIMIT_BYTES, SceneFileError), str(path))


def save_session(scenes: Iterable[SceneFile], path: str | os.PathLike[str]) -> Path:
    """Save 1-100 scenes as one file; replaced as a whole, errors as in `save_situation`."""
    parts = tuple(scenes)
    if not all(isinstance(part, SceneFile) for part in parts):
        raise BadInput("session", expected="scenes, each a SceneFile", got=", ".join({type(p).__name__ for p in parts}),
                       todo="make them: SceneFile(situation, title)")
    text = _session_text([part.to_dict() for part in parts], str(path))
    _session_in(text, str(path))
    return save(path, text, SceneFileError)


def save_situation(situation: Situation, path: str | os.PathLike[str], title: str = "", notes: str = "",
                   marks: Iterable[OwnMark] = ()) -> Path:
    """Save a picture as a scene file; a file that is there is replaced as a whole or stays as it was.

    Parameters
    ----------
    situation : Situation
    path : str or path
    title, notes : str
        At most 200 and 5000 characters.
    marks : iterable of OwnMark
        A person's own arrows, zones, notes and rulers; at most 60.

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
    text = _text({"version": VERSION, **SceneFile(situation, title, notes, tuple(marks)).to_dict()}, str(path))
    _scene_in(text, str(path))  # what could not be loaded again must not replace a good file
    return save(path, text, SceneFileError)


# -- reading -----------------------------------------------------------------------------------------------------------

def _scene_in(data: bytes, path: str) -> SceneFile:
    document = migrated(document_of(data, path, SIZE_LIMIT_BYTES, SceneFileError), path)
    if isinstance(document, dict) and "scenes" in document:
        raise SceneFileError(path, ["a session of several scenes"], "open it with load_session")
    complain(path, scene_problems(document), SceneFileError)
    return _scene(document)


def _session_in(data: bytes, path: str) -> tuple[SceneFile, ...]:
    document = migrated(document_of(data, path, SESSION_LIMIT_BYTES, SceneFileError), path)
    complain(path, session_problems(document), SceneFileError)
    return tuple(map(_scene, document["scenes"]))


def _scene(document: dict[str, Any]) -> SceneFile:
    return SceneFile(situation_of(document), document.get("title", ""), document.get("notes", ""), marks_of(document))


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
    return text_of(lambda: lines_of(document) + "\n", path, SceneFileError)


def _session_text(scenes: list[dict[str, Any]], path: str) -> bytes:
    return text_of(lambda: f'{{"version": {VERSION},\n "scenes": [\n' + ",\n".join(map(lines_of, scenes)) + "]}\n",
                   path, SceneFileError)
