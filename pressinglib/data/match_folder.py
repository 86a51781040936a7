"""A match as it is kept after import: a folder with `match.json` (sheets, pitch) and one long table of places."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.coordinates import METRES
from pressinglib.data.long_table import read_long, write_long
from pressinglib.data.tracking import Team, Tracking
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import OUTFIELD, check_slot
from pressinglib.files import replace_whole
from pressinglib.tables import pandas_or_say

# -- Tracking data read from a folder of two tables: where everybody was, and who is who.
# `frames*.csv` or `.csv.gz`: one row a moment with `t` (s), `alive` (1 in play), `ball_x`, `ball_y`, `ball_z` and
# `<code>_x`, `<code>_y` for each player (m, origin in a corner, the home side attacking +x), optionally `frame_id`.
# `players.csv`: `code`, `side` (home or away), `shirt`, `position` (German code; any other text is an outfield player).


# German position codes, seen from the own goal: L left, R right, Z centre.
SLOT_OF_POSITION = {
    "TW": "goalkeeper",
    "RV": "right back", "LV": "left back",
    "IVR": "right centre-back", "IVL": "left centre-back", "IVZ": "centre-back",
    "DMR": "right holding midfielder", "DML": "left holding midfielder", "DMZ": "central holding midfielder",
    "DRM": "right wide midfielder", "DLM": "left wide midfielder", "RM": "right wide midfielder",
    "LM": "left wide midfielder", "MR": "right midfielder", "ML": "left midfielder",
    "ORM": "right attacking midfielder", "OLM": "left attacking midfielder", "ZO": "attacking midfielder",
    "RA": "right winger", "LA": "left winger",
    "STZ": "centre-forward", "STR": "right forward", "STL": "left forward"}
SIDES = ("home", "away")
MOMENTS = dict.fromkeys(("t", "alive", "ball_x", "ball_y", "ball_z"), float)
PLAYERS = dict.fromkeys(("code", "side", "shirt", "position"), str)


def read_tracking(folder: str | Path, pitch: Pitch | None = None) -> Tracking:
    """Read the tables of a folder.

    Parameters
    ----------
    folder : str or Path
    pitch : Pitch, optional
        105 x 68 m if left out.

    Returns
    -------
    Tracking
        Shirt numbers and slots only; names in the tables are never read.

    Raises
    ------
    BadInput
        If a table, a column or pandas (extra `match`) is missing, or a value is no number.

    Examples
    --------
    >>> read_tracking("no such folder")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: tracking folder: expected one file frames*.csv or frames*.csv.gz; got none. Check the
    folder.
    """
    place, pitch = Path(folder), pitch or Pitch()
    frames = _table(_frames_file(place), MOMENTS)
    players = _table(place / "players.csv", PLAYERS)
    home, away = (_team(frames, players[players["side"] == side], pitch, side) for side in SIDES)
    ball = frames[["ball_x", "ball_y"]].to_numpy(float) - pitch.corner_xy
    numbers = frames["frame_id"] if "frame_id" in frames else np.arange(len(frames))
    return Tracking(pitch, home, away, frames["t"], ball, frames["ball_z"], frames["alive"] > 0, numbers)


def _frames_file(folder: Path) -> Path:
    found = sorted(folder.glob("frames*.csv*"))
    if len(found) != 1:
        raise BadInput("tracking folder", expected="one file frames*.csv or frames*.csv.gz",
                       got=str(len(found) or "none"), todo="check the folder")
    return found[0]


def _table(file: Path, columns: Mapping[str, type]) -> Any:
    """The table, its named columns there and of the right kind; all player columns are numbers."""
    pandas = pandas_or_say()
    try:
        table = pandas.read_csv(file, dtype={name: kind for name, kind in columns.items() if kind is str})
    except (OSError, ValueError) as error:
        raise BadInput(f"table {file.name}", expected="a readable CSV file", got=type(error).__name__,
                       todo="check that the file is there and whole") from error
    missing = [name for name in columns if name not in table]
    if missing:
        raise BadInput(f"table {file.name}", expected="columns " + ", ".join(columns),
                       got="none called " + ", ".join(missing), todo="add them or rename the ones you have")
    for name, kind in columns.items():
        if kind is float:
            _numbers(table, name, file.name, whole=True)
    return table


def _numbers(table: Any, name: str, file: str, whole: bool) -> Any:
    """A column as floats; NaN only where `whole` is False."""
    numbers = pandas_or_say().to_numeric(table[name], errors="coerce")
    wrong = numbers.isna() if whole else numbers.isna() & table[name].notna()
    if wrong.any() or np.isinf(numbers).any():
        row = int(np.flatnonzero(wrong | np.isinf(numbers))[0])
        raise BadInput(f"table {file}, column {name}, row {row + 1}", expected="a finite number",
                       got=repr(str(table[name].iloc[row])), todo="mend or leave out that row")
    return numbers


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
    columns = [_numbers(frames, f"{code}_{axis}", "of frames", whole=False) for code in here["code"] for axis in "xy"]
    xy = np.stack(columns, axis=-1).reshape(len(frames), len(here), 2) - pitch.corner_xy
    slots = tuple(SLOT_OF_POSITION.get(str(position), OUTFIELD) for position in here["position"])
    return Team(tuple(here["shirt"]), slots, xy)


# -- A match as it is kept after import: a folder with `match.json` (sheets, pitch) and one long table of places.


VERSION = 1
SHEET, TABLES = "match.json", ("tracking.parquet", "tracking.csv", "tracking.csv.gz")
SIZE_LIMIT_BYTES = 1_000_000


def save_match(match: Tracking, folder: str | Path, table: str = "parquet") -> Path:
    """Keep a match in a folder; `open_match` reads it.

    Parameters
    ----------
    match : Tracking
    folder : str or Path
        Made if it is not there.
    table : "parquet", "csv" or "csv.gz"

    Returns
    -------
    Path
    """
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    for name in TABLES:
        if name != f"tracking.{table}":
            (place / name).unlink(missing_ok=True)
    write_long(match, place / f"tracking.{table}")
    replace_whole(place / SHEET, json.dumps(_sheet(match), indent=1).encode())
    return place


def _sheet(match: Tracking) -> dict[str, Any]:
    teams = {side: dict(zip(team.numbers, team.slots, strict=True))
             for side, team in (("home", match.home), ("away", match.away))}
    pitch = {"length_m": match.pitch.length_m, "width_m": match.pitch.width_m, "by_law": match.pitch.by_law}
    return {"version": VERSION, "pitch": pitch, "start_utc": match.start_utc, **teams}


def open_match(path: str | Path) -> Tracking:
    """A match that was imported, or a folder that `read_tracking` knows.

    Raises
    ------
    BadInput
        If it is neither.

    Examples
    --------
    >>> open_match("no such match")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: match no such match: expected a folder made by the command import; got none. ...
    """
    folder = Path(path)
    if (folder / SHEET).is_file():
        return _opened(folder)
    if (folder / "players.csv").is_file():
        return read_tracking(folder)
    raise BadInput(f"match {folder.name}", expected="a folder made by the command import",
                   got="a folder without match.json" if folder.is_dir() else "none",
                   todo="import the match first: python -m pressinglib import --help")


def _opened(folder: Path) -> Tracking:
    sheet, table = _read_sheet(folder / SHEET), [folder / name for name in TABLES if (folder / name).is_file()]
    if len(table) != 1:
        raise BadInput(f"match {folder.name}", expected="one table called " + " or ".join(TABLES),
                       got=str(len(table) or "none"), todo="import the match again")
    match, _ = read_long(table[0], METRES, pitch=Pitch(**sheet["pitch"]))
    home, away = (_with_slots(getattr(match, side), sheet[side]) for side in ("home", "away"))
    return Tracking(match.pitch, home, away, match.time_s, match.ball_xy, match.ball_height_m, match.alive,
                    match.frame_id, match.period, match.given, sheet["start_utc"])


def _read_sheet(file: Path) -> dict[str, Any]:
    """The sheet, checked: it may have been written by anybody."""
    try:
        if file.stat().st_size > SIZE_LIMIT_BYTES:
            raise ValueError(f"more than {SIZE_LIMIT_BYTES} bytes")
        sheet = json.loads(file.read_bytes())
        Pitch(**sheet["pitch"])
        for side in ("home", "away"):
            for slot in sheet[side].values():
                check_slot(slot)
        if sheet["version"] != VERSION or not isinstance(sheet["start_utc"], str):
            raise ValueError(f"version {sheet['version']!r}")
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError, PressingError) as error:
        raise BadInput(f"match {file.parent.name}, {SHEET}", expected="what the command import writes",
                       got=f"{type(error).__name__}: {error}", todo="import the match again") from error
    return dict(sheet)


def _with_slots(team: Team, slots: Mapping[str, str]) -> Team:
    return Team(team.numbers, tuple(slots.get(n, OUTFIELD) for n in team.numbers), team.xy)
