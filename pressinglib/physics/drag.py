"""The law of running "drive minus drag" in bare numbers: the least time to a place.

A player drives himself with constant force against a drag proportional to speed (Fujimura and Sugihara 2005, Systems
and Computers in Japan 36(6):49-58). Whatever he tries, after time t he is inside the disc with

    centre c = x0 + v0 G / a          radius r = (v / a) (u - G)          u = a t,  G = 1 - exp(-u)

Lengths are measured here in v / a and speeds in v, so that only u is left to find. Nothing is checked here.
"""

from __future__ import annotations

import functools
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

CELLS_PER_UNIT = 256.0
CELLS = 2048
CLOSE = 1e-7
THERE = 1e-12
MOST_ROUNDS = 80


@functools.cache
def _decay_table() -> tuple[Array, Array]:
    """Chords of e(y) = exp(-s), where s + exp(-s) = 1 + y^2 and s >= 0, in cells of y: heights at 0, and slopes."""
    y = np.arange(CELLS + 1) / CELLS_PER_UNIT
    s = np.sqrt(2.0) * y + y * y
    for _ in range(8):
        s[1:] -= (s[1:] + np.exp(-s[1:]) - 1.0 - y[1:] ** 2) / -np.expm1(-s[1:])
    decay = np.exp(-s)
    slopes = np.append(np.diff(decay), 0.0)
    return decay - slopes * np.arange(CELLS + 1), slopes


def decay_of(y: Array) -> Array:
    """Look up exp(-s) for s + exp(-s) = 1 + y^2, y >= 0; the error stays below 4e-6 (1 + y^2 - decay is s)."""
    heights, slopes = _decay_table()
    place = np.asarray(y * CELLS_PER_UNIT)
    np.minimum(place, CELLS, out=place)
    with np.errstate(invalid="ignore"):
        cell = place.astype(np.intp)
    place *= slopes.take(cell, mode="clip")
    place += heights.take(cell, mode="clip")
    return place


def rest_time(distance: Array, alpha: float, top_speed: float) -> Array:
    """Time to cover distances from rest, from the table; below zero counts as zero."""
    y2 = np.asarray(np.maximum(distance, 0.0))
    y2 *= alpha / top_speed
    time = decay_of(np.sqrt(y2))
    np.subtract(y2, time, out=time)
    time += 1.0
    time /= alpha
    return time


def least_root(gap2: Array, toward: Array, speed2: Array, head_start: Array) -> Array:
    """Least u >= 0 at which the reachable disc, widened by the reach, holds the target; all (n,), in lengths v / a.

    Of squared distance to the target, inner product of own velocity and the way there, squared own speed, 1 - reach.

    The distance to the centre is a convex function of G. Replacing it by its tangent gives an equation with a closed
    solution that never lies behind the least root, so the rounds walk up to it and cannot jump over it; near the root
    they double the number of digits each time, as Newton's method does.
    """
    root = np.zeros_like(gap2)
    # Already there, but for rounding. NaN (absent) is not "there" and comes back as NaN.
    places = np.flatnonzero(~(gap2 <= np.maximum(1.0 - head_start, THERE) ** 2))
    rows = np.stack([gap2, toward, speed2, head_start, root])[:, places]
    for rounds in range(MOST_ROUNDS):
        before = rows[4]
        after = _one_round(*rows)
        root[places] = after
        # A first step may be short because the target is near, and still the player runs past it.
        moving = np.abs(after - before) > (CLOSE if rounds else 0.0)
        if not moving.any():
            break
        rows[4] = after
        if not moving.all():
            rows, places = rows[:, moving], places[moving]
    return root


def _one_round(gap2: Array, toward: Array, speed2: Array, head_start: Array, u: Array) -> Array:
    """Solve the tangent equation u + w exp(-u) = q at the present u."""
    decay = np.exp(-u)
    drift = speed2 * (1.0 - decay) - toward
    distance = np.sqrt(np.maximum(gap2 + (drift - toward) * (1.0 - decay), 1e-300))
    slope = drift / distance
    w = 1.0 + slope
    q = distance + slope * decay + head_start
    positive = np.maximum(w, 1e-9)
    guess = np.maximum(q - decay_of(np.sqrt(np.maximum(q - 1.0 - np.log(positive), 0.0))), u)
    pull = w * np.exp(-guess)
    return guess - (guess + pull - q) / np.maximum(1.0 - pull, 1e-300)


def race_time(
    dx: Array, dy: Array, vx: Array, vy: Array, alpha: float, top_speed: float, reaction: Any, reach: Any
) -> Array:
    """Least time to within reach, from the way to the target and the own velocity, on any pair of axes."""
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
