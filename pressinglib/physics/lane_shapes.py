"""Passing lanes as plain shapes: corridor, cone, coverage. They know places only, neither speed nor time.

For comparison and for teaching beside `lane_margins`; on real passes they tell much less than a race against the ball
(Cascioli, Wang et al. 2025: 53 to 57 % balanced accuracy against 67 to 68 %). All take the place of the ball, receivers
(..., R, 2) and defenders (..., N, 2), and give (..., R, N); NaN stands for absent players.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.physics.lane_frame import seen_along
from pressinglib.physics.parameters import above_zero, no_negative_distance

Bools = NDArray[np.bool_]

CONE_HALF_ANGLE_DEG = float(np.degrees(np.arctan(0.1)))


def in_corridor(
    origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike, width_m: float = 2.0
) -> Bools:
    """Whether a defender stands in the strip between passer and receiver.

    Parameters
    ----------
    origin_xy, receiver_xy, defender_xy : array_like
        (..., 2), (..., R, 2), (..., N, 2).
    width_m : float
        Of the whole strip: 2 m (Cascioli, Wang, Stradiotti, Van Roy, Robberechts, Wouters, Jaspers, Davis 2025,
        Quantifying Off-Ball Defensive Impact through Cover Shadows, KU Leuven and RBFA; grade A).

    Returns
    -------
    ndarray of bool, shape (..., R, N)

    Examples
    --------
    >>> in_corridor((0, 0), [(20, 0)], [(10, 0.9), (10, 1.1), (-1, 0), (21, 0)])
    array([[ True, False, False, False]])
    >>> in_corridor((0, 0), [(20, 0)], [(float("nan"), 0)])
    array([[False]])
    """
    above_zero(width_m=width_m)
    _, length, along, aside = seen_along(origin_xy, receiver_xy, defender_xy)
    return (np.abs(aside) <= width_m / 2.0) & (along >= 0.0) & (along <= length[..., None])


def in_cone(
    origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike, half_angle_deg: float = CONE_HALF_ANGLE_DEG
) -> Bools:
    """Whether a defender stands in the cone that opens from the passer and ends at the receiver.

    Parameters
    ----------
    origin_xy, receiver_xy, defender_xy : array_like
        (..., 2), (..., R, 2), (..., N, 2).
    half_angle_deg : float
        5.7106 degrees: a cone that is 0.2 m wide for each metre from the passer (grade A, the same source as
        `in_corridor`).

    Returns
    -------
    ndarray of bool, shape (..., R, N)

    Examples
    --------
    >>> in_cone((0, 0), [(20, 0)], [(10, 0.9), (10, 1.1), (15, 1.4), (-1, 0), (21, 0)])
    array([[ True, False,  True, False, False]])
    >>> in_cone((0, 0), [(20, 0)], [(float("nan"), 0)])
    array([[False]])
    """
    above_zero(half_angle_deg=half_angle_deg)
    _, length, along, aside = seen_along(origin_xy, receiver_xy, defender_xy)
    bearing = np.degrees(np.abs(np.arctan2(aside, along)))
    return (bearing <= half_angle_deg) & (along >= 0.0) & (along <= length[..., None])


def pass_coverage(distance_m: ArrayLike, offset_m: ArrayLike) -> Any:
    """How much a defender covers a passing lane, in percent.

    Parameters
    ----------
    distance_m : array_like
        How far along the lane he stands, from the passer to the foot of his perpendicular on the lane.
    offset_m : array_like
        How far he stands off the lane.

    Returns
    -------
    ndarray
        0 to 100: 100 (1 - offset / (distance / 2))^1.75, 0 from half the distance on; 100 on the passer himself.

    Notes
    -----
    Forcher et al. 2026, J Quant Anal Sports, 10.1515/jqas-2025-0053 (grade A).

    Examples
    --------
    >>> pass_coverage(10, [1.0, 2.5, 5.0]).round(4)
    array([67.6718, 29.7302,  0.    ])
    >>> pass_coverage(0.0, 0.0)
    np.float64(100.0)
    """
    no_negative_distance(distance_m=distance_m, offset_m=offset_m)
    half, offset = np.asarray(distance_m, dtype=float) / 2.0, np.asarray(offset_m, dtype=float)
    share = np.where(offset == 0.0, 0.0 * half, offset / np.maximum(half, 1e-300))
    return (100.0 * np.maximum(1.0 - share, 0.0) ** 1.75)[()]


def lane_coverage(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike) -> Any:
    """`pass_coverage` of every lane by every defender; 0 for who is behind the passer or beyond the receiver.

    Parameters
    ----------
    origin_xy, receiver_xy, defender_xy : array_like
        (..., 2), (..., R, 2), (..., N, 2).

    Returns
    -------
    ndarray, shape (..., R, N)
        Percent; 0 for absent defenders, NaN for absent receivers.

    Examples
    --------
    >>> lane_coverage((0, 0), [(20, 0)], [(10, 1), (-1, 0), (21, 0)]).round(2)
    array([[67.67,  0.  ,  0.  ]])
    >>> lane_coverage((0, 0), [(float("nan"), 0)], [(10, 1)])
    array([[nan]])
    """
    _, length, along, aside = seen_along(origin_xy, receiver_xy, defender_xy)
    beside = (along >= 0.0) & (along <= length[..., None])
    cover = pass_coverage(np.maximum(along, 0.0), np.abs(aside))
    return np.where(np.isnan(length)[..., None], np.nan, np.where(beside, cover, 0.0))


def reception_index(pressure_percent: ArrayLike, coverage_percent: ArrayLike) -> Any:
    """How free a receiver is, in percent: 100 less half the pressure on him and half the coverage of his lane.

    Parameters
    ----------
    pressure_percent, coverage_percent : array_like
        Such as `total_oval` at the receiver and `lane_coverage`.

    Returns
    -------
    ndarray
        100 - (pressure / 2 + coverage / 2), as published (Forcher et al. 2026, grade A; called xPR there). Below 0
        where several press him: an index, not a frequency.

    Examples
    --------
    >>> reception_index([0, 50], [0, 30])
    array([100.,  60.])
    >>> reception_index(150, 100)
    np.float64(-25.0)
    """
    pressure, coverage = np.asarray(pressure_percent, dtype=float), np.asarray(coverage_percent, dtype=float)
    return 100.0 - (pressure / 2.0 + coverage / 2.0)
