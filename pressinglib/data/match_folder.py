"""A match in a folder: a table of frames, and `match.json`, which says who is who and which table it is."""

from __future__ import annotations

import hashlib
import json
import re
from contextlib import suppress
from os.path import isdir, isfile
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import table_files as files
from pressinglib.data.tracking import KINDS, SIDES, Floats, Team, Tracking
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import OUTFIELD, SLOTS
from pressinglib.files import made_folder, write_file

MOMENTS = ("t", "alive", "ball_x", "ball_y", "ball_z")
MORE = {"frame_id": "frame_id", "period": "period", "given": "given", "clock": "clock_s"}  # columns that may be there
PLAYER = ("code", "shirt", "position", "id")
VERSION = 4
SHEET = "match.json"
TABLE = re.compile(r"frames-[0-9a-f]{16}(\.parquet|\.csv|\.csv\.gz)")
WRITTEN = "what the command import writes"
HASH_LENGTH = 16
DECIMALS = {"t": 4, "clock": 4}  # of a second; of a metre 3


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
    """A match that was imported; BadInput if it is none.

    >>> open_match("no such match")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: match no such match: expected a folder made by the command import; got none. ...
    """
    folder = Path(path)
    if not isfile(folder / SHEET):
        raise BadInput(f"match {folder.name}", expected="a folder made by the command import",
                       got=f"a folder without {SHEET}" if isdir(folder) else "none",
                       todo="import the match first: python -m pressinglib import --help")
    what, todo = f"match {folder.name}, {SHEET}", "import the match again"
    sheet = files.read_document(folder / SHEET, what, WRITTEN, todo)
    try:
        sheets = [[tuple(str(man[key]) for key in PLAYER) for man in sheet["players"] if man["side"] == side]
                  for side in SIDES]
        name, pitch = str(sheet["table"]), Pitch(**sheet["pitch"])
        if sheet["version"] != VERSION or not TABLE.fullmatch(name) or not all(sheets):
            raise ValueError(f"version {sheet['version']!r}, table {name!r}, {len(sheet['players'])} players")
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        raise BadInput(what, expected=WRITTEN, got=f"a part is missing or wrong: {error}", todo=todo) from error
    frames = files.read_whole(folder / name, [*MOMENTS, *(f"{code}_{axis}" for men in sheets for code, *_ in men
                                                          for axis in "xy")])
    home, away = (_team(frames, men, pitch, what) for men in sheets)
    time, alive, z = (_column(frames, name) for name in ("t", "alive", "ball_z"))
    more: dict[str, Any] = {name: _column(frames, column) for column, name in MORE.items() if column in frames}
    return Tracking(pitch, home, away, time, _places(frames, "ball", pitch), z, alive > 0,
                    **{"frame_id": np.arange(len(frames)), **more})


def _team(frames: Any, men: list[tuple[str, ...]], pitch: Pitch, what: str) -> Team:
    """The players of a side, in the order of the sheet."""
    codes, shirts, slots, ids = zip(*men, strict=True)
    if len({*shirts}) < len(men):
        raise BadInput(what, expected="a shirt number each, every one once", got=", ".join(shirts),
                       todo="mend the numbers, or import the match again")
    xy = np.stack([_places(frames, code, pitch) for code in codes], axis=1)
    return Team(shirts, tuple(slot if slot in SLOTS else OUTFIELD for slot in slots), xy, ids)


def _places(frames: Any, code: str, pitch: Pitch) -> Floats:
    return np.stack([_column(frames, f"{code}_{axis}", True) for axis in "xy"], axis=-1) - pitch.corner_xy


def _column(frames: Any, name: str, blank: bool = False) -> Floats:
    """A column of finite floats; NaN where it is, and may be, blank."""
    values, wrong = files.numbers(frames[name])
    for row in np.flatnonzero(wrong | (np.isnan(values) & (not blank))):
        raise BadInput(f"table of frames, column {name}, row {row + 1}", expected="a finite number",
                       got=repr(str(frames[name].iloc[row])), todo="mend or leave out that row")
    return values
