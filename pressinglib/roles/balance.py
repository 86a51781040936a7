"""What balance is made of: the far side and how far it may tuck in, the block, the way back to it, the gaps."""

from __future__ import annotations

import numpy as np

from pressinglib.field.zonal_block import block_xy
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.lanes import bearing_rad, gap_limit
from pressinglib.roles.decisions import Decisions, Gaps, is_player
from pressinglib.roles.marking import BEHIND_BALL_M, held_by_line, in_shadow, marked, worth
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Bools, Floats, Ints, Picture, norm, pick, unit
from pressinglib.roles.presser import confrontation_x
from pressinglib.roles.settings import COVER, NOBODY, PRESSURE

FAR_M = 20.0  # so far across from the ball is the far side (D)
GOAL_SIDE_M = 0.5
LONG_RUN_M = 20.0  # nobody runs further to a man (P)


def far_man(p: Picture, mark: Ints) -> Ints:
    """(F,) the widest opponent on the far side, not behind the ball, whom neither a marker nor the line reaches; -1."""
    y = p.opp[..., 1]
    far = (y < np.minimum(p.origin[:, 1:] - FAR_M, 0.0)) & ~p.opp_keeper & ~p.offside & ~marked(p, mark) & ~p.is_holder
    far = far & (p.opp_goal_m <= p.ball_goal_m[:, None] + BEHIND_BALL_M)
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
    return np.where(man >= 0, s.running.covered_m(pick(switch_s(p), man) - s.reaction_s), np.inf)


def guard_spots(p: Picture, reference: Floats, man: Ints, limit: Floats) -> Floats:
    """(F, N, 2) reference places drawn out just far enough to keep the far-side man in reach, and goal-side of him."""
    there = pick(p.opp, man)[:, None]
    away = reference - there
    spot = there + unit(away) * np.minimum(norm(away), limit[:, None])[..., None]
    spot[..., 0] = np.minimum(spot[..., 0], there[..., 0] - GOAL_SIDE_M)
    return p.pitch.inside(np.where((man >= 0)[:, None, None], spot, reference), 0.5)


# -- The block, and the way back to it.

NEAR_POST_M = 3.66
PENALTY_MARK_M = 11.0


def block_reference(p: Picture, leaves_line: Bools) -> Floats:
    """(F, N, 2) places in the zonal block; those who leave the line are left out and the others close up.

    Near the own goal line the block shifts less: the middle of the box comes first (common practice).
    """
    s, half = p.settings, p.pitch.length_m / 2
    line = np.where(leaves_line, -1, p.line)
    shift = np.interp(p.focus[:, 0], [-half + 5, -half + 25], [0.4, 1.0])
    ball = p.focus * np.stack([np.ones_like(shift), shift], axis=-1)
    xy = block_xy(line, np.nan_to_num(p.own[..., 1]), ball, p.pitch.length_m, p.pitch.width_m,
                  block_length_m=s.block_length_m, block_width_m=s.block_width_m, back_gap_m=s.back_gap_m,
                  front_gap_m=s.front_gap_m, shift=s.lateral_shift, confrontation_x=confrontation_x(p))
    return np.where(np.isfinite(xy), xy, p.own)


def recovery_spots(p: Picture) -> Floats:
    """(F, N, 2) the inside line back: to the near post with a wide ball, else to the penalty spot, until goal-side."""
    wide = np.clip((np.abs(p.origin[:, 1]) - 10.0) / 10.0, 0.0, 1.0)[:, None]
    post = p.goal + np.stack([np.zeros(len(p)), NEAR_POST_M * np.sign(p.origin[:, 1])], axis=-1)
    target = wide * post + (1 - wide) * (p.goal + (PENALTY_MARK_M, 0.0))
    way = target[:, None] - p.own
    back_m = np.maximum(p.own_goal_m - p.ball_goal_m[:, None] + 4.0, 0.0)
    return p.own + unit(way) * np.minimum(back_m, norm(way))[..., None]


# -- The gaps between presser and covers, as seen from the ball.

BEHIND_M = 1.0  # a man is behind a gap if he is this much further from the ball than its middle
BASE = 0.15
VALUE_DECAY_M = 25.0
SHADOW_SHARE = 0.5  # what is left of a man's value in the presser's shadow, which moves (D)


def find_gaps(p: Picture, d: Decisions) -> Gaps:
    """Neighbours of presser and covers by bearing from the ball; width and gap rule; the man who matters behind.

    The limit is the teaching rule: reach 1 m, ball 15 m/s, reaction 0.3 s, players 5 m/s in a straight line.
    """
    spots = np.where(is_player(d.presser, p.line.shape[1])[..., None], d.end_xy[:, None], d.anchor)
    member = (d.role == COVER) | is_player(d.presser, p.line.shape[1])
    bearing = np.where(member, _bearing(p, spots), np.inf)
    order = bearing.argsort(1)[:, : max(int(member.sum(1).max(initial=0)), 1)]
    left, right = order[:, :-1], order[:, 1:]
    here = np.isfinite(np.take_along_axis(bearing, right, 1))
    a, b = (np.take_along_axis(spots, i[..., None], 1) for i in (left, right))
    middle = (a + b) / 2
    inside = _between(p, np.take_along_axis(bearing, left, 1), np.take_along_axis(bearing, right, 1), middle)
    man = _man_behind(p, d, inside & here[..., None])
    return Gaps(here, left, right, middle, norm(a - b), gap_limit(norm(middle - p.origin[:, None])), man)


def _bearing(p: Picture, xy: Floats) -> Floats:
    """(F, n) angle off the line from the ball to the goal, counter-clockwise, of points (F, n, 2)."""
    return bearing_rad(p.goal_way[:, None], xy - p.origin[:, None])


def _between(p: Picture, left: Floats, right: Floats, middle: Floats) -> Bools:
    """(F, G, M) opponents whose bearing lies between two neighbours and who are beyond the gap."""
    seen = _bearing(p, p.opp)[:, None]
    beyond = norm(p.opp - p.origin[:, None])[:, None] > norm(middle - p.origin[:, None])[..., None] + BEHIND_M
    with np.errstate(invalid="ignore"):
        return np.asarray((left[..., None] < seen) & (seen < right[..., None]) & beyond)


def _man_value(p: Picture, d: Decisions) -> Floats:
    """(F, M) how much a free opponent matters behind a gap: the nearer to ball and goal, the more (own measure, D).

    Less in the presser's shadow, and nothing where a back-line player is there before his first touch.
    """
    held = held_by_line(p, d.role == PRESSURE, p.settings.control_time_s)
    free = p.opp_here & ~p.is_holder & ~p.offside & ~p.opp_keeper & ~marked(p, d.mark) & ~held
    ahead = np.clip((p.ball_goal_m[:, None] + BEHIND_BALL_M - p.opp_goal_m) / 10.0 + 1.0, 0.0, 1.0)
    value = (BASE + worth(p, p.opp)) * np.exp(-norm(p.opp - p.origin[:, None]) / VALUE_DECAY_M) * ahead
    return np.where(free, value * np.where(in_shadow(p, d), SHADOW_SHARE, 1.0), 0.0)


def _man_behind(p: Picture, d: Decisions, inside: Bools) -> Ints:
    value = np.where(inside, _man_value(p, d)[:, None], 0.0)
    return np.where(value.max(-1, initial=0.0) > 0, value.argmax(-1), NOBODY)
