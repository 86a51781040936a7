"""A match in the Common Data Format (arXiv 2505.15820, draft 0.3): JSON Lines, one frame a line; a JSON of meta data.

Drafts of the format differ, so it is read tolerantly: what is missing and can be done without is noted, a line that is
wrong is named and left out. Names of people are never read.
"""

from __future__ import annotations

import json
from array import array
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from os.path import isdir, isfile
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.coordinates import Coordinates, Problem, Report
from pressinglib.data.long_table import BALL, match_of
from pressinglib.data.table_files import LARGEST_NUMBER, lines_of, numbers, read_document, trouble
from pressinglib.data.tracking import SIDES, Tracking
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH
from pressinglib.files import short
from pressinglib.tables import pandas_or_say

PERIODS = {"first_half": 1, "second_half": 2, "first_half_extratime": 3, "second_half_extratime": 4, "shootout": 5}
NUMBERED = {**PERIODS, **{str(k): k for k in PERIODS.values()}}  # older drafts number them
SHOOTOUT = 5
PLAY_DIRECTIONS = {"left_right": "right", "right_left": "left"}  # of the home side
WORDS = {dict: "an object {...}", list: "a list [...]", float: "a number"}
HEAD = ("row", "frame_id", "period", "timestamp", "alive", "possession")


def read_common(tracking: str | Path, meta: str | Path | None = None,
                home_attacks: str | Mapping[int, str] | None = None,
                pitch: Pitch | None = None) -> tuple[Tracking, Report]:
    """Read a match in the Common Data Format; the report names every line that was wrong, and is left out.

    Parameters
    ----------
    tracking : str or Path
        The `.jsonl` (or `.jsonl.gz`), or a folder with one such file and one `.json`.
    meta : str or Path, optional
        The JSON of meta data.
    home_attacks : "right", "left" or dict by period, optional
        Needed where the meta data give no play_direction, else BadInput: it is never guessed.
    pitch : Pitch, optional
        Needed only to overrule venue.pitch_length and pitch_width; 105 x 68 m is noted where neither is given.

    Who is not in the list of a frame, or has no x and y there, is not seen in it. BadInput if no more than half of the
    frames can be used.

    >>> read_common("no such match.jsonl")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: match no such match.jsonl: expected a file .jsonl or .jsonl.gz; got none. ...
    """
    file, meta_file = _files(Path(tracking), None if meta is None else Path(meta))
    report = Report(file.name)
    told = Meta(meta_file, report)
    lines = _Lines(told)
    with trouble(f"match {file.name}", "a whole file", "fetch or unpack it again"):
        for row, line in enumerate(lines_of(file), start=1):
            try:
                lines.read(row, line.decode("utf-8-sig", "replace").strip())
            except BadInput as wrong:
                report.add(row, wrong.what, f"expected {wrong.expected}; got {wrong.got}", then="line left out")
    ways = home_attacks or told.directions
    if not ways:
        raise BadInput("direction of play", expected="match.periods[...].play_direction in the meta data",
                       got="none", todo="say which way the home side attacks in each period")
    table = lines.table(report)
    return match_of(table, Coordinates("m", "centre", ways), pitch or told.pitch or Pitch(), report), report


def _files(tracking: Path, meta: Path | None) -> tuple[Path, Path | None]:
    if isdir(tracking):
        found, metas = [*tracking.glob("*.jsonl"), *tracking.glob("*.jsonl.gz")], [*tracking.glob("*.json")]
        if len(found) != 1:
            raise BadInput(f"folder {tracking.name}", expected="one file .jsonl or .jsonl.gz",
                           got=str(len(found) or "none"), todo="name the file itself")
        tracking, meta = found[0], meta or (metas[0] if len(metas) == 1 else None)
    if not isfile(tracking) or not tracking.name.endswith((".jsonl", ".jsonl.gz")):
        raise BadInput(f"match {tracking.name}", expected="a file .jsonl or .jsonl.gz",
                       got=tracking.suffix if isfile(tracking) else "none", todo="check the name and the folder")
    return tracking, meta


def _a(kind: type, value: Any, field: str) -> Any:
    """An object with named values, a list, or a number (NaN for null), else BadInput."""
    if kind is not float and isinstance(value, kind):
        return value
    if kind is float and (value is None or type(value) in (int, float) and abs(value) < LARGEST_NUMBER):
        return np.nan if value is None else value
    raise BadInput(field, expected=WORDS[kind], got=short(repr(value), 40))


def _at(document: Any, *keys: str) -> Any:
    """A value inside objects, None where one of the keys is missing."""
    for key in keys:
        document = document.get(key) if isinstance(document, dict) else None
    return document


# -- the meta data -----------------------------------------------------------------------------------------------------


class Meta:
    """What the meta data say; shirts by side (0 home, 1 away) and id; directions by period; sides by the teams' ids.

    What is missing or wrong is noted.
    """

    def __init__(self, file: Path | None, report: Report) -> None:
        self.pitch: Pitch | None = None
        self.shirts: dict[tuple[int, str], str] = {}
        self.directions: dict[int, str] = {}
        self.whose: dict[str, str] = {}
        self.report, self.file = report, file.name if file else ""
        if file is None:
            report.note("no meta data: shirt numbers, size of the pitch and direction are not in the tracking itself")
            return
        document = read_document(file, f"meta data {file.name}", "a readable JSON file",
                                 "check that the file is there and whole")
        for read in (self._read_pitch, self._read_shirts, self._read_directions):
            try:
                read(document)
            except BadInput as wrong:
                self._blame(wrong)

    def _blame(self, wrong: BadInput) -> None:
        words = f"expected {wrong.expected}; got {wrong.got}"
        self.report.problems.append(Problem(self.file, None, wrong.what, words, "not used"))

    def _read_pitch(self, document: Any) -> None:
        sides = {f"venue.{key}": _at(document, "venue", key) for key in ("pitch_length", "pitch_width")}
        if None in sides.values():
            self.report.note("venue.pitch_length or pitch_width is missing: 105 x 68 m taken")
        else:
            self.pitch = Pitch(*(_a(float, value, key) for key, value in sides.items()))

    def _read_shirts(self, document: Any) -> None:
        for side, name in enumerate(SIDES):
            self.whose[str(_at(document, "teams", name, "id"))] = name
            for k, player in enumerate(_list(document, "teams", name, "players")):
                shirt = _at(player, "jersey_number")
                text = str(shirt).strip()
                if type(shirt) in (int, str) and 0 < len(text) <= NUMBER_LENGTH and text.isprintable():
                    self.shirts[side, str(_at(player, "id"))] = text
                elif shirt is not None:
                    self._blame(BadInput(f"teams.{name}.players[{k}].jersey_number", got=short(repr(shirt), 40),
                                         expected=f"a number of 1-{NUMBER_LENGTH} characters"))

    def _read_directions(self, document: Any) -> None:
        for k, period in enumerate(_list(document, "match", "periods")):
            way, at = _at(period, "play_direction"), f"match.periods[{k}]"
            if way is not None:
                number = NUMBERED[as_known(str(_at(period, "period")), NUMBERED, f"{at}.period")]
                self.directions[number] = PLAY_DIRECTIONS[as_known(way, PLAY_DIRECTIONS, f"{at}.play_direction")]


def _list(document: Any, *keys: str) -> list[Any]:
    found = _at(document, *keys)
    return [] if found is None else list(_a(list, found, ".".join(keys)))


# -- the frames, line by line ------------------------------------------------------------------------------------------


@dataclass(eq=False)
class _Lines:
    """Collects frames line by line in flat arrays, so that a whole match stays small; what heads them as texts."""

    meta: Meta
    heads: list[tuple[Any, ...]] = field(default_factory=list)
    bodies: tuple[Any, ...] = field(default_factory=lambda: tuple(array(kind) for kind in "iiddd"))
    ids: dict[tuple[int, str], int] = field(default_factory=dict)

    def read(self, row: int, text: str) -> None:
        """Keep the frame of one line; BadInput says what is wrong with it."""
        if not text:
            return
        try:
            document = _a(dict, json.loads(text), "")
            if "\\u" in text:  # half a letter in a name becomes a question mark
                document = json.loads(json.dumps(document, ensure_ascii=False).encode("utf-8", "replace"))
        except (ValueError, RecursionError) as error:
            where = f"text broken at column {error.colno}" if isinstance(error, json.JSONDecodeError) else (
                "braces without end" if isinstance(error, RecursionError) else "a number of thousands of digits")
            raise BadInput("", expected="JSON", got=where) from error
        ball = _a(dict, document.get("ball") or {}, "ball")
        xyz = (_a(float, ball.get(axis), f"ball.{axis}") for axis in "xyz")
        for side, identity, *place in [*self._men(document), (len(SIDES), BALL, *xyz)]:
            who = self.ids.setdefault((side, identity), len(self.ids))
            for column, value in zip(self.bodies, (len(self.heads), who, *place), strict=True):
                column.append(value)
        said = (ball.get(key, document.get(f"ball_{key}")) for key in ("status", "poss_team_id"))
        told = (*(document.get(key) for key in ("frame_id", "period", "timestamp")), *said)
        self.heads.append((row, *(None if value is None else str(value) for value in told)))

    def _men(self, document: Any) -> Iterator[tuple[Any, ...]]:
        teams = _a(dict, document.get("teams"), "teams")
        for side, name in enumerate(SIDES):
            team = _a(dict, teams.get(name), f"teams.{name}")
            self.meta.whose[str(team.get("id"))] = name
            for k, player in enumerate(_a(list, team.get("players"), f"teams.{name}.players")):
                at = f"teams.{name}.players[{k}]"
                if _a(dict, player, at).get("id") is None:
                    raise BadInput(f"{at}.id", expected="who it is", got="nothing")
                x, y = (_a(float, player.get(axis), f"{at}.{axis}") for axis in "xy")
                yield side, str(player["id"]), x, y, 0.0

    def table(self, report: Report) -> Any:
        """The long table of all lines; each period has a clock of its own."""
        pandas = pandas_or_say()
        head = pandas.DataFrame(self.heads, columns=HEAD, dtype=object).set_index("row", drop=False)
        head = head.assign(place=range(len(head)), frame=head["frame_id"])
        time = pandas.to_datetime(head["timestamp"], format="ISO8601", utc=True, errors="coerce")
        frame, period = numbers(head["frame"], whole=True)[0], head["period"].map(NUMBERED)
        wrong = {"frame_id": (np.isnan(frame), "a whole number"), "timestamp": (time.isna(), "a date and time"),
                 "period": (period.isna(), f"one of {', '.join(PERIODS)}")}
        for name, (rows, expected) in wrong.items():
            report.blame(head, rows, name, f"expected {expected}; got {{got}}", "line left out")
        report.counts["frames of the shootout, left out"] += int((period == SHOOTOUT).sum())
        fits = (period < SHOOTOUT) & ~np.isnan(frame) & time.notna()
        if not fits.any():
            raise BadInput(report.file, expected="frames", got=f"none that can be used{report.first}",
                           todo="check that it is tracking data in this format, one frame a line")
        if head["alive"].isna().any():
            report.note("ball.status is missing in some frames: taken as in play")
        whose = {key: side for key, side in self.meta.whose.items() if key != "None"}
        time_s = (time - time[fits].iloc[0]).dt.total_seconds()
        head = head.assign(period=period, time=time_s, possession=head["possession"].map(whose))[fits]
        head["clock"] = head["time"] - head.groupby("period")["time"].transform("min")
        place, who, x, y, z = (np.frombuffer(column, column.typecode) for column in self.bodies)
        named = {"team": [(*SIDES, BALL)[side] for side, _ in self.ids], "player": [name for _, name in self.ids],
                 "number": [self.meta.shirts.get(key, "") for key in self.ids]}
        body = pandas.DataFrame({name: np.array(words, object)[who] for name, words in named.items()}
                                | {"x": x, "y": y, "z": z, "place": place})
        return body.join(head.set_index("place"), on="place", how="inner").set_index("row")
