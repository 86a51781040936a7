"""How the numbers of a source are to be read, which is never guessed; and the report of what was wrong with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from pressinglib.data.tracking import LAST_PERIOD, Floats, Ints
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import YARD_M, Pitch

SHOWN = 20  # problems that a report prints
NAMED = 5  # rows named one by one for each kind of fault; the rest are counted
UNITS = {"m": 1.0, "cm": 0.01, "mm": 0.001, "yd": YARD_M, "ft": YARD_M / 3, "share": None, "percent": None}
ORIGINS = ("centre", "corner")  # corner: the one with the smallest x and y
Y_WAYS = ("up", "down")
DIRECTIONS = ("right", "left")


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: the file, the row (1 is the first), the column, and what follows from it.

    >>> print(Problem("frames.csv", 12, "x", "expected a number; got 'left'", "frame 40 skipped"))
    frames.csv, row 12, column x: expected a number; got 'left'. Frame 40 skipped.
    """

    file: str
    row: int | None
    column: str
    what: str
    then: str = ""

    def __str__(self) -> str:
        place = (self.file, "" if self.row is None else f"row {self.row}", self.column and f"column {self.column}")
        then = f" {self.then[0].upper()}{self.then[1:]}." if self.then else ""
        return f"{', '.join(filter(None, place))}: {self.what}.{then}"


@dataclass(eq=False, repr=False)
class Report:
    """Collects problems, notes and counts; printed, it says all. `skipped` holds the numbers of the frames left out."""

    file: str
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    skipped: set[int] = field(default_factory=set)

    @property
    def clean(self) -> bool:
        """Nothing was wrong."""
        return not self.problems

    @property
    def first(self) -> str:
        """The first problem, to be said where there is nothing but problems."""
        return f"; first: {self.problems[0]}".rstrip(".") if self.problems else ""

    def add(self, row: int | None, column: str, what: str, frame: int | None = None, then: str = "") -> None:
        """Keep a problem; with `frame`, the whole frame is left out."""
        if frame is not None:
            self.skipped.add(frame)
            then = then or f"frame {frame} skipped"
        self.problems.append(Problem(self.file, row, column, what, then))

    def blame(self, table: Any, wrong: Any, column: str, words: str, then: str = "") -> None:
        """Leave out the frames of these rows of a long table, or what `then` says; {got} is what stands there."""
        rows = table[np.asarray(wrong)]
        rows = rows[~rows.index.duplicated()]  # a line of the source may hold all players of a frame
        came = rows[column if column in rows else "frame"]
        for row, frame, value in list(zip(rows.index, rows["frame"], came, strict=True))[:NAMED]:
            got = "a number beyond all bounds" if value in (np.inf, -np.inf) else repr(str(value)[:20])
            got = "nothing" if value is None or value != value else got
            self.add(int(row), column, words.format(got=got), None if then else int(frame), then)
        self.counts[f"more rows with a fault in {column}"] += max(len(rows) - NAMED, 0)
        self.skipped.update(() if then else map(int, rows["frame"]))

    def note(self, words: str) -> None:
        """Keep something that a reader should know and that is no fault."""
        if words not in self.notes:
            self.notes.append(words)

    def __repr__(self) -> str:
        head = f"{self.file}: {many(len(self.problems), 'problem')}" if self.problems else f"{self.file}: no problem"
        if self.skipped:
            head += f", {many(len(self.skipped), 'frame')} skipped"
        rows = [*map(str, self.problems[:SHOWN])]
        if len(self.problems) > SHOWN:
            rows.append(f"... and {many(len(self.problems) - SHOWN, 'more problem')}")
        rows += [*self.notes, *(f"{n} {words}" for words, n in self.counts.items() if n)]
        return "\n  ".join([head, *rows])


def many(n: int, word: str) -> str:
    """So many of a thing."""
    return f"{n} {word}" if n == 1 else f"{n} {word}s"


def some(names: list[str]) -> str:
    """The first five, and how many more there are."""
    return ", ".join(names[:NAMED]) + (f" and {len(names) - NAMED} more" if len(names) > NAMED else "")


@dataclass(frozen=True)
class Coordinates:
    """How places in a source are to be read; BadInput or UnknownName where that is not said.

    Parameters
    ----------
    unit : str
        "m", "cm", "mm", "yd", "ft"; "share" (0-1 of length and width) or "percent" (0-100 of them).
    origin : "centre" or "corner"
        The centre spot, or the corner with the smallest x and y.
    home_attacks : "right", "left", or dict
        Towards larger or smaller x; a dict gives it by period ({1: "right", 2: "left"}).
    y : "up" or "down"
        Whether y grows to the left or to the right of a team that attacks towards larger x.

    >>> told = Coordinates(unit="cm", origin="corner", home_attacks={1: "right", 2: "left"})
    >>> told.metres(np.array([[5250.0, 4400.0]] * 2), np.array([1, 2]), Pitch()).tolist()
    [[0.0, 10.0], [0.0, -10.0]]
    """

    unit: str
    origin: str
    home_attacks: Any
    y: str = "up"

    def __post_init__(self) -> None:
        as_known(self.unit, UNITS, "unit")
        as_known(self.origin, ORIGINS, "origin")
        as_known(self.y, Y_WAYS, "y")
        if not isinstance(self.home_attacks, Mapping):
            object.__setattr__(self, "home_attacks", dict.fromkeys(range(1, LAST_PERIOD + 1), self.home_attacks))
        for way in self.home_attacks.values():
            as_known(way, DIRECTIONS, "home_attacks", todo="say which way the home side attacks")

    def metres(self, xy: Floats, period: Ints, pitch: Pitch) -> Floats:
        """Places (n, 2) in metres from the centre spot, the home side attacking +x; `period` (n,)."""
        missing = sorted(set(period.tolist()) - set(self.home_attacks))
        if missing:
            raise BadInput("home_attacks", expected="a direction for every period",
                           got=f"none for {', '.join(map(str, missing))}", todo="say it for that period as well")
        right = np.isin(period, [k for k, way in self.home_attacks.items() if way == "right"])
        size, factor = np.array([pitch.length_m, pitch.width_m]), UNITS[self.unit]
        scaled = xy * (size / (100.0 if self.unit == "percent" else 1.0) if factor is None else factor)
        centred = scaled - size / 2 if self.origin == "corner" else scaled
        return np.asarray(centred * (1.0, 1.0 if self.y == "up" else -1.0) * np.where(right, 1.0, -1.0)[:, None])


METRES = Coordinates("m", "centre", "right")  # what this library writes
