"""What can be measured on a team from positions: its shape, its lines, who is near the ball, who is missing in front.

Points are arrays (..., N, 2) with any number of frames in front; NaN stands for absent players. Means and extents of a
whole team hardly differ between good and bad defending; those of the five nearest to the ball do, a little (Forcher et
al. 2024, 10.1177/17479541231172695, d = -0.08 to -0.16). None of these numbers is a mark.
"""

from __future__ import annotations

import warnings
from typing import Any, NamedTuple

import numpy as np
import shapely
from numpy.typing import ArrayLike

from pressinglib.errors import BadInput, as_array, as_whole, shown
from pressinglib.roles.picture import Floats, Ints, norm

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
        If the last axis does not hold x and y; so do the other measures.

    Examples
    --------
    >>> square = shape_measures([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> square.length_m, square.hull_m2, square.stretch_m.round(2)
    (np.float64(10.0), np.float64(100.0), np.float64(7.07))
    """
    points = points_of(xy)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # of means over nobody: their NaN is the answer
        centroid = np.nanmean(points, axis=-2)
        extent = np.nanmax(points, axis=-2) - np.nanmin(points, axis=-2)
        stretch = np.nanmean(norm(points - centroid[..., None, :]), axis=-1)
        i, j = np.triu_indices(points.shape[-2], 1)
        spacing = np.nanmean(norm(points[..., i, :] - points[..., j, :]), axis=-1)
    return ShapeMeasures(centroid, extent[..., 0][()], extent[..., 1][()], _hull_m2(points), stretch, spacing)


def _hull_m2(xy: Floats) -> Any:
    """Areas by shapely; an absent player is put on one who is there, which changes no hull."""
    here = np.asarray(np.isfinite(xy[..., 0]))
    first = np.take_along_axis(xy, here.argmax(-1)[..., None, None], axis=-2)
    area = shapely.area(shapely.convex_hull(shapely.multipoints(np.nan_to_num(np.where(here[..., None], xy, first)))))
    return np.where(here.any(-1), area, np.nan)[()]


def line_gaps(xy: ArrayLike, line: ArrayLike) -> Floats:
    """Depth, metres, between neighbouring lines, from mean x to mean x, from the own goal up; (..., lines - 1).

    Of players (..., N, 2) and the line each belongs to (N,), counted up from the own goal; below 0 is left out.

    Examples
    --------
    >>> line_gaps([(-30, -5), (-30, 5), (-20, 0), (-7, 0)], [0, 0, 1, 2])
    array([10., 13.])
    """
    points, lines = points_of(xy), as_array(line, "lines", int)
    if lines.shape != points.shape[-2:-1] or not (lines >= 0).any():
        raise BadInput("lines", expected=f"a number for each of {points.shape[-2]} players, of some at least 0",
                       got=shown(line), todo="give the line of each player")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)
        depths = [np.nanmean(points[..., lines == one, 0], axis=-1) for one in np.unique(lines[lines >= 0])]
    return np.diff(np.stack(depths, axis=-1), axis=-1)


def near_ball(xy: ArrayLike, ball_xy: ArrayLike, count: int = NEAR_BALL) -> Ints:
    """Index (..., count) of the players nearest to the ball (..., 2), the nearest first.

    Five are usual (Forcher et al. 2024, grade A); BadInput if there are not that many players.

    Examples
    --------
    >>> near_ball([(0, 0), (9, 0), (3, 0)], (10, 0), count=2)
    array([1, 2])
    """
    points, ball = points_of(xy), as_array(ball_xy, "ball")
    if not ball.shape or ball.shape[-1] != 2 or ball.shape[:-1] not in ((), points.shape[:-2]):
        raise BadInput("ball", expected=f"x and y for each of {points.shape[:-2]} pictures", got=f"shape {ball.shape}",
                       todo="give x and y on the last axis")
    count = as_whole(count, "number of players near the ball", 1, points.shape[-2])
    # NaN sorts last, so absent players come only where there are too few others.
    return np.argsort(norm(points - ball[..., None, :]), axis=-1, kind="stable")[..., :count]


def short_in_front(spare: int = 1, own: int = 10, opponents: int = 11) -> int:
    """Press arithmetic: how many men a press is short in front when it keeps `spare` more than them at the back.

    `own` are outfield players, `opponents` all of them: their goalkeeper takes part in the build-up. What is missing,
    shadows, touchline and slow passes must do.

    Examples
    --------
    >>> short_in_front(), short_in_front(spare=0), short_in_front(own=9)
    (2, 1, 3)
    """
    return as_whole(opponents, "opponents") - as_whole(own, "own") + as_whole(spare, "spare men", -11)


def points_of(xy: ArrayLike) -> Floats:
    """The array (..., players, 2), or BadInput."""
    points = as_array(xy, "players")
    if points.ndim < 2 or points.shape[-1] != 2 or points.shape[-2] == 0:
        raise BadInput("players", expected="points (..., players, 2)", got=f"shape {points.shape}",
                       todo="give x and y of each player on the last axis")
    return points
