"""The far side: who guards it, and how far he may tuck in."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.ball import lofted_time
from pressinglib.roles.decisions import Decisions, is_player
from pressinglib.roles.marking import LONG_RUN_M, marked
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Bools, Floats, Ints, Picture, norm, pick, unit
from pressinglib.roles.vocabulary import NOBODY

FAR_M = 20.0  # so far across from the ball is the far side (D)
GOAL_SIDE_M = 0.5


def far_man(p: Picture, mark: Ints) -> Ints:
    """(F,) the widest opponent on the far side whom nobody marks and no back-line player reaches in time; -1 none."""
    y = p.opp[..., 1]
    far = (y < np.minimum(p.origin[:, 1:] - FAR_M, 0.0)) & ~p.opp_keeper & ~p.offside & ~marked(p, mark) & ~p.is_holder
    width = np.where(far & ~_reached_by_line(p), -y, -np.inf)
    return np.where(np.isfinite(width.max(1)), width.argmax(1), NOBODY)


def switch_s(p: Picture) -> Floats:
    """(F, M) time of a switch to each opponent, with his first touch."""
    s = p.settings
    return np.asarray(lofted_time(norm(p.opp - p.origin[:, None]), s.switch_mps, SWITCH_ANGLE_DEG) + s.control_time_s)


def _reached_by_line(p: Picture) -> Bools:
    time = np.where(p.back[..., None], p.marking_s, np.inf).min(1)
    return np.asarray(time <= switch_s(p))


def limit_m(p: Picture, man: Ints) -> Floats:
    """(F,) how far from the far-side man his guard may stand and still reach him when the switch does; inf if none.

    From rest, 0.3 s reaction, reach 0, margin 0 (own arithmetic from a lofted ball of 28 m/s at 25 degrees).
    """
    s = p.settings
    run_s = np.maximum(pick(switch_s(p), man) - s.reaction_s, 0.0)
    run_m = s.top_speed_mps * (run_s - (1 - np.exp(-s.alpha_per_s * run_s)) / s.alpha_per_s)
    return np.where(man >= 0, run_m, np.inf)


def guard_spots(p: Picture, reference: Floats, man: Ints, limit: Floats) -> Floats:
    """(F, N, 2) reference places drawn out just far enough to keep the far-side man in reach, and goal-side of him."""
    there = pick(p.opp, man)[:, None]
    away = reference - there
    spot = there + unit(away) * np.minimum(norm(away), limit[:, None])[..., None]
    spot[..., 0] = np.minimum(spot[..., 0], there[..., 0] - GOAL_SIDE_M)
    return p.pitch.inside(np.where((man >= 0)[:, None, None], spot, reference), 0.5)


def choose_far_guard(p: Picture, d: Decisions, pool: Bools, spots: Floats) -> Bools:
    """(F, N) mask of the one player of the pool who is soonest at his far-side spot; nobody where all would be late."""
    there = np.where(d.far_man >= 0, pick(switch_s(p), d.far_man), 0.0)[:, None]
    time = np.where(pool, p.own_arrival(spots), np.inf)
    time = np.where((norm(spots - p.own) <= LONG_RUN_M) | (time <= there), time, np.inf)
    first = is_player(time.argmin(1), pool.shape[1])
    return np.asarray(first & np.isfinite(time) & (d.far_man >= 0)[:, None])
