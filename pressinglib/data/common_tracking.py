"""A match in the Common Data Format (arXiv 2505.15820): JSON Lines, one frame a line, and a JSON of meta data.

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
from os.path import isdir, isfile
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data import common_format as cdf
from pressinglib.data.coordinates import Coordinates, Report
from pressinglib.data.match_assembly import FrameRows, PlayerRows, assemble
from pressinglib.data.table_files import lines_of, trouble
from pressinglib.data.tracking import SIDES, Tracking
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch


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
    told = cdf.read_meta(meta_file, report)
    lines = _Lines(told, report)
    for row, text in _texts(file):
        lines.read(row, text)
    if not (home_attacks or told.directions):
        raise BadInput("direction of play", expected="match.periods[...].play_direction in the meta data",
                       got="none", todo="say which way the home side attacks in each period")
    declared = Coordinates("m", "centre", home_attacks or told.directions)
    return assemble(lines.moments(), lines.places(), declared, pitch or told.pitch or Pitch(), report,
                    lines.start_utc), report


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


def _texts(file: Path) -> Iterator[tuple[int, str]]:
    """Line numbers and lines that are not blank."""
    with trouble(f"match {file.name}", "a whole file", "fetch or unpack it again"), lines_of(file) as stream:
        for row, line in enumerate(stream, start=1):
            text = line.decode("utf-8", "replace").removeprefix("\ufeff").strip()
            if text:
                yield row, text


@dataclass(eq=False)
class _Lines:
    """Collects frames line by line in flat arrays, so that a whole match stays small."""

    meta: cdf.Meta
    report: Report
    start_utc: str = ""
    start: datetime | None = None
    frames: list[tuple[int, int, float, int, float, float, float, bool, int]] = field(default_factory=list)
    rows: tuple[Any, ...] = field(default_factory=lambda: tuple(array(kind) for kind in "iiiddi"))
    ids: dict[tuple[int, str], int] = field(default_factory=dict)
    seen: set[int] = field(default_factory=set)

    def read(self, row: int, text: str) -> None:
        """Keep the frame of one line, or say what is wrong with it."""
        if (line := hash(text)) in self.seen:
            self.report.counts["lines that stand twice (merged)"] += 1
            return
        self.seen.add(line)
        number_of_frame: int | None = None
        try:
            document = self._document(text)
            number_of_frame = self._frame_id(document)
            men = list(self._men(document))
            moment = self._moment(row, number_of_frame, document)
        except cdf.WrongField as wrong:
            self.report.add(row, wrong.field, wrong.words, number_of_frame,
                            "line left out" if number_of_frame is None else "")
            return
        if moment is not None:
            for side, identity, x, y in men:
                who = self.ids.setdefault((side, identity), len(self.ids))
                for column, value in zip(self.rows, (len(self.frames), side, who, x, y, row), strict=True):
                    column.append(value)
            self.frames.append(moment)

    def _document(self, text: str) -> Any:
        try:
            return cdf.named(json.loads(text), "")
        except (ValueError, RecursionError) as error:
            where = f"column {error.colno}" if isinstance(error, json.JSONDecodeError) else "somewhere"
            raise cdf.WrongField("", f"no JSON: broken at {where}") from error

    def _frame_id(self, document: Any) -> int:
        value = document.get("frame_id")
        if isinstance(value, str) and re.fullmatch(r"\s*[0-9]{1,12}\s*", value):
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int) or abs(value) > 10**12:
            raise cdf.WrongField("frame_id", f"expected a whole number; got {cdf.shown(value)}")
        return value

    def _moment(self, row: int, frame: int, document: Any) -> Any:
        period = cdf.period_of(document.get("period"))
        if period == cdf.SHOOTOUT:
            self.report.counts["frames of the shootout, left out"] += 1
            return None
        ball = document.get("ball")
        ball = {} if ball is None else cdf.named(ball, "ball")
        x, y = (cdf.number(ball.get(axis), f"ball.{axis}", blank=True) for axis in "xy")
        z = cdf.number(ball.get("z"), "ball.z", blank=True)
        alive = cdf.in_play(ball.get("status", document.get("ball_status")))
        if alive is None:
            self.report.note("ball.status is missing in some frames: taken as in play")
        return (frame, row, self._clock(document.get("timestamp")), period, x, y, 0.0 if z != z else z,
                alive is not False, self._whose(ball.get("poss_team_id", document.get("ball_poss_team_id"))))

    def _clock(self, stamp: object) -> float:
        """Seconds since the first frame; older drafts write the timestamp with a space."""
        try:
            moment = datetime.fromisoformat(str(stamp))
            self.start = moment if self.start is None else self.start
            self.start_utc = self.start_utc or str(stamp)
            return (moment - self.start).total_seconds()
        except (ValueError, TypeError) as error:
            raise cdf.WrongField("timestamp", f"expected a date and time; got {cdf.shown(stamp)}") from error

    def _whose(self, team: object) -> int:
        return 0 if team is None else {self.meta.team_ids[0]: 1, self.meta.team_ids[1]: -1}.get(str(team), 0)

    def _men(self, document: Any) -> Iterator[tuple[int, str, float, float]]:
        teams = cdf.named(document.get("teams"), "teams")
        for side, name in enumerate(SIDES):
            team = cdf.named(teams.get(name), f"teams.{name}")
            self.meta.learn(side, team.get("id"))
            players = team.get("players")
            if not isinstance(players, list):
                raise cdf.WrongField(f"teams.{name}.players", f"expected a list [...]; got {cdf.shown(players)}")
            for k, player in enumerate(players):
                at = f"teams.{name}.players[{k}]"
                player = cdf.named(player, at)
                if player.get("id") is None:
                    raise cdf.WrongField(f"{at}.id", "missing")
                yield (side, str(player["id"]), cdf.number(player.get("x"), f"{at}.x", blank=True),
                       cdf.number(player.get("y"), f"{at}.y", blank=True))

    # -- the arrays ----------------------------------------------------------------------------------------------------

    def moments(self) -> FrameRows:
        """What `assemble` needs of each frame."""
        if not self.frames:
            first = f"; first: {self.report.problems[0]}".rstrip(".") if self.report.problems else ""
            raise BadInput(self.report.file, expected="frames", got=f"none that can be used{first}",
                           todo="check that it is tracking data in this format, one frame a line")
        frame, row, time, period, x, y, z, alive, given = map(np.array, zip(*self.frames, strict=True))
        starts = {k: time[period == k].min() for k in np.unique(period)}
        clock = time - np.array([starts[k] for k in period])
        return FrameRows(frame, row, time, period, np.stack([x, y], axis=-1), z, alive, given, clock)

    def places(self) -> PlayerRows:
        """Everybody's rows, with numbers for the ids."""
        frame, side, who, x, y, row = (np.frombuffer(column, column.typecode) for column in self.rows)
        numbers = self.meta.numbers(self.ids, self.report)
        ids = {(side, number): name for (side, name), number in zip(self.ids, numbers, strict=True)}
        return PlayerRows(frame.astype(int), side.astype(int), np.array(numbers, object)[who],
                          np.stack([x, y], axis=-1), row.astype(int), ids)
