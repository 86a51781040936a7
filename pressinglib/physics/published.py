"""Passing lanes as plain shapes: corridor, cone, coverage. They know places only, neither speed nor time.

For comparison and for teaching beside `lane_margins`; on real passes they tell much less than a race against the ball
(Cascioli, Wang et al. 2025: 53 to 57 % balanced accuracy against 67 to 68 %). All take the place of the ball, receivers
(..., R, 2) and defenders (..., N, 2), and give (..., R, N); NaN stands for absent players.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.physics.lanes import seen_along
from pressinglib.physics.motion import above_zero, named, no_negative_distance, not_negative
from pressinglib.physics.pitch_control import interception_probability

# -- The chance that an opponent gets to a player in time: a published measure, kept for comparison only.
# Bekkers 2024, arXiv 2501.04712 (grade B, a preprint; not validated; its term for turning multiplies a speed by a share
# of a half turn, which is no time). The library's own pressure is `total_pressure`.


def time_to_reach(
    xy: ArrayLike,
    velocity: ArrayLike,
    target_xy: ArrayLike,
    target_velocity: ArrayLike = (0.0, 0.0),
    reaction_s: float = 0.7,
    top_speed_mps: float = 12.0,
) -> Any:
    """Time of that measure: turn, react, run at top speed to where the target is after a second.

    Parameters
    ----------
    xy, velocity : array_like, shape (..., 2)
        Of the player who presses.
    target_xy, target_velocity : array_like, shape (..., 2)
        Of the player he goes to.
    reaction_s, top_speed_mps : float
        Parameters of the measure.

    Returns
    -------
    ndarray, shape (...)
        Seconds.

    Notes
    -----
    |v1| phi / pi + t + |p2 + v2 - (p1 + v1 t)| / v, phi the angle between v1 and p2 + v2 - p1, t the reaction.

    Examples
    --------
    >>> time_to_reach((0, 0), [(0, 0), (5, 0)], [(5, 0), (10, 0)]).round(5)
    array([1.11667, 1.24167])
    >>> time_to_reach((0, 0), (0, 0), (0, 0))
    np.float64(0.7)
    """
    not_negative(reaction_s=reaction_s)
    above_zero(top_speed_mps=top_speed_mps)
    start, pace = np.asarray(xy, dtype=float), np.asarray(velocity, dtype=float)
    meeting = np.asarray(target_xy, dtype=float) + np.asarray(target_velocity, dtype=float)
    way, run = meeting - start, meeting - start - pace * reaction_s
    cross = pace[..., 0] * way[..., 1] - pace[..., 1] * way[..., 0]
    turn = np.abs(np.arctan2(cross, (pace * way).sum(axis=-1))) / np.pi
    time = np.hypot(pace[..., 0], pace[..., 1]) * turn + reaction_s + np.hypot(run[..., 0], run[..., 1]) / top_speed_mps
    return named(time, f"turn, react, run (Bekkers 2024), {reaction_s:g} s, {top_speed_mps:g} m/s")


def chance_to_reach(
    xy: ArrayLike,
    velocity: ArrayLike,
    target_xy: ArrayLike,
    target_velocity: ArrayLike = (0.0, 0.0),
    within_s: float = 1.5,
    sigma_s: float = 0.45,
    reaction_s: float = 0.7,
    top_speed_mps: float = 12.0,
) -> Any:
    """Chance that a player reaches another in time.

    Parameters
    ----------
    xy, velocity, target_xy, target_velocity, reaction_s, top_speed_mps
        As in `time_to_reach`.
    within_s, sigma_s : float
        In time means by then; the spread of the logistic law.

    Returns
    -------
    ndarray, shape (...)
        0 to 1. For several players together see `joint_chance`.

    Examples
    --------
    >>> chance_to_reach((0, 0), [(0, 0), (5, 0)], [(5, 0), (10, 0)]).round(4)
    array([0.8242, 0.7391])
    >>> chance_to_reach((0, 0), (0, 0), (9.6, 0)).round(4)
    np.float64(0.5)
    """
    time = time_to_reach(xy, velocity, target_xy, target_velocity, reaction_s, top_speed_mps)
    return named(interception_probability(within_s, time, sigma_s), time.model)


def joint_chance(chance: ArrayLike) -> Any:
    """Chance that at least one of several succeeds: 1 - product of (1 - chance) over the last axis; NaN is nobody.

    Examples
    --------
    >>> joint_chance([0.5, 0.5])
    np.float64(0.75)
    >>> joint_chance([0.5, float("nan")])
    np.float64(0.5)
    """
    return 1.0 - np.nanprod(1.0 - np.asarray(chance, dtype=float), axis=-1)


# -- Influence of players on places: bell-shaped hills that lean with their speed.
# Fernandez and Bornn 2018, Wide Open Spaces, MIT Sloan Sports Analytics Conference (grade A; the radius by distance to
# the ball is drawn there as a curve, and quoted here from memory).


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


# -- Passing lanes as plain shapes: corridor, cone, coverage. They know places only, neither speed nor time.
# For comparison and for teaching beside `lane_margins`; on real passes they tell much less than a race against the ball
# (Cascioli, Wang et al. 2025: 53 to 57 % balanced accuracy against 67 to 68 %). All take the place of the ball,
# receivers (..., R, 2) and defenders (..., N, 2), and give (..., R, N); NaN stands for absent players.


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
