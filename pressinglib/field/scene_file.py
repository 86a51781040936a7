"""Scene files and sessions: pictures, and what a person has drawn on them, as UTF-8 JSON; saved whole or not at all.

The schema, version 2 (JSON object, UTF-8, metres, degrees, seconds; keys in brackets may be missing):

    version         2
    [title]         text, at most 200 characters
    [notes]         text, at most 5000 characters
    [pitch]         {length_m, width_m, by_law}; default 105 x 68, by_law true (false for youth pitches)
    pressing        list of 1-11 players
    possession      the same, for the team with the ball
        player      {number, slot, xy, [velocity], [facing_deg], [top_speed_mps]}; see `Player`
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

import os
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, replace
from functools import cache, partial
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput, SceneFileError, as_a, as_items, as_known, as_number, as_text, as_xy
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import XY, Player, plain
from pressinglib.field.situation import TEAM_SIZE, TEAMS, Situation
from pressinglib.files import Checker, Format, Values, several, text

TEXT_LENGTH = {"title": 200, "notes": 5000}
BALL_KEYS = ("ball_xy", "ball_velocity", "ball_height_m", "restart")
NAMED_KEYS = ("carrier", "receiver")
NEEDED = ("pressing", "possession", "ball_xy")
OPTIONAL = (*TEXT_LENGTH, *BALL_KEYS, *NAMED_KEYS, "pitch", "marks")
PLAYER_KEYS = ("number", "slot", "xy", "velocity", "facing_deg", "top_speed_mps")  # the first three are needed
PITCH_KEYS = ("length_m", "width_m", "by_law")
MOST_MARKS, MOST_SCENES = 60, 100
SOMEONE = Player("1", "outfield", (0.0, 0.0))
CENTRE = (0.0, 0.0)
# Kind: fewest and most points. An arrow is a way on foot, a pass and a dribble one of the ball.
CORNERS = {"arrow": (2, 50), "pass": (2, 50), "dribble": (2, 50), "zone": (3, 50), "note": (1, 1), "ruler": (2, 2),
           "cone": (1, 1), "goal": (2, 2)}
KINDS = tuple(CORNERS)
WORDS_LENGTH = 80
FURTHEST_M = 100.0


@dataclass(frozen=True)
class OwnMark:
    """An arrow, a pass, a dribble, a zone, a note, a ruler (a line that shows its length), a cone or a goal.

    Parameters
    ----------
    kind : str
        "arrow", "pass", "dribble", "zone", "note", "ruler", "cone" or "goal".
    points : iterable of (x, y)
        Metres: the way of an arrow, the corners of a zone, the place of a note, the two ends of a ruler or a goal.
    words : str
        What stands beside it, at most 80 characters; a note needs some.

    >>> OwnMark("arrow", [(0, 0), (10, 5)], "run here").mirrored().points
    ((0.0, 0.0), (10.0, -5.0))
    >>> OwnMark("note", [(0, 0)])
    Traceback (most recent call last):
    pressinglib.errors.BadInput: words of a note: expected a text of 1-80 printable characters; got ''. ...
    """

    kind: str
    points: tuple[XY, ...]
    words: str = ""

    def __post_init__(self) -> None:
        fewest, most = CORNERS[as_known(self.kind, KINDS, "kind of mark")]
        points = tuple(self.points) if isinstance(self.points, Iterable) else ()
        if not fewest <= len(points) <= most:
            raise BadInput(f"points of the {self.kind}", expected=f"{fewest}-{most} of them", got=str(len(points)),
                           todo="give places (x, y) in metres")
        object.__setattr__(self, "points", tuple(_near(xy, f"point of the {self.kind}") for xy in points))
        as_text(self.words, f"words of a {self.kind}", int(self.kind == "note"), WORDS_LENGTH)

    def mirrored(self) -> OwnMark:
        """Left and right swapped."""
        return replace(self, points=tuple((x, -y) for x, y in self.points))

    def to_dict(self) -> dict[str, Any]:
        """Plain values for a file."""
        return asdict(self, dict_factory=plain)


def _near(xy: Any, what: str) -> XY:
    x, y = (as_number(v, what, low=-FURTHEST_M, high=FURTHEST_M) for v in as_xy(xy, what))
    return x, y


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
    """The picture in a scene file, written by `save_situation` or by hand: the schema is at the top of this module.

    A SceneFileError lists every fault with its place ("pressing[3].slot: ..."), or says why the file cannot be read.

    >>> load_situation("no such scene.json")
    Traceback (most recent call last):
    pressinglib.errors.SceneFileError: scene file no such scene.json: got no such file. Check the name and the folder.
    """
    return load_scene(path).situation


def load_scene(path: str | os.PathLike[str]) -> SceneFile:
    """The picture in a scene file with its title, notes and marks; errors as in `load_situation`.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = save_situation(scene("low block"), f"{folder}/low.json", title="Low block")
    ...     load_scene(f"{folder}/low.json").title
    'Low block'
    """
    return SCENE.load(path)


def load_session(path: str | os.PathLike[str]) -> tuple[SceneFile, ...]:
    """The scenes of a session file in their order, or the one of a scene file; errors as in `load_situation`.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = save_session([SceneFile(scene("low block"), "Low block")], f"{folder}/tuesday.json")
    ...     [part.title for part in load_session(f"{folder}/tuesday.json")]
    ['Low block']
    """
    return SESSION.load(path)


def save_session(scenes: Iterable[SceneFile], path: str | os.PathLike[str]) -> Path:
    """Save 1-100 scenes as one file; replaced as a whole, errors as in `save_situation`."""
    parts = as_items(scenes, SceneFile, "session", "scenes, each a SceneFile", "make them: SceneFile(situation, title)")
    return SESSION.save({"scenes": [part.to_dict() for part in parts]}, path)


def save_situation(situation: Situation, path: str | os.PathLike[str], title: str = "", notes: str = "",
                   marks: Iterable[OwnMark] = ()) -> Path:
    """Save a picture as a scene file, with a title, notes and at most 60 marks of a person's own.

    A file that is there is replaced as a whole or stays as it was; a SceneFileError says what is not fit for a file, a
    PressingError why the folder cannot be written to.
    """
    as_a(situation, Situation, "situation", "give the picture first")
    own = as_items(marks, OwnMark, "marks", "a list of OwnMark", "make them: OwnMark(kind, points, words)")
    return SCENE.save(SceneFile(situation, title, notes, own).to_dict(), path)


# -- Making a picture of the values in a file: whatever can be looked at is, though something else is wrong.


def _alone(check: Checker, values: Values) -> SceneFile | None:
    """The scene of a scene file."""
    if "scenes" in values:
        check.note("a session of several scenes: open it with load_session")
        return None
    return _scene(check, values)


def _several(check: Checker, values: Values) -> tuple[Any, ...]:
    """The scenes of a session file, or the one of a scene file."""
    if "scenes" not in values:
        return (_scene(check, values),)
    return check.fields(values, scenes=several(_scene, 1, MOST_SCENES, "scenes")).get("scenes", ())


def _scene(check: Checker, values: Any) -> SceneFile | None:
    check.keys(values, NEEDED, OPTIONAL)
    if not isinstance(values, dict):
        return None
    for key, longest in TEXT_LENGTH.items():
        text(0, longest, lines=True)(check.at(key), values.get(key, ""))
    size, place = values.get("pitch", {}), check.at("pitch")
    pitch = (place.make(Pitch, **size) if place.keys(size, (), PITCH_KEYS) else None) or Pitch()
    blank = partial(replace, Situation(pitch, (SOMEONE,), (SOMEONE,), CENTRE))  # so that the rest can be looked at
    teams = {team: _team(check.at(team), values[team], blank) for team in TEAMS if team in values}
    ball = _each(check, values, BALL_KEYS, blank)
    named = {key: values[key] for key in NAMED_KEYS if key in values}
    _check_named(check, named, values.get("possession"))
    marks = [place.make(OwnMark, named=True, **mark)
             for place, mark in check.at("marks").items(values.get("marks", []), 0, MOST_MARKS, "marks")
             if place.keys(mark, ("kind", "points"), ("words",))]
    made = None if check.faults else check.make(Situation, pitch, named=True, **teams, **ball, **named)
    texts = {key: values[key] for key in TEXT_LENGTH if key in values}
    return SceneFile(made, **texts, marks=tuple(filter(None, marks))) if made else None


def _each(check: Checker, values: Any, keys: Iterable[str], blank: Callable[..., Any]) -> Values:
    """Those of the values that there are, each looked at alone."""
    given = {key: values[key] for key in keys if key in values} if isinstance(values, dict) else {}
    for key, value in given.items():
        check.at(key).make(blank, **{key: value})
    return given


def _team(check: Checker, values: Any, blank: Callable[..., Any]) -> tuple[Player, ...]:
    """The players that are sound."""
    players = []
    for place, value in check.items(values, 1, TEAM_SIZE, "players"):
        place.keys(value, PLAYER_KEYS[:3], PLAYER_KEYS)
        _each(place, value, PLAYER_KEYS, partial(replace, SOMEONE))
        if not place.faults:
            players.append(Player(**value))
            place.at("xy").make(blank, pressing=players[-1:])
    if not check.faults:
        check.make(blank, pressing=players)
    return tuple(players)


def _check_named(check: Checker, named: Values, possession: Any) -> None:
    """Carrier and receiver must be among the numbers of the team in possession."""
    players = [p for p in possession if isinstance(p, dict)] if isinstance(possession, list) else []
    numbers = [p["number"] for p in players if isinstance(p.get("number"), str)]
    known = f"{', '.join(numbers):.80}" or "the numbers of the team"
    for key, number in named.items():
        check.at(key).expect(number is None or number in numbers, f"null or one of {known}", repr(number))


SCENE = Format(SceneFileError, 2, 200_000, _alone)  # version 2 only added marks and sessions
SESSION = Format(SceneFileError, 2, 2_000_000, _several)

# -- Named scenes of our own invention: a session beside this file, places set by hand, shapes of common practice.


@cache
def _named() -> dict[str, SceneFile]:
    return {part.title: part for part in load_session(Path(__file__).with_name("scenes.json"))}


def scene(name: str) -> Situation:
    """The picture with this name, else UnknownName; left and right in the names are the pressing team's.

    >>> scene("worked scene").on_ball
    '5'
    >>> scene("overload")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: scene: expected one of build-up left, build-up right, ...
    """
    return _named()[as_known(name, scene_names(), "scene", "use one of these names")].situation


def scene_names() -> tuple[str, ...]:
    """The names of all scenes."""
    return tuple(_named())
