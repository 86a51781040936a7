"""What can be measured on a team from positions: its shape, and who is missing in front.

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

from pressinglib.errors import BadInput, as_array, as_whole
from pressinglib.roles.picture import Floats, norm


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

    Of players (..., N, 2), as a rule without the goalkeeper: `centroid_xy` (..., 2); `length_m` along x and `width_m`
    along y, from first to last player; `hull_m2`, area of the convex hull; `stretch_m`, mean distance to the centroid;
    `spacing_m`, mean distance of all pairs. NaN where nobody is there, `spacing_m` also where one player is alone.
    BadInput if the last axis does not hold x and y.

    Examples
    --------
    >>> square = shape_measures([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> square.length_m, square.hull_m2, square.stretch_m.round(2)
    (np.float64(10.0), np.float64(100.0), np.float64(7.07))
    """
    points = as_array(xy, "players")
    if points.ndim < 2 or points.shape[-1] != 2 or points.shape[-2] == 0:
        raise BadInput("players", expected="points (..., players, 2)", got=f"shape {points.shape}",
                       todo="give x and y of each player on the last axis")
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
