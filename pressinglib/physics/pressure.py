"""Pressure on the player with the ball: how soon somebody is there, or how deep they stand in his zone.

Angles at the player with the ball count from his way to goal (0) to behind him (180). NaN stands for absent
players, who press nobody. The plans rest on `least_arrival`; the zones are published models, for comparison and for
teaching.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib.errors import above_zero, as_known, no_negative_distance
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import bearing_rad
from pressinglib.physics.motion import RUNNING, Running

MODELS = ("arrival", "oval")


def least_arrival(presser_xy: ArrayLike, presser_velocity: ArrayLike, carrier_xy: ArrayLike,
                  running: Running = RUNNING) -> Any:
    """Pressure in seconds: the least arrival time of any opponent at the carrier, without reaction.

    Parameters
    ----------
    presser_xy, presser_velocity : array_like, shape (..., N, 2)
        Who may press.
    carrier_xy : array_like, shape (..., 2)
    running : Running
        The law of running.

    Returns
    -------
    ndarray, shape (...)
        Seconds, less is more pressure; inf where nobody is there.

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
    time = running.time(presser_xy, presser_velocity, np.asarray(carrier_xy, dtype=float)[..., None, :])
    return np.where(np.isnan(time), np.inf, time).min(axis=-1, initial=np.inf)


def oval_reach(angle_deg: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0) -> Any:
    """How far the oval zone reaches by direction: back + (front - back) (z^3 + 0.3 z) / 1.3, z = (1 + cos angle) / 2.

    Examples
    --------
    >>> oval_reach([0, 45, 90, 180]).round(4)
    array([9.    , 7.052 , 4.2692, 3.    ])
    """
    above_zero(front_m=front_m, back_m=back_m)
    front, back = np.asarray(front_m, dtype=float), np.asarray(back_m, dtype=float)
    z = (1.0 + np.cos(np.radians(np.asarray(angle_deg, dtype=float)))) / 2.0
    return (back + (front - back) * (z * z * z + 0.3 * z) / 1.3)[()]


def oval_pressure(distance_m: ArrayLike, angle_deg: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0,
                  q: float = 1.75) -> Any:
    """Pressure of a player in percent: 100 (1 - distance / reach)^q inside the oval zone, 0 outside.

    Andrienko et al. 2017, Data Min Knowl Disc 31:1793-1839, 10.1007/s10618-017-0513-2 (grade A; the formula as restated
    by Forcher et al. 2026, 10.1515/jqas-2025-0053, 9 m and 3 m second-hand).

    Examples
    --------
    >>> oval_pressure([3, 2, 2], [0, 90, 180]).round(2)
    array([49.19, 33.09, 14.62])
    """
    above_zero(q=q)
    no_negative_distance(distance_m=distance_m)
    share = np.asarray(distance_m, dtype=float) / oval_reach(angle_deg, front_m, back_m)
    return (100.0 * np.maximum(1.0 - share, 0.0) ** q)[()]


def total_oval(presser_xy: ArrayLike, carrier_xy: ArrayLike, goal_xy: ArrayLike, front_m: ArrayLike = 9.0,
               back_m: ArrayLike = 3.0) -> Any:
    """Sum (...) of `oval_pressure` over players (..., N, 2), percent; may pass 100. `goal_xy` is the one he attacks.

    Examples
    --------
    >>> total_oval([(-3, 0), (0, 2)], (0, 0), (-52.5, 0)).round(2)
    np.float64(82.27)
    """
    carrier = np.asarray(carrier_xy, dtype=float)
    off = np.asarray(presser_xy, dtype=float) - carrier[..., None, :]
    angle = np.degrees(bearing_rad((np.asarray(goal_xy, dtype=float) - carrier)[..., None, :], off))
    front, back = (np.asarray(reach, dtype=float)[..., None] for reach in (front_m, back_m))
    return np.nansum(oval_pressure(np.hypot(off[..., 0], off[..., 1]), angle, front, back), axis=-1)


def goal_oval(goal_distance_m: ArrayLike, in_box: ArrayLike = False) -> tuple[Any, Any]:
    """Reach of the oval zone, ahead and behind, by the carrier's distance G to goal: 0.02 G + 6.9 and a third of it.

    Herold et al. 2022, J Sports Sci 40(12), 10.1080/02640414.2022.2081405 (grade A, as restated by Forcher et al. 2026;
    that in the penalty area it is the distance which is halved, not the zone, is our reading). At 105 m it is the zone
    of Andrienko et al.

    Examples
    --------
    >>> front_m, back_m = goal_oval([52.5, 105.0])
    >>> front_m.round(2), back_m.round(2)
    (array([7.95, 9.  ]), array([2.65, 3.  ]))
    """
    no_negative_distance(goal_distance_m=goal_distance_m)
    counted = np.asarray(goal_distance_m, dtype=float) * np.where(np.asarray(in_box, dtype=bool), 0.5, 1.0)
    front = 0.02 * counted + 6.9
    return front[()], (front / 3.0)[()]


def zone_pressure(distance_m: ArrayLike, angle_deg: ArrayLike, reach_m: tuple[float, float, float] = (4.0, 3.0, 2.0),
                  borders_deg: tuple[float, float] = (45.0, 135.0), steepness: float = 1.5) -> Any:
    """Pressure (...), 0 to 1, of players (..., N) by the zone each stands in, in front, at the side or behind.

    In the manner of Link, Lang and Seidenschwarz 2016, PLoS ONE 11(12):e0168768. The kind of zones is theirs (reaches
    from memory); borders and steepness are ours (grade D). So only the order means something: more and nearer players
    press more, and it does not matter who they are.

    Examples
    --------
    >>> zone_pressure([[2.0, 5.0], [2.0, 1.0]], [[0.0, 0.0], [0.0, 90.0]]).round(2)
    array([0.53, 0.83])
    """
    above_zero(reach_m=reach_m, borders_deg=borders_deg, steepness=steepness)
    no_negative_distance(distance_m=distance_m)
    off = np.abs((np.asarray(angle_deg, dtype=float) + 180.0) % 360.0 - 180.0)
    reach = np.where(off <= borders_deg[0], reach_m[0], np.where(off <= borders_deg[1], reach_m[1], reach_m[2]))
    share = np.maximum(1.0 - np.asarray(distance_m, dtype=float) / reach, 0.0)
    return -np.expm1(-steepness * np.nansum(share, axis=-1))


def total_pressure(situation: Situation, model: str = "arrival", running: Running = RUNNING) -> float:
    """Pressure of the whole team on whoever has the ball.

    Parameters
    ----------
    situation : Situation
        Pressed is the receiver while a pass travels, else the carrier, else the place of the ball.
    model : "arrival" or "oval"
        "arrival": seconds until the first is there, less is more pressure. "oval": percent, sum of the directional
        ovals, more is more pressure.
    running : Running
        The law for "arrival", without reaction.

    Returns
    -------
    float

    Raises
    ------
    UnknownName
        For any other model.

    Examples
    --------
    >>> picture = Situation.line_up(ball_xy=(30.0, 10.0)).moved("pressing", "9", (27.0, 10.0))
    >>> print(f"{total_pressure(picture):.2f} s, {total_pressure(picture, 'oval'):.1f} %")
    0.92 s, 48.9 %
    >>> total_pressure(picture, "zone")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: model of pressure: expected one of arrival, oval; got 'zone'. Check the spelling.
    """
    as_known(model, MODELS, "model of pressure")
    pressed = situation.receiver or situation.on_ball
    place = situation.ball_xy if pressed is None else situation.player("possession", pressed).xy
    pressers = [player.xy for player in situation.pressing]
    if model == "oval":
        return float(total_oval(pressers, place, situation.pitch.own_goal_xy))
    return float(least_arrival(pressers, [player.velocity for player in situation.pressing], place, running))
