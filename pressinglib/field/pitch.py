"""The pitch of Law 1: its size, its markings, and where things are on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput, as_bool, as_known, as_number, shown

# IFAB Laws of the Game, Law 1 (grade A), metres.
TOUCHLINE_M = (90.0, 120.0)
GOAL_LINE_M = (45.0, 90.0)
PENALTY_AREA_M = 16.5
GOAL_AREA_M = 5.5
PENALTY_MARK_M = 11.0
CIRCLE_M = 9.15
GOAL_WIDTH_M = 7.32
CORNER_ARC_M = 1.0
OUTSIDE_M = 3.0  # how far outside the lines a player may stand (own choice)
YARD_M = 0.9144

# Youth formats: (touchline, goal line) in yards. The FA and US Soccer, second-hand.
YOUTH_YARDS = {"7v7": (60, 40), "9v9": (80, 50), "11v11 U13-14": (90, 55), "9v9 US": (75, 50)}


@dataclass(frozen=True)
class Pitch:
    """A pitch; the pressing team defends the goal at ``x = -length_m / 2``.

    Parameters
    ----------
    length_m, width_m : float
        Touchline and goal line in metres. Law 1: 90-120 by 45-90, touchline longer than goal line.

    BadInput for a size outside Law 1; youth pitches come from `Pitch.youth`.

    >>> Pitch().corner_xy
    (52.5, 34.0)
    >>> Pitch(60, 40)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: pitch size: expected 90-120 m by 45-90 m, longer than wide (Law 1); got 60 x 40 m. \
Use Pitch.youth(...) for a smaller pitch.
    """

    length_m: float = 105.0
    width_m: float = 68.0
    by_law: bool = True

    def __post_init__(self) -> None:
        as_bool(self.by_law, "by_law of the pitch")
        length, width = as_number(self.length_m, "pitch length in m"), as_number(self.width_m, "pitch width in m")
        size = f"{shown(self.length_m)} x {shown(self.width_m)} m"
        (short, long), (narrow, wide) = TOUCHLINE_M, GOAL_LINE_M
        if self.by_law and not (short <= length <= long and narrow <= width <= wide and width < length):
            raise BadInput("pitch size", expected="90-120 m by 45-90 m, longer than wide (Law 1)", got=size,
                           todo="use Pitch.youth(...) for a smaller pitch")
        if not 20 <= width < length <= 120:
            raise BadInput("pitch size", expected="at least 20 m wide, longer than wide, at most 120 m long", got=size,
                           todo="check the numbers")

    @classmethod
    def youth(cls, length_m: float | str, width_m: float | None = None) -> Pitch:
        """A smaller pitch: by size in metres, or by format ("7v7", "9v9", "11v11 U13-14", "9v9 US").

        >>> Pitch.youth("9v9").length_m
        73.152
        >>> Pitch.youth(60, 40).width_m
        40
        """
        if isinstance(length_m, str):
            yards = YOUTH_YARDS[as_known(length_m, YOUTH_YARDS, "youth format", "or give length and width in metres")]
            length_m, width_m = (round(v * YARD_M, 3) for v in yards)
        if width_m is None:
            raise BadInput("youth pitch", expected="length and width in metres", got="length only", todo="give both")
        return cls(length_m, width_m, by_law=False)

    @property
    def corner_xy(self) -> tuple[float, float]:
        """Half length and half width, metres."""
        return self.length_m / 2, self.width_m / 2

    @property
    def own_goal_xy(self) -> tuple[float, float]:
        """Centre of the goal that the pressing team defends."""
        return -self.length_m / 2, 0.0

    def holds(self, xy: ArrayLike, outside_m: float = 0.0) -> NDArray[np.bool_]:
        """Whether points (..., 2) are finite and on the pitch, or at most `outside_m` off it."""
        reach = np.abs(np.asarray(xy, float)) <= np.add(self.corner_xy, outside_m + 1e-9)
        return np.asarray(reach.all(axis=-1))

    def inside(self, xy: ArrayLike, margin_m: float = 0.0) -> NDArray[np.float64]:
        """Points (..., 2) moved to the nearest place on the pitch, `margin_m` inside the lines."""
        corner = np.subtract(self.corner_xy, margin_m)
        return np.clip(np.asarray(xy, float), -corner, corner)


def third(pitch: Pitch, x: ArrayLike) -> NDArray[np.int_]:
    """0 own third, 1 middle, 2 attacking third, as the pressing team sees it; x in metres, any shape."""
    return np.clip(np.floor(np.asarray(x, float) / (pitch.length_m / 3) + 1.5), 0, 2).astype(int)


def corridor(pitch: Pitch, y: ArrayLike) -> NDArray[np.int_]:
    """0 right wing, 1 right half-space, 2 centre, 3 left half-space, 4 left wing; y in metres, any shape.

    The wings lie outside the penalty area's sides; centre and half-spaces share the rest by the goal area's sides
    (common practice, no single source).
    """
    box = GOAL_WIDTH_M / 2 + PENALTY_AREA_M
    goal_area = GOAL_WIDTH_M / 2 + GOAL_AREA_M
    return np.searchsorted([-box, -goal_area, goal_area, box], np.asarray(y, float))
