"""How players run: the time to a place, the place after a time, and what stopping there costs.

Points are metres (..., 2), times seconds; all other axes broadcast. NaN, an absent player, comes back as NaN.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import above_zero, not_negative

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Running:
    """The law of running with its numbers: drive minus drag.

    Fujimura and Sugihara 2005, Systems and Computers in Japan 36(6):49-58, 10.1002/scj.20254 (grade A; 1.3 /s and
    7.8 m/s are quoted from memory); braking at 6 m/s2 Oliva-Lozano et al. 2020, 10.1371/journal.pone.0236959 (grade A).
    Other published laws give times that differ by almost a factor of two over one pass (`physics.published`).

    Parameters
    ----------
    alpha_per_s, top_speed_mps : float
        Drag, and the speed that a player tends to; who is faster also gets away faster.
    deceleration_mps2 : float
        How hard he brakes.

    BadInput for a number that is not above zero; also of its methods, for a reaction or reach below zero.

    >>> law = Running()
    >>> law.time((0, 0), (0, 0), [(5, 0), (10, 0), (20, 0)]).round(3)
    array([1.261, 1.994, 3.323])
    """

    alpha_per_s: float = 1.3
    top_speed_mps: float = 7.8
    deceleration_mps2: float = 6.0

    def __post_init__(self) -> None:
        above_zero(alpha_per_s=self.alpha_per_s, top_speed_mps=self.top_speed_mps,
                   deceleration_mps2=self.deceleration_mps2)

    def of(self, top_speed_mps: ArrayLike) -> Running:
        """The same law for players (...) whose top speed is known; NaN: as everybody."""
        known = np.isfinite(np.asarray(top_speed_mps, dtype=float))
        tops: Any = np.where(known, top_speed_mps, self.top_speed_mps)
        return replace(self, top_speed_mps=tops) if known.any() else self

    def at(self, index: Any) -> Running:
        """The law of some of these players, or of all beside further axes."""
        tops: Any = self.top_speed_mps
        return replace(self, top_speed_mps=tops[index]) if isinstance(tops, np.ndarray) else self

    def time(self, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, reaction_s: Any = 0.0,
             reach_m: Any = 0.0) -> Array:
        """Least time (...) in which a player can be within reach of a place; points (..., 2), seconds exact to 1e-6.

        For `reaction_s` he keeps his velocity in a straight line, the law starts after it, and the result includes it.
        0 where he is within reach at the start, whatever his reaction; less than the reaction where his own velocity
        carries him into reach before it is over (a mere touch does not count).

        >>> Running().time((0, 0), (5, 0), [(10, 0), (0, 0)]).round(3)
        array([1.52, 0.  ])
        """
        not_negative(reaction_s=reaction_s, reach_m=reach_m)
        return race_time(*self._race(xy, velocity, target_xy), reaction_s, reach_m)

    def _race(self, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike) -> tuple[Any, Any, Any, Any, Any, Any]:
        pace = np.asarray(velocity, dtype=float)
        way = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float)
        return way[..., 0], way[..., 1], pace[..., 0], pace[..., 1], self.alpha_per_s, self.top_speed_mps

    def is_there(self, time_s: ArrayLike, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike,
                 reaction_s: Any = 0.0, reach_m: Any = 0.0) -> NDArray[np.bool_]:
        """Whether `time`, with its parameters, is at most so long, without working it out; False where it is NaN.

        >>> Running().is_there([1.5, 1.6], (0, 0), (5, 0), (10, 0))
        array([False,  True])
        """
        return met_by(np.asarray(time_s, dtype=float), *self._race(xy, velocity, target_xy), reaction_s, reach_m)

    def rest_time(self, distance_m: ArrayLike, reaction_s: float = 0.0) -> Array:
        """Time to cover a distance from rest, from a table; the error stays below 1e-5 s / alpha.

        Who has no way to go, 0 m or less, is there at once: the reaction counts only for those who have to move.

        >>> Running().rest_time([5, 10, -1], reaction_s=0.3).round(3)
        array([1.561, 2.294, 0.   ])
        """
        not_negative(reaction_s=reaction_s)
        distance = np.asarray(distance_m, dtype=float)
        time = _rest_time(distance, self.alpha_per_s, self.top_speed_mps)
        return time + reaction_s * (distance > 0.0)

    def covered_m(self, time_s: ArrayLike) -> Array:
        """How far a player gets from rest; nowhere in no time or less.

        >>> Running().covered_m([1.994, -1.0]).round(2)
        array([10.,  0.])
        """
        time = np.maximum(np.asarray(time_s, dtype=float), 0.0)
        return np.asarray(self.top_speed_mps * (time + np.expm1(-self.alpha_per_s * time) / self.alpha_per_s))[()]

    def reached_xy(self, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, time_s: ArrayLike,
                   reaction_s: float = 0.0) -> Array:
        """Where (..., 2) a player is after running for a target for some time (...), his reaction included.

        The target if he has arrived by then, else the point of his reachable disc nearest to it.

        >>> Running().reached_xy((0, 0), (0, 0), (10, 0), [1.0, 2.0]).round(2)
        array([[ 3.44,  0.  ],
               [10.  ,  0.  ]])
        """
        not_negative(reaction_s=reaction_s)
        start, pace, target = (np.asarray(points, dtype=float) for points in (xy, velocity, target_xy))
        carried, radius = _disc(np.asarray(time_s, dtype=float), self.alpha_per_s, self.top_speed_mps, reaction_s)
        centre = start + pace * carried[..., None]
        off = target - centre
        share = radius / np.maximum(np.hypot(off[..., 0], off[..., 1]), 1e-300)
        there = self.is_there(time_s, start, pace, target, reaction_s)
        return np.where((there | (share >= 1.0))[..., None], target + 0.0 * centre, centre + off * share[..., None])

    # -- stopping ------------------------------------------------------------------------------------------------

    def braking_m(self, speed_mps: ArrayLike) -> Array:
        """Way needed to stop from a speed: v^2 / (2 b), 2.08 m from 5 m/s."""
        return np.asarray(speed_mps, dtype=float) ** 2 / (2.0 * self.deceleration_mps2)

    def braked_time(self, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, reaction_s: Any = 0.0,
                    reach_m: Any = 0.0) -> Array:
        """Time to arrive and stand: `time`, with its parameters, and the price of stopping.

        An approximation (own arithmetic, grade D): the arrival time plus w u / (b (w + u)), u the speed on arrival and
        w that at which he begins to brake, as if he gained speed evenly on the way and at most sqrt(2 b d), from which
        he can still stop within the distance d. Exact for even acceleration and for an even run, u / (2 b); straight
        towards the place within 0.04 s of the exact run. Who is too fast to stop overshoots: no way back is counted.

        >>> Running().braked_time((0, 0), (0, 0), [(10, 0), (0, 0)]).round(2)
        array([2.6, 0. ])
        """
        time = self.time(xy, velocity, target_xy, reaction_s, reach_m)
        speed = self._speed_at(time, xy, velocity, target_xy, reaction_s)
        pace = np.asarray(velocity, dtype=float)
        way = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float) - pace * reaction_s
        distance = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)
        left = np.maximum(distance - reach_m, 1e-12)
        toward = np.maximum((pace * way).sum(axis=-1) / distance, 0.0)
        gain = np.maximum(speed * speed - toward * toward, 0.0) / (2.0 * left)
        brake = self.deceleration_mps2
        turn = np.minimum(speed / np.sqrt(1.0 + gain / brake), np.sqrt(2.0 * brake * left))
        return time + turn * speed / (brake * np.maximum(turn + speed, 1e-12))

    def _speed_at(self, time: Array, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, reaction: Any) -> Array:
        """Speed after driving toward the target, in the one direction the law asks for, until the given time."""
        pace = np.asarray(velocity, dtype=float)
        running = np.maximum(time - reaction, 0.0)
        gained = -np.expm1(-self.alpha_per_s * running)
        carried = np.minimum(time, reaction) + gained / self.alpha_per_s
        way = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float) - pace * carried[..., None]
        drive = self.top_speed_mps * gained / np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-300)
        speed = pace * (1.0 - gained)[..., None] + way * drive[..., None]
        return np.hypot(speed[..., 0], speed[..., 1])[()]


RUNNING = Running()


def arrival_time(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, alpha_per_s: float = 1.3,
                 top_speed_mps: float = 7.8, reaction_s: ArrayLike = 0.0, reach_m: ArrayLike = 0.0) -> Array:
    """Least time in which a player can be within reach of a place: `Running.time` in one call, with the law's numbers.

    >>> arrival_time((0, 0), (5, 0), [(10, 0), (0, 0)]).round(3)
    array([1.52, 0.  ])
    """
    return Running(alpha_per_s, top_speed_mps).time(xy, velocity, target_xy, reaction_s, np.asarray(reach_m, float))


# -- The law in bare numbers: whatever a player tries, after time t he is inside the disc with
#
#     centre c = x0 + v0 G / a          radius r = (v / a) (u - G)          u = a t,  G = 1 - exp(-u)
#
# Lengths are measured here in v / a and speeds in v, so that only u is left to find. Nothing is checked here.

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


def _decay_of(y: Array) -> Array:
    """Look up exp(-s) for s + exp(-s) = 1 + y^2, y >= 0; the error stays below 4e-6 (1 + y^2 - decay is s)."""
    heights, slopes = _decay_table()
    place = np.asarray(y * CELLS_PER_UNIT)
    np.fmin(place, CELLS, out=place)  # of what is no number too: nothing comes of it
    cell = place.astype(np.intp)
    place *= slopes.take(cell, mode="clip")
    place += heights.take(cell, mode="clip")
    return place


def _rest_time(distance: Array, alpha: float, top_speed: float) -> Array:
    """Time to cover distances from rest, from the table; below zero counts as zero."""
    y2 = np.asarray(np.maximum(distance, 0.0) * (alpha / top_speed))
    time = _decay_of(np.sqrt(y2))
    np.subtract(y2, time, out=time)
    time += 1.0
    time /= alpha
    return time


def _least_root(gap2: Array, toward: Array, speed2: Array, head_start: Array) -> Array:
    """Least u >= 0 at which the reachable disc, widened by the reach, holds the target; all (n,), in lengths v / a.

    Of squared distance to the target, inner product of own velocity and the way there, squared own speed, 1 - reach.
    The distance to the centre is a convex function of G: its tangent gives an equation with a closed solution that
    never lies behind the least root, so the rounds walk up to it, doubling the digits as Newton's method does.
    """
    root = np.zeros_like(gap2)
    # Already there, but for rounding. NaN (absent) is not "there" and comes back as NaN.
    places = np.flatnonzero(~(gap2 <= np.maximum(1.0 - head_start, THERE) ** 2))
    # No sooner than at top speed, or at his own if that is more, all the way.
    soonest = (np.sqrt(gap2) - 1.0 + head_start) / np.sqrt(np.maximum(speed2, 1.0))
    rows = np.array([gap2, toward, speed2, head_start, np.maximum(soonest, 0.0)])[:, places]
    for rounds in range(MOST_ROUNDS):
        after = _one_round(*rows)
        root[places] = after
        # A first step may be short because the target is near, and still the player runs past it.
        moving = np.abs(after - rows[4]) > (CLOSE if rounds else 0.0)
        left = np.count_nonzero(moving)
        if not left:
            break
        rows[4] = after
        if left < len(moving):
            rows, places = rows[:, moving], places[moving]
    return root


def _one_round(gap2: Array, toward: Array, speed2: Array, head_start: Array, u: Array) -> Array:
    """Solve the tangent equation u + w exp(-u) = q at the present u."""
    decay = np.exp(-u)
    gained = 1.0 - decay
    drift = speed2 * gained - toward
    distance = np.sqrt(np.maximum(gap2 + (drift - toward) * gained, 1e-300))
    slope = drift / distance
    w = 1.0 + slope
    q = distance + slope * decay + head_start
    guess = np.maximum(q - _decay_of(np.sqrt(np.maximum(q - 1.0 - np.log(np.maximum(w, 1e-9)), 0.0))), u)
    pull = w * np.exp(-guess)
    return guess - (guess + pull - q) / np.maximum(1.0 - pull, 1e-300)


def race_time(dx: Any, dy: Any, vx: Any, vy: Any, alpha: Any, top_speed: Any, reaction: Any, reach: Any) -> Array:
    """Least time to within reach, from the way to the target and the own velocity, on any pair of axes."""
    start_x, start_y = dx - vx * reaction, dy - vy * reaction
    unit = alpha / top_speed
    gap2 = (start_x * start_x + start_y * start_y) * (unit * unit)
    toward = (start_x * vx + start_y * vy) * (unit / top_speed)
    speed2 = (vx * vx + vy * vy) / (top_speed * top_speed) + 0.0 * gap2
    head_start = 1.0 - reach * unit + 0.0 * gap2
    root = _least_root(gap2.ravel(), toward.ravel(), speed2.ravel(), head_start.ravel()).reshape(np.shape(gap2))
    time = root / alpha + reaction
    return _met_while_reacting(time, dx, dy, vx, vy, reaction, reach) if np.any(reaction) else time[()]


def _disc(time: Any, alpha: Any, top_speed: Any, reaction: Any) -> tuple[Array, Array]:
    """For how many seconds his own velocity has carried a player after some time, and how far he gets from there."""
    running = np.maximum(time - reaction, 0.0)
    drift = -np.expm1(-alpha * running) / alpha
    return np.minimum(time, reaction) + drift, top_speed * (running - drift)


def met_by(time: Any, dx: Any, dy: Any, vx: Any, vy: Any, alpha: Any, top_speed: Any, reaction: Any,
           reach: Any) -> NDArray[np.bool_]:
    """Whether `race_time` is at most some time, without the race: the disc of that moment holds the target.

    Who is within reach at the start has been there; only who runs past a target has it behind his disc again, and he
    alone is timed.
    """
    carried, radius = _disc(time, alpha, top_speed, reaction)
    x, y, radius2 = dx - vx * carried, dy - vy * carried, (radius + reach) ** 2
    there = np.asarray((x * x + y * y <= radius2) | (dx * dx + dy * dy <= reach * reach))
    aside = dx * vy - dy * vx
    passed = ~there & (x * vx + y * vy < 0.0) & (dx * vx + dy * vy > 0.0)
    passed &= aside * aside <= radius2 * (vx * vx + vy * vy)
    if passed.any():
        race = (dx, dy, vx, vy, alpha, top_speed, reaction, reach)
        late = race_time(*(np.broadcast_to(part, passed.shape)[passed] for part in race))
        there[passed] = late <= np.broadcast_to(time, passed.shape)[passed]
    return there


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
