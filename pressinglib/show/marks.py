"""Marks: what a picture is made of. Places in metres, names of styles instead of colours; no mark knows a view."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

XY = tuple[float, float]
Points = tuple[XY, ...]


def as_points(values: Iterable[Any]) -> Points:
    """Rows of two numbers as plain tuples.

    Examples
    --------
    >>> as_points([[1, 2], (3, 4)])
    ((1.0, 2.0), (3.0, 4.0))
    >>> as_points([])
    ()
    """
    return tuple((float(x), float(y)) for x, y in values)


def _written(xy: XY) -> str:
    # + 0.0 turns -0.0 into 0.0: a sign that nobody sees must not change a picture's text.
    return "{:.1f},{:.1f}".format(*(round(v, 1) + 0.0 for v in xy))


@dataclass(frozen=True)
class Mark:
    """One thing to draw: the layer it belongs to and the name of its style."""

    layer: str
    style: str

    def text(self) -> str:
        """One line of stable text, places to 0.1 m."""
        return " ".join([f"{self.layer}: {type(self).__name__.lower()} {self.style}", *self._said(), *self._places()])

    def _said(self) -> list[str]:
        return []

    def _places(self) -> list[str]:
        return []


@dataclass(frozen=True)
class Line(Mark):
    """A line through `points`."""

    points: Points

    def _places(self) -> list[str]:
        return [_written(xy) for xy in self.points]


@dataclass(frozen=True)
class Arrow(Line):
    """A line with a head at its last point."""


@dataclass(frozen=True)
class Area(Line):
    """A filled shape with these corners."""


@dataclass(frozen=True)
class Spot(Mark):
    """A place to stand, in the outline form of a role (the style)."""

    xy: XY

    def _places(self) -> list[str]:
        return [_written(self.xy)]


@dataclass(frozen=True)
class Label(Spot):
    """A few words, centred on `xy`."""

    words: str

    def _said(self) -> list[str]:
        return [repr(self.words)]


@dataclass(frozen=True)
class Token(Label):
    """A player, or the ball: style "pressing", "possession" or "ball"; `words` is what stands on the shirt."""

    number: str = ""
