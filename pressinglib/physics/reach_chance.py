"""The chance that an opponent gets to a player in time: a published measure, kept for comparison only.

Bekkers 2024, arXiv 2501.04712 (grade B, a preprint; not validated; its term for turning multiplies a speed by a share
of a half turn, which is no time). The library's own pressure is `total_pressure`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib.physics.control import interception_probability
from pressinglib.physics.named import named
from pressinglib.physics.parameters import above_zero, not_negative


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
