"""What a person has drawn on a picture: arrows, zones, notes and rulers of one's own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from pressinglib.errors import BadInput, as_known, as_number, as_xy, shown

XY = tuple[float, float]
CORNERS = {"arrow": (2, 50), "zone": (3, 50), "note": (1, 1), "ruler": (2, 2)}  # kind: fewest and most points
KINDS = tuple(CORNERS)
WORDS_LENGTH = 80
FURTHEST_M = 100.0


@dataclass(frozen=True)
class OwnMark:
    """An arrow, a zone, a note or a ruler (a line that shows its length).

    Parameters
    ----------
    kind : "arrow", "zone", "note" or "ruler"
    points : iterable of (x, y)
        Metres: the way of an arrow, the corners of a zone, the place of a note, the two ends of a ruler.
    words : str
        What stands beside it, at most 80 characters; a note needs some.

    Raises
    ------
    UnknownName, BadInput

    Examples
    --------
    >>> OwnMark("arrow", [(0, 0), (10, 5)], "run here").mirrored().points
    ((0.0, 0.0), (10.0, -5.0))
    >>> OwnMark("note", [(0, 0)])
    Traceback (most recent call last):
    pressinglib.errors.BadInput: words of a note: expected 1-80 printable characters; got ''. Write a few words.
    """

    kind: str
    points: tuple[XY, ...]
    words: str = ""

    def __post_init__(self) -> None:
        as_known(self.kind, KINDS, "kind of mark")
        fewest, most = CORNERS[self.kind]
        points = tuple(self.points) if isinstance(self.points, Iterable) else ()
        if not fewest <= len(points) <= most:
            raise BadInput(f"points of the {self.kind}", expected=f"{fewest}-{most} of them", got=str(len(points)),
                           todo="give places (x, y) in metres")
        object.__setattr__(self, "points", tuple(_near(xy, self.kind) for xy in points))
        self._check_words()

    def _check_words(self) -> None:
        least = 1 if self.kind == "note" else 0
        words = self.words
        if not isinstance(words, str) or not least <= len(words) <= WORDS_LENGTH or not words.isprintable():
            raise BadInput(f"words of a {self.kind}", expected=f"{least}-{WORDS_LENGTH} printable characters",
                           got=shown(words)[:40], todo="write a few words")

    def mirrored(self) -> OwnMark:
        """Left and right swapped."""
        return replace(self, points=tuple((x, -y) for x, y in self.points))

    def to_dict(self) -> dict[str, Any]:
        """Plain values for a file."""
        return {"kind": self.kind, "points": [list(xy) for xy in self.points], "words": self.words}


def _near(xy: Any, kind: str) -> XY:
    x, y = (as_number(v, f"point of the {kind}", low=-FURTHEST_M, high=FURTHEST_M)
            for v in as_xy(xy, f"point of the {kind}"))
    return x, y
