"""What is wrong in the values of a scene file: every fault, with its place.

The schema, version 2 (JSON object, UTF-8, metres, degrees, seconds; keys in brackets may be missing):

    version         2
    [title]         text, at most 200 characters
    [notes]         text, at most 5000 characters
    [pitch]         {length_m, width_m, by_law}; default 105 x 68, by_law true (false for youth pitches)
    pressing        list of 1-11 players
    possession      the same, for the team with the ball
        player      {number, slot, xy, [velocity], [facing_deg]}; see `Player`
    ball_xy         [x, y]
    [carrier]       number of the opponent on the ball, or null
    [receiver]      number of the opponent to whom the ball travels, or null
    [ball_velocity] [x, y]
    [ball_height_m] number
    [restart]       "throw-in", "goal kick", "keeper holds", or null
    [marks]         list of at most 60 {kind, points, [words]}; see `OwnMark`

A session is {version, scenes}: a list of 1-100 such objects, each without its own version. Version 1 had no marks and
no sessions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from pressinglib.errors import PressingError
from pressinglib.field.own_mark import OwnMark
from pressinglib.field.pitch import Pitch
from pressinglib.field.plain_file import too_deep
from pressinglib.field.player import Player
from pressinglib.field.situation import TEAM_SIZE, Situation

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
