"""Scene files and sessions: pictures as UTF-8 JSON, checked on the way in and out, saved whole or not at all.

The schema stands in `pressinglib.field.scene_check`.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput, PressingError, SceneFileError
from pressinglib.field.annotation import OwnMark
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import Player
from pressinglib.field.situation import TEAM_SIZE, Situation
from pressinglib.files import complain, document_of, lines_of, read, save, text_of, too_deep

# -- What is wrong in the values of a scene file: every fault, with its place.
# The schema, version 2 (JSON object, UTF-8, metres, degrees, seconds; keys in brackets may be missing):
#
#     version         2
#     [title]         text, at most 200 characters
#     [notes]         text, at most 5000 characters
#     [pitch]         {length_m, width_m, by_law}; default 105 x 68, by_law true (false for youth pitches)
#     pressing        list of 1-11 players
#     possession      the same, for the team with the ball
#         player      {number, slot, xy, [velocity], [facing_deg]}; see `Player`
#     ball_xy         [x, y]
#     [carrier]       number of the opponent on the ball, or null
#     [receiver]      number of the opponent to whom the ball travels, or null
#     [ball_velocity] [x, y]
#     [ball_height_m] number
#     [restart]       "throw-in", "goal kick", "keeper holds", or null
#     [marks]         list of at most 60 {kind, points, [words]}; see `OwnMark`
#
# A session is {version, scenes}: a list of 1-100 such objects, each without its own version. Version 1 had no marks and
# no sessions.


VERSION = 2
TEXT_LENGTH = {"title": 200, "notes": 5000}
SCENE_KEYS = ({"version", "pressing", "possession", "ball_xy"},
              {"title", "notes", "pitch", "carrier", "receiver", "ball_velocity", "ball_height_m", "restart",
               "marks"})
SESSION_KEYS = {"version", "scenes"}
MOST_MARKS, MOST_SCENES = 60, 100
PLAYER_KEYS = ({"number", "slot", "xy"}, {"velocity", "facing_deg"})
PLAYER_ORDER = ("number", "slot", "xy", "velocity", "facing_deg")
PITCH_KEYS = {"length_m", "width_m", "by_law"}
BALL_KEYS = ("ball_xy", "ball_velocity", "ball_height_m", "restart")
DEEPEST = 8  # a session is 6 deep: session, scenes, scene, marks, mark, point
SHOWN = 80  # characters of a wrong value that a message shows
SOMEONE = Player("1", "outfield", (0.0, 0.0))

CENTRE = (0.0, 0.0)

Faults = Iterator[str]


def scene_problems(document: Any) -> list[str]:
    """Every fault in the values of a scene file of version 2, each with its place; empty if it is sound.

    Examples
    --------
    >>> player = {"number": "9", "slot": "striker", "xy": [1]}
    >>> for problem in scene_problems({"version": 2, "pressing": [player], "ball_xy": [0, 0]}):
    ...     print(problem[:60])
    possession: missing
    pressing[0].slot: expected one of goalkeeper, right back, le
    pressing[0].xy: expected two finite numbers (x, y); got [1]
    >>> scene_problems([])
    ['file: expected named values in braces; got a list']
    """
    if not isinstance(document, dict):
        return [f"file: expected named values in braces; got {_kind(document)}"]
    if too_deep(document, DEEPEST):
        return [f"file: expected lists and braces at most {DEEPEST} deep; got deeper ones"]
    pitch = _pitch(document)
    faults = [*_keys("", document, *SCENE_KEYS), *_texts(document), *_pitch_faults(document),
              *_team("pressing", document, pitch), *_team("possession", document, pitch),
              *_ball(document, pitch), *_named(document), *_marks(document)]
    return faults or list(_fault("", lambda: situation_of(document)))


def situation_of(document: dict[str, Any]) -> Situation:
    """The picture in the values of a scene file."""
    return Situation.from_dict({key: document[key] for key in document
                                if key not in ("version", "marks", *TEXT_LENGTH)})


def marks_of(document: dict[str, Any]) -> tuple[OwnMark, ...]:
    """A person's own marks in the values of a scene file."""
    return tuple(map(OwnMark.from_dict, document.get("marks", [])))


def session_problems(document: Any) -> list[str]:
    """Every fault in the values of a session file, each with its scene and place; empty if it is sound.

    Examples
    --------
    >>> session_problems({"version": 2, "scenes": [{"ball_xy": [0, 0], "pressing": [], "possession": 3}]})
    ['scenes[0].pressing: expected a list of 1-11 players; got 0 of them', 'scenes[0].possession: expected a list ...']
    >>> session_problems({"version": 2, "scenes": []})
    ['scenes: expected a list of 1-100 scenes; got 0 of them']
    """
    faults = list(_keys("", document, SESSION_KEYS, set()))
    if faults or too_deep(document, DEEPEST):
        return faults or [f"file: expected lists and braces at most {DEEPEST} deep; got deeper ones"]
    scenes = document["scenes"]
    if not isinstance(scenes, list) or not 1 <= len(scenes) <= MOST_SCENES:
        return [f"scenes: expected a list of 1-{MOST_SCENES} scenes; got {_many(scenes)}"]
    return [f"scenes[{i}].{fault}" for i, scene in enumerate(scenes) for fault in _scene_in_session(scene)]


def _scene_in_session(scene: Any) -> list[str]:
    if isinstance(scene, dict) and "version" in scene:
        return ["version: expected none; the session has one for all"]
    return scene_problems({"version": VERSION, **scene} if isinstance(scene, dict) else scene)


def _kind(value: Any) -> str:
    kinds = {dict: "braces", list: "a list", str: "a text", bool: "true or false", type(None): "null"}
    return kinds.get(type(value), "a number")


def _many(value: Any) -> str:
    return f"{len(value)} of them" if isinstance(value, list) else _kind(value)


def _short(text: str) -> str:
    return text if len(text) <= SHOWN else text[: SHOWN - 3] + "..."


def _fault(place: str, make: Callable[[], object]) -> Faults:
    """The complaint of `make`, if it has one, at this place."""
    try:
        make()
    except PressingError as error:
        yield f"{place or error.what}: expected {error.expected}; got {_short(error.got)}"


def _keys(place: str, value: Any, needed: set[str], optional: set[str]) -> Faults:
    if not isinstance(value, dict):
        yield f"{place}: expected named values in braces; got {_kind(value)}"
        return
    prefix = f"{place}." if place else ""
    yield from (f"{prefix}{key}: missing" for key in sorted(needed - set(value)))
    for key in sorted(set(value) - needed - optional):
        yield f"{prefix}{_short(key)}: unknown key; known are {', '.join(sorted(needed | optional))}"


def _texts(document: dict[str, Any]) -> Faults:
    version = document.get("version", VERSION)
    if type(version) is not int or version != VERSION:
        yield f"version: expected {VERSION}; got {_short(repr(version))}"
    for key, length in TEXT_LENGTH.items():
        text = document.get(key, "")
        if not isinstance(text, str) or len(text) > length or not "".join(text.split()).isprintable():
            yield f"{key}: expected a printable text of at most {length} characters; got {_short(repr(text))}"


def _pitch(document: dict[str, Any]) -> Pitch:
    """The pitch, or the standard one where it is faulty, so that the rest can be checked."""
    return Pitch() if list(_pitch_faults(document)) else Pitch(**document.get("pitch", {}))


def _pitch_faults(document: dict[str, Any]) -> Faults:
    size = document.get("pitch", {})
    faults = list(_keys("pitch", size, set(), PITCH_KEYS))
    yield from faults or _fault("pitch", lambda: Pitch(**size))


def _team(team: str, document: dict[str, Any], pitch: Pitch) -> Faults:
    players = document.get(team, [SOMEONE.to_dict()])
    if not isinstance(players, list) or not 1 <= len(players) <= TEAM_SIZE:
        yield f"{team}: expected a list of 1-{TEAM_SIZE} players; got {_many(players)}"
        return
    faults = [fault for i, player in enumerate(players) for fault in _player(f"{team}[{i}]", player, pitch)]
    yield from faults or _fault(team, lambda: _against_someone(pitch, players))


def _player(place: str, player: Any, pitch: Pitch) -> Faults:
    faults = list(_keys(place, player, *PLAYER_KEYS))
    if isinstance(player, dict):
        for key in PLAYER_ORDER:
            if key in player:
                faults += _fault(f"{place}.{key}", partial(_with, SOMEONE, key, player[key]))
    yield from faults or _fault(f"{place}.xy", lambda: _against_someone(pitch, [player]))


def _against_someone(pitch: Pitch, players: list[dict[str, Any]]) -> Situation:
    return Situation(pitch, tuple(map(Player.from_dict, players)), (SOMEONE,), CENTRE)


def _with(player: Player, key: str, value: Any) -> Player:
    return replace(player, **{key: value})


def _ball(document: dict[str, Any], pitch: Pitch) -> Faults:
    for key in BALL_KEYS:
        if key in document:
            picture = {"ball_xy": CENTRE, key: document[key]}
            yield from _fault(key, partial(Situation, pitch, (SOMEONE,), (SOMEONE,), **picture))


def _named(document: dict[str, Any]) -> Faults:
    """Carrier and receiver must be among the numbers of the team in possession."""
    players = document.get("possession")
    numbers = [p["number"] for p in players if isinstance(p, dict) and isinstance(p.get("number"), str)] \
        if isinstance(players, list) else []
    for key in ("carrier", "receiver"):
        number = document.get(key)
        if number is not None and number not in numbers:
            known = _short(", ".join(numbers)) or "the numbers of the team"
            yield f"{key}: expected null or one of {known}; got {_short(repr(number))}"


def _marks(document: dict[str, Any]) -> Faults:
    marks = document.get("marks", [])
    if not isinstance(marks, list) or len(marks) > MOST_MARKS:
        yield f"marks: expected a list of at most {MOST_MARKS}; got {_many(marks)}"
        return
    for i, mark in enumerate(marks):
        try:
            OwnMark.from_dict(mark)
        except PressingError as error:
            yield f"marks[{i}]: {error.what}: expected {error.expected}; got {_short(error.got)}"


# -- Scene files and sessions: pictures as UTF-8 JSON, checked on the way in and out, saved whole or not at all.
# The schema stands in `pressinglib.field.scene_check`.


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
