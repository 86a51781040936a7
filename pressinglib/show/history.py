"""What was on the board before and after: undo and redo as a plain value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")
LIMIT = 200  # steps kept; older ones are forgotten, the first never


@dataclass(frozen=True)
class History(Generic[T]):
    """The first picture, those before the one shown now, and those that were undone (nearest first).

    Examples
    --------
    >>> h = History.of("a").then("b").then("c")
    >>> h.undone().now, h.undone().undone().redone().now, h.reset().now
    ('b', 'b', 'a')
    >>> History.of("a").undone().now
    'a'
    >>> History.of("a").then("b", "slider").then("c", "slider").undone().now
    'a'
    """

    first: T
    now: T
    past: tuple[T, ...] = ()
    future: tuple[T, ...] = ()
    kind: str = ""  # of the last step

    @classmethod
    def of(cls, first: T) -> History[T]:
        """A history that begins with this picture."""
        return cls(first, first)

    def then(self, new: T, kind: str = "") -> History[T]:
        """One step further; what was undone is forgotten. Steps of the same kind in a row count as one."""
        if new == self.now:
            return self
        past = self.past if kind and kind == self.kind else (*self.past, self.now)[-LIMIT:]
        return History(self.first, new, past, kind=kind)

    def undone(self) -> History[T]:
        """One step back, if there is one."""
        if not self.past:
            return self
        return History(self.first, self.past[-1], self.past[:-1], (self.now, *self.future))

    def redone(self) -> History[T]:
        """The step back taken back, if there was one."""
        if not self.future:
            return self
        return History(self.first, self.future[0], (*self.past, self.now), self.future[1:])

    def reset(self) -> History[T]:
        """Back to the first picture, as a step that can be undone."""
        return self.then(self.first)
