"""Zones of pressure around the player with the ball, as published.

Angles are seen from the carrier: 0 degrees is on his way to goal, 180 behind him. NaN stands for absent players, who
press nobody.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib.physics.parameters import above_zero, no_negative_distance


def oval_reach(angle_deg: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0) -> Any:
    """How far the oval zone reaches from the carrier, by direction.

    Parameters
    ----------
    angle_deg : array_like
        Off his way to goal.
    front_m, back_m : array_like
        Reach on his way to goal, and behind him.

    Returns
    -------
    ndarray
        Metres: back + (front - back) (z^3 + 0.3 z) / 1.3 with z = (1 + cos angle) / 2.

    Examples
    --------
    >>> oval_reach([0, 45, 90, 180]).round(4)
    array([9.    , 7.052 , 4.2692, 3.    ])
    >>> oval_reach(90.0, front_m=4.0, back_m=4.0)
    np.float64(4.0)
    """
    above_zero(front_m=front_m, back_m=back_m)
    front, back = np.asarray(front_m, dtype=float), np.asarray(back_m, dtype=float)
    z = (1.0 + np.cos(np.radians(np.asarray(angle_deg, dtype=float)))) / 2.0
    return (back + (front - back) * (z * z * z + 0.3 * z) / 1.3)[()]


def oval_pressure(
    distance_m: ArrayLike, angle_deg: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0, q: float = 1.75
) -> Any:
    """Pressure of a player who is some way from the carrier, in percent.

    Parameters
    ----------
    distance_m, angle_deg : array_like
        From the carrier to the presser, and off the carrier's way to goal.
    front_m, back_m : array_like
        Reach of the zone; `goal_oval` gives that of the variant by distance to goal.
    q : float
        How steeply pressure falls.

    Returns
    -------
    ndarray
        0 to 100: 100 (1 - distance / reach)^q inside the zone, 0 outside, NaN for absent players.

    Notes
    -----
    Andrienko et al. 2017, Data Min Knowl Disc 31:1793-1839, 10.1007/s10618-017-0513-2 (grade A; the formula as restated
    by Forcher et al. 2026, 10.1515/jqas-2025-0053, 9 m and 3 m second-hand).

    Examples
    --------
    >>> oval_pressure([3, 2, 2], [0, 90, 180]).round(2)
    array([49.19, 33.09, 14.62])
    >>> oval_pressure(9.0, 0.0)
    np.float64(0.0)
    """
    above_zero(q=q)
    no_negative_distance(distance_m=distance_m)
    share = np.asarray(distance_m, dtype=float) / oval_reach(angle_deg, front_m, back_m)
    return (100.0 * np.maximum(1.0 - share, 0.0) ** q)[()]


def goal_oval(goal_distance_m: ArrayLike, in_box: ArrayLike = False) -> tuple[Any, Any]:
    """Reach of the oval zone by the carrier's distance to the goal he attacks.

    Parameters
    ----------
    goal_distance_m : array_like
        Metres from the carrier to goal.
    in_box : array_like of bool
        Whether he is in the penalty area: his distance then counts half.

    Returns
    -------
    front_m, back_m : ndarray
        0.02 G + 6.9 and a third of it, G the distance.

    Notes
    -----
    Herold et al. 2022, J Sports Sci 40(12), 10.1080/02640414.2022.2081405 (grade A, as restated by Forcher et al. 2026;
    that it is the distance which is halved, not the zone, is our reading). At 105 m it is the zone of Andrienko et al.

    Examples
    --------
    >>> front_m, back_m = goal_oval([52.5, 105.0])
    >>> front_m.round(2), back_m.round(2)
    (array([7.95, 9.  ]), array([2.65, 3.  ]))
    >>> goal_oval(10.0, in_box=True)[0].round(2)
    np.float64(7.0)
    """
    no_negative_distance(goal_distance_m=goal_distance_m)
    counted = np.asarray(goal_distance_m, dtype=float) * np.where(np.asarray(in_box, dtype=bool), 0.5, 1.0)
    front = 0.02 * counted + 6.9
    return front[()], (front / 3.0)[()]


def zone_pressure(
    distance_m: ArrayLike,
    angle_deg: ArrayLike,
    reach_m: tuple[float, float, float] = (4.0, 3.0, 2.0),
    borders_deg: tuple[float, float] = (45.0, 135.0),
    steepness: float = 1.5,
) -> Any:
    """Pressure of several players by the zone of the carrier that each stands in.

    Parameters
    ----------
    distance_m, angle_deg : array_like, shape (..., N)
        From the carrier to each player, and off the carrier's way to goal.
    reach_m : three floats
        Of the zones in front, at the side and behind.
    borders_deg : two floats
        Between front and side, and between side and behind.
    steepness : float
        k in 1 - exp(-k sum).

    Returns
    -------
    ndarray, shape (...)
        0 to 1.

    Notes
    -----
    In the manner of Link, Lang and Seidenschwarz 2016, PLoS ONE 11(12):e0168768. The kind of zones is theirs (reaches
    from memory); borders and steepness are ours (grade D). So only the order means something: more and nearer players
    press more, and it does not matter who they are.

    Examples
    --------
    >>> zone_pressure([[2.0, 5.0], [2.0, 1.0]], [[0.0, 0.0], [0.0, 90.0]]).round(2)
    array([0.53, 0.83])
    >>> zone_pressure([2.5], [180.0])
    np.float64(0.0)
    """
    above_zero(reach_m=reach_m, borders_deg=borders_deg, steepness=steepness)
    no_negative_distance(distance_m=distance_m)
    off = np.abs((np.asarray(angle_deg, dtype=float) + 180.0) % 360.0 - 180.0)
    reach = np.where(off <= borders_deg[0], reach_m[0], np.where(off <= borders_deg[1], reach_m[1], reach_m[2]))
    share = np.maximum(1.0 - np.asarray(distance_m, dtype=float) / reach, 0.0)
    return -np.expm1(-steepness * np.nansum(share, axis=-1))
