"""Passing lanes: does a defender get to the line of the pass before the ball, what stands in a shadow, who is offside.

A lane is a straight pass along the ground from the ball to a receiver. Its margin against a defender is the least of
(his arrival - the ball's arrival) over the points of the lane: below zero he can cut it out. NaN marks absent players.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput, above_zero, not_negative, shown
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.physics.motion import RUNNING, Running, met_by, race_time

Array = NDArray[np.float64]

FIRST_POINT_M = 1.0


def bearing_rad(way: ArrayLike, off: ArrayLike) -> Array:
    """By how much vectors (..., 2) bear off a way (..., 2), counter-clockwise, -pi to pi; both broadcast."""
    way, off = np.asarray(way, dtype=float), np.asarray(off, dtype=float)
    wx, wy, x, y = way[..., 0], way[..., 1], off[..., 0], off[..., 1]
    return np.arctan2(wx * y - wy * x, wx * x + wy * y)


def seen_along(origin: ArrayLike, receiver: ArrayLike, defender: ArrayLike) -> tuple[Array, Array, Array, Array]:
    """Direction (..., R, 2) and length (..., R) of the lanes; defenders along and aside of them, (..., R, N)."""
    origin = np.asarray(origin, dtype=float)[..., None, :]
    way = np.asarray(receiver, dtype=float) - origin
    length = np.hypot(way[..., 0], way[..., 1])
    # A receiver on the ball has no direction; any will do.
    unit = np.where((length == 0.0)[..., None], (1.0, 0.0), way / np.where(length == 0.0, 1.0, length)[..., None])
    along, aside = turned(unit, np.asarray(defender, dtype=float) - origin)
    return unit, length, along, aside


def turned(unit: Array, vectors: Array) -> tuple[Array, Array]:
    """Parts of vectors (..., N, 2) along and to the left of the directions (..., R, 2): two arrays (..., R, N)."""
    ux, uy = unit[..., :, None, 0], unit[..., :, None, 1]
    x, y = vectors[..., None, :, 0], vectors[..., None, :, 1]
    return ux * x + uy * y, ux * y - uy * x


def lane_points(length: Array, points: int, own: Array) -> Array:
    """Distances along the lane (..., points, R, N): shared ones, and each defender's own, kept on the lane."""
    first = np.minimum(length, FIRST_POINT_M)
    share = np.linspace(0.0, 1.0, points - 1)[:, None]
    place = np.empty((*own.shape[:-2], points, *own.shape[-2:]))
    place[..., :-1, :, :] = (first[..., None, :] + (length - first)[..., None, :] * share)[..., None]
    place[..., -1, :, :] = np.minimum(np.maximum(own, first[..., None]), length[..., None])
    return place


def shadowed(presser_xy: ArrayLike, ball_xy: ArrayLike, points_xy: ArrayLike, half_angle_deg: ArrayLike) -> Any:
    """Which points (..., P, 2) lie in a player's shadow: farther from the ball than he, within an angle of his line.

    Of the player who casts it and the ball, (..., 2), and the half-angle (...) in degrees, up to 90; bool (..., P),
    False for absent players and points.

    >>> shadowed((2, 0), (0, 0), [(10, 1), (10, 5), (1, 0)], 20.0)
    array([ True, False, False])
    """
    ball = np.asarray(ball_xy, dtype=float)
    axis = (np.asarray(presser_xy, dtype=float) - ball)[..., None, :]
    way = np.asarray(points_xy, dtype=float) - ball[..., None, :]
    axis_m, way_m = np.hypot(axis[..., 0], axis[..., 1]), np.hypot(way[..., 0], way[..., 1])
    along = (axis * way).sum(axis=-1)
    limit = np.cos(np.radians(np.asarray(half_angle_deg, dtype=float)))[..., None]
    return (along >= axis_m * way_m * limit) & (way_m > axis_m) & (axis_m > 0.0)


def gap_limit(distance_m: ArrayLike, reach_m: float = 1.0, ball_mps: float = 15.0, reaction_s: float = 0.3,
              player_mps: float = 5.0) -> Array:
    """Widest gap in metres that its two neighbours still close: 2 (reach + max(0, distance / ball - reaction) player).

    Of its distance from the passer; the pass is straight and without drag. A teaching rule (grade D, own arithmetic):
    whether a pass gets through is the answer of `lane_margins`.

    >>> gap_limit([5, 10, 15]).round(1)
    array([2.3, 5.7, 9. ])
    """
    not_negative(reach_m=reach_m, reaction_s=reaction_s, player_mps=player_mps)
    above_zero(ball_mps=ball_mps)
    spare = np.asarray(distance_m, dtype=float) / ball_mps - reaction_s
    return 2.0 * (reach_m + np.maximum(spare, 0.0) * player_mps)


def lane_margins(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike, defender_velocity: ArrayLike,
                 reach_m: float = 0.9, reaction_s: float = 0.3, ball_mps: float = 15.0, points: int = 12,
                 running: Running = RUNNING) -> Array:
    """Seconds (..., R, N) by which each defender is too late for each lane; negative: he cuts it out.

    The least of (arrival of the defender within reach - arrival of the ball) over the lane from the passer (..., 2) to
    a receiver (..., R, 2), of defenders at (..., N, 2) with their velocities. `ball_mps` is the speed off the foot,
    `points` how many places are looked at, at least 3. Absent defenders +inf, absent receivers NaN.

    All but one point are spread evenly from 1 m off the passer's foot to the receiver; the last is beside the defender
    where he comes nearest to the line of the pass while he reacts, so that nobody slips between two. Against hundreds
    of points the margin of 12 is never too small, and too large by 0.004 s in the mean, by less than 0.08 s in 99 of
    100 random lanes.

    >>> lane_margins((0, 0), [(20, 0)], [(10, 0), (10, 9)], [(0, 0), (0, 0)]).round(2)
    array([[-0.75,  1.09]])
    """
    _check(reach_m, reaction_s, points)
    place, race = _race_to_lane(origin_xy, receiver_xy, defender_xy, defender_velocity, reach_m, reaction_s, points,
                                running)
    return _least_margin(race_time(*race) - ball_time(place, ball_mps), defender_xy)


def cut_out(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike, defender_velocity: ArrayLike,
            within_s: float, reach_m: float, reaction_s: float, ball_mps: float,
            running: Running = RUNNING) -> NDArray[np.bool_]:
    """(..., R, N) which margins of `lane_margins` are at most so many seconds, many times faster."""
    lane = origin_xy, receiver_xy, defender_xy, defender_velocity
    place, race = _race_to_lane(*lane, reach_m, reaction_s, 12, running)
    return np.asarray(met_by(ball_time(place, ball_mps) + within_s, *race).any(axis=-3))


def _race_to_lane(origin: ArrayLike, receiver: ArrayLike, defender: ArrayLike, velocity: ArrayLike, reach_m: float,
                  reaction_s: float, points: int, running: Running) -> tuple[Array, list[Any]]:
    """The points of the lanes, and each defender's race to them, along and aside of the lane."""
    unit, length, along, aside = seen_along(origin, receiver, defender)
    pace, aside_pace = turned(unit, np.asarray(velocity, dtype=float))
    nearest_s = np.clip(-aside * aside_pace / np.maximum(aside_pace * aside_pace, 1e-12), 0.0, reaction_s)
    place = lane_points(length, points, along + pace * nearest_s)
    along, aside, pace, aside_pace = (part[..., None, :, :] for part in (along, aside, pace, aside_pace))
    top_speed = running.at(np.s_[..., None, None, :]).top_speed_mps
    return place, [place - along, -aside, pace, aside_pace, running.alpha_per_s, top_speed, reaction_s, reach_m]


def rest_lane_margins(origin_xy: ArrayLike, receiver_xy: ArrayLike, defender_xy: ArrayLike, reach_m: float = 0.9,
                      reaction_s: float = 0.3, ball_mps: float = 15.0, points: int = 12,
                      running: Running = RUNNING) -> Array:
    """`lane_margins` of defenders who stand still, several times faster: for a search over many places.

    Arrival times are those of `Running.rest_time`, within 1e-5 s / alpha.

    >>> rest_lane_margins((0, 0), [(20, 0)], [(10, 0), (10, 9)]).round(2)
    array([[-0.75,  1.09]])
    """
    _check(reach_m, reaction_s, points)
    _, length, along, aside = seen_along(origin_xy, receiver_xy, defender_xy)
    place = lane_points(length, points, along)
    gap = place - along[..., None, :, :]
    np.multiply(gap, gap, out=gap)
    gap += (aside * aside)[..., None, :, :]
    np.sqrt(gap, out=gap)
    gap -= reach_m
    late = running.at(np.s_[..., None, None, :]).rest_time(gap, reaction_s)
    late -= ball_time(place, ball_mps)
    return _least_margin(late, defender_xy)


def offside_line_m(situation: Situation) -> float:
    """Where the offside line of the team in possession runs: x in metres; beyond it is a smaller x, level is onside.

    IFAB Laws of the Game, Law 11 (grade A), judged by the points where players stand. There is no offside offence
    straight from a goal kick, a throw-in or a corner kick; the line is given all the same.

    >>> offside_line_m(Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(-50.0, 30.0)))
    -50.0
    """
    own_x = [player.xy[0] for player in situation.pressing]
    return float(offside_line_x(own_x, situation.ball_xy[0], -situation.pitch.length_m / 2.0))


def offside_line_x(own_x: ArrayLike, ball_x: ArrayLike, goal_line_x: ArrayLike = -52.5) -> Any:
    """`offside_line_m` on arrays (...): the nearest to the goal of second-last defender, ball and halfway line.

    Of x (..., N) of the team that defends the goal at negative x, its goalkeeper included (NaN where absent), of the
    ball, and of that goal line. A defender behind the goal line counts as on it (Law 11). With fewer than two defenders
    only ball and halfway line are left (own reading of the law).

    >>> offside_line_x([-50, -20, -18, 5], [10, -30])
    array([-20., -30.])
    """
    own = np.asarray(own_x, dtype=float)
    ball = np.asarray(ball_x, dtype=float)
    if own.shape[-1] >= 2:
        # NaN sorts last in both steps, so a missing second-last defender stays NaN and fmin passes it over.
        ball = np.where(np.isnan(ball), ball, np.fmin(ball, np.partition(own, 1, axis=-1)[..., 1]))
    return np.maximum(np.minimum(ball, 0.0), goal_line_x)


def lane_state(margin_s: ArrayLike, open_s: float = 0.2, closed_s: float = -0.2) -> NDArray[np.str_]:
    """Words for margins in seconds: "open" above one threshold, "closed" below the other, else "contested"; "" for NaN.

    >>> lane_state([0.5, 0.2, -0.5])
    array(['open', 'contested', 'closed'], dtype='<U9')
    """
    margin = np.asarray(margin_s, dtype=float)
    words = np.where(margin > open_s, "open", np.where(margin < closed_s, "closed", "contested"))
    return np.where(np.isnan(margin), "", words)


def _check(reach: float, reaction: float, points: int) -> None:
    not_negative(reach_m=reach, reaction_s=reaction)
    if points < 3:
        raise BadInput("points", expected="at least 3", got=shown(points), todo="look at more points of a lane")


def _least_margin(late: Array, defender: ArrayLike) -> Array:
    """Least over the points of the lane; a defender who is not there never comes."""
    absent = np.isnan(np.asarray(defender, dtype=float)[..., None, :, 0])
    return np.where(absent, np.inf, late.min(axis=-3))
