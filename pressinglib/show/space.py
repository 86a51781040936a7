"""Room for labels: each goes where it covers least of what is already there."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.field.pitch import Pitch
from pressinglib.show.labels import Labels
from pressinglib.show.look import LETTER_WIDTH
from pressinglib.show.marks import XY

EDGE_M = 1.5  # labels may hang over the lines by this much
ROUND = np.array([(1, 1), (1, -1), (-1, 1), (-1, -1), (0, 1), (0, -1), (-1, 0), (1, 0)], float)


def text_half(words: str, height_m: float) -> XY:
    """Half width and half height of a line of type, metres.

    Examples
    --------
    >>> text_half("P", 2.0)
    (0.62, 1.0)
    """
    return LETTER_WIDTH * height_m * len(words) / 2, height_m / 2


def around(xy: XY, reach_m: float, level: bool = False) -> NDArray[np.float64]:
    """Eight places (8, 2) at `reach_m` from a place, best first: the corners, or right and left if `level`.

    Examples
    --------
    >>> around((0, 0), 2.0)[4:6]
    array([[ 0.,  2.],
           [ 0., -2.]])
    """
    ways = ROUND[::-1] if level else ROUND
    return np.asarray(xy, float) + reach_m * ways / np.linalg.norm(ways, axis=1)[:, None]


class Space:
    """The boxes that are taken in one picture; lives only while the picture is drawn.

    Parameters
    ----------
    pitch : Pitch
    boxes : iterable of (x, y, half width, half height)
    labels : Labels, optional
        How lengths are written here.
    """

    def __init__(self, pitch: Pitch, boxes: Iterable[tuple[float, float, float, float]] = (),
                 labels: Labels | None = None) -> None:
        self.labels = labels or Labels()
        self._corner = np.add(pitch.corner_xy, EDGE_M)
        self._boxes = list(boxes)

    def take(self, xy: XY, half: XY) -> None:
        """Mark a box as taken."""
        self._boxes.append((*xy, *half))

    def _lying(self, half: XY) -> XY:
        """Half a box of words along the pitch and across it."""
        return (half[1], half[0]) if self.labels.upright else half

    def place(self, candidates: ArrayLike, half: XY) -> XY:
        """The candidate (K, 2) whose box covers least; the first of equals. It is taken from now on.

        Examples
        --------
        >>> space = Space(Pitch(), [(0, 0, 2, 2)])
        >>> space.place([(1, 0), (9, 0), (9, 1)], (1, 1)), space.place([(9, 0), (9, 9)], (1, 1))
        ((9.0, 0.0), (9.0, 9.0))
        """
        places, half = np.asarray(candidates, float), self._lying(half)
        best = places[int(np.argmin(self._covered(places, half) + self._outside(places, half)))]
        xy = (float(best[0]), float(best[1]))
        self.take(xy, half)
        return xy

    def _covered(self, places: NDArray[np.float64], half: XY) -> NDArray[np.float64]:
        """How much (K,) of what is there each place would cover, square metres."""
        boxes = np.array(self._boxes).reshape(-1, 4)
        overlap = np.add(half, boxes[:, 2:]) - np.abs(places[:, None] - boxes[:, :2])
        return np.asarray(np.minimum(overlap, 2 * np.asarray(half)).clip(0).prod(-1).sum(-1))

    def _outside(self, places: NDArray[np.float64], half: XY) -> NDArray[np.float64]:
        return np.asarray(100 * (np.abs(places) + half - self._corner).clip(0).sum(-1))
