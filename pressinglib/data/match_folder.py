"""A match in a folder: a table of frames, and who is who (`players.csv` of a source, or `match.json` after import)."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable
from contextlib import suppress
from os.path import isdir, isfile
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import table_files as files
from pressinglib.data.tracking import KINDS, SIDES, Team, Tracking
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import OUTFIELD, SLOTS
from pressinglib.files import made_folder, write_file
from pressinglib.tables import pandas_or_say

MOMENTS = ("t", "alive", "ball_x", "ball_y", "ball_z")
MORE = {"frame_id": "frame_id", "period": "period", "given": "given", "clock": "clock_s"}  # columns that may be there
PLAYERS = ("code", "side", "shirt", "position")
VERSION = 4
SHEET = "match.json"
TABLE = re.compile(r"frames-[0-9a-f]{16}(\.parquet|\.csv|\.csv\.gz)")
WRITTEN = "what the command import writes"
HASH_LENGTH = 16
DECIMALS = {"t": 4, "clock": 4}  # of a second; of a metre 3


def read_tracking(folder: str | Path) -> Tracking:
    """Read the two tables of a folder; the pitch is 105 x 68 m.

    Notes
    -----
    `frames*.csv` or `.csv.gz`: one row a moment with `t` (s), `alive` (1 in play), `ball_x`, `ball_y`, `ball_z` and
    `<code>_x`, `<code>_y` for each player (m, origin in a corner, the home side attacking +x), optionally `frame_id`,
    `period`, `given` (who has the ball by the source: 1 home, -1 away) and `clock` (s, of its events).
    `players.csv`: `code`, `side` (home or away), `shirt`, `position` (a slot; any other text is an outfield player).
    Names in the tables are never read.

    Raises
    ------
    BadInput
        If a table, a column or pandas (extra `match`) is missing, or a value is no number.
    """
    place = Path(folder)
    found = sorted(place.glob("frames*.csv*")) if isdir(place) else []
    if len(found) != 1:
        raise BadInput("tracking folder", expected="one file frames*.csv or frames*.csv.gz",
                       got=str(len(found) or "none"), todo="check the folder")
    return _match(found[0], files.read_whole(place / "players.csv", PLAYERS, PLAYERS), Pitch())


def _match(table: Path, players: Any, pitch: Pitch) -> Tracking:
    frames = files.read_whole(table, MOMENTS)
    home, away = (_team(frames, players[players["side"] == side], pitch, side) for side in SIDES)
    time, alive, x, y, z = _columns(frames, MOMENTS, whole=True, blank=("ball_x", "ball_y"))
    more = {name: _columns(frames, [column], whole=True)[0] for column, name in MORE.items() if column in frames}
    return Tracking(pitch, home, away, time, np.stack([x, y], axis=-1) - pitch.corner_xy, z, alive > 0,
                    **{"frame_id": np.arange(len(frames)), **more})


def _columns(table: Any, names: Iterable[str], whole: bool, blank: Iterable[str] = ()) -> list[Any]:
    """Columns as floats; NaN only where `whole` is False, or in those that may be `blank`."""
    found = []
    for name in names:
        values, wrong = files.numbers(table[name])
        wrong |= np.isnan(values) & (whole and name not in blank)
        if wrong.any():
            row = int(np.flatnonzero(wrong)[0])
            raise BadInput(f"table of frames, column {name}, row {row + 1}", expected="a finite number",
                           got=repr(str(table[name].iloc[row])), todo="mend or leave out that row")
        found.append(values)
    return found


def _team(frames: Any, sheet: Any, pitch: Pitch, side: str) -> Team:
    """The players of a side whose places are in the frames, in the order of the sheet."""
    here = sheet[[f"{code}_x" in frames and f"{code}_y" in frames for code in sheet["code"]]]
    if not len(here):
        raise BadInput(f"players, {side} side", got="none",
                       expected="players whose <code>_x and <code>_y are in the frames",
                       todo="check the codes of the two tables, and that side is home or away")
    if here["shirt"].isna().any() or here["shirt"].duplicated().any():
        raise BadInput(f"players, {side} side", expected="a shirt number each, every one once",
                       got=", ".join(map(str, here["shirt"])), todo="mend the column shirt")
    names = [f"{code}_{axis}" for code in here["code"] for axis in "xy"]
    xy = np.stack(_columns(frames, names, whole=False), axis=-1).reshape(len(frames), len(here), 2) - pitch.corner_xy
    slots = tuple(position if position in SLOTS else OUTFIELD for position in here["position"])
    return Team(tuple(here["shirt"]), slots, xy, tuple(here.get("id", ())))


# -- a match as it is kept: the sheet says which table holds it --------------------------------------------------------


def match_hash(match: Tracking) -> str:
    """The same for the same frames and sheets, and for no others."""
    content = hashlib.sha256()
    for array in (match.home.xy, match.away.xy, *(getattr(match, name) for name in KINDS)):
        content.update(np.ascontiguousarray(array).tobytes())
    sheets = [(team.numbers, team.slots) for team in (match.home, match.away)]
    content.update(repr((match.pitch, sheets)).encode())
    return content.hexdigest()[:HASH_LENGTH]


def save_match(match: Tracking, folder: str | Path, table: str = "parquet") -> Path:
    """Keep a match in a folder, as a table "parquet", "csv" or "csv.gz"; `open_match` reads it.

    The folder is made if it is not there. What it held is replaced in one step, once the new match is complete.
    """
    place, name = Path(folder), f"frames-{match_hash(match)}.{table}"
    files.kind_of(Path(name))
    players = [{"code": f"{side}_{number}", "side": side, "shirt": number, "position": slot, "id": identity}
               for side, team in zip(SIDES, (match.home, match.away), strict=True)
               for number, slot, identity in zip(team.numbers, team.slots, team.ids, strict=True)]
    pitch = {"length_m": match.pitch.length_m, "width_m": match.pitch.width_m, "by_law": match.pitch.by_law}
    sheet = {"version": VERSION, "table": name, "pitch": pitch, "players": players}
    made_folder(place)
    files.write_table(_frames(match), place / name)
    write_file(place / SHEET, json.dumps(sheet, indent=1).encode())
    for old in place.iterdir():
        if TABLE.fullmatch(old.name) and old.name != name:
            with suppress(OSError):
                old.unlink()
    return place


def _frames(match: Tracking) -> dict[str, NDArray[Any]]:
    """The columns of the table of frames."""
    columns = {column: getattr(match, name) for column, name in MORE.items()}
    columns |= {"t": match.time_s, "alive": match.alive.astype(int), "ball_z": match.ball_height_m}
    bodies = {"ball": match.ball_xy, **{f"{side}_{number}": getattr(match, side).xy[:, n] for side in SIDES
                                        for n, number in enumerate(getattr(match, side).numbers)}}
    columns |= {f"{code}_{axis}": (xy + match.pitch.corner_xy)[:, k] for code, xy in bodies.items()
                for k, axis in enumerate("xy")}
    return {name: np.round(values, DECIMALS.get(name, 3)) for name, values in columns.items()}


def open_match(path: str | Path) -> Tracking:
    """A match that was imported, or a folder that `read_tracking` knows; BadInput if it is neither.

    Examples
    --------
    >>> open_match("no such match")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: match no such match: expected a folder made by the command import; got none. ...
    """
    folder = Path(path)
    if isfile(folder / SHEET):
        return _opened(folder)
    if isfile(folder / "players.csv"):
        return read_tracking(folder)
    raise BadInput(f"match {folder.name}", expected="a folder made by the command import",
                   got="a folder without match.json" if isdir(folder) else "none",
                   todo="import the match first: python -m pressinglib import --help")


def _opened(folder: Path) -> Tracking:
    what, todo = f"match {folder.name}, {SHEET}", "import the match again"
    sheet = files.read_document(folder / SHEET, what, WRITTEN, todo)
    try:
        players = [{key: str(man[key]) for key in (*PLAYERS, "id")} for man in sheet["players"]]
        table, pitch = str(sheet["table"]), Pitch(**sheet["pitch"])
        if sheet["version"] != VERSION or not TABLE.fullmatch(table) or not players:
            raise ValueError(f"version {sheet['version']!r}, table {table!r}, {len(players)} players")
    except (KeyError, TypeError, AttributeError, ValueError, PressingError) as error:
        raise BadInput(what, expected=WRITTEN, got=f"a part is missing or wrong: {error}", todo=todo) from error
    return _match(folder / table, pandas_or_say().DataFrame(players), pitch)
