"""Teachable moments: stretches of a planned match in which something holds, and their pictures for the board."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from pressinglib.data.table_files import need_columns, numbers
from pressinglib.data.tracking import SIDES, Bools, Floats
from pressinglib.errors import BadInput, UnknownName
from pressinglib.roles.faults import KINDS

NUMBERS = ("frame_id", "period", "time_s", "ball_y")
SWITCH_M, SWITCH_S = 30.0, 5.0  # so far across within so long is a switch (own choice)
TOGETHER = 2.5  # moments further apart than this many usual steps are no stretch
CONDITION = re.compile(r"\s*(\w+)\s*(<=|>=|<|>|=)\s*(-?\d+(?:\.\d+)?)\s*")
COMPARES = {"<": np.less, ">": np.greater, "<=": np.less_equal, ">=": np.greater_equal, "=": np.equal}


@dataclass(frozen=True)
class Question:
    """What to look for.

    Parameters
    ----------
    fault : str, optional
        A kind of fault, as `pressinglib.roles.faults.KINDS` names it.
    where : str, optional
        A column of the table of frames against a number: "danger_after > 0.6", "open_lanes >= 4".
    lasts_s : float
        At least so long.
    before_switch : bool
        The ball goes at least 30 m across within 5 s of it, against the same pressing side.

    Raises
    ------
    UnknownName, BadInput

    Examples
    --------
    >>> Question("two press one ball")
    Question(fault='two press one ball', where=None, lasts_s=0.0, before_switch=False)
    >>> Question("two press")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: fault: expected one of no pressure on the ball, ...
    """

    fault: str | None = None
    where: str | None = None
    lasts_s: float = 0.0
    before_switch: bool = False

    def __post_init__(self) -> None:
        if self.fault is not None and self.fault not in KINDS:
            raise UnknownName("fault", self.fault, KINDS)
        if self.where is not None and not CONDITION.fullmatch(self.where):
            raise BadInput("condition", expected="a column, one of < > <= >= = and a number", got=repr(self.where),
                           todo='write it like "danger_after > 0.6"')
        if self.fault is None and self.where is None:
            raise BadInput("question", expected="a fault or a condition", got="neither", todo="say what to look for")

    @property
    def words(self) -> str:
        """The question as a title."""
        parts = [self.fault, self.where, f"for {self.lasts_s:g} s" if self.lasts_s else None,
                 "before a switch" if self.before_switch else None]
        return ", ".join(part for part in parts if part)


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
        """How long it lasts, from its first frame to its last."""
        return round(self.end_s - self.start_s, 3)


def find_moments(frames: Any, faults: Any, question: Question) -> list[Moment]:
    """The stretches of a planned match that answer a question, in the order of time.

    Parameters
    ----------
    frames, faults : DataFrame
        The tables of `read_plans`.
    question : Question

    Raises
    ------
    BadInput
        If the condition names no column of numbers, or the tables are not those of `read_plans`.

    Notes
    -----
    A stretch is a row of planned frames, none left out, in which the same side presses and the question holds. Between
    frames that were not planned it may have stopped holding: plan five moments a second or more to ask for durations.
    """
    _check(frames, faults)
    found: list[Moment] = []
    for pressing in SIDES:
        side = frames[frames["pressing"] == pressing].sort_values("time_s").reset_index(drop=True)
        if len(side):
            found += _of_side(side, faults, question, pressing)
    return sorted(found, key=lambda moment: (moment.start_s, moment.pressing))


def _check(frames: Any, faults: Any) -> None:
    todo = "give the tables frames and faults of read_plans"
    need_columns(frames, (*NUMBERS, "pressing"), "table of frames", todo)
    need_columns(faults, ("frame_id", "kind", "pressing", "players"), "table of faults", todo)
    for name in NUMBERS:
        if not np.isfinite(numbers(frames[name])[0]).all():
            raise BadInput(f"table of frames, column {name}", expected="numbers", got="something else", todo=todo)


def _of_side(side: Any, faults: Any, question: Question, pressing: str) -> Iterator[Moment]:
    time, holds = side["time_s"].to_numpy(float), np.ones(len(side), bool)
    who: dict[int, str] = {}
    if question.fault is not None:
        seen = faults[(faults["kind"] == question.fault) & (faults["pressing"] == pressing)]
        who = dict(zip(seen["frame_id"], seen["players"].fillna(""), strict=True))
        holds &= side["frame_id"].isin(who).to_numpy()
    if question.where is not None:
        holds &= _condition(side, question.where)
    for start, stop in _stretches(time, holds):
        lasts = time[stop - 1] - time[start] >= question.lasts_s - 1e-6
        if lasts and (not question.before_switch or _switched(side, time, start, stop)):
            frame = int(side["frame_id"][(start + stop - 1) // 2])
            yield Moment(pressing, int(side["period"][start]), float(time[start]), float(time[stop - 1]), frame,
                         str(who.get(frame, "")))


def _condition(side: Any, where: str) -> Bools:
    column, sign, value = CONDITION.fullmatch(where).groups()  # type: ignore[union-attr]
    known = [name for name in side.columns if side[name].dtype.kind in "if"]
    if column not in known:
        raise BadInput("condition", expected="one of " + ", ".join(known), got=repr(column), todo="choose a column")
    return np.asarray(COMPARES[sign](side[column].to_numpy(float), float(value)))


def _stretches(time: Floats, holds: Bools) -> Iterator[tuple[int, int]]:
    """Rows (from, up to) of unbroken stretches."""
    step = np.diff(time, prepend=-np.inf)
    usual = np.median(step[1:]) if len(step) > 1 else 0.0
    begins = holds & ~(np.append(False, holds[:-1]) & (step <= TOGETHER * usual))
    for start in np.flatnonzero(begins):
        stop = int(start) + 1
        while stop < len(holds) and holds[stop] and not begins[stop]:
            stop += 1
        yield int(start), stop


def _switched(side: Any, time: Floats, start: int, stop: int) -> bool:
    """The ball goes across to the other side soon after."""
    y = side["ball_y"].to_numpy(float)
    soon = slice(start, int(np.searchsorted(time, time[stop - 1] + SWITCH_S, side="right")))
    across = np.abs(y[soon] - y[start])
    return bool(((across >= SWITCH_M) & (np.sign(y[soon]) != np.sign(y[start]))).any())
