"""How players run from one moment to the next: drive minus drag, and braking so that they stop where they want to."""

from __future__ import annotations

from typing import Any

import numpy as np

from pressinglib.roles.picture import Floats, norm
from pressinglib.roles.settings import Settings

STILL_M = 0.05


def stride(xy: Floats, velocity: Floats, aim_xy: Floats, left_m: Floats, pace_mps: Any, step_s: float,
           s: Settings) -> tuple[Floats, Floats]:
    """Places and velocities (N, 2) after one step.

    Parameters
    ----------
    xy, velocity : ndarray, (N, 2)
    aim_xy : ndarray, (N, 2)
        The point they head for.
    left_m : ndarray, (N,)
        How far they still have to go; inf for those who run through.
    pace_mps : array_like, (N,)
        How fast they want to run.
    step_s : float
    s : Settings
        Drag, top speed and braking.

    Notes
    -----
    The law is that of `arrival_time`: drive of at most alpha * top speed against a drag of alpha * speed. Nobody brakes
    harder than the setting. The step is a simple one (own arithmetic): over 5, 10 and 20 m from rest, with steps of
    0.1 s, it is within 0.06 s of the exact law.
    """
    way = aim_xy - xy
    away = norm(way)
    heading = np.where((away > STILL_M)[:, None], way / np.maximum(away, STILL_M)[:, None], 0.0)
    speed = np.minimum(np.minimum(pace_mps, s.top_speed_mps), _stopping_mps(left_m, step_s, s))
    wanted = heading * speed[:, None]
    after = _limited(velocity, wanted, step_s, s)
    return xy + 0.5 * (velocity + after) * step_s, after


def _stopping_mps(left_m: Floats, step_s: float, s: Settings) -> Floats:
    """The speed from which he still stops in time, one step ahead."""
    b = s.deceleration_mps2
    return np.asarray(np.sqrt((b * step_s) ** 2 + 2 * b * left_m) - b * step_s)


def _limited(velocity: Floats, wanted: Floats, step_s: float, s: Settings) -> Floats:
    """The velocity nearest to the wanted one that drive, drag and braking allow."""
    left = float(np.exp(-s.alpha_per_s * step_s))
    free = velocity * left
    drive = wanted - free
    most = s.top_speed_mps * (1 - left)
    after = free + drive * np.minimum(1.0, most / np.maximum(norm(drive), 1e-9))[:, None]
    change, pace = after - velocity, norm(velocity)
    ahead = velocity / np.maximum(pace, 1e-9)[:, None]
    braking = np.minimum((change * ahead).sum(-1), 0.0)
    softer = np.maximum(braking, -s.deceleration_mps2 * step_s) - braking
    after = after + softer[:, None] * ahead
    top = np.maximum(pace, s.top_speed_mps)
    return np.asarray(after * np.minimum(1.0, top / np.maximum(norm(after), 1e-9))[:, None])
