"""Plans of a whole match in a folder, a chunk at a time, so that memory stays flat; and the moments found in them."""

from __future__ import annotations

import hashlib
import json
import marshal
import re
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from os.path import isfile
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data import table_files as files
from pressinglib.data.match_folder import HASH_LENGTH, match_hash
from pressinglib.data.match_plan import TABLES, Chunk, MatchPlan
from pressinglib.data.tracking import SIDES, Bools, Floats
from pressinglib.doors import door_class
from pressinglib.errors import BadInput, as_known
from pressinglib.files import made_folder, sweep, write_file
from pressinglib.roles.faults import KINDS
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import WAYS
from pressinglib.tables import NUMBER, pandas_or_say

Progress = Callable[[int, int], object]  # frames done, of how many
SHEET, LEFT_OUT = "plan.json", "left_out"
CHUNK = re.compile(r"\d{5,}\.(parquet|csv|csv\.gz)")
TEXTS = ("pressing", "on_ball", "state", "presser", "timing", "steer", "number", "player_id", "slot", "role", "duty",
         "mark", "opponent", "closed_by", "account", "left", "right", "filled_by", "kind", "players",
         *(f"take_over_{way}" for way in WAYS))
NUMBERS = ("frame_id", "period", "time_s")
TOGETHER = 2.5  # moments further apart than this many usual steps are no stretch
CONDITION = re.compile(r"\s*(\w+)\s*(<=|>=|<|>|=)\s*([\w.-][\w. -]*?)\s*")
AND = re.compile(r"\s+and\s+")
COMPARES = {"<": np.less, ">": np.greater, "<=": np.less_equal, ">=": np.greater_equal, "=": np.equal}


def rulebook_hash(rulebook: Rulebook) -> str:
    """The same for the same settings and rules; an own rule counts by its code and by the file it stands in."""
    rules = [(name, _code(rule)) for name, rule in rulebook.own.items()]
    text = repr((sorted(asdict(rulebook.settings).items()), rules))
    return hashlib.sha256(text.encode()).hexdigest()[:HASH_LENGTH]


def _code(rule: Callable[..., Any]) -> tuple[object, ...]:
    name, code = getattr(rule, "__qualname__", type(rule).__name__), getattr(rule, "__code__", None)
    file = Path(getattr(code, "co_filename", ""))  # a number beside the rule decides, too
    beside = file.read_bytes() if file.suffix == ".py" and isfile(file) else b""
    return getattr(rule, "__module__", ""), name, marshal.dumps(code), beside


def plan_match(plan: MatchPlan, folder: str | Path, kind: str = "parquet", progress: Progress | None = None,
               skip_failing: bool = False) -> Path:
    """Plan a match into a folder, for `read_plans`; begun again, it goes on where it was broken off.

    The folder gets `plan.json` and a folder for each of the tables frames, players, lanes, gaps and faults, one file
    ("parquet", "csv" or "csv.gz") a chunk; BadInput if it holds plans of another match, by other rules, or in another
    form. `progress` is told the planned frames and how many there are. `skip_failing` leaves out the frames on which an
    own rule fails, and keeps for `left_out` what is said of each.
    """
    chunks = waiting(plan, folder, kind)
    done = len(plan.rows) - sum(len(plan.rows_of(chunk)) for chunk in chunks)

    def more(frames: int) -> None:
        nonlocal done
        done += frames
        if progress is not None:
            progress(done, len(plan.rows))

    more(0)
    for chunk in chunks:
        write_chunk(plan.only(chunk), Path(folder), kind, skip_failing, more)
    return Path(folder)


def waiting(plan: MatchPlan, folder: str | Path, kind: str) -> list[Chunk]:
    """The chunks of a match that are not planned yet into a folder, which is made, or BadInput if it holds others."""
    files.kind_of(Path(f"chunk.{kind}"))
    _claim(Path(folder), plan, kind)
    return [chunk for chunk in plan.chunks if not Path(folder, TABLES[0], f"{chunk.number:05d}.{kind}").exists()]


def write_chunk(plan: MatchPlan, place: Path, kind: str, skip_failing: bool,
                done: Callable[[int], object] = lambda frames: None) -> None:
    """Plan the one chunk of a plan and write its tables; `done` as for `MatchPlan.tables`."""
    failing: list[str] | None = [] if skip_failing else None
    name, tables = f"{plan.chunks[0].number:05d}", plan.tables(plan.chunks[0], failing, done)
    if failing:
        write_file(place / LEFT_OUT / f"{name}.txt", "\n".join(failing).encode())
    for table in reversed(TABLES):  # that of frames comes last: where it is there, the chunk is finished
        files.write_table(tables[table], place / table / f"{name}.{kind}")


def left_out(folder: str | Path) -> list[str]:
    """What is said of each frame that was left out of the plans in a folder."""
    return [line for file in sorted(Path(folder, LEFT_OUT).glob("*.txt")) for line in file.read_text().splitlines()]


def _claim(place: Path, plan: MatchPlan, kind: str) -> None:
    """Say in the folder what it holds; refuse one that holds something else, or whose sheet is damaged."""
    sheet = {"version": 2, "kind": kind, "match": match_hash(plan.match), "rules": rulebook_hash(plan.rulebook),
             "planned": len(plan.rows), "chunks": [[c.start, c.stop] for c in plan.chunks], "faults": plan.with_faults,
             "counts": plan.counts(), "formations": [[c.home, c.away] for c in plan.phases]}
    for table in (*TABLES, LEFT_OUT):
        sweep(made_folder(place / table))
    if not isfile(place / SHEET):
        write_file(place / SHEET, json.dumps(sheet, indent=1).encode())
        return
    found = plan_sheet(place)
    other = [key for key in sheet if found.get(key) != sheet[key]]
    if other:
        raise BadInput(f"folder {place.name}", expected="the plans that were begun here",
                       got="another " + ", ".join(other), todo="choose a new folder, or remove this one")


def plan_sheet(place: Path) -> dict[str, Any]:
    """What a folder of plans says that it holds."""
    return files.read_document(place / SHEET, f"plans {place.name}, {SHEET}", "what the command plan writes",
                         "plan the match again, into a new folder")


def check_same(folder: str | Path, **hashes: str) -> None:
    """BadInput where plans were made of another `match`, or by other `rules`, than these."""
    sheet = plan_sheet(Path(folder))
    for what, ours in hashes.items():
        if sheet.get(what) != ours:
            raise BadInput(f"plans {Path(folder).name}", expected="plans of this match, by these rules",
                           got=f"another {what}", todo="plan this match first, or say the same settings and rules")


def read_plans(folder: str | Path, table: str = "frames") -> Any:
    """One table of a planned match, as a pandas DataFrame; BadInput if there is none.

    >>> read_plans("no such folder")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: plans no such folder, frames: expected a folder made by the command plan; got none. ...
    """
    place, what = Path(folder), f"plans {Path(folder).name}, {table}"
    if table not in TABLES or not isfile(place / SHEET):
        raise BadInput(what, expected="a folder made by the command plan", got="none",
                       todo="plan the match first; tables are " + ", ".join(TABLES))
    ending = f".{plan_sheet(place).get('kind')}"
    finished = sorted(file.name for file in (place / TABLES[0]).glob("*")
                      if CHUNK.fullmatch(file.name) and file.name.endswith(ending))
    parts = [files.read_whole(place / table / name, (), TEXTS, f"plans, {table}/{name}") for name in finished]
    if not parts:
        raise BadInput(what, expected="chunks that are finished", got="none", todo="let the command plan run on")
    with files.trouble(what, "tables of one form", "plan the match again, into a new folder"):
        if any(list(part) != list(parts[0]) for part in parts):
            raise ValueError("other columns")
        whole = pandas_or_say().concat(parts, ignore_index=True)
        return whole.fillna({name: "" for name in TEXTS if name in whole})


# -- teachable moments: stretches in which something holds -------------------------------------------------------------


@door_class
@dataclass(frozen=True)
class Question:
    """What to look for: a kind of fault, or a condition, for at least so long; UnknownName or BadInput for no question.

    `where` holds columns of the frames or of their players against a number or a word, joined by "and":
    "danger_after > 0.6", "pressing = home and presser = 9", "role = cover and number = 4".

    >>> Question("two press one ball", "danger_after > 1", 0.5).words
    'two press one ball, danger_after > 1, for 0.5 s'
    """

    fault: str | None = None
    where: str | None = None
    lasts_s: float = 0.0

    def __post_init__(self) -> None:
        if self.fault is not None:
            as_known(self.fault, KINDS, "fault")
        if self.where is not None and not all(map(CONDITION.fullmatch, AND.split(self.where))):
            raise BadInput("condition", expected="a column, one of < > <= >= = and a number or a word",
                           got=repr(self.where), todo='write it like "danger_after > 0.6 and pressing = home"')
        if self.fault is None and self.where is None:
            raise BadInput("question", expected="a fault or a condition", got="neither", todo="say what to look for")

    @property
    def words(self) -> str:
        """The question as a title."""
        parts = (self.fault, self.where, f"for {self.lasts_s:g} s" if self.lasts_s else None)
        return ", ".join(filter(None, parts))


@dataclass(frozen=True)
class Moment:
    """A stretch that answers a question; `frame_id` is the frame in its middle, good for a picture."""

    pressing: str
    period: int
    start_s: float
    end_s: float
    frame_id: int
    players: str

    @property
    def lasts_s(self) -> float:
        """How long it lasts: every frame stands for the time up to the next that was planned."""
        return round(self.end_s - self.start_s, 3)


def find_moments(frames: Any, faults: Any, question: Question, players: Any = None) -> list[Moment]:
    """The stretches of a planned match (tables of `read_plans`) that answer a question; BadInput if no column fits it.

    A stretch is a row of planned frames, none left out, in which the same side presses and the question holds; each
    stands for the time up to the next. Between them it may have stopped holding: the fewer moments a second were
    planned, the rougher the durations.
    """
    todo = "give the tables frames and faults of read_plans"
    files.need_columns(frames, (*NUMBERS, "pressing"), "table of frames", todo)
    files.need_columns(faults, ("frame_id", "kind", "pressing", "players"), "table of faults", todo)
    for name in NUMBERS:
        if not np.isfinite(files.numbers(frames[name])[0]).all():
            raise BadInput(f"table of frames, column {name}", expected="numbers", got="something else", todo=todo)
    seen = faults[faults["kind"] == question.fault]
    who = dict(zip(zip(seen["pressing"], seen["frame_id"], strict=True), seen["players"].fillna(""), strict=True))
    keys = zip(frames["pressing"], frames["frame_id"], strict=True)
    frames = frames.assign(holds=[question.fault is None or key in who for key in keys]).sort_values("time_s")
    if question.where is not None:
        frames["holds"] &= _condition(frames, players, question.where)
    found = []
    for pressing in SIDES:
        of = frames[frames["pressing"] == pressing]
        ids, period, time, holds = (of[name].to_numpy() for name in (*NUMBERS, "holds"))
        for start, stop, until in stretches(time.astype(float), holds):
            if until - time[start] >= question.lasts_s - 1e-6:
                frame = int(ids[(start + stop) // 2])
                found.append(Moment(pressing, int(period[start]), float(time[start]), until, frame,
                                    str(who.get((pressing, frame), ""))))
    return sorted(found, key=lambda moment: (moment.start_s, moment.pressing))


def _condition(frames: Any, players: Any, where: str) -> Bools:
    """In which frames all parts hold; those of players: for one of them."""
    parts: list[Any] = [CONDITION.fullmatch(part).groups() for part in AND.split(where)]  # type: ignore[union-attr]
    of_men = [part for part in parts if part[0] not in frames and players is not None]
    holds = np.all([_holds(frames, *part) for part in parts if part not in of_men] or [True], axis=0)
    if not of_men:
        return holds
    return holds & frames["frame_id"].isin(players["frame_id"][np.all([_holds(players, *p) for p in of_men], axis=0)])


def _holds(table: Any, column: str, sign: str, value: str) -> Any:
    if column not in table:
        raise BadInput("condition", expected="one of " + ", ".join(table.columns), got=repr(column),
                       todo="choose a column")
    words = table[column].dtype.kind not in "iuf"
    if words and sign == "=":
        return table[column].astype(str) == value
    if words or not re.fullmatch(NUMBER, value):
        raise BadInput(f"condition on {column}", expected="= and a word for words, a number for numbers",
                       got=f"{sign} {value}", todo='write it like "danger_after > 0.6 and pressing = home"')
    return COMPARES[sign](table[column].to_numpy(float), float(value))


def stands_until(time_s: Floats) -> tuple[Bools, Floats]:
    """Which planned moments are followed by the next without a break, and until when each stands."""
    step = np.diff(time_s)
    usual = float(np.median(step)) if len(step) else 0.0
    follows = np.append(step <= TOGETHER * usual, False)
    return follows, np.where(follows, np.append(time_s[1:], 0.0), time_s + usual)


def stretches(time_s: Floats, holds: Bools) -> Iterator[tuple[int, int, float]]:
    """First and last row of each unbroken stretch in which something holds, and when it ends."""
    follows, until = stands_until(time_s)
    goes_on = holds & follows & np.append(holds[1:], False)
    starts, stops = np.flatnonzero(holds & ~np.append(False, goes_on[:-1])), np.flatnonzero(holds & ~goes_on)
    return ((int(start), int(stop), float(until[stop])) for start, stop in zip(starts, stops, strict=True))
