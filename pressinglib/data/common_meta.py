"""The meta data of the Common Data Format: pitch, numbers on the shirts, direction of play."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pressinglib.data.common_format import PLAY_DIRECTIONS, WrongField, number, period_of, shown
from pressinglib.data.report import Problem, Report
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH

SIZE_LIMIT_BYTES = 5_000_000
SIDES = ("home", "away")


@dataclass(eq=False)
class Meta:
    """What the meta data say; empty where they do not."""

    pitch: Pitch | None = None
    fps: float = 0.0
    shirts: dict[tuple[int, str], str] = field(default_factory=dict)
    team_ids: list[str] = field(default_factory=lambda: ["home", "away"])
    directions: dict[int, str] = field(default_factory=dict)

    @property
    def home_attacks(self) -> dict[int, str]:
        """By period, as the data are written; BadInput where it is not said."""
        if not self.directions:
            raise BadInput("direction of play", expected="match.periods[...].play_direction in the meta data",
                           got="none", todo="say which way the home side attacks in each period")
        return self.directions

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
    document = _document(file)
    for read in (_pitch, _fps, _shirts, _directions):
        try:
            read(document, meta, report)
        except WrongField as wrong:
            report.problems.append(Problem(file.name, None, wrong.field, wrong.words, "not used"))
    return meta


def _document(file: Path) -> Any:
    try:
        with file.open("rb") as stream:
            data = stream.read(SIZE_LIMIT_BYTES + 1)
        document = json.loads(data.decode("utf-8-sig")) if len(data) <= SIZE_LIMIT_BYTES else None
    except (OSError, ValueError, RecursionError) as error:
        raise BadInput(f"meta data {file.name}", expected="a readable JSON file", got=type(error).__name__,
                       todo="check that the file is there and whole") from error
    if not isinstance(document, dict):
        raise BadInput(f"meta data {file.name}", expected=f"a JSON object of at most {SIZE_LIMIT_BYTES} bytes",
                       got=shown(document), todo="check the file")
    return document


def _at(document: Any, *keys: str) -> Any:
    """A value inside objects, None where one of the keys is missing."""
    for key in keys:
        document = document.get(key) if isinstance(document, dict) else None
    return document


def _pitch(document: Any, meta: Meta, report: Report) -> None:
    size = [_at(document, "venue", key) for key in ("pitch_length", "pitch_width")]
    if None in size:
        report.note("venue.pitch_length or pitch_width is missing: 105 x 68 m taken")
        return
    length, width = (number(value, f"venue.{key}") for value, key in zip(size, ("pitch_length", "pitch_width"),
                                                                       strict=True))
    try:
        meta.pitch = Pitch(length, width)
    except BadInput as error:
        raise WrongField("venue", f"no pitch by Law 1: {length:g} x {width:g} m") from error


def _fps(document: Any, meta: Meta, report: Report) -> None:
    value = _at(document, "meta", "tracking", "fps")
    if value is not None:
        meta.fps = number(value, "meta.tracking.fps")


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
        if word not in PLAY_DIRECTIONS:
            raise WrongField(place, f"expected left_right or right_left; got {shown(word)}")
        meta.directions[period_of(_at(period, "period"))] = PLAY_DIRECTIONS[word]
