"""How dangerous a picture is: our own definition (grade D).

    danger = freedom * sum over receivers [p * worth(place) * exp(-pass length / 40)] + worth(ball) * room

All defenders stand still.
"""

from __future__ import annotations

import numpy as np

from pressinglib.physics.ball import lofted_time
from pressinglib.physics.lanes import rest_lane_margins
from pressinglib.roles.marking import PASS_DECAY_M, worth
from pressinglib.roles.picture import Floats, Picture, norm

SOFT_MARGIN_S = 0.25
LOFT_FROM_M = 25.0
AHEAD_M = 4.0
NO_DEFENDER_S = 3.0
FREE_S, FREE_SOFT_S = 0.8, 0.2
LANE_POINTS = 8


def danger(p: Picture, places: Floats) -> Floats:
    """(F,) danger with the pressing team standing still at the places (F, N, 2)."""
    s = p.settings
    places = np.where(p.own_here[..., None], places, np.nan)
    length = norm(p.opp - p.origin[:, None])
    margin = _least(rest_lane_margins(p.origin, p.opp, places, s.reach_m, s.reaction_s, s.ball_mps, LANE_POINTS,
                                      p.own_running).swapaxes(1, 2))
    fly = lofted_time(length, s.switch_mps, 25.0) + s.control_time_s
    gap = norm(places[:, :, None] - p.opp[:, None]) - s.reach_m
    land = p.own_running.at(np.s_[:, :, None]).rest_time(gap, s.reaction_s) - fly[:, None]
    margin = np.where(length > LOFT_FROM_M, np.maximum(margin, _least(land)), margin)
    chance = 1 / (1 + np.exp(np.clip(-margin / SOFT_MARGIN_S, -60, 60)))
    counts = p.opp_here & ~p.is_holder & ~p.offside
    receiver = np.where(counts, np.nan_to_num(worth(p, p.opp) * np.exp(-length / PASS_DECAY_M)), 0.0)
    return np.asarray(_freedom(p, places) * (chance * receiver).sum(-1) + worth(p, p.origin) * _room(p, places))


def _freedom(p: Picture, places: Floats) -> Floats:
    """(F,) from 0.5 with somebody within 1 m of the ball to 1."""
    s = p.settings
    to_ball = _least(p.own_running.rest_time(norm(places - p.origin[:, None]) - 1.0, s.reaction_s))
    pressed = np.clip(-(to_ball - FREE_S) / FREE_SOFT_S, -60, 60)
    return np.asarray(0.5 + 0.5 / (1 + np.exp(pressed)), float)


def _room(p: Picture, places: Floats) -> Floats:
    """(F,) at most 1.5: the time of a goal-side defender to the place ahead of the ball, over 1.5 s."""
    s = p.settings
    ahead = p.origin + p.goal_way * AHEAD_M
    goal_side = norm(places - p.goal) < p.ball_goal_m[:, None]
    ahead_s = np.where(goal_side, p.own_running.rest_time(norm(places - ahead[:, None]), s.reaction_s), NO_DEFENDER_S)
    return np.asarray(np.minimum(1.5, np.minimum(_least(ahead_s), NO_DEFENDER_S) / 1.5), float)


def _least(values: Floats) -> Floats:
    """The least over the defenders (F, N, ...); who is not there does nothing."""
    return np.asarray(np.nan_to_num(values, nan=np.inf, posinf=np.inf).min(1))


def after_running(p: Picture, target: Floats) -> Floats:
    """(F, N, 2) where players are after 2 s of running for their targets (F, N, 2), 0.3 s reaction."""
    s = p.settings
    return p.own_running.reached_xy(p.own, p.own_velocity, target, s.run_time_s, s.reaction_s)


def dangers(p: Picture, spot: Floats) -> tuple[Floats, Floats]:
    """(F,) danger with everybody standing where he is, and after 2 s of running to the spots (F, N, 2)."""
    return danger(p, p.own), danger(p, after_running(p, spot))
