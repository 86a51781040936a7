"""Three laws of running that can stand for each other, each with its name.

Over one pass their times differ by almost a factor of two: whoever shows a time says which law it comes from.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.physics.motion import arrival_time, drag_name
from pressinglib.physics.named import named
from pressinglib.physics.parameters import above_zero, not_negative

Array = NDArray[np.float64]


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
