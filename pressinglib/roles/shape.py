"""Who outnumbers whom: by side of the ball, by area of the pitch, in front and at the back."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch, corridor, third
from pressinglib.physics.motion import above_zero

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]


def side_surplus(own_xy: ArrayLike, other_xy: ArrayLike, ball_xy: ArrayLike, radius_m: float = 25.0) -> tuple[Any, Any]:
    """Own players minus opponents near the ball, on its left (greater y) and on its right.

    Parameters
    ----------
    own_xy, other_xy : array_like, shape (..., N, 2) and (..., M, 2)
        Whoever is to be counted: as a rule without goalkeepers, presser and carrier.
    ball_xy : array_like, shape (..., 2)
        The ball; who is level with it counts on neither side.
    radius_m : float
        How far off is near (grade D).

    Returns
    -------
    left, right : ndarray of int, shape (...)

    Examples
    --------
    >>> side_surplus([(0, 5), (0, 9), (0, -5)], [(2, 4), (2, -8)], (0, 0))
    (np.int64(1), np.int64(0))
    >>> side_surplus([(0, 5), (0, 9)], [(2, 4)], (0, 0), radius_m=6.0)
    (np.int64(0), np.int64(0))
    """
    above_zero(radius_m=radius_m)
    counts = []
    for xy in (own_xy, other_xy):
        off = points_of(xy) - np.asarray(ball_xy, dtype=float)[..., None, :]
        near = to_m(off) <= radius_m
        counts.append([(near & (sign * off[..., 1] > 0.0)).sum(-1) for sign in (1.0, -1.0)])
    return counts[0][0] - counts[1][0], counts[0][1] - counts[1][1]


def area_surplus(own_xy: ArrayLike, other_xy: ArrayLike, pitch: Pitch | None = None) -> Ints:
    """Own players minus opponents in each third and corridor of the pitch.

    Parameters
    ----------
    own_xy, other_xy : array_like, shape (..., N, 2) and (..., M, 2)
        Whoever is to be counted.
    pitch : Pitch, optional
        105 by 68 m if left out.

    Returns
    -------
    ndarray of int, shape (..., 3, 5)
        Thirds from the own goal up; corridors from the right wing to the left.

    Examples
    --------
    >>> area_surplus([(-40, 0), (0, 30)], [(1, 30), (2, 30)])
    array([[ 0,  0,  1,  0,  0],
           [ 0,  0,  0,  0, -1],
           [ 0,  0,  0,  0,  0]])
    """
    pitch = pitch or Pitch()
    return _by_area(points_of(own_xy), pitch) - _by_area(points_of(other_xy), pitch)


def _by_area(xy: Floats, pitch: Pitch) -> Ints:
    here = np.asarray(np.isfinite(xy[..., 0]))
    known = np.where(here[..., None], xy, 0.0)
    cell = np.where(here, 5 * third(pitch, known[..., 0]) + corridor(pitch, known[..., 1]), -1)
    counts: Ints = (cell[..., None] == np.arange(15)).sum(-2)
    return counts.reshape(*counts.shape[:-1], 3, 5)


def short_in_front(spare: int = 1, own: int = 10, opponents: int = 11) -> int:
    """Press arithmetic: how many men a press is short in front when it keeps some to spare at the back.

    Parameters
    ----------
    spare : int
        How many more defenders than attackers are kept at the back; below zero: fewer.
    own, opponents : int
        Outfield players of the pressing team; all opponents, with the goalkeeper, who takes part in the build-up.

    Returns
    -------
    int
        With 11 a side 1 + spare: the goalkeeper is one. What is missing, shadows, touchline and slow passes must do.

    Examples
    --------
    >>> short_in_front(), short_in_front(spare=0), short_in_front(own=9)
    (2, 1, 3)
    """
    return opponents - own + spare


def points_of(xy: ArrayLike) -> Floats:
    """The array (..., players, 2), or BadInput."""
    points = np.asarray(xy, dtype=float)
    if points.ndim < 2 or points.shape[-1] != 2 or points.shape[-2] == 0:
        raise BadInput("players", expected="points (..., players, 2)", got=f"shape {points.shape}",
                       todo="give x and y of each player on the last axis")
    return points


def to_m(vectors: Floats) -> Floats:
    """Lengths (...) of vectors (..., 2)."""
    return np.hypot(vectors[..., 0], vectors[..., 1])
