"""Plans of a whole match in a folder, a chunk at a time: memory stays flat, and what is finished is kept."""

from __future__ import annotations

import hashlib
import inspect
import json
import marshal
from collections.abc import Callable
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.ball_possession import Phase
from pressinglib.data.long_table import KINDS, read_table, write_table
from pressinglib.data.match_plan import TABLES, Columns, MatchPlan
from pressinglib.data.tracking import Tracking
from pressinglib.errors import BadInput
from pressinglib.files import replace_whole
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import WAYS
from pressinglib.tables import pandas_or_say

# -- Short marks of a match and of a rulebook, by which plans of something else are told apart.


LENGTH = 16


def match_hash(match: Tracking) -> str:
    """The same for the same places, and for no others."""
    mark = hashlib.sha256()
    for array in (match.time_s, match.ball_xy, match.home.xy, match.away.xy, match.alive, match.given):
        mark.update(np.ascontiguousarray(array).tobytes())
    sheets = [(team.numbers, team.slots) for team in (match.home, match.away)]
    mark.update(repr((match.pitch, sheets)).encode())
    return mark.hexdigest()[:LENGTH]


def rulebook_hash(rulebook: Rulebook) -> str:
    """The same for the same settings and rules; an own rule counts by its code.

    Examples
    --------
    >>> stock, other = Rulebook(), Rulebook().with_settings(steering="inside")
    >>> rulebook_hash(stock) == rulebook_hash(Rulebook()), rulebook_hash(stock) == rulebook_hash(other)
    (True, False)
    """
    rules = [f"{f.name}={_rule_hash(getattr(rulebook, f.name))}" for f in fields(rulebook) if f.name != "settings"]
    text = repr((sorted(asdict(rulebook.settings).items()), rules))
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]


def _rule_hash(rule: Callable[..., Any]) -> str:
    plain = inspect.unwrap(rule)
    code = getattr(plain, "__code__", None)
    name = f"{getattr(plain, '__module__', '')}.{getattr(plain, '__qualname__', type(plain).__name__)}"
    return name if code is None else f"{name}:{hashlib.sha256(marshal.dumps(code)).hexdigest()[:LENGTH]}"


# -- Plans of a whole match in a folder, a chunk at a time: memory stays flat, and what is finished is kept.


Progress = Callable[[int, int], object]  # frames done, of how many
SHEET = "plan.json"
TEXTS = ("pressing", "on_ball", "state", "presser", "timing", "steer", "number", "slot", "role", "duty", "mark",
         "opponent", "closed_by", "account", "left", "right", "filled_by", "kind", "players",
         *(f"take_over_{way}" for way in WAYS))


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
    if f".{kind}" not in KINDS:
        raise BadInput("kind of table", expected="parquet, csv or csv.gz", got=repr(kind), todo="choose one of these")
    _claim(place, plan, kind)
    done = 0
    for chunk in plan.chunks:
        finished = place / TABLES[0] / f"{chunk.number:05d}.{kind}"
        if not finished.exists():
            _write(place, plan.tables(chunk), finished.name)
        done += int(((plan.rows >= chunk.start) & (plan.rows < chunk.stop)).sum())
        if progress is not None:
            progress(done, len(plan.rows))
    return place


def _write(place: Path, tables: dict[str, Columns], name: str) -> None:
    """The table of frames comes last: where it is there, the chunk is finished."""
    for table in reversed(TABLES):
        write_table(tables[table], place / table / name)


def _claim(place: Path, plan: MatchPlan, kind: str) -> None:
    """Say in the folder what it holds; refuse one that holds something else."""
    told = {"version": 1, "kind": kind, "match": match_hash(plan.match), "rules": rulebook_hash(plan.rulebook),
            "planned": len(plan.rows), "chunks": [[c.start, c.stop] for c in plan.chunks], "faults": plan.with_faults,
            "counts": plan.counts(), "formations": [[c.home, c.away] for c in _phases(plan)]}
    sheet = place / SHEET
    if sheet.is_file():
        found = _told(sheet)
        other = [key for key in told if found.get(key) != told[key]]
        if other:
            raise BadInput(f"folder {place.name}", expected="the plans that were begun here",
                           got="another " + ", ".join(other), todo="choose a new folder, or remove this one")
        return
    for table in TABLES:
        (place / table).mkdir(parents=True, exist_ok=True)
    replace_whole(sheet, json.dumps(told, indent=1).encode())


def _phases(plan: MatchPlan) -> list[Phase]:
    return list(dict.fromkeys(chunk.phase for chunk in plan.chunks))


def _told(sheet: Path) -> dict[str, Any]:
    try:
        found = json.loads(sheet.read_bytes())
        return found if isinstance(found, dict) else {}
    except (OSError, ValueError, RecursionError):
        return {}


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
    place = Path(folder)
    files = sorted(f for f in (place / table).glob("*") if f.name.endswith(KINDS)) if table in TABLES else []
    if not files:
        raise BadInput(f"plans {place.name}, {table}", expected="a folder made by the command plan", got="none",
                       todo="plan the match first; tables are " + ", ".join(TABLES))
    whole = pandas_or_say().concat([read_table(file, TEXTS)[0] for file in files], ignore_index=True)
    return whole.fillna({name: "" for name in TEXTS if name in whole})
