"""The words and the meta data of the Common Data Format (arXiv 2505.15820, draft 0.3), as they may come."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

from pressinglib.data.coordinates import NAMED, Problem, Report
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
    shirts: dict[tuple[int, str], str] = field(default_factory=dict)
    team_ids: list[str] = field(default_factory=lambda: ["home", "away"])
    directions: dict[int, str] = field(default_factory=dict)

    def learn(self, side: int, team_id: object) -> None:
        """A team's id as a frame gives it."""
        if team_id is not None:
            self.team_ids[side] = str(team_id)

    def numbers(self, ids: Mapping[tuple[int, str], int], report: Report) -> list[str]:
        """A number for each (side, id): that on the shirt; who has none of his own gets the lowest that is free."""
        of = {(key[0], shirt): key for key, shirt in reversed(self.shirts.items()) if key in ids}
        found, made = {key: shirt for (_, shirt), key in of.items()}, list[str]()
        counts = count(1), count(1)
        for side, name in sorted(set(ids) - set(found)):
            found[side, name] = next(n for n in map(str, counts[side]) if (side, n) not in of)
            made.append(f"{short(name, 20)} ({SIDES[side]}) is {found[side, name]}")
        if made:
            more = f" and {len(made) - NAMED} more" if len(made) > NAMED else ""
            report.note(f"players without a shirt number of their own: {', '.join(made[:NAMED])}{more}")
        return [found[key] for key in ids]


def read_meta(file: Path | None, report: Report) -> Meta:
    """Read what is there; what is missing or wrong is noted."""
    meta = Meta()
    if file is None:
        report.note("no meta data: shirt numbers, size of the pitch and direction are not in the tracking itself")
        return meta
    document = read_document(file, f"meta data {file.name}", "a readable JSON file",
                             "check that the file is there and whole")
    for read in (_pitch, _shirts, _directions):
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


def _list(document: Any, *keys: str) -> list[Any]:
    found = _at(document, *keys)
    if found is not None and not isinstance(found, list):
        raise WrongField(".".join(keys), f"expected a list [...]; got {shown(found)}")
    return found or []


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


def _shirts(document: Any, meta: Meta, report: Report) -> None:
    wrong: list[tuple[str, str]] = []
    for side, name in enumerate(SIDES):
        meta.learn(side, _at(document, "teams", name, "id"))
        for k, player in enumerate(_list(document, "teams", name, "players")):
            shirt = _at(player, "jersey_number")
            text = str(shirt).strip()
            if type(shirt) in (int, str) and 0 < len(text) <= NUMBER_LENGTH and text.isprintable():
                meta.shirts[side, str(_at(player, "id"))] = text
            elif shirt is not None:
                wrong.append((f"teams.{name}.players[{k}].jersey_number", shown(shirt)))
    for place, got in wrong[:1]:
        more = f"; and {len(wrong) - 1} more" if len(wrong) > 1 else ""
        raise WrongField(place, f"expected a number of 1-{NUMBER_LENGTH} characters; got {got}{more}")


def _directions(document: Any, meta: Meta, report: Report) -> None:
    for k, period in enumerate(_list(document, "match", "periods")):
        word, place = _at(period, "play_direction"), f"match.periods[{k}].play_direction"
        if word is None:
            continue
        if not isinstance(word, str) or word not in PLAY_DIRECTIONS:
            raise WrongField(place, f"expected left_right or right_left; got {shown(word)}")
        meta.directions[period_of(_at(period, "period"))] = PLAY_DIRECTIONS[word]
