"""What was wrong with a file, place by place, and what was counted while it was read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

SHOWN = 20


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: the file, the row (1 is the first), the column, and what follows from it.

    Examples
    --------
    >>> print(Problem("frames.csv", 12, "x", "expected a number; got 'left'", "frame 40 skipped"))
    frames.csv, row 12, column x: expected a number; got 'left'. Frame 40 skipped.
    >>> print(Problem("meta.json", None, "venue", "missing"))
    meta.json, column venue: missing.
    """

    file: str
    row: int | None
    column: str
    what: str
    then: str = ""

    def __str__(self) -> str:
        place = [self.file, f"row {self.row}" if self.row is not None else "", f"column {self.column}"]
        where = ", ".join(part for part in place if part and part != "column ")
        then = f" {self.then[0].upper()}{self.then[1:]}." if self.then else ""
        return f"{where}: {self.what}.{then}"


@dataclass(eq=False)
class Report:
    """Collects problems and counts; printed, it says both. `skipped` holds the numbers of the frames left out.

    Examples
    --------
    >>> report = Report("frames.csv")
    >>> report.add(3, "x", "no number", frame=7)
    >>> report.counts["jumps of a player"] += 2
    >>> print(report)
    frames.csv: 1 problem, 1 frame skipped
      frames.csv, row 3, column x: no number. Frame 7 skipped.
      2 jumps of a player
    >>> print(Report("frames.csv"), report.clean)
    frames.csv: no problem False
    """

    file: str
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    skipped: set[int | str] = field(default_factory=set)

    @property
    def clean(self) -> bool:
        """Nothing was wrong."""
        return not self.problems

    def add(self, row: int | None, column: str, what: str, frame: int | str | None = None, then: str = "") -> None:
        """Keep a problem; with `frame`, the whole frame is left out."""
        if frame is not None:
            self.skipped.add(frame)
            then = then or f"frame {frame} skipped"
        self.problems.append(Problem(self.file, row, column, what, then))

    def note(self, words: str) -> None:
        """Keep something that a reader should know and that is no fault."""
        if words not in self.notes:
            self.notes.append(words)

    def __str__(self) -> str:
        head = f"{self.file}: {_many(len(self.problems), 'problem')}" if self.problems else f"{self.file}: no problem"
        if self.skipped:
            head += f", {_many(len(self.skipped), 'frame')} skipped"
        rows = [*map(str, self.problems[:SHOWN])]
        if len(self.problems) > SHOWN:
            rows.append(f"... and {_many(len(self.problems) - SHOWN, 'more problem')}")
        rows += [*self.notes, *(f"{n} {words}" for words, n in self.counts.items() if n)]
        return "\n  ".join([head, *rows])


def _many(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"
