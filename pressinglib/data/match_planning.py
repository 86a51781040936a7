"""Plans of a whole match in a folder, a chunk at a time: memory stays flat, and what is finished is kept."""

from __future__ import annotations

import hashlib
import inspect
import json
import marshal
import re
from collections.abc import Callable
from dataclasses import asdict, fields
from os.path import isfile
from pathlib import Path
from typing import Any

from pressinglib.data.match_folder import HASH_LENGTH, match_hash
from pressinglib.data.match_plan import TABLES, MatchPlan
from pressinglib.data.table_files import (
    MAKE_ROOM,
    WRITABLE,
    check_kind,
    read_document,
    read_table,
    trouble,
    write_table,
)
from pressinglib.errors import BadInput
from pressinglib.files import replace_whole, sweep
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import WAYS
from pressinglib.tables import pandas_or_say

Progress = Callable[[int, int], object]  # frames done, of how many
SHEET = "plan.json"
CHUNK = re.compile(r"\d{5,}\.(parquet|csv|csv\.gz)")
TEXTS = ("pressing", "on_ball", "state", "presser", "timing", "steer", "number", "slot", "role", "duty", "mark",
         "opponent", "closed_by", "account", "left", "right", "filled_by", "kind", "players",
         *(f"take_over_{way}" for way in WAYS))


def rulebook_hash(rulebook: Rulebook) -> str:
    """The same for the same settings and rules; an own rule counts by its code."""
    rules = [f"{f.name}={_rule_hash(getattr(rulebook, f.name))}" for f in fields(rulebook) if f.name != "settings"]
    text = repr((sorted(asdict(rulebook.settings).items()), rules))
    return hashlib.sha256(text.encode()).hexdigest()[:HASH_LENGTH]


def _rule_hash(rule: Callable[..., Any]) -> str:
    plain = inspect.unwrap(rule)
    code = getattr(plain, "__code__", None)
    name = f"{getattr(plain, '__module__', '')}.{getattr(plain, '__qualname__', type(plain).__name__)}"
    return name if code is None else f"{name}:{hashlib.sha256(marshal.dumps(code)).hexdigest()[:HASH_LENGTH]}"


def plan_match(plan: MatchPlan, folder: str | Path, kind: str = "parquet", progress: Progress | None = None) -> Path:
    """Plan a match into a folder; begun again, it goes on where it was broken off.

    Parameters
    ----------
    plan : MatchPlan
    folder : str or Path
        Gets `plan.json` and a folder for each of the tables frames, players, lanes, gaps and faults, one file a chunk.
    kind : "parquet", "csv" or "csv.gz"
    progress : function, optional
        Called with the planned frames and how many there are, after every chunk.

    Returns
    -------
    Path
        The folder; `read_plans` reads a table of it.

    Raises
    ------
    BadInput
        If the folder holds plans of another match, by other rules, or in another form.
    """
    place = Path(folder)
    check_kind(kind)
    with trouble(f"folder {place.name}", WRITABLE, MAKE_ROOM):
        _claim(place, plan, kind)
    done = 0
    for chunk in plan.chunks:
        name = f"{chunk.number:05d}.{kind}"
        if not (place / TABLES[0] / name).exists():
            tables = plan.tables(chunk)
            for table in reversed(TABLES):  # that of frames comes last: where it is there, the chunk is finished
                write_table(tables[table], place / table / name)
        done += int(((plan.rows >= chunk.start) & (plan.rows < chunk.stop)).sum())
        if progress is not None:
            progress(done, len(plan.rows))
    return place


def _claim(place: Path, plan: MatchPlan, kind: str) -> None:
    """Say in the folder what it holds; refuse one that holds something else, or whose sheet is damaged."""
    sheet = {"version": 1, "kind": kind, "match": match_hash(plan.match), "rules": rulebook_hash(plan.rulebook),
             "planned": len(plan.rows), "chunks": [[c.start, c.stop] for c in plan.chunks], "faults": plan.with_faults,
             "counts": plan.counts(), "formations": [[c.home, c.away] for c in plan.phases]}
    for table in TABLES:
        (place / table).mkdir(parents=True, exist_ok=True)
        sweep(place / table)
    if not isfile(place / SHEET):
        replace_whole(place / SHEET, json.dumps(sheet, indent=1).encode())
        return
    found = _sheet(place)
    other = [key for key in sheet if found.get(key) != sheet[key]]
    if other:
        raise BadInput(f"folder {place.name}", expected="the plans that were begun here",
                       got="another " + ", ".join(other), todo="choose a new folder, or remove this one")


def _sheet(place: Path) -> dict[str, Any]:
    return read_document(place / SHEET, f"plans {place.name}, {SHEET}", "what the command plan writes",
                         "plan the match again, into a new folder")


def read_plans(folder: str | Path, table: str = "frames") -> Any:
    """One table of a planned match, as a pandas DataFrame.

    Raises
    ------
    BadInput
        If there is no such table.

    Examples
    --------
    >>> read_plans("no such folder")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: plans no such folder, frames: expected a folder made by the command plan; got none. ...
    """
    place, what = Path(folder), f"plans {Path(folder).name}, {table}"
    if table not in TABLES or not isfile(place / SHEET):
        raise BadInput(what, expected="a folder made by the command plan", got="none",
                       todo="plan the match first; tables are " + ", ".join(TABLES))
    ending = f".{_sheet(place).get('kind')}"
    finished = sorted(file.name for file in (place / TABLES[0]).glob("*")
                      if CHUNK.fullmatch(file.name) and file.name.endswith(ending))
    parts = [_part(place / table / name) for name in finished]
    if not parts:
        raise BadInput(what, expected="chunks that are finished", got="none", todo="let the command plan run on")
    with trouble(what, "tables of one form", "plan the match again, into a new folder"):
        if any(list(part) != list(parts[0]) for part in parts):
            raise ValueError("other columns")
        whole = pandas_or_say().concat(parts, ignore_index=True)
        return whole.fillna({name: "" for name in TEXTS if name in whole})


def _part(file: Path) -> Any:
    table, broken = read_table(file, TEXTS)
    if broken:
        raise BadInput(f"plans, {file.parent.name}/{file.name}, row {min(broken)}", got=f"{len(broken)} broken rows",
                       expected="what the command plan writes", todo="remove this chunk, and let the command run again")
    return table
