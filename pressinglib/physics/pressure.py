"""Pressure on the player with the ball: how soon somebody is there, or how deep they stand in his zone.

NaN stands for absent players, who press nobody.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib.errors import UnknownName
from pressinglib.field.situation import Situation
from pressinglib.physics.motion_models import MotionModel, drive_minus_drag
from pressinglib.physics.named import NamedNumber, from_to, named
from pressinglib.physics.pressure_zones import oval_pressure

MODELS = ("arrival", "oval")


def least_arrival(
    presser_xy: ArrayLike, presser_velocity: ArrayLike, carrier_xy: ArrayLike, motion: MotionModel | None = None
) -> Any:
    """Pressure in seconds: the least arrival time of any opponent at the carrier.

    Parameters
    ----------
    presser_xy, presser_velocity : array_like, shape (..., N, 2)
        Who may press.
    carrier_xy : array_like, shape (..., 2)
        The carrier.
    motion : MotionModel, optional
        Default: `drive_minus_drag()` without reaction.

    Returns
    -------
    ndarray, shape (...)
        Seconds, less is more pressure; inf where nobody is there. `model` names the law of running.

    Notes
    -----
    Narizuka et al. 2026, arXiv 2606.09452 (grade B, a preprint), with the library's own pair of parameters.

    Examples
    --------
    >>> least_arrival([(5, 0), (0, 10)], [(0, 0), (0, 0)], (0, 0)).round(3)
    np.float64(1.261)
    >>> least_arrival([(float("nan"), 0)], [(0, 0)], (0, 0))
    np.float64(inf)
    """
    carrier = np.asarray(carrier_xy, dtype=float)[..., None, :]
    motion = motion or drive_minus_drag()
    time = motion.clock(presser_xy, presser_velocity, carrier)
    return named(np.where(np.isnan(time), np.inf, time).min(axis=-1, initial=np.inf), motion.name)


def total_oval(
    presser_xy: ArrayLike, carrier_xy: ArrayLike, goal_xy: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0
) -> Any:
    """Sum of `oval_pressure` over all players.

    Parameters
    ----------
    presser_xy : array_like, shape (..., N, 2)
        Who may press.
    carrier_xy, goal_xy : array_like, shape (..., 2)
        The carrier, and the centre of the goal he attacks.
    front_m, back_m : array_like, shape (...)
        Reach of the zone.

    Returns
    -------
    ndarray, shape (...)
        Percent; may pass 100. `model` names the zone.

    Examples
    --------
    >>> total_oval([(-3, 0), (0, 2)], (0, 0), (-52.5, 0)).round(2)
    np.float64(82.27)
    >>> total_oval([(0, 0)], (0, 0), (-52.5, 0))
    np.float64(100.0)
    """
    carrier = np.asarray(carrier_xy, dtype=float)
    off = np.asarray(presser_xy, dtype=float) - carrier[..., None, :]
    goal_way = (np.asarray(goal_xy, dtype=float) - carrier)[..., None, :]
    cross = goal_way[..., 0] * off[..., 1] - goal_way[..., 1] * off[..., 0]
    angle = np.degrees(np.arctan2(cross, (goal_way * off).sum(axis=-1)))
    front, back = (np.asarray(reach, dtype=float)[..., None] for reach in (front_m, back_m))
    pressure = oval_pressure(np.hypot(off[..., 0], off[..., 1]), angle, front, back)
    return named(np.nansum(pressure, axis=-1), f"oval, {from_to(front_m)} m ahead, {from_to(back_m)} m behind")


def total_pressure(
    situation: Situation, model: str = "arrival", motion: MotionModel | None = None
) -> NamedNumber:
    """Pressure of the whole team on whoever has the ball.

    Parameters
    ----------
    situation : Situation
        The picture. Pressed is the receiver while a pass travels, else the carrier, else the place of the ball.
    model : "arrival" or "oval"
        "arrival": seconds until the first is there, less is more pressure. "oval": percent, sum of the directional
        ovals, more is more pressure.
    motion : MotionModel, optional
        Law of running for "arrival". Default: drive minus drag (1.3 /s, 7.8 m/s), no reaction.

    Returns
    -------
    float
        Its `model` says what it rests on.

    Raises
    ------
    UnknownName
        For any other model.

    Examples
    --------
    >>> picture = Situation.line_up(ball_xy=(30.0, 10.0)).moved("pressing", "9", (27.0, 10.0))
    >>> pressure = total_pressure(picture)
    >>> print(f"{pressure:.2f} s by {pressure.model}; {total_pressure(picture, 'oval'):.1f} %")
    0.92 s by drive minus drag, 1.3 /s, 7.8 m/s; 48.9 %
    >>> total_pressure(picture, "zone")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: model of pressure: expected one of arrival, oval; got 'zone'. Check the spelling.
    """
    if model not in MODELS:
        raise UnknownName("model of pressure", model, MODELS)
    pressed = situation.receiver or situation.on_ball
    place = situation.ball_xy if pressed is None else situation.player("possession", pressed).xy
    pressers = [player.xy for player in situation.pressing]
    if model == "oval":
        return total_oval(pressers, place, situation.pitch.own_goal_xy)
    return least_arrival(pressers, [player.velocity for player in situation.pressing], place, motion)
