"""The goalkeeper: on the ball-goal line, high enough for the ball over the top, not so high as to be chipped."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import arrival_time, rest_arrival_time
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Floats, Picture, norm, unit
from pressinglib.roles.vocabulary import BACK_LINE

HEIGHTS_M = np.arange(1.0, 26.0)
LANDING_BEHIND_M = np.array([6.0, 12.0, 18.0, 24.0])  # how far behind the line the ball over the top lands
CHIP_MPS, CHIP_DEG = 18.0, 45.0
CATCH_M = 1.5  # reach of a goalkeeper at full stretch (P)
BEHIND_LINE_M = 8.0  # he keeps this room to his line: his to sweep (D)
SOFT = 0.35  # how sharply the best height is chosen, in races won (D)


def place_goalkeeper(p: Picture, d: Decisions) -> Floats:
    """(F, 2) the height that wins most races to the ball over the top among those from which he is not chipped.

    Heights that win about as often are averaged, so that he does not jump by a metre for nothing.
    """
    way = unit(p.origin - p.goal)
    places = p.goal + way[:, None] * HEIGHTS_M[:, None]
    score = _races_won(p, d, places) - 4.0 * _chipped(p)
    weight = np.exp((score - score.max(1, keepdims=True)) / SOFT)
    height = (weight * HEIGHTS_M).sum(1) / weight.sum(1)
    height = np.minimum(height, np.maximum(p.ball_goal_m - 2.0, 0.5))
    height = np.minimum(height, np.maximum(_line_height_m(p, d) - BEHIND_LINE_M, 1.0))
    return p.pitch.inside(p.goal + way * height[:, None], 0.5)


def _line_height_m(p: Picture, d: Decisions) -> Floats:
    """(F,) how far the deepest anchor of the back line is from the goal line."""
    x = np.where(d.role == BACK_LINE, d.anchor[..., 0], np.inf).min(1)
    return np.where(np.isfinite(x), x + p.pitch.length_m / 2, np.inf)


def _races_won(p: Picture, d: Decisions, places: Floats) -> Floats:
    """(F, H) soft number of landing places that the keeper reaches before any runner."""
    landing = _landing_places(p, d)
    s = p.settings
    fly = lofted_time(norm(landing - p.origin[:, None]), s.switch_mps, 25.0)
    runner = arrival_time(p.opp[:, :, None], p.opp_velocity[:, :, None], landing[:, None], s.alpha_per_s,
                          s.top_speed_mps)
    runs = p.opp_here & ~p.opp_keeper & ~p.offside & ~p.is_holder
    first = np.maximum(np.where(runs[..., None], runner, np.inf).min(1), fly)
    gap = np.maximum(norm(places[:, :, None] - landing[:, None]) - s.reach_m, 0.0)
    keeper = rest_arrival_time(gap, s.alpha_per_s, s.top_speed_mps) + s.reaction_s
    return np.asarray((1 / (1 + np.exp(np.clip((keeper - first[:, None]) / 0.3, -50, 50)))).sum(-1))


def _landing_places(p: Picture, d: Decisions) -> Floats:
    """(F, L, 2) places behind the back line, in the middle and in the two channels, in front of the goal line."""
    x = np.where(p.back, p.own[..., 0], np.inf).min(1)
    line = np.where(np.isfinite(x), x, -p.pitch.length_m / 2 + 16.5)[:, None] - LANDING_BEHIND_M
    across = np.array([-14.0, 0.0, 14.0]) + 0.3 * p.origin[:, 1:2]
    x3 = np.repeat(np.maximum(line, -p.pitch.length_m / 2 + 2.0), 3, axis=1)
    return np.stack([x3, np.tile(across, (1, len(LANDING_BEHIND_M)))], axis=-1)


def _chipped(p: Picture) -> Floats:
    """(F, H) 1 where he cannot get back before a chip drops under the bar, 0 where he can, with a short fade."""
    s = p.settings
    fly = lofted_time(p.ball_goal_m, CHIP_MPS, CHIP_DEG)
    back = rest_arrival_time(np.maximum(HEIGHTS_M - CATCH_M, 0.0), s.alpha_per_s, s.top_speed_mps) + s.reaction_s
    return np.asarray(np.clip((back - fly[:, None]) / 0.3, 0.0, 1.0))
