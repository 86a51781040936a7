"""How the ball moves: passes along the ground, rolling out, and flight with drag.

Air drag follows Spearman et al. 2017, Physics-based modeling of pass probabilities in soccer, eq. 1 (grade A): air
density 1.22 kg/m3, drag coefficient 0.25, cross-section 0.038 m2, mass 0.42 kg. Distances in metres, times in seconds,
speeds in metres per second; everything broadcasts and NaN flows through.
"""

from __future__ import annotations

import functools

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput, above_zero, not_negative, shown

Array = NDArray[np.float64]

DRAG_PER_M = 1.22 * 0.25 * 0.038 / (2.0 * 0.42)
GRAVITY_MPS2 = 9.8

_STEPS = 120


def ball_time(distance_m: ArrayLike, speed_mps: ArrayLike = 15.0, drag_per_m: float = DRAG_PER_M) -> Array:
    """Seconds of a pass along the ground, slowed by the air: (exp(kappa d) - 1) / (kappa v0), or d / v0 without drag.

    Of its distance in metres, its speed off the foot in m/s, and kappa in v = v0 exp(-kappa d); all but kappa
    broadcast.

    >>> ball_time([10, 20], 15.0).round(4)
    array([0.7148, 1.5355])
    """
    above_zero(speed_mps=speed_mps)
    not_negative(drag_per_m=drag_per_m)
    distance = np.asarray(distance_m, dtype=float)
    length = np.expm1(drag_per_m * distance) / drag_per_m if drag_per_m > 0.0 else distance
    return length / np.asarray(speed_mps, dtype=float)


def ball_speed(distance_m: ArrayLike, speed_mps: ArrayLike = 15.0, drag_per_m: float = DRAG_PER_M) -> Array:
    """Speed in m/s of a pass along the ground after some distance: v0 exp(-kappa d); parameters as in `ball_time`.

    >>> ball_speed(20, 15.0).round(4)
    np.float64(11.3827)
    >>> ball_speed(0, 15.0)
    np.float64(15.0)
    """
    above_zero(speed_mps=speed_mps)
    not_negative(drag_per_m=drag_per_m)
    return np.asarray(speed_mps, dtype=float) * np.exp(-drag_per_m * np.asarray(distance_m, dtype=float))


def rolling_time(distance_m: ArrayLike, speed_mps: ArrayLike = 12.0, deceleration_mps2: float = 1.0) -> Array:
    """Seconds of a ball that rolls out with constant deceleration; infinite where it stops short.

    Of distance in metres and speed at the start; 0.7 to 1.5 m/s2 follow from a ball-roll test of 4 to 8 m (grade D from
    second-hand figures).

    >>> rolling_time(20, 12.0).round(4)
    np.float64(1.802)
    >>> rolling_time(100, 12.0)
    np.float64(inf)
    """
    above_zero(speed_mps=speed_mps, deceleration_mps2=deceleration_mps2)
    distance, speed = np.asarray(distance_m, dtype=float), np.asarray(speed_mps, dtype=float)
    left2 = speed * speed - 2.0 * deceleration_mps2 * distance
    # The stable form of the smaller root of v0 t - a t^2 / 2 = d.
    time = 2.0 * distance / (speed + np.sqrt(np.maximum(left2, 0.0)))
    return np.where(left2 < 0.0, np.inf, time)[()]


def loft(speed_mps: ArrayLike, angle_deg: ArrayLike, drag_per_m: float = DRAG_PER_M,
         gravity_mps2: float = GRAVITY_MPS2) -> tuple[Array, Array, Array]:
    """Flight of a ball without spin from ground to ground: seconds in the air, metres to the landing, apex in m.

    Of its speed off the foot and its elevation, 0 to 90 degrees (else BadInput); the drag is drag_per_m * speed^2,
    against the velocity.

    >>> time_s, range_m, apex_m = loft(25.0, 30.0)
    >>> print(f"{time_s:.3f} s, {range_m:.2f} m, {apex_m:.2f} m")
    2.273 s, 37.05 m, 6.37 m
    """
    not_negative(speed_mps=speed_mps, drag_per_m=drag_per_m)
    above_zero(gravity_mps2=gravity_mps2)
    angle = np.asarray(angle_deg, dtype=float)
    if not np.all((angle >= 0.0) & (angle <= 90.0)):
        raise BadInput("angle_deg", expected="0 to 90 degrees", got=shown(angle_deg), todo="give its elevation")
    time, landing, apex = _flight(np.asarray(speed_mps, dtype=float), np.radians(angle), drag_per_m, gravity_mps2)
    return time[()], landing[0][()], apex[()]


def _flight(speed: Array, angle: Array, drag: float, gravity: float) -> tuple[Array, Array, Array]:
    """Time, landing state (x, z, vx, vz) and apex, by Runge-Kutta steps sized to the flight in a vacuum."""
    zero = 0.0 * (speed + angle)
    states = [np.stack([zero, zero, speed * np.cos(angle), speed * np.sin(angle)])]
    step = 2.0 * states[0][3] / gravity / _STEPS
    for _ in range(_STEPS + 1):
        states.append(_advance(states[-1], step, drag, gravity))
    path = np.array(states)

    def reaches_zero(row: int) -> tuple[Array, Array]:
        """When, and the state there."""
        index = (path[1:, row] <= 0.0).argmax(axis=0)
        before = np.take_along_axis(path, index[None, None], axis=0)[0]
        part, place = _at_zero(before, step, row, drag, gravity)
        return np.where(step > 0.0, index * step + part, 0.0), np.where(step > 0.0, place, path[0])

    return *reaches_zero(1), reaches_zero(3)[1][1]


def _advance(state: Array, step: Array, drag: float, gravity: float) -> Array:
    """One classical Runge-Kutta step."""

    def rate(s: Array) -> Array:
        pull = -drag * np.hypot(s[2], s[3])
        return np.stack([s[2], s[3], pull * s[2], pull * s[3] - gravity])

    k1 = rate(state)
    k2 = rate(state + 0.5 * step * k1)
    k3 = rate(state + 0.5 * step * k2)
    k4 = rate(state + step * k3)
    return state + step / 6.0 * (k1 + 2.0 * (k2 + k3) + k4)


def _at_zero(state: Array, step: Array, row: int, drag: float, gravity: float) -> tuple[Array, Array]:
    """Part of the step after which one component is zero, and the state there (Newton from the whole step)."""
    part = step
    for _ in range(4):
        place = _advance(state, part, drag, gravity)
        fall = place[3] if row == 1 else -drag * np.hypot(place[2], place[3]) * place[3] - gravity
        part = np.clip(part - place[row] / np.minimum(fall, -1e-9), 0.0, step)
    return part, _advance(state, part, drag, gravity)


@functools.cache
def _loft_table(speed: float, angle_deg: float, drag: float) -> tuple[Array, Array, float]:
    """Root of the range and time in the air for all speeds up to the given one, and the pace after landing."""
    time, landing, _ = _flight(np.linspace(0.0, speed, 65), np.radians(np.array(angle_deg)), drag, GRAVITY_MPS2)
    return np.sqrt(landing[0]), time, float(landing[2, -1])


def lofted_time(distance_m: ArrayLike, speed_mps: float = 28.0, angle_deg: float = 25.0,
                drag_per_m: float = DRAG_PER_M) -> Array:
    """Seconds of a lofted pass over distances in metres.

    28 m/s at 25 degrees are the longest ball (common practice for a switch of play, grade D); nearer places get the
    same angle with less speed, so that the ball lands there. Beyond its range: its flight, then the rest at its forward
    speed on landing. Interpolated in a table of the flight of `loft`; the error stays below 1 ms.

    >>> lofted_time([20, 40, 60]).round(2)
    array([1.44, 2.13, 3.54])
    """
    above_zero(speed_mps=speed_mps, angle_deg=angle_deg)
    if not angle_deg < 90.0:
        raise BadInput("angle_deg", expected="less than 90 degrees", got=shown(angle_deg), todo="give a flatter ball")
    roots, times, pace = _loft_table(float(speed_mps), float(angle_deg), float(drag_per_m))
    root = np.sqrt(np.maximum(np.asarray(distance_m, dtype=float), 0.0))
    return np.interp(root, roots, times) + np.maximum(root * root - roots[-1] ** 2, 0.0) / pace
