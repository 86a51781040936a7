"""Three laws of running that can stand for each other, each with its name.

Over one pass their times differ by almost a factor of two: whoever shows a time says which law it comes from.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput

# -- Checks of the model parameters; positions are never checked, NaN means absent and flows through.


def above_zero(**parameters: Any) -> None:
    """Raise BadInput unless every named parameter is a finite number above zero (or an array of such).

    Examples
    --------
    >>> above_zero(speed_mps=15.0)
    >>> above_zero(speed_mps=0.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: speed_mps: expected a number above 0; got 0.0. Give a positive value.
    """
    for name, value in parameters.items():
        if not (type(value) is float and 0.0 < value < np.inf):
            _check(name, value, above=True)


def not_negative(**parameters: Any) -> None:
    """Raise BadInput unless every named parameter is a finite number of at least zero (or an array of such).

    Examples
    --------
    >>> not_negative(reaction_s=0.0)
    >>> not_negative(reaction_s=-0.1)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: reaction_s: expected a number of at least 0; got -0.1. Give zero or more.
    """
    for name, value in parameters.items():
        if not (type(value) is float and 0.0 <= value < np.inf):
            _check(name, value, above=False)


def no_negative_distance(**distances: Any) -> None:
    """Raise BadInput if any of the named distances is below zero; NaN, an absent player, passes.

    Examples
    --------
    >>> no_negative_distance(distance_m=[0.0, float("nan")])
    >>> no_negative_distance(distance_m=-1.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: distance_m: expected metres of at least 0; got -1.0. Give zero or more.
    """
    for name, value in distances.items():
        if np.any(np.asarray(value, dtype=float) < 0.0):
            raise BadInput(name, expected="metres of at least 0", got=repr(value), todo="give zero or more")


def _check(name: str, value: Any, *, above: bool) -> None:
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        numbers = np.array(np.nan)
    if not np.all(np.isfinite(numbers) & ((numbers > 0) if above else (numbers >= 0))):
        wanted, todo = ("above 0", "give a positive value") if above else ("of at least 0", "give zero or more")
        raise BadInput(name, expected=f"a number {wanted}", got=repr(value), todo=todo)


# -- Results that say which model they come from; in every other way they are plain numbers and arrays.
# Laws of running differ by almost a factor of two over one pass: whoever shows a time should be able to say whose it
# is.


class NamedArray(np.ndarray[Any, np.dtype[Any]]):
    """An array with a `model`. Parts and views keep the name; what is worked out from it is a plain array.

    Examples
    --------
    >>> times = named([1.5, 2.5], "walking, 2 m/s")
    >>> times[:1].model, times
    ('walking, 2 m/s', array([1.5, 2.5]))
    >>> type(times + 1.0).__name__
    'ndarray'
    """

    model: str = ""

    def __array_finalize__(self, source: Any) -> None:
        self.model = getattr(source, "model", "")

    def __array_wrap__(self, array: Any, context: Any = None, return_scalar: bool = False) -> Any:
        return np.asarray(array)[()]

    def __repr__(self) -> str:
        return repr(np.asarray(self))

    def __reduce__(self) -> Any:
        return named, (np.asarray(self), self.model)


class NamedNumber(np.float64):
    """A float with a `model`; what is worked out from it is a plain number.

    Examples
    --------
    >>> time = named(1.5, "walking, 2 m/s")
    >>> isinstance(time, float), time.model, time
    (True, 'walking, 2 m/s', np.float64(1.5))
    >>> hasattr(time + 1.0, "model")
    False
    """

    model: str = ""

    def __reduce__(self) -> Any:
        return named, (float(self), self.model)


def named(values: ArrayLike, model: str) -> Any:
    """Values with the name of their model.

    Parameters
    ----------
    values : array_like
        What the model gave. It is not copied.
    model : str
        Its name, with its parameters.

    Returns
    -------
    NamedArray, or NamedNumber where there is but one value

    Examples
    --------
    >>> named([1.5], "walking, 2 m/s").model
    'walking, 2 m/s'
    >>> named(1.5, "walking, 2 m/s") == 1.5
    np.True_
    """
    values = np.asarray(values)
    result = values.view(NamedArray) if values.ndim else NamedNumber(values)
    result.model = model
    return result


def from_to(value: Any) -> str:
    """A parameter as a name tells it: a number, or from where to where numbers go.

    Examples
    --------
    >>> from_to(7.80), from_to([7.0, 8.5, 8.0])
    ('7.8', '7 to 8.5')
    >>> from_to([])
    '-'
    """
    if np.ndim(value) == 0:
        return f"{value:g}"
    ends = [f"{end(value):g}" for end in (np.min, np.max)] if np.size(value) else ["-"]
    return " to ".join(dict.fromkeys(ends))


# -- The law of running "drive minus drag" in bare numbers: the least time to a place.
# A player drives himself with constant force against a drag proportional to speed (Fujimura and Sugihara 2005, Systems
# and Computers in Japan 36(6):49-58). Whatever he tries, after time t he is inside the disc with
#
#     centre c = x0 + v0 G / a          radius r = (v / a) (u - G)          u = a t,  G = 1 - exp(-u)
#
# Lengths are measured here in v / a and speeds in v, so that only u is left to find.


Array = NDArray[np.float64]

_CELLS_PER_UNIT = 256.0
_CELLS = 2048
_CLOSE = 1e-7
_THERE = 1e-12
_MOST_ROUNDS = 80


@functools.cache
def _decay_table() -> tuple[Array, Array]:
    """Chords of e(y) = exp(-s), where s + exp(-s) = 1 + y^2 and s >= 0, in cells of y: heights at 0, and slopes."""
    y = np.arange(_CELLS + 1) / _CELLS_PER_UNIT
    s = np.sqrt(2.0) * y + y * y
    for _ in range(8):
        s[1:] -= (s[1:] + np.exp(-s[1:]) - 1.0 - y[1:] ** 2) / -np.expm1(-s[1:])
    decay = np.exp(-s)
    slopes = np.append(np.diff(decay), 0.0)
    return decay - slopes * np.arange(_CELLS + 1), slopes


def decay_of(y: Array) -> Array:
    """Look up exp(-s) for s + exp(-s) = 1 + y^2, y >= 0; the error stays below 4e-6 (1 + y^2 - decay is s)."""
    heights, slopes = _decay_table()
    place = np.asarray(y * _CELLS_PER_UNIT)
    np.minimum(place, _CELLS, out=place)
    with np.errstate(invalid="ignore"):
        cell = place.astype(np.intp)
    place *= slopes.take(cell, mode="clip")
    place += heights.take(cell, mode="clip")
    return place


def least_root(gap2: Array, toward: Array, speed2: Array, head_start: Array) -> Array:
    """Least u >= 0 at which the reachable disc, widened by the reach, holds the target (all in lengths v / a).

    Parameters
    ----------
    gap2 : (n,) squared distance to the target.
    toward : (n,) inner product of own velocity and the way to the target.
    speed2 : (n,) squared own speed.
    head_start : (n,) 1 - reach.

    Notes
    -----
    The distance to the centre is a convex function of G. Replacing it by its tangent gives an equation with a closed
    solution that never lies behind the least root, so the rounds walk up to it and cannot jump over it; near the root
    they double the number of digits each time, as Newton's method does.
    """
    root = np.zeros_like(gap2)
    # Already there, but for rounding. NaN (absent) is not "there" and comes back as NaN.
    places = np.flatnonzero(~(gap2 <= np.maximum(1.0 - head_start, _THERE) ** 2))
    rows = np.stack([gap2, toward, speed2, head_start, root])[:, places]
    for rounds in range(_MOST_ROUNDS):
        before = rows[4]
        after = _one_round(*rows)
        root[places] = after
        # A first step may be short because the target is near, and still the player runs past it.
        moving = np.abs(after - before) > (_CLOSE if rounds else 0.0)
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


# -- How players run: the time to a place, the place after a time, and what stopping there costs.
# The law is drive minus drag (Fujimura and Sugihara 2005, Systems and Computers in Japan 36(6):49-58,
# 10.1002/scj.20254; grade A; the parameters 1.3 /s and 7.8 m/s are quoted from memory). Times are in seconds, points in
# metres; points have x and y on their last axis and all other axes broadcast. NaN stands for an absent player and comes
# back as NaN. Parameters are numbers, or arrays that broadcast against the players. Results carry the name of the law,
# with its parameters, as `model`.


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


# -- Three laws of running that can stand for each other, each with its name.
# Over one pass their times differ by almost a factor of two: whoever shows a time says which law it comes from.


@dataclass(frozen=True)
class MotionModel:
    """A law of running: a name that says its parameters, and a clock. Call it for times that carry its name.

    Parameters
    ----------
    name : str
        As it is shown beside a time.
    clock : callable
        Takes places, velocities and targets (arrays (..., 2) that broadcast) and gives seconds (...), NaN where
        anything is NaN.

    Examples
    --------
    >>> model = drive_minus_drag(reaction_s=0.3)
    >>> time = model((0, 0), (0, 0), (10, 0))
    >>> print(f"{time:.3f} s by {time.model}")
    2.294 s by drive minus drag, 1.3 /s, 7.8 m/s, reaction 0.3 s
    >>> model((0, 0), (0, 0), (float("nan"), 0))
    np.float64(nan)
    """

    name: str
    clock: Callable[[ArrayLike, ArrayLike, ArrayLike], Array]

    def __call__(self, xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike) -> Any:
        """What the clock gives, with the name of the model on it."""
        return named(self.clock(xy, velocity, target_xy), self.name)


def drive_minus_drag(
    alpha_per_s: float = 1.3, top_speed_mps: float = 7.8, reaction_s: float = 0.0, reach_m: float = 0.0
) -> MotionModel:
    """The default law, `arrival_time` (Fujimura and Sugihara 2005, grade A; its parameters from memory).

    Examples
    --------
    >>> drive_minus_drag().name
    'drive minus drag, 1.3 /s, 7.8 m/s'
    >>> drive_minus_drag(reach_m=0.9).clock((0, 0), (0, 0), (0.5, 0))
    np.float64(0.0)
    """

    def clock(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike) -> Array:
        return arrival_time(xy, velocity, target_xy, alpha_per_s, top_speed_mps, reaction_s, reach_m)

    return MotionModel(drag_name(alpha_per_s, top_speed_mps, reaction_s, reach_m), clock)


def accelerate_then_cruise(
    acceleration_mps2: float = 7.0, top_speed_mps: float = 5.0, reach_m: float = 0.0
) -> MotionModel:
    """Even acceleration up to a top speed, then an even run, all on the straight line to the place.

    Spearman 2018, Beyond expected goals (grade A; from rest). A player on the move starts with the part of his velocity
    that points at the place, at most the top speed; what points elsewhere is left out (own reading, grade D). Who is
    within reach is there.

    Examples
    --------
    >>> clock = accelerate_then_cruise().clock
    >>> clock((0, 0), (0, 0), [(2, 0), (10, 0)]).round(4)
    array([0.7571, 2.3571])
    >>> clock((0, 0), (0, 0), (0, 0))
    np.float64(0.0)
    """
    above_zero(acceleration_mps2=acceleration_mps2, top_speed_mps=top_speed_mps)
    not_negative(reach_m=reach_m)

    def clock(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike) -> Array:
        way = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float)
        distance = np.hypot(way[..., 0], way[..., 1])
        toward = (way * np.asarray(velocity, dtype=float)).sum(axis=-1) / np.maximum(distance, 1e-12)
        left = np.maximum(distance - reach_m, 0.0)
        return _cruise_time(left, np.minimum(toward, top_speed_mps), acceleration_mps2, top_speed_mps)

    reach = _reach_name(reach_m)
    return MotionModel(f"accelerate, then cruise, {acceleration_mps2:g} m/s2, {top_speed_mps:g} m/s{reach}", clock)


def _cruise_time(distance: Array, start: Array, acceleration: float, top: float) -> Array:
    """From speed `start` (below zero: away) to the place, in a straight line."""
    run_up = (top * top - start * start) / (2.0 * acceleration)
    cruising = (top - start) / acceleration + (distance - run_up) / top
    sprinting = (np.sqrt(start * start + 2.0 * acceleration * distance) - start) / acceleration
    return np.where(distance > run_up, cruising, np.where(distance == 0.0, 0.0, sprinting))[()]


def react_then_run(reaction_s: float = 0.7, speed_mps: float = 5.0, reach_m: float = 0.0) -> MotionModel:
    """His velocity for a while, then an even run straight to the place.

    The simplest of the clocks that follow Spearman 2018; 0.7 s and 5 m/s are widespread in teaching (grade P). Who is
    within a reach at the start is there and need not react.

    Examples
    --------
    >>> clock = react_then_run().clock
    >>> clock((0, 0), [(0, 0), (5, 0)], (5, 0)).round(3)
    array([1.7, 1. ])
    >>> clock((0, 0), (0, 0), (0, 0))
    np.float64(0.7)
    """
    not_negative(reaction_s=reaction_s, reach_m=reach_m)
    above_zero(speed_mps=speed_mps)

    def clock(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike) -> Array:
        now = np.asarray(target_xy, dtype=float) - np.asarray(xy, dtype=float)
        then = now - reaction_s * np.asarray(velocity, dtype=float)
        left = np.maximum(np.hypot(then[..., 0], then[..., 1]) - reach_m, 0.0)
        return np.where(np.hypot(now[..., 0], now[..., 1]) < reach_m, 0.0 * left, reaction_s + left / speed_mps)[()]

    return MotionModel(f"react, then run, {reaction_s:g} s, {speed_mps:g} m/s{_reach_name(reach_m)}", clock)


def _reach_name(reach_m: float) -> str:
    return f", reach {reach_m:g} m" if reach_m else ""
