"""A match in the Common Data Format (arXiv 2505.15820, draft 0.3): JSON Lines, one frame a line; a JSON of meta data.

Drafts of the format differ, so it is read tolerantly: what is missing and can be done without is noted, a frame that is
wrong is named and left out. Names of people are never read.
"""

from __future__ import annotations

import json
import re
from array import array
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from itertools import count
from os.path import isdir, isfile
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.coordinates import NAMED, Coordinates, Problem, Report
from pressinglib.data.long_table import BALL, match_of
from pressinglib.data.table_files import lines_of, read_document, trouble
from pressinglib.data.tracking import SIDES, Tracking
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH
from pressinglib.files import short
from pressinglib.tables import pandas_or_say

PERIODS = {"first_half": 1, "second_half": 2, "first_half_extratime": 3, "second_half_extratime": 4, "shootout": 5}
SHOOTOUT = 5
PLAY_DIRECTIONS = {"left_right": "right", "right_left": "left"}  # of the home side


def read_common(tracking: str | Path, meta: str | Path | None = None,
                home_attacks: str | Mapping[int, str] | None = None,
                pitch: Pitch | None = None) -> tuple[Tracking, Report]:
    """Read a match in the Common Data Format.

    Parameters
    ----------
    tracking : str or Path
        The `.jsonl` (or `.jsonl.gz`), or a folder with one such file and one `.json`.
    meta : str or Path, optional
        The JSON of meta data.
    home_attacks : "right", "left" or dict by period, optional
        Needed where the meta data give no play_direction: it is never guessed.
    pitch : Pitch, optional
        Needed only to overrule venue.pitch_length and pitch_width; 105 x 68 m is noted where neither is given.

    Who is not in the list of a frame, or has no x and y there, is not seen in it.

    Returns
    -------
    Tracking, Report
        The report names every line that was wrong; its frame is left out.

    Raises
    ------
    BadInput
        If there is no file, no direction, or no more than half of the frames can be used.

    Examples
    --------
    >>> read_common("no such match.jsonl")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: match no such match.jsonl: expected a file .jsonl or .jsonl.gz; got none. ...
    """
    file, meta_file = _files(Path(tracking), None if meta is None else Path(meta))
    report = Report(file.name)
    told = Meta(meta_file, report)
    lines = _Lines(told, report)
    with trouble(f"match {file.name}", "a whole file", "fetch or unpack it again"), lines_of(file) as stream:
        for row, line in enumerate(stream, start=1):
            text = line.decode("utf-8", "replace").removeprefix("\ufeff").strip()
            if text:
                lines.read(row, text)
    if not (home_attacks or told.directions):
        raise BadInput("direction of play", expected="match.periods[...].play_direction in the meta data",
                       got="none", todo="say which way the home side attacks in each period")
    declared = Coordinates("m", "centre", home_attacks or told.directions)
    return match_of(lines.table(), declared, pitch or told.pitch or Pitch(), report), report


def _files(tracking: Path, meta: Path | None) -> tuple[Path, Path | None]:
    if isdir(tracking):
        found, metas = [*tracking.glob("*.jsonl"), *tracking.glob("*.jsonl.gz")], [*tracking.glob("*.json")]
        if len(found) != 1:
            raise BadInput(f"folder {tracking.name}", expected="one file .jsonl or .jsonl.gz",
                           got=str(len(found) or "none"), todo="name the file itself")
        tracking, meta = found[0], meta or (metas[0] if len(metas) == 1 else None)
    if not isfile(tracking) or not tracking.name.endswith((".jsonl", ".jsonl.gz")):
        raise BadInput(f"match {tracking.name}", expected="a file .jsonl or .jsonl.gz",
                       got="none" if not isfile(tracking) else tracking.suffix, todo="check the name and the folder")
    return tracking, meta


# -- one field ---------------------------------------------------------------------------------------------------------


class WrongField(Exception):
    """A field is missing or no value to work with: its place, and what was expected; `got` is shown, but cut."""

    def __init__(self, field: str, words: str, *got: object) -> None:
        self.field, self.words = field, words + "".join(short(repr(value), 40) for value in got)


def _number(value: object, field: str) -> float:
    """A finite float; NaN for null."""
    if value is None:
        return float("nan")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e9:
        raise WrongField(field, "expected a number; got ", value)
    return float(value)


def _a(kind: type, value: Any, field: str) -> Any:
    """An object with named values, or a list."""
    if not isinstance(value, kind):
        raise WrongField(field, f"expected {'a list [...]' if kind is list else 'an object {...}'}; got ", value)
    return value


def _word(value: object, known: Mapping[str, Any], field: str, expected: str) -> Any:
    """What a word stands for."""
    if not isinstance(value, str) or value not in known:
        raise WrongField(field, f"expected {expected}; got ", value)
    return known[value]


def _period(value: object) -> int:
    """1 to 5 from the period's word, or from its number in older drafts."""
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= SHOOTOUT:
        return value
    return int(_word(value, PERIODS, "period", f"one of {', '.join(PERIODS)}"))


# -- the meta data -----------------------------------------------------------------------------------------------------


class Meta:
    """What the meta data say; shirts by side (0 home, 1 away) and id; directions by period.

    What is missing or wrong is noted.
    """

    def __init__(self, file: Path | None, report: Report) -> None:
        self.pitch: Pitch | None = None
        self.shirts: dict[tuple[int, str], str] = {}
        self.team_ids: list[str] = [*SIDES]
        self.directions: dict[int, str] = {}
        self.report, self.file = report, file.name if file else ""
        if file is None:
            report.note("no meta data: shirt numbers, size of the pitch and direction are not in the tracking itself")
            return
        document = read_document(file, f"meta data {file.name}", "a readable JSON file",
                                 "check that the file is there and whole")
        for read in (self._read_pitch, self._read_shirts, self._read_directions):
            try:
                read(document)
            except WrongField as wrong:
                self._blame(wrong)

    def _blame(self, wrong: WrongField) -> None:
        self.report.problems.append(Problem(self.file, None, wrong.field, wrong.words, "not used"))

    def _read_pitch(self, document: Any) -> None:
        sides = {f"venue.{key}": _at(document, "venue", key) for key in ("pitch_length", "pitch_width")}
        if None in sides.values():
            self.report.note("venue.pitch_length or pitch_width is missing: 105 x 68 m taken")
            return
        length, width = (_number(value, key) for key, value in sides.items())
        try:
            self.pitch = Pitch(length, width)
        except BadInput as error:
            raise WrongField("venue", f"no pitch by Law 1: {length:g} x {width:g} m") from error

    def _read_shirts(self, document: Any) -> None:
        for side, name in enumerate(SIDES):
            self.learn(side, _at(document, "teams", name, "id"))
            for k, player in enumerate(_list(document, "teams", name, "players")):
                shirt = _at(player, "jersey_number")
                text = str(shirt).strip()
                if type(shirt) in (int, str) and 0 < len(text) <= NUMBER_LENGTH and text.isprintable():
                    self.shirts[side, str(_at(player, "id"))] = text
                elif shirt is not None:
                    self._blame(WrongField(f"teams.{name}.players[{k}].jersey_number",
                                           f"expected a number of 1-{NUMBER_LENGTH} characters; got ", shirt))

    def _read_directions(self, document: Any) -> None:
        for k, period in enumerate(_list(document, "match", "periods")):
            word = _at(period, "play_direction")
            if word is not None:
                way = _word(word, PLAY_DIRECTIONS, f"match.periods[{k}].play_direction", "left_right or right_left")
                self.directions[_period(_at(period, "period"))] = way

    def learn(self, side: int, team_id: object) -> None:
        """A team's id as a frame gives it."""
        if team_id is not None:
            self.team_ids[side] = str(team_id)

    def numbers(self, ids: Mapping[tuple[int, str], int]) -> list[str]:
        """A number for each (side, id): that on the shirt; who has none of his own gets the lowest that is free."""
        of = {(key[0], shirt): key for key, shirt in reversed(self.shirts.items()) if key in ids}
        found, made = {key: shirt for (_, shirt), key in of.items()}, list[str]()
        for side, name in sorted(set(ids) - set(found)):
            found[side, name] = next(n for n in map(str, count(1)) if (side, n) not in of)
            of[side, found[side, name]] = side, name
            made += [f"{short(name, 20)} ({SIDES[side]}) is {found[side, name]}"] if side < len(SIDES) else []
        if made:
            more = f" and {len(made) - NAMED} more" if len(made) > NAMED else ""
            self.report.note(f"players without a shirt number of their own: {', '.join(made[:NAMED])}{more}")
        return [found[key] for key in ids]


def _at(document: Any, *keys: str) -> Any:
    """A value inside objects, None where one of the keys is missing."""
    for key in keys:
        document = document.get(key) if isinstance(document, dict) else None
    return document


def _list(document: Any, *keys: str) -> list[Any]:
    found = _at(document, *keys)
    return [] if found is None else list(_a(list, found, ".".join(keys)))


# -- the frames, line by line ------------------------------------------------------------------------------------------


@dataclass(eq=False)
class _Lines:
    """Collects frames line by line in flat arrays, so that a whole match stays small."""

    meta: Meta
    report: Report
    start: datetime | None = None
    frames: list[tuple[Any, ...]] = field(default_factory=list)
    rows: tuple[Any, ...] = field(default_factory=lambda: tuple(array(kind) for kind in "iiddd"))
    ids: dict[tuple[int, str], int] = field(default_factory=dict)

    def read(self, row: int, text: str) -> None:
        """Keep the frame of one line, or say what is wrong with it."""
        frame: int | None = None
        try:
            document = self._document(text)
            frame = self._frame_id(document)
            period = _period(document.get("period"))
            bodies = [*self._men(document), self._ball(document)]
            moment = (row, frame, period, self._clock(document.get("timestamp")), *self._said(document))
        except WrongField as wrong:
            self.report.add(row, wrong.field, wrong.words, frame, "line left out" if frame is None else "")
            return
        if period == SHOOTOUT:
            self.report.counts["frames of the shootout, left out"] += 1
            return
        for side, identity, *xyz in bodies:
            who = self.ids.setdefault((side, identity), len(self.ids))
            for column, value in zip(self.rows, (len(self.frames), who, *xyz), strict=True):
                column.append(value)
        self.frames.append(moment)

    def _document(self, text: str) -> Any:
        try:
            return _a(dict, json.loads(text), "")
        except (ValueError, RecursionError) as error:
            where = f"broken at column {error.colno}" if isinstance(error, json.JSONDecodeError) else (
                "braces without end" if isinstance(error, RecursionError) else "a number of thousands of digits")
            raise WrongField("", f"no JSON: {where}") from error

    def _frame_id(self, document: Any) -> int:
        value = document.get("frame_id")
        if isinstance(value, str) and re.fullmatch(r"\s*[0-9]{1,9}\s*", value):
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int) or abs(value) >= 10**9:
            raise WrongField("frame_id", "expected a whole number; got ", value)
        return value

    def _ball(self, document: Any) -> tuple[Any, ...]:
        ball = document.get("ball")
        ball = {} if ball is None else _a(dict, ball, "ball")
        return (len(SIDES), BALL, *(_number(ball.get(axis), f"ball.{axis}") for axis in "xyz"))

    def _said(self, document: Any) -> tuple[str | None, str | None]:
        """Whether the ball is in play, and which side has it; None where it is not said."""
        ball = document.get("ball") or {}
        status, team = (ball.get(key, document.get(f"ball_{key}")) for key in ("status", "poss_team_id"))
        if status is None:
            self.report.note("ball.status is missing in some frames: taken as in play")
        return None if status is None else str(status), dict(zip(self.meta.team_ids, SIDES, strict=True)).get(str(team))

    def _clock(self, stamp: object) -> float:
        """Seconds since the first frame; older drafts write the timestamp with a space."""
        try:
            moment = datetime.fromisoformat(str(stamp))
            self.start = moment if self.start is None else self.start
            return (moment - self.start).total_seconds()
        except (ValueError, TypeError) as error:
            raise WrongField("timestamp", "expected a date and time; got ", stamp) from error

    def _men(self, document: Any) -> Iterator[tuple[Any, ...]]:
        teams = _a(dict, document.get("teams"), "teams")
        for side, name in enumerate(SIDES):
            team = _a(dict, teams.get(name), f"teams.{name}")
            self.meta.learn(side, team.get("id"))
            for k, player in enumerate(_a(list, team.get("players"), f"teams.{name}.players")):
                at = f"teams.{name}.players[{k}]"
                if _a(dict, player, at).get("id") is None:
                    raise WrongField(f"{at}.id", "missing")
                x, y = (_number(player.get(axis), f"{at}.{axis}") for axis in "xy")
                yield side, str(player["id"]), x, y, 0.0

    def table(self) -> Any:
        """The long table of all lines; each period has a clock of its own."""
        if not self.frames:
            first = f"; first: {self.report.problems[0]}".rstrip(".") if self.report.problems else ""
            raise BadInput(self.report.file, expected="frames", got=f"none that can be used{first}",
                           todo="check that it is tracking data in this format, one frame a line")
        pandas = pandas_or_say()
        head = pandas.DataFrame(self.frames, columns=["row", "frame", "period", "time", "alive", "possession"])
        head["clock"] = head["time"] - head.groupby("period")["time"].transform("min")
        frame, who, x, y, z = (np.frombuffer(column, column.typecode) for column in self.rows)
        team = np.array([(*SIDES, BALL)[side] for side, _ in self.ids], object)
        player, number = (np.array(names, object) for names in (
            [name for _, name in self.ids], self.meta.numbers(self.ids)))
        body = pandas.DataFrame({"team": team[who], "player": player[who], "number": number[who], "x": x, "y": y,
                                 "z": z})
        whole = pandas.concat([head.iloc[frame].reset_index(drop=True), body], axis=1)
        return whole.set_index("row")
