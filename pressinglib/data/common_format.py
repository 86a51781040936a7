"""The words and the meta data of the Common Data Format (arXiv 2505.15820, draft 0.3), as they may come."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pressinglib.data.coordinates import Problem, Report
from pressinglib.data.table_files import read_document
from pressinglib.data.tracking import SIDES
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH
from pressinglib.files import short

PERIODS = {"first_half": 1, "second_half": 2, "first_half_extratime": 3, "second_half_extratime": 4, "shootout": 5}
SHOOTOUT = 5
PLAY_DIRECTIONS = {"left_right": "right", "right_left": "left"}  # of the home side
IN_PLAY = {"true": True, "1": True, "alive": True, "in": True, "in_play": True,
           "false": False, "0": False, "dead": False, "out": False, "out_of_play": False}
FASTEST_FPS = 1000.0


# -- the words of a frame ----------------------------------------------------------------------------------------------


class WrongField(Exception):
    """A field of one frame is missing or no value to work with."""

    def __init__(self, field: str, words: str) -> None:
        self.field, self.words = field, words


def shown(value: object) -> str:
    """A value for a message, cut to a sensible length."""
    return short(repr(value), 40)


def number(value: object, field: str, blank: bool = False) -> float:
    """A finite float; NaN for null where `blank`."""
    if value is None and blank:
        return float("nan")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e9:
        raise WrongField(field, f"expected a number; got {shown(value)}")
    return float(value)


def named(document: object, field: str) -> Mapping[str, Any]:
    """An object with named values."""
    if not isinstance(document, dict):
        raise WrongField(field, f"expected an object {{...}}; got {shown(document)}")
    return document


def period_of(value: object) -> int:
    """1 to 5 from the period's word, or from its number in older drafts."""
    if isinstance(value, str) and value in PERIODS:
        return PERIODS[value]
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= SHOOTOUT:
        return value
    raise WrongField("period", f"expected one of {', '.join(PERIODS)}; got {shown(value)}")


def in_play(value: object) -> bool | None:
    """Whether the ball is in play; None where it is not said."""
    if value is None:
        return None
    word = str(value).strip().lower()
    if word not in IN_PLAY:
        raise WrongField("ball.status", f"expected true or false; got {shown(value)}")
    return IN_PLAY[word]


# -- the meta data -----------------------------------------------------------------------------------------------------


@dataclass(eq=False)
class Meta:
    """What the meta data say; empty where they do not."""

    pitch: Pitch | None = None
    fps: float = 0.0
    shirts: dict[tuple[int, str], str] = field(default_factory=dict)
    team_ids: list[str] = field(default_factory=lambda: ["home", "away"])
    directions: dict[int, str] = field(default_factory=dict)

    def learn(self, side: int, team_id: object) -> None:
        """A team's id as a frame gives it."""
        if team_id is not None:
            self.team_ids[side] = str(team_id)

    def numbers(self, ids: Sequence[tuple[int, str]], report: Report) -> list[str]:
        """A number for each (side, id): that on the shirt; where it is missing or not unique, 1, 2, ... anew."""
        taken = [[self.shirts.get(key, "") for key in ids if key[0] == side] for side in (0, 1)]
        for side, shirts in enumerate(taken):
            if "" in shirts or len(set(shirts)) < len(shirts):
                report.note(f"shirt numbers of the {SIDES[side]} side are missing or not unique: "
                            "its players are numbered 1, 2, ... by their ids")
                order = sorted(key[1] for key in ids if key[0] == side)
                self.shirts.update({(side, name): str(n + 1) for n, name in enumerate(order)})
        return [self.shirts[key] for key in ids]


def read_meta(file: Path | None, report: Report) -> Meta:
    """Read what is there; what is missing or wrong is noted."""
    meta = Meta()
    if file is None:
        report.note("no meta data: shirt numbers, size of the pitch and direction are not in the tracking itself")
        return meta
    document = read_document(file, f"meta data {file.name}", "a readable JSON file",
                             "check that the file is there and whole")
    for read in (_pitch, _fps, _shirts, _directions):
        try:
            read(document, meta, report)
        except WrongField as wrong:
            report.problems.append(Problem(file.name, None, wrong.field, wrong.words, "not used"))
    return meta


def _at(document: Any, *keys: str) -> Any:
    """A value inside objects, None where one of the keys is missing."""
    for key in keys:
        document = document.get(key) if isinstance(document, dict) else None
    return document


def _pitch(document: Any, meta: Meta, report: Report) -> None:
    sides = {f"venue.{key}": _at(document, "venue", key) for key in ("pitch_length", "pitch_width")}
    if None in sides.values():
        report.note("venue.pitch_length or pitch_width is missing: 105 x 68 m taken")
        return
    length, width = (number(value, key) for key, value in sides.items())
    try:
        meta.pitch = Pitch(length, width)
    except BadInput as error:
        raise WrongField("venue", f"no pitch by Law 1: {length:g} x {width:g} m") from error


def _fps(document: Any, meta: Meta, report: Report) -> None:
    value = _at(document, "meta", "tracking", "fps")
    if value is not None:
        fps = number(value, "meta.tracking.fps")
        if not 0 < fps <= FASTEST_FPS:
            raise WrongField("meta.tracking.fps", f"expected frames a second; got {shown(value)}")
        meta.fps = fps


def _shirts(document: Any, meta: Meta, report: Report) -> None:
    for side, name in enumerate(SIDES):
        players = _at(document, "teams", name, "players")
        meta.learn(side, _at(document, "teams", name, "id"))
        for player in players if isinstance(players, list) else []:
            shirt = _at(player, "jersey_number")
            text = str(shirt).strip()
            if shirt is not None and 0 < len(text) <= NUMBER_LENGTH and text.isprintable():
                meta.shirts[side, str(_at(player, "id"))] = text


def _directions(document: Any, meta: Meta, report: Report) -> None:
    periods = _at(document, "match", "periods")
    for k, period in enumerate(periods if isinstance(periods, list) else []):
        word, place = _at(period, "play_direction"), f"match.periods[{k}].play_direction"
        if word is None:
            continue
        if not isinstance(word, str) or word not in PLAY_DIRECTIONS:
            raise WrongField(place, f"expected left_right or right_left; got {shown(word)}")
        meta.directions[period_of(_at(period, "period"))] = PLAY_DIRECTIONS[word]
