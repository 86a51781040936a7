"""Published models for comparison and teaching, by formula; plans rest on none. NaN stands for absent players."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import above_zero, no_negative_distance, not_negative
from pressinglib.physics.lanes import bearing_rad, seen_along

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]


def _floats(*values: ArrayLike) -> list[Array]:
    return [np.asarray(value, dtype=float) for value in values]


def _length(vector: Array) -> Array:
    return np.hypot(vector[..., 0], vector[..., 1])


CONE_HALF_ANGLE_DEG = float(np.degrees(np.arctan(0.1)))

# -- Laws of running beside drive minus drag: over one pass their times differ by almost a factor of two.


def accelerate_then_cruise(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, acceleration_mps2: float = 7.0,
                           top_speed_mps: float = 5.0, reach_m: float = 0.0) -> Array:
    """Seconds (...) to places (..., 2): even acceleration up to a top speed, then an even run, in a straight line.

    Spearman 2018, Beyond expected goals (grade A; from rest). Who moves starts with the part of his velocity that
    points at the place, at most the top speed (own reading, grade D). Who is within reach is there.
    """
    above_zero(acceleration_mps2=acceleration_mps2, top_speed_mps=top_speed_mps)
    not_negative(reach_m=reach_m)
    at, pace, to = _floats(xy, velocity, target_xy)
    distance = _length(to - at)
    toward = ((to - at) * pace).sum(axis=-1) / np.maximum(distance, 1e-12)
    left, start = np.maximum(distance - reach_m, 0.0), np.minimum(toward, top_speed_mps)
    run_up = (top_speed_mps * top_speed_mps - start * start) / (2.0 * acceleration_mps2)
    cruising = (top_speed_mps - start) / acceleration_mps2 + (left - run_up) / top_speed_mps
    sprinting = (np.sqrt(start * start + 2.0 * acceleration_mps2 * left) - start) / acceleration_mps2
    return np.where(left > run_up, cruising, np.where(left == 0.0, 0.0, sprinting))[()]


def react_then_run(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, reaction_s: float = 0.7,
                   speed_mps: float = 5.0, reach_m: float = 0.0) -> Array:
    """Seconds (...) to places (..., 2): his velocity for a while, then an even run straight to the place.

    0.7 s and 5 m/s are widespread in teaching (grade P). Who is within reach at the start is there.
    """
    not_negative(reaction_s=reaction_s, reach_m=reach_m)
    above_zero(speed_mps=speed_mps)
    at, pace, to = _floats(xy, velocity, target_xy)
    left = np.maximum(_length(to - at - reaction_s * pace) - reach_m, 0.0)
    return np.where(_length(to - at) < reach_m, 0.0 * left, reaction_s + left / speed_mps)[()]


# -- Chances: to be there in time, to control the ball, to reach a player.


def interception_probability(time_s: ArrayLike, arrival_s: ArrayLike, sigma_s: float = 0.45) -> Any:
    """Chance that a player is at a place by some time, when he is expected there at another: a logistic law.

    Spearman et al. 2017, Physics-based modeling of pass probabilities in soccer (grade A); sigma its deviation.

    >>> interception_probability([0.0, 1.0], 0.0).round(5)
    array([0.5    , 0.98255])
    """
    above_zero(sigma_s=sigma_s)
    by, there = _floats(time_s, arrival_s)
    return 0.5 + 0.5 * np.tanh((by - there) * (np.pi / (2.0 * np.sqrt(3.0) * sigma_s)))


def control_probability(time_s: ArrayLike, rate_per_s: float = 4.30) -> Any:
    """Chance that a player alone with the ball controls it after some time: 1 - exp(-rate time); the same source."""
    above_zero(rate_per_s=rate_per_s)
    return -np.expm1(-rate_per_s * np.maximum(np.asarray(time_s, dtype=float), 0.0))


def time_to_reach(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, target_velocity: ArrayLike = (0.0, 0.0),
                  reaction_s: float = 0.7, top_speed_mps: float = 12.0) -> Any:
    """Seconds (...) to turn, react, and run at top speed to where the target is after a second; points (..., 2).

    |v1| phi / pi + t + |p2 + v2 - (p1 + v1 t)| / v, phi the angle between v1 and p2 + v2 - p1, t the reaction. Bekkers
    2024, arXiv 2501.04712 (grade B, a preprint; not validated; its term for turning multiplies a speed by a share of a
    half turn, which is no time).
    """
    not_negative(reaction_s=reaction_s)
    above_zero(top_speed_mps=top_speed_mps)
    at, pace, to, leads = _floats(xy, velocity, target_xy, target_velocity)
    way, turn = to + leads - at, np.abs(bearing_rad(pace, to + leads - at)) / np.pi
    return _length(pace) * turn + reaction_s + _length(way - pace * reaction_s) / top_speed_mps


def chance_to_reach(xy: ArrayLike, velocity: ArrayLike, target_xy: ArrayLike, target_velocity: ArrayLike = (0.0, 0.0),
                    within_s: float = 1.5, sigma_s: float = 0.45) -> Any:
    """Chance (...), 0 to 1, that a player reaches another in time, by `time_to_reach`; the same source.

    >>> chance_to_reach((0, 0), [(0, 0), (5, 0)], [(5, 0), (10, 0)]).round(4)
    array([0.8242, 0.7391])
    """
    return interception_probability(within_s, time_to_reach(xy, velocity, target_xy, target_velocity), sigma_s)


def joint_chance(chance: ArrayLike) -> Any:
    """Chance that at least one of several succeeds: 1 - product of (1 - chance) over the last axis; NaN is nobody."""
    return 1.0 - np.nanprod(1.0 - np.asarray(chance, dtype=float), axis=-1)


# -- Pressure by the zone of a player with the ball; angles count from his way to goal (0) to behind him (180).


def oval_reach(angle_deg: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0) -> Any:
    """How far the oval zone reaches: back + (front - back) (z^3 + 0.3 z) / 1.3, z = (1 + cos angle) / 2."""
    above_zero(front_m=front_m, back_m=back_m)
    front, back, angle = _floats(front_m, back_m, angle_deg)
    z = (1.0 + np.cos(np.radians(angle))) / 2.0
    return (back + (front - back) * (z * z * z + 0.3 * z) / 1.3)[()]


def oval_pressure(distance_m: ArrayLike, angle_deg: ArrayLike, front_m: ArrayLike = 9.0, back_m: ArrayLike = 3.0,
                  q: float = 1.75) -> Any:
    """Pressure of a player in percent: 100 (1 - distance / reach)^q inside the oval zone, 0 outside.

    Andrienko et al. 2017, Data Min Knowl Disc 31:1793-1839, 10.1007/s10618-017-0513-2 (grade A; the formula as restated
    by Forcher et al. 2026, 10.1515/jqas-2025-0053, 9 m and 3 m second-hand).

    >>> oval_pressure([3, 2, 2], [0, 90, 180]).round(2)
    array([49.19, 33.09, 14.62])
    """
    above_zero(q=q)
    no_negative_distance(distance_m=distance_m)
    share = np.asarray(distance_m, dtype=float) / oval_reach(angle_deg, front_m, back_m)
    return (100.0 * np.maximum(1.0 - share, 0.0) ** q)[()]


def total_oval(presser_xy: ArrayLike, carrier_xy: ArrayLike, goal_xy: ArrayLike, front_m: ArrayLike = 9.0,
               back_m: ArrayLike = 3.0) -> Any:
    """Sum (...) of `oval_pressure` over players (..., N, 2), percent; may pass 100. `goal_xy` is the one he attacks."""
    pressers, carrier, goal, front, back = _floats(presser_xy, carrier_xy, goal_xy, front_m, back_m)
    off = pressers - carrier[..., None, :]
    angle = np.degrees(bearing_rad((goal - carrier)[..., None, :], off))
    return np.nansum(oval_pressure(_length(off), angle, front[..., None], back[..., None]), axis=-1)


def goal_oval(goal_distance_m: ArrayLike, in_box: ArrayLike = False) -> tuple[Any, Any]:
    """Reach of the oval zone, ahead and behind, by the carrier's distance G to goal: 0.02 G + 6.9 and a third of it.

    Herold et al. 2022, J Sports Sci 40(12), 10.1080/02640414.2022.2081405 (grade A, as restated by Forcher et al. 2026;
    that in the penalty area it is the distance which is halved, not the zone, is our reading). At 105 m it is the zone
    of Andrienko et al.
    """
    no_negative_distance(goal_distance_m=goal_distance_m)
    counted = np.asarray(goal_distance_m, dtype=float) * np.where(np.asarray(in_box, dtype=bool), 0.5, 1.0)
    front = 0.02 * counted + 6.9
    return front[()], (front / 3.0)[()]


def zone_pressure(distance_m: ArrayLike, angle_deg: ArrayLike, reach_m: tuple[float, float, float] = (4.0, 3.0, 2.0),
                  borders_deg: tuple[float, float] = (45.0, 135.0), steepness: float = 1.5) -> Any:
    """Pressure (...), 0 to 1, of players (..., N) by the zone each stands in, in front, at the side or behind.

    In the manner of Link, Lang and Seidenschwarz 2016, PLoS ONE 11(12):e0168768: zones are theirs (reaches from
    memory), borders and steepness ours (grade D). Only the order means something: more and nearer players press more.
    """
    above_zero(reach_m=reach_m, borders_deg=borders_deg, steepness=steepness)
    no_negative_distance(distance_m=distance_m)
    off = np.abs((np.asarray(angle_deg, dtype=float) + 180.0) % 360.0 - 180.0)
    reach = np.where(off <= borders_deg[0], reach_m[0], np.where(off <= borders_deg[1], reach_m[1], reach_m[2]))
    share = np.maximum(1.0 - np.asarray(distance_m, dtype=float) / reach, 0.0)
    return -np.expm1(-steepness * np.nansum(share, axis=-1))


# -- Influence: bell-shaped hills that lean with speed. Fernandez and Bornn 2018, Wide Open Spaces, MIT Sloan Sports
# Analytics Conference (grade A; the radius by distance to the ball is drawn there as a curve, quoted here from memory).


def influence_radius(ball_distance_m: ArrayLike) -> Any:
    """Radius of a player's influence: 4 m beside the ball, 10 m from 18 m on, with the cube of the distance between."""
    return 4.0 + 6.0 * np.minimum(np.asarray(ball_distance_m, dtype=float) / 18.0, 1.0) ** 3


def influence(xy: ArrayLike, velocity: ArrayLike, ball_xy: ArrayLike, places_xy: ArrayLike) -> Any:
    """Influence (..., P, N), 0 to 1, of players (..., N, 2) on places (..., P, 2); 1 half a second ahead of a player.

    A normal density over its peak. Its deviation along the run is half the radius times (1 + s), across it half the
    radius times (1 - s), s the square of (speed / 13 m/s).
    """
    players, pace, ball, places = _floats(xy, velocity, ball_xy, places_xy)
    off = places[..., :, None, :] - (players + 0.5 * pace)[..., None, :, :]
    lean = np.minimum(_length(pace) / 13.0, 0.999) ** 2
    radius = influence_radius(_length(players - ball[..., None, :])) / 2.0
    angle = bearing_rad(pace[..., None, :, :], off)  # of a player at rest 0, and his hill is round
    along = _length(off) * np.cos(angle) / (radius * (1.0 + lean))[..., None, :]
    aside = _length(off) * np.sin(angle) / (radius * (1.0 - lean))[..., None, :]
    return np.nan_to_num(np.exp(-0.5 * (along * along + aside * aside)))


def influence_share(own: ArrayLike, other: ArrayLike) -> Any:
    """Share (...) of a team in a place: the logistic of the difference of summed influences (..., N) and (..., M)."""
    ours, theirs = _floats(own, other)
    return 0.5 + 0.5 * np.tanh((ours.sum(axis=-1) - theirs.sum(axis=-1)) / 2.0)


# -- Passing lanes as shapes, of the ball (..., 2), receivers (..., R, 2) and defenders (..., N, 2), to (..., R, N). On
# real passes they tell much less than a race against the ball: 53 to 57 % balanced accuracy against 67 to 68 %
# (Cascioli, Wang, Stradiotti, Van Roy, Robberechts, Wouters, Jaspers, Davis 2025, Quantifying Off-Ball Defensive Impact
# through Cover Shadows, KU Leuven and RBFA; grade A).


def shadow_half_angle(distance_m: ArrayLike, reach_m: ArrayLike = 1.0) -> Array:
    """Half-angle of a player's shadow seen from the ball, degrees: asin(reach / distance), 90 within his reach.

    >>> shadow_half_angle([2, 5], 0.7).round(4)
    array([20.4873,  8.0478])
    """
    above_zero(reach_m=reach_m)
    distance, reach = _floats(distance_m, reach_m)
    return np.degrees(np.arcsin(reach / np.maximum(distance, reach)))


def in_corridor(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike, width_m: float = 2.0) -> Bools:
    """Whether a defender stands in the strip between passer and receiver; 2 m wide (Cascioli et al. 2025)."""
    above_zero(width_m=width_m)
    between, _, aside = _between(origin_xy, receiver_xy, defender_xy)
    return between & (np.abs(aside) <= width_m / 2.0)


def _between(origin: ArrayLike, receiver: ArrayLike, defender: ArrayLike) -> tuple[Bools, Array, Array]:
    """Who stands between passer and receiver, and how far along and aside."""
    _, length, along, aside = seen_along(origin, receiver, defender)
    return (along >= 0.0) & (along <= length[..., None]), along, aside


def in_cone(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike,
            half_angle_deg: float = CONE_HALF_ANGLE_DEG) -> Bools:
    """Whether a defender stands in the cone from the passer to the receiver, 0.2 m wide a metre (the same source)."""
    above_zero(half_angle_deg=half_angle_deg)
    between, along, aside = _between(origin_xy, receiver_xy, defender_xy)
    return between & (np.degrees(np.abs(np.arctan2(aside, along))) <= half_angle_deg)


def pass_coverage(distance_m: ArrayLike, offset_m: ArrayLike) -> Any:
    """How much a defender covers a lane, percent: 100 (1 - offset / (distance / 2))^1.75, 0 from half the distance on.

    Of his distance from the passer along the lane, and off it. Forcher et al. 2026, J Quant Anal Sports,
    10.1515/jqas-2025-0053 (grade A).

    >>> pass_coverage(10, [1.0, 2.5, 5.0]).round(4)
    array([67.6718, 29.7302,  0.    ])
    """
    no_negative_distance(distance_m=distance_m, offset_m=offset_m)
    distance, offset = _floats(distance_m, offset_m)
    share = offset / np.maximum(distance / 2.0, 1e-300) + 0.0 * distance
    return (100.0 * np.maximum(1.0 - share, 0.0) ** 1.75)[()]


def lane_coverage(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike) -> Any:
    """`pass_coverage` of every lane by every defender; 0 for who is behind the passer or beyond the receiver."""
    between, along, aside = _between(origin_xy, receiver_xy, defender_xy)
    cover = pass_coverage(np.maximum(along, 0.0), np.abs(aside))
    return np.where(between | np.isnan(along), cover, 0.0)


def reception_index(pressure_percent: ArrayLike, coverage_percent: ArrayLike) -> Any:
    """How free a receiver is, percent: 100 less half the pressure on him and half the coverage of his lane.

    As published (Forcher et al. 2026; xPR there). Below 0 where several press him: an index.
    """
    pressure, coverage = _floats(pressure_percent, coverage_percent)
    return 100.0 - (pressure / 2.0 + coverage / 2.0)
