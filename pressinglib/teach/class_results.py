"""The results of a class: who solved what, and what failed most; as text, table and picture."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pressinglib import __version__
from pressinglib.teach.accepted import AcceptedTable
from pressinglib.teach.card import table_html
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.exercise_file import SharedExercise
from pressinglib.teach.marking import Mark

if TYPE_CHECKING:
    from pressinglib.teach.class_plot import ClassPlot


@dataclass(frozen=True)
class Learner:
    """A learner's marks, in the order of the class's exercises."""

    name: str
    marks: tuple[Mark, ...]
    other: int = 0  # tries at exercises that are not asked for
    made_with: str = __version__


@dataclass(frozen=True, repr=False)
class ClassResults:
    """Who solved what; shows itself as a table in which every name is text.

    Parameters
    ----------
    exercises : tuple of str
        Titles, in the order of the marks.
    learners : tuple of Learner
        By name.
    skipped : tuple of (str, str)
        Files that could not be read, and why.
    asked : tuple of Exercise
        The exercises themselves.
    """

    exercises: tuple[str, ...]
    learners: tuple[Learner, ...]
    skipped: tuple[tuple[str, str], ...] = ()
    asked: tuple[Exercise, ...] = ()

    def rows(self) -> list[tuple[str, ...]]:
        """A learner a row: name, then a mark for each exercise."""
        return [(learner.name, *(mark.words for mark in learner.marks)) for learner in self.learners]

    @property
    def failed(self) -> list[tuple[str, str, int]]:
        """Exercise, criterion, and how many learners did not meet it in some try; most first."""
        counted = Counter((title, criterion) for learner in self.learners
                          for title, mark in zip(self.exercises, learner.marks, strict=True)
                          for criterion in mark.failed)
        return sorted(((*key, n) for key, n in counted.items()), key=lambda row: (-row[2], row[:2]))

    @property
    def notes(self) -> list[str]:
        """What a tutor has to know beside the table."""
        shared = [one for one in self.asked if isinstance(one, SharedExercise) and one.note]
        notes = [f"{one.title}: {one.note}" for one in shared]
        notes += [f"Skipped {name}: {why}" for name, why in self.skipped]
        notes += [f"{one.name}: answered with pressinglib {one.made_with}, judged here with {__version__}."
                  for one in self.learners if one.made_with != __version__]
        notes += [f"{one.name}: {one.other} tries at other exercises are not in the table."
                  for one in self.learners if one.other]
        twice = [name for name, n in Counter(one.name for one in self.learners).items() if n > 1]
        return notes + [f"{name}: more than one file; each has a row." for name in sorted(twice)]

    @property
    def accepted(self) -> AcceptedTable:
        """What counts as right in each exercise, alternatives too; places take a second each."""
        return AcceptedTable(self.asked)

    def plot(self) -> ClassPlot:
        """The same as a picture: how many solved each exercise, and what failed most."""
        from pressinglib.teach.class_plot import ClassPlot

        return ClassPlot(self)

    def __repr__(self) -> str:
        lines = [f"{name}: " + ", ".join(f"{title} {word}" for title, word in zip(self.exercises, words, strict=True))
                 for name, *words in self.rows()]
        return "\n".join([*lines, *self._failed_words(), *self.notes]) or "No answers."

    def _repr_html_(self) -> str:
        tables = [table_html(("Learner", *self.exercises), self.rows())]
        if self.failed:
            failed = [(title, criterion, str(n)) for title, criterion, n in self.failed]
            tables.append(table_html(("Exercise", "Not met", "Learners"), failed))
        if self.notes:
            tables.append(table_html(("Notes",), [(note,) for note in self.notes]))
        return "".join(tables)

    def _failed_words(self) -> list[str]:
        return [f"Not met by {n}: {criterion} ({title})" for title, criterion, n in self.failed]
