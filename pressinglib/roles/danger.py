"""How dangerous a picture is: our own definition (grade D), which the spots are settled by; replaceable.

    danger = freedom * sum over receivers [p * worth(place) * exp(-pass length / 40)] + worth(ball) * room

All defenders stand still. The parts are kept per defender, so that a search can try one player's places at a time.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from pressinglib.physics.ball import lofted_time
from pressinglib.physics.lanes import rest_lane_margins
from pressinglib.roles.marking import PASS_DECAY_M, worth
from pressinglib.roles.picture import Bools, Floats, Picture, norm

SOFT_MARGIN_S = 0.25
LOFT_FROM_M = 25.0
AHEAD_M = 4.0
NO_DEFENDER_S = 3.0
FREE_S, FREE_SOFT_S = 0.8, 0.2
LANE_POINTS = 8


class Threats(NamedTuple):
    """What each defender at a place does: shapes (F, K, R) for lanes and (F, K) for the ball, K places."""

    ground_s: Floats  # lane margin against a ground pass
    lofted_s: Floats  # lead of the ball at the landing place of a lofted pass
    to_ball_s: Floats  # time to within 1 m of the ball
    ahead_s: Floats  # time of a goal-side defender to the place ahead of the ball, else 3 s


class Stakes(NamedTuple):
    """What is at stake, whatever the defenders do."""

    receiver: Floats  # (F, R) worth times pass length; 0 for offside, absent, and the holder
    long: Bools  # (F, R) True where a lofted pass is possible
    ball: Floats  # (F,) worth of the ball's place


def stakes(p: Picture) -> Stakes:
    """The receivers' worth; nobody offside and not the holder."""
    length = norm(p.opp - p.origin[:, None])
    receiver = worth(p, p.opp) * np.exp(-length / PASS_DECAY_M)
    counts = p.opp_here & ~p.is_holder & ~p.offside
    return Stakes(np.where(counts, np.nan_to_num(receiver), 0.0), length > LOFT_FROM_M, worth(p, p.origin))


def threats(p: Picture, places: Floats) -> Threats:
    """What a defender does from each of the places (F, K, 2), standing still; absent ones (NaN) do nothing."""
    s = p.settings
    ground = rest_lane_margins(p.origin, p.opp, places, s.reach_m, s.reaction_s, s.ball_mps, LANE_POINTS, s.running)
    fly = lofted_time(norm(p.opp - p.origin[:, None]), s.switch_mps, 25.0) + s.control_time_s
    lofted = s.running.rest_time(norm(places[:, :, None] - p.opp[:, None]) - s.reach_m, s.reaction_s) - fly[:, None]
    to_ball = s.running.rest_time(norm(places - p.origin[:, None]) - 1.0, s.reaction_s)
    ahead = p.origin + p.goal_way * AHEAD_M
    goal_side = norm(places - p.goal) < p.ball_goal_m[:, None]
    ahead_s = np.where(goal_side, s.running.rest_time(norm(places - ahead[:, None]), s.reaction_s), NO_DEFENDER_S)
    known = (ground.swapaxes(1, 2), lofted, to_ball, ahead_s)
    return Threats(*(np.nan_to_num(a, nan=np.inf, posinf=np.inf) for a in known))


def danger_of(stake: Stakes, ground_s: Floats, lofted_s: Floats, to_ball_s: Floats, ahead_s: Floats) -> Floats:
    """Danger from the least values over all defenders: margins (F, ..., R), times (F, ...); gives (F, ...)."""
    more = tuple(range(1, ground_s.ndim - 1))
    receiver, ball = np.expand_dims(stake.receiver, more), np.expand_dims(stake.ball, more)
    long = np.expand_dims(stake.long, more)
    margin = np.where(long, np.maximum(ground_s, lofted_s), ground_s)
    chance = 1 / (1 + np.exp(np.clip(-margin / SOFT_MARGIN_S, -60, 60)))
    pressed = np.clip(-(to_ball_s - FREE_S) / FREE_SOFT_S, -60, 60)
    freedom = np.asarray(0.5 + 0.5 / (1 + np.exp(pressed)), float)
    room = np.asarray(np.minimum(1.5, np.minimum(ahead_s, NO_DEFENDER_S) / 1.5), float)
    return np.asarray(freedom * (chance * receiver).sum(-1) + ball * room)


def danger(p: Picture, places: Floats) -> Floats:
    """(F,) danger with the pressing team standing at the places (F, N, 2)."""
    t = threats(p, np.where(p.own_here[..., None], places, np.nan))
    return danger_of(stakes(p), t.ground_s.min(1), t.lofted_s.min(1), t.to_ball_s.min(1), t.ahead_s.min(1))
