"""A match in a folder: as it is kept after import (`match.json` and a long table), or as two tables of its source."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from os.path import isdir, isfile
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data import table_files as files
from pressinglib.data.coordinates import METRES
from pressinglib.data.long_table import long_columns, read_long
from pressinglib.data.tracking import KINDS, SIDES, Team, Tracking
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import OUTFIELD, SLOTS, check_slot
from pressinglib.files import replace_whole

MOMENTS = ("t", "alive", "ball_x", "ball_y", "ball_z")
PLAYERS = ("code", "side", "shirt", "position")
VERSION = 3
SHEET = "match.json"
TABLE = re.compile(r"tracking-[0-9a-f]{16}(\.parquet|\.csv|\.csv\.gz)")
WRITTEN = "what the command import writes"
HASH_LENGTH = 16


# -- two tables: where everybody was, and who is who -------------------------------------------------------------------


def read_tracking(folder: str | Path) -> Tracking:
    """Read the two tables of a folder; the pitch is 105 x 68 m.

    Notes
    -----
    `frames*.csv` or `.csv.gz`: one row a moment with `t` (s), `alive` (1 in play), `ball_x`, `ball_y`, `ball_z` and
    `<code>_x`, `<code>_y` for each player (m, origin in a corner, the home side attacking +x), optionally `frame_id`.
    `players.csv`: `code`, `side` (home or away), `shirt`, `position` (a slot; any other text is an outfield player).
    Names in the tables are never read.

    Raises
    ------
    BadInput
        If a table, a column or pandas (extra `match`) is missing, or a value is no number.
    """
    place, pitch = Path(folder), Pitch()
    frames = files.read_whole(_frames_file(place), MOMENTS)
    players = files.read_whole(place / "players.csv", PLAYERS, PLAYERS)
    home, away = (_team(frames, players[players["side"] == side], pitch, side) for side in SIDES)
    clock, alive, x, y, z = _columns(frames, MOMENTS, whole=True)
    ids = _columns(frames, ["frame_id"], whole=True)[0] if "frame_id" in frames else np.arange(len(frames))
    return Tracking(pitch, home, away, clock, np.stack([x, y], axis=-1) - pitch.corner_xy, z, alive > 0, ids)


def _frames_file(folder: Path) -> Path:
    found = sorted(folder.glob("frames*.csv*")) if isdir(folder) else []
    if len(found) != 1:
        raise BadInput("tracking folder", expected="one file frames*.csv or frames*.csv.gz",
                       got=str(len(found) or "none"), todo="check the folder")
    return found[0]


def _columns(table: Any, names: Iterable[str], whole: bool) -> list[Any]:
    """Columns as floats; NaN only where `whole` is False."""
    found = []
    for name in names:
        values, wrong = files.numbers(table[name])
        wrong |= np.isnan(values) & whole
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
        raise BadInput(f"table players.csv, {side} side", got="none",
                       expected="players whose <code>_x and <code>_y are in the frames",
                       todo="check the codes of the two tables, and that side is home or away")
    if here["shirt"].isna().any() or here["shirt"].duplicated().any():
        raise BadInput(f"table players.csv, {side} side", expected="a shirt number each, every one once",
                       got=", ".join(map(str, here["shirt"])), todo="mend the column shirt")
    names = [f"{code}_{axis}" for code in here["code"] for axis in "xy"]
    xy = np.stack(_columns(frames, names, whole=False), axis=-1).reshape(len(frames), len(here), 2) - pitch.corner_xy
    slots = tuple(position if position in SLOTS else OUTFIELD for position in here["position"])
    return Team(tuple(here["shirt"]), slots, xy)


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
    place, name = Path(folder), f"tracking-{match_hash(match)}.{table}"
    files.kind_of(Path(name))
    with files.trouble(f"folder {place.name}", files.WRITABLE, files.MAKE_ROOM):
        place.mkdir(parents=True, exist_ok=True)
        files.write_table(long_columns(match), place / name)
        replace_whole(place / SHEET, json.dumps(_sheet(match, name), indent=1).encode())
    for old in place.iterdir():
        if TABLE.fullmatch(old.name) and old.name != name:
            with suppress(OSError):
                old.unlink()
    return place


def _sheet(match: Tracking, table: str) -> dict[str, Any]:
    teams = {str(side): {n: {"slot": slot, "id": name}
                         for n, slot, name in zip(team.numbers, team.slots, team.ids, strict=True)}
             for side, team in zip(SIDES, (match.home, match.away), strict=True)}
    pitch = {"length_m": match.pitch.length_m, "width_m": match.pitch.width_m, "by_law": match.pitch.by_law}
    return {"version": VERSION, "table": table, "pitch": pitch, "start_utc": match.start_utc, **teams}


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
        sheets = [{str(number): (check_slot(man["slot"]), str(man["id"])) for number, man in sheet[side].items()}
                  for side in SIDES]
        table, start_utc, pitch = str(sheet["table"]), str(sheet["start_utc"]), Pitch(**sheet["pitch"])
        if sheet["version"] != VERSION or not TABLE.fullmatch(table):
            raise ValueError(f"version {sheet['version']!r}, table {table!r}")
    except (ValueError, KeyError, TypeError, AttributeError, PressingError) as error:
        raise BadInput(what, expected=WRITTEN, got=f"{type(error).__name__}: {error}", todo=todo) from error
    match, _ = read_long(folder / table, METRES, pitch=pitch)
    home, away = (_named(team, of) for team, of in zip((match.home, match.away), sheets, strict=True))
    return replace(match, home=home, away=away, start_utc=start_utc)


def _named(team: Team, sheet: Mapping[str, tuple[str, str]]) -> Team:
    slots, ids = zip(*(sheet.get(n, (OUTFIELD, n)) for n in team.numbers), strict=True)
    return replace(team, slots=slots, ids=ids)
