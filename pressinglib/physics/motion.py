"""How players run: the time to a place, the place after a time, and what stopping there costs.

The law is drive minus drag (Fujimura and Sugihara 2005, Systems and Computers in Japan 36(6):49-58,
10.1002/scj.20254; grade A; the parameters 1.3 /s and 7.8 m/s are quoted from memory). Times are in seconds, points in
metres; points have x and y on their last axis and all other axes broadcast. NaN stands for an absent player and comes
back as NaN. Parameters are numbers, or arrays that broadcast against the players. Results carry the name of the law,
with its parameters, as `model`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.physics.drag_law import decay_of, least_root
from pressinglib.physics.named import from_to, named
from pressinglib.physics.parameters import above_zero, not_negative

Array = NDArray[np.float64]


def drag_name(alpha_per_s: Any = 1.3, top_speed_mps: Any = 7.8, reaction_s: Any = 0.0, reach_m: Any = 0.0) -> str:
    """Name of the law with its parameters; reaction and reach only where there is any.

    Examples
    --------
    >>> drag_name()
    'drive minus drag, 1.3 /s, 7.8 m/s'
    >>> drag_name(top_speed_mps=[7.0, 8.5], reach_m=0.9)
    'drive minus drag, 1.3 /s, 7 to 8.5 m/s, reach 0.9 m'
    """
    more = "".join(f", {what} {from_to(value)} {unit}" for what, value, unit in
                   (("reaction", reaction_s, "s"), ("reach", reach_m, "m")) if np.any(value))
    return f"drive minus drag, {from_to(alpha_per_s)} /s, {from_to(top_speed_mps)} m/s{more}"


def arrival_time(
    xy: ArrayLike,
    velocity: ArrayLike,
    target_xy: ArrayLike,
    alpha_per_s: Any = 1.3,
    top_speed_mps: Any = 7.8,
    reaction_s: Any = 0.0,
    reach_m: Any = 0.0,
) -> Array:
    """Least time in which a player can be within reach of a place.

    Parameters
    ----------
    xy, velocity, target_xy : array_like, shape (..., 2)
        Metres and metres per second.
    alpha_per_s, top_speed_mps : float
        Drag and top speed of the law.
    reaction_s : float
        So long he keeps his velocity in a straight line; the law starts after it. The result includes it.
    reach_m : float
        How near is near enough.

    Returns
    -------
    ndarray, shape (...)
        Seconds. 0 where he is within reach at the start, whatever his reaction; less than the reaction where his own
        velocity carries him into reach before it is over (a mere touch does not count). NaN where anything is NaN.
        Exact to 1e-6 s.

    Raises
    ------
    BadInput
        If a parameter is out of range.

    Examples
    --------
    >>> arrival_time((0, 0), (0, 0), (10, 0)).round(3)
    np.float64(1.994)
    >>> arrival_time((0, 0), (5, 0), [(10, 0), (0, 0)]).round(3)
    array([1.52, 0.  ])
    """
    above_zero(alpha_per_s=alpha_per_s, top_speed_mps=top_speed_mps)
    not_negative(reaction_s=reaction_s, reach_m=reach_m)
    velocity = np.asarray(velocity, dtype=float)
    way = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float)
    law = alpha_per_s, top_speed_mps, reaction_s, reach_m
    return named(race_time(way[..., 0], way[..., 1], velocity[..., 0], velocity[..., 1], *law), drag_name(*law))


def race_time(
    dx: Array, dy: Array, vx: Array, vy: Array, alpha: Any, top_speed: Any, reaction: Any, reach: Any
) -> Array:
    """`arrival_time` on components: way to the target and own velocity, on any pair of axes; nothing is checked."""
    start_x, start_y = dx - vx * reaction, dy - vy * reaction
    unit = alpha / top_speed
    gap2 = (start_x * start_x + start_y * start_y) * (unit * unit)
    toward = (start_x * vx + start_y * vy) * (unit / top_speed)
    speed2 = (vx * vx + vy * vy) / (top_speed * top_speed) + 0.0 * gap2
    head_start = 1.0 - reach * unit + 0.0 * gap2
    root = least_root(gap2.ravel(), toward.ravel(), speed2.ravel(), head_start.ravel()).reshape(np.shape(gap2))
    time = root / alpha + reaction
    return _met_while_reacting(time, dx, dy, vx, vy, reaction, reach) if np.any(reaction) else time[()]


def _met_while_reacting(time: Array, dx: Array, dy: Array, vx: Array, vy: Array, reaction: Any, reach: Any) -> Array:
    """Put in the moment at which he passes within reach in a straight line, where that is before his reaction ends."""
    speed2 = vx * vx + vy * vy
    toward = dx * vx + dy * vy
    outside = dx * dx + dy * dy - reach * reach
    room = toward * toward - speed2 * outside
    # The stable form of the smaller root of speed2 t^2 - 2 toward t + outside = 0.
    met = outside / np.maximum(toward + np.sqrt(np.maximum(room, 0.0)), 1e-300)
    # A mere touch is left out: with a reach of zero, rounding alone would decide it.
    time = np.where((room > 1e-9 * toward * toward) & (toward > 0.0) & (met <= reaction), met, time)
    return np.where(outside <= 0.0, 0.0, time)[()]


def rest_arrival_time(distance_m: ArrayLike, alpha_per_s: float = 1.3, top_speed_mps: float = 7.8) -> Array:
    """Time to cover a distance from rest, from a table; the error stays below 1e-5 s / alpha.

    Parameters
    ----------
    distance_m : array_like
        Metres; below zero counts as zero.
    alpha_per_s, top_speed_mps : float
        Drag and top speed of the law.

    Returns
    -------
    ndarray
        Seconds, same shape. For the exact value use `arrival_time`.

    Examples
    --------
    >>> rest_arrival_time([5, 10, 20]).round(3)
    array([1.261, 1.994, 3.323])
    >>> rest_arrival_time(-1.0).round(3)
    np.float64(0.0)
    """
    above_zero(alpha_per_s=alpha_per_s, top_speed_mps=top_speed_mps)
    y2 = np.asarray(np.maximum(np.asarray(distance_m, dtype=float), 0.0))
    y2 *= alpha_per_s / top_speed_mps
    time = decay_of(np.sqrt(y2))
    np.subtract(y2, time, out=time)
    time += 1.0
    time /= alpha_per_s
    return named(time, drag_name(alpha_per_s, top_speed_mps))


def reached_xy(
    xy: ArrayLike,
    velocity: ArrayLike,
    target_xy: ArrayLike,
    time_s: ArrayLike,
    alpha_per_s: Any = 1.3,
    top_speed_mps: Any = 7.8,
    reaction_s: Any = 0.0,
) -> Array:
    """Where a player is after running for a target for some time.

    Parameters
    ----------
    xy, velocity, target_xy : array_like, shape (..., 2)
        Metres and metres per second.
    time_s : array_like, shape (...)
        Seconds since the start, the reaction included.
    alpha_per_s, top_speed_mps, reaction_s : float
        As in `arrival_time`.

    Returns
    -------
    ndarray, shape (..., 2)
        The target if he has arrived by then, else the point of his reachable disc nearest to it.

    Examples
    --------
    >>> reached_xy((0, 0), (0, 0), (10, 0), [0.0, 1.0, 2.0]).round(2)
    array([[ 0.  ,  0.  ],
           [ 3.44,  0.  ],
           [10.  ,  0.  ]])
    >>> reached_xy((0, 0), (6, 0), (0, 5), 0.3, reaction_s=0.3).round(2)
    array([1.8, 0. ])
    """
    above_zero(alpha_per_s=alpha_per_s, top_speed_mps=top_speed_mps)
    not_negative(reaction_s=reaction_s)
    xy, velocity, target = (np.asarray(points, dtype=float) for points in (xy, velocity, target_xy))
    time = np.asarray(time_s, dtype=float)
    running = np.maximum(time - reaction_s, 0.0)
    drift = -np.expm1(-alpha_per_s * running) / alpha_per_s
    centre = xy + velocity * (np.minimum(time, reaction_s) + drift)[..., None]
    way = target - centre
    distance = np.hypot(way[..., 0], way[..., 1])
    share = np.asarray(np.minimum(top_speed_mps * (running - drift) / np.maximum(distance, 1e-300), 1.0))
    # The disc can only have left a target behind if his own speed carries its centre away from it now.
    passed = (share < 1.0) & ((way * velocity).sum(axis=-1) < 0.0)
    if passed.any():
        share[passed & (arrival_time(xy, velocity, target, alpha_per_s, top_speed_mps, reaction_s) <= time)] = 1.0
    place = np.where((share < 1.0)[..., None], centre + way * share[..., None], target + 0.0 * centre)
    return named(place, drag_name(alpha_per_s, top_speed_mps, reaction_s))
