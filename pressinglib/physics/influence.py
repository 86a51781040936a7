"""Influence of players on places: bell-shaped hills that lean with their speed.

Fernandez and Bornn 2018, Wide Open Spaces, MIT Sloan Sports Analytics Conference (grade A; the radius by distance to
the ball is drawn there as a curve, and quoted here from memory).
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

TOP_SPEED_MPS = 13.0
LOOK_AHEAD_S = 0.5
NEAR_M, FAR_M, FAR_FROM_M = 4.0, 10.0, 18.0


def influence_radius(ball_distance_m: ArrayLike) -> Any:
    """Radius of a player's influence: 4 m beside the ball, 10 m from 18 m on, with the cube of the distance between.

    Examples
    --------
    >>> influence_radius([0, 9, 18, 40])
    array([ 4.  ,  4.75, 10.  , 10.  ])
    """
    share = np.minimum(np.asarray(ball_distance_m, dtype=float) / FAR_FROM_M, 1.0)
    return NEAR_M + (FAR_M - NEAR_M) * share**3


def influence(xy: ArrayLike, velocity: ArrayLike, ball_xy: ArrayLike, places_xy: ArrayLike) -> Any:
    """Influence of each player on each place.

    Parameters
    ----------
    xy, velocity : array_like, shape (..., N, 2)
        The players.
    ball_xy : array_like, shape (..., 2)
        The ball.
    places_xy : array_like, shape (..., P, 2)
        The places.

    Returns
    -------
    ndarray, shape (..., P, N)
        0 to 1; 1 half a second ahead of the player. 0 for absent players.

    Notes
    -----
    A normal density over its peak. Its deviation along the run is half the radius times (1 + s), across it half the
    radius times (1 - s), s the square of (speed / 13 m/s).

    Examples
    --------
    >>> influence([(0, 0)], [(4, 0)], (0, 0), [(2, 0), (-2, 0), (2, 4)]).round(3)
    array([[1.   ],
           [0.188],
           [0.087]])
    >>> influence([(float("nan"), 0)], [(0, 0)], (0, 0), [(2, 0)])
    array([[0.]])
    """
    players, pace, ball = (np.asarray(points, dtype=float) for points in (xy, velocity, ball_xy))
    off = np.asarray(places_xy, dtype=float)[..., :, None, :] - (players + LOOK_AHEAD_S * pace)[..., None, :, :]
    speed = np.hypot(pace[..., 0], pace[..., 1])
    unit = np.where((speed == 0.0)[..., None], (1.0, 0.0), pace / np.where(speed == 0.0, 1.0, speed)[..., None])
    lean = np.minimum(speed / TOP_SPEED_MPS, 0.999) ** 2
    from_ball = players - ball[..., None, :]
    radius = influence_radius(np.hypot(from_ball[..., 0], from_ball[..., 1])) / 2.0
    ux, uy = unit[..., None, :, 0], unit[..., None, :, 1]
    along = (ux * off[..., 0] + uy * off[..., 1]) / (radius * (1.0 + lean))[..., None, :]
    aside = (ux * off[..., 1] - uy * off[..., 0]) / (radius * (1.0 - lean))[..., None, :]
    return np.nan_to_num(np.exp(-0.5 * (along * along + aside * aside)))


def influence_share(own: ArrayLike, other: ArrayLike) -> Any:
    """Share of a team in a place: the logistic of the difference of summed influences.

    Parameters
    ----------
    own, other : array_like, shape (..., N) and (..., M)
        `influence` of both teams.

    Returns
    -------
    ndarray, shape (...)
        0 to 1; one half where both are as strong, or nobody is near.

    Examples
    --------
    >>> influence_share([[1.0], [1.0]], [[0.0], [1.0]]).round(6)
    array([0.731059, 0.5     ])
    >>> influence_share([], [])
    np.float64(0.5)
    """
    lead = np.asarray(own, dtype=float).sum(axis=-1) - np.asarray(other, dtype=float).sum(axis=-1)
    return 0.5 + 0.5 * np.tanh(lead / 2.0)
