"""A match as it is kept after import: a folder with `match.json` (sheets, pitch) and one long table of places."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pressinglib.data.declared import METRES
from pressinglib.data.read_long import read_long
from pressinglib.data.read_tracking import read_tracking
from pressinglib.data.tracking import Team, Tracking
from pressinglib.data.write_long import write_long
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.pitch import Pitch
from pressinglib.field.plain_file import replace_whole
from pressinglib.field.slots import OUTFIELD, check_slot

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
