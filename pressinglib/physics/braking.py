"""What stopping costs: the speed a player arrives with, the way and the time to take it off."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.physics.motion import above_zero, arrival_time, named

Array = NDArray[np.float64]


def braking_distance(speed_mps: ArrayLike, deceleration_mps2: float = 6.0) -> Array:
    """Way needed to stop from a speed: v^2 / (2 b).

    Parameters
    ----------
    speed_mps : array_like
        Metres per second.
    deceleration_mps2 : float
        6 m/s2 by default (Oliva-Lozano et al. 2020, 10.1371/journal.pone.0236959; grade A).

    Returns
    -------
    ndarray
        Metres, same shape.

    Examples
    --------
    >>> braking_distance([5.0, 7.0]).round(4)
    array([2.0833, 4.0833])
    >>> braking_distance(0.0)
    np.float64(0.0)
    """
    above_zero(deceleration_mps2=deceleration_mps2)
    return np.asarray(speed_mps, dtype=float) ** 2 / (2.0 * deceleration_mps2)


def speed_on_arrival(
    xy: ArrayLike,
    velocity: ArrayLike,
    target_xy: ArrayLike,
    alpha_per_s: Any = 1.3,
    top_speed_mps: Any = 7.8,
    reaction_s: Any = 0.0,
    reach_m: Any = 0.0,
) -> Array:
    """Speed at the moment of `arrival_time`, for a player who does not brake.

    Parameters
    ----------
    xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s, reach_m
        As in `arrival_time`.

    Returns
    -------
    ndarray, shape (...)
        Metres per second; his own speed where he arrives before his reaction is over.

    Examples
    --------
    >>> speed_on_arrival((0, 0), (0, 0), (10, 0)).round(2)
    np.float64(7.22)
    >>> speed_on_arrival((0, 0), (3, 4), (0, 0))
    np.float64(5.0)
    """
    time: Any = arrival_time(xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s, reach_m)
    return named(_speed_at(time, xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s), time.model)


def _speed_at(time: Array, xy: Any, velocity: Any, target: Any, alpha: Any, top_speed: Any, reaction: Any) -> Array:
    """Speed after driving toward the target, in the one direction the law asks for, until the given time."""
    velocity = np.asarray(velocity, dtype=float)
    running = np.maximum(time - reaction, 0.0)
    gained = -np.expm1(-alpha * running)
    carried = np.minimum(time, reaction) + gained / alpha
    way = np.asarray(target, dtype=float) - np.asarray(xy, dtype=float) - velocity * carried[..., None]
    drive = top_speed * gained / np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-300)
    speed = velocity * (1.0 - gained)[..., None] + way * drive[..., None]
    return np.hypot(speed[..., 0], speed[..., 1])[()]


def braked_arrival_time(
    xy: ArrayLike,
    velocity: ArrayLike,
    target_xy: ArrayLike,
    alpha_per_s: Any = 1.3,
    top_speed_mps: Any = 7.8,
    reaction_s: Any = 0.0,
    reach_m: Any = 0.0,
    deceleration_mps2: float = 6.0,
) -> Array:
    """Time to arrive and stand: the arrival time and the price of stopping.

    Parameters
    ----------
    xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s, reach_m
        As in `arrival_time`.
    deceleration_mps2 : float
        Braking b.

    Returns
    -------
    ndarray, shape (...)
        Seconds.

    Notes
    -----
    An approximation (own arithmetic, grade D): the arrival time plus w u / (b (w + u)), u the speed on arrival and w
    the speed at which he begins to brake. w is taken as if he gained speed evenly on the way, and at most
    sqrt(2 b d), from which he can still stop within the distance d left after the reaction. Exact for even
    acceleration, and for an even run, where it is u / (2 b). On a straight line toward the place it is within 0.04 s
    of the exact run (accelerate by the law, then brake). A player too fast to stop in time overshoots: his way back
    is not counted.

    Examples
    --------
    >>> braked_arrival_time((0, 0), (0, 0), (10, 0)).round(2)
    np.float64(2.6)
    >>> braked_arrival_time((0, 0), (0, 0), (0, 0))
    np.float64(0.0)
    """
    above_zero(deceleration_mps2=deceleration_mps2)
    time: Any = arrival_time(xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s, reach_m)
    speed = _speed_at(time, xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s)
    velocity = np.asarray(velocity, dtype=float)
    way = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float) - velocity * reaction_s
    price = _price_of_stopping(speed, velocity, way, reach_m, deceleration_mps2)
    return named(time + price, f"{time.model}, braking {deceleration_mps2:g} m/s2")


def _price_of_stopping(speed: Array, velocity: Array, way: Array, reach: Any, brake: float) -> Array:
    """Seconds lost against running through; see the notes of `braked_arrival_time`."""
    distance = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)
    left = np.maximum(distance - reach, 1e-12)
    toward = np.maximum((velocity * way).sum(axis=-1) / distance, 0.0)
    gain = np.maximum(speed * speed - toward * toward, 0.0) / (2.0 * left)
    turn = np.minimum(speed / np.sqrt(1.0 + gain / brake), np.sqrt(2.0 * brake * left))
    return turn * speed / (brake * np.maximum(turn + speed, 1e-12))
