"""What can be measured on a team from positions: its shape, its lines, who is near the ball; who outnumbers whom.

Points are arrays (..., N, 2) with any number of frames in front; NaN stands for absent players. Means and extents of a
whole team hardly differ between good and bad defending; those of the five nearest to the ball do, a little (Forcher et
al. 2024, 10.1177/17479541231172695, d = -0.08 to -0.16). None of these numbers is a mark.
"""

from __future__ import annotations

import warnings
from typing import Any, NamedTuple

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput
from pressinglib.roles.shape import area_surplus, points_of, short_in_front, side_surplus, to_m

__all__ = ["ShapeMeasures", "area_surplus", "line_gaps", "near_ball", "near_ball_xy", "passes_per_defensive_action",
           "shape_measures", "short_in_front", "side_surplus"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]

NEAR_BALL = 5


class ShapeMeasures(NamedTuple):
    """Shape of a team; all but the centroid (..., 2) have shape (...)."""

    centroid_xy: Any
    length_m: Any
    width_m: Any
    hull_m2: Any
    stretch_m: Any
    spacing_m: Any


def shape_measures(xy: ArrayLike) -> ShapeMeasures:
    """Where a team is, how long and wide, how much room it spans, how far apart its players are.

    Parameters
    ----------
    xy : array_like, shape (..., N, 2)
        The players, as a rule without the goalkeeper.

    Returns
    -------
    ShapeMeasures
        `centroid_xy` (..., 2); `length_m` along x and `width_m` along y, from first to last player; `hull_m2`, area of
        the convex hull; `stretch_m`, mean distance to the centroid; `spacing_m`, mean distance of all pairs. NaN where
        nobody is there, `spacing_m` also where one player is alone.

    Raises
    ------
    BadInput
        If the last axis does not hold x and y.

    Examples
    --------
    >>> square = shape_measures([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> square.length_m, square.hull_m2, square.stretch_m.round(2)
    (np.float64(10.0), np.float64(100.0), np.float64(7.07))
    >>> shape_measures([(3, 4)]).hull_m2
    np.float64(0.0)
    """
    xy = points_of(xy)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # of means over nobody: their NaN is the answer
        centroid = np.nanmean(xy, axis=-2)
        extent = np.nanmax(xy, axis=-2) - np.nanmin(xy, axis=-2)
        stretch = np.nanmean(to_m(xy - centroid[..., None, :]), axis=-1)
        i, j = np.triu_indices(xy.shape[-2], 1)
        spacing = np.nanmean(to_m(xy[..., i, :] - xy[..., j, :]), axis=-1)
    return ShapeMeasures(centroid, extent[..., 0][()], extent[..., 1][()], _hull_m2(xy), stretch, spacing)


def _hull_m2(xy: Floats) -> Any:
    """Areas by shapely; an absent player is put on one who is there, which changes no hull."""
    here = np.asarray(np.isfinite(xy[..., 0]))
    first = np.take_along_axis(xy, here.argmax(-1)[..., None, None], axis=-2)
    area = shapely.area(shapely.convex_hull(shapely.multipoints(np.nan_to_num(np.where(here[..., None], xy, first)))))
    return np.where(here.any(-1), area, np.nan)[()]


def line_gaps(xy: ArrayLike, line: ArrayLike) -> Floats:
    """Depth between neighbouring lines: from the mean x of one to the mean x of the next.

    Parameters
    ----------
    xy : array_like, shape (..., N, 2)
        The players.
    line : array_like of int, shape (N,)
        Which line each belongs to, counted up from the own goal; players below 0 are left out.

    Returns
    -------
    ndarray, shape (..., lines - 1)
        Metres, from the own goal up.

    Examples
    --------
    >>> line_gaps([(-30, -5), (-30, 5), (-20, 0), (-7, 0)], [0, 0, 1, 2])
    array([10., 13.])
    >>> line_gaps([(-30, -5), (-30, 5)], [0, 0])
    array([], dtype=float64)
    """
    xy, line = points_of(xy), np.asarray(line)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)
        depths = [np.nanmean(xy[..., line == one, 0], axis=-1) for one in np.unique(line[line >= 0])]
    return np.diff(np.stack(depths, axis=-1), axis=-1)


def near_ball(xy: ArrayLike, ball_xy: ArrayLike, count: int = NEAR_BALL) -> Ints:
    """The players nearest to the ball, the nearest first.

    Parameters
    ----------
    xy : array_like, shape (..., N, 2)
        The players.
    ball_xy : array_like, shape (..., 2)
        The ball.
    count : int
        How many; 5 are usual (Forcher et al. 2024, grade A).

    Returns
    -------
    ndarray of int, shape (..., count)
        Index of each; their shape is `shape_measures(near_ball_xy(...))`.

    Raises
    ------
    BadInput
        If there are not that many players.

    Examples
    --------
    >>> near_ball([(0, 0), (9, 0), (3, 0)], (10, 0), count=2)
    array([1, 2])
    >>> near_ball([(0, 0)], (10, 0))
    Traceback (most recent call last):
    pressinglib.errors.BadInput: near the ball: expected 1 to 1 players; got 5. Ask for fewer.
    """
    off = points_of(xy) - np.asarray(ball_xy, dtype=float)[..., None, :]
    if not 1 <= count <= off.shape[-2]:
        raise BadInput("near the ball", expected=f"1 to {off.shape[-2]} players", got=repr(count), todo="ask for fewer")
    # NaN sorts last, so absent players come only where there are too few others.
    return np.argsort(to_m(off), axis=-1, kind="stable")[..., :count]


def near_ball_xy(xy: ArrayLike, ball_xy: ArrayLike, count: int = NEAR_BALL) -> Floats:
    """Places (..., count, 2) of the players nearest to the ball.

    Examples
    --------
    >>> near_ball_xy([(0, 0), (9, 0), (3, 0)], (10, 0), count=2)
    array([[9., 0.],
           [3., 0.]])
    """
    return np.take_along_axis(points_of(xy), near_ball(xy, ball_xy, count)[..., None], axis=-2)


def passes_per_defensive_action(
    passes: float, tackles: float, interceptions: float, challenges: float, fouls: float
) -> float:
    """PPDA: opponents' passes for each defensive action; the lower, the more a team presses.

    Parameters
    ----------
    passes : float
        Opponents' passes in their own 60 % of the pitch, where the actions are counted too (common practice).
    tackles, interceptions, challenges, fouls : float
        Own actions there.

    Returns
    -------
    float
        Infinite where there was no action.

    Examples
    --------
    >>> passes_per_defensive_action(207, 10, 16, 11, 3)
    5.175
    >>> passes_per_defensive_action(20, 0, 0, 0, 0)
    inf
    """
    if min(passes, tackles, interceptions, challenges, fouls) < 0:
        raise BadInput("counts", expected="numbers of at least 0", got="a number below 0", todo="check the counts")
    actions = tackles + interceptions + challenges + fouls
    return passes / actions if actions else float("inf")
