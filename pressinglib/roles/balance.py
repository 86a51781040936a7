"""Who balances: guards the far side and how far he may tuck in, closes the gaps, keeps the block, or runs back."""

from __future__ import annotations

import numpy as np

from pressinglib.field.zonal_block import block_xy
from pressinglib.physics.ball import lofted_time
from pressinglib.roles.cover import beaten
from pressinglib.roles.decisions import Decisions, Jobs, frame_rule, is_player
from pressinglib.roles.gaps import LEAST_TOP, MAN_S, behind_gaps, man_value
from pressinglib.roles.marking import (
    BEHIND_BALL_M,
    LONG_RUN_M,
    goal_side_places,
    least_total,
    marked,
    sensible,
    times_to,
    toward,
)
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Bools, Floats, Ints, Picture, norm, pick, unit
from pressinglib.roles.presser import confrontation_x
from pressinglib.roles.settings import (
    COVER,
    DROP_ONTO,
    GUARD_FAR_SIDE,
    KEEP_BLOCK,
    NOBODY,
    PRESSURE,
    RECOVER,
    STEP_INTO_GAP,
)

FAR_M = 20.0  # so far across from the ball is the far side (D)
GOAL_SIDE_M = 0.5


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


def choose_far_guard(p: Picture, d: Decisions, pool: Bools, spots: Floats) -> Bools:
    """(F, N) mask of the one player of the pool who is soonest at his far-side spot; nobody where all would be late."""
    there = np.where(d.far_man >= 0, pick(switch_s(p), d.far_man), 0.0)[:, None]
    time = np.where(pool, p.own_arrival(spots), np.inf)
    time = np.where((norm(spots - p.own) <= LONG_RUN_M) | (time <= there), time, np.inf)
    first = is_player(time.argmin(1), pool.shape[1])
    return np.asarray(first & np.isfinite(time) & (d.far_man >= 0)[:, None])


# -- The others.

DROP_M = 3.0  # who drops onto a man stands at most this far off him (D)
STEP_M = 2.0  # into an empty gap he steps to this much behind its middle (D)
GAP_MAN = 1.5  # a man behind a gap counts this much more than another free man (D)
EMPTY_GAP_S = 0.5  # seconds that an open gap with nobody behind it is worth (D)
STEP_RUN_M = 10.0
BOX_M, BOX_FADE_M, BOX_S = 45.0, 20.0, 2.0  # with the ball this near to goal the front of the box comes first (D)
CLEAR_M = 6.0  # who keeps the block leaves the ball to presser and covers (D)
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


@frame_rule
def choose_balance(p: Picture, d: Decisions) -> Jobs:
    """One for the far side, the others by least total time to men behind the gaps, other free men, or an open gap.

    Who has nothing better keeps his place in the block, or runs back if he is beaten; a wing-back stays in the line.
    """
    pool = p.front & ~(d.role == COVER) & ~(d.role == PRESSURE)
    duty, anchor = _kept(p, d)
    far_spots = guard_spots(p, anchor, d.far_man, d.far_side_limit_m)
    guard = choose_far_guard(p, d, pool, far_spots)
    mark = np.where(guard, d.far_man[:, None], NOBODY)
    duty, anchor = np.where(guard, GUARD_FAR_SIDE, duty), np.where(guard[..., None], far_spots, anchor)
    jobs = _to_work(p, d, Jobs(pool, duty, mark, anchor), pool & ~guard)
    return jobs._replace(who=pool & ~(p.back & (jobs.duty == KEEP_BLOCK)))


def _kept(p: Picture, d: Decisions) -> tuple[Ints, Floats]:
    """Duty and place of those for whom there is nothing to do: the block, or the inside line back towards it."""
    late = beaten(p) & (p.origin[:, :1] < p.pitch.length_m / 6)
    block = block_reference(p, d.role == PRESSURE)
    place = np.where(late[..., None], (recovery_spots(p) + block) / 2, block)
    place = toward(p.own, place, LONG_RUN_M)
    off = place - p.focus[:, None]
    clear = p.focus[:, None] + unit(off) * np.maximum(norm(off), CLEAR_M)[..., None]
    return np.where(late, RECOVER, KEEP_BLOCK), np.where((d.presser >= 0)[:, None, None], clear, place)


def _to_work(p: Picture, d: Decisions, jobs: Jobs, pool: Bools) -> Jobs:
    """Pair the players with men, gaps, or staying in the block (a column of his own for each player)."""
    men, gaps = goal_side_places(p, DROP_M), _gap_places(p, d)
    places = np.concatenate([men, gaps], axis=1)
    cost = np.concatenate([_man_cost(p, d, men, jobs), _gap_cost(p, d, gaps), _stay_cost(p, jobs)], axis=2)
    job = least_total(cost, pool, np.ones(cost.shape[::2], bool))
    to_man, to_gap = (job >= 0) & (job < men.shape[1]), (job >= men.shape[1]) & (job < places.shape[1])
    place = np.take_along_axis(places, np.clip(job, 0, places.shape[1] - 1)[..., None], 1)
    duty = np.where(to_man, DROP_ONTO, np.where(to_gap, STEP_INTO_GAP, jobs.duty))
    return Jobs(jobs.who, duty, np.where(to_man, job, jobs.mark),
                np.where((to_man | to_gap)[..., None], place, jobs.anchor))


def _man_cost(p: Picture, d: Decisions, places: Floats, jobs: Jobs) -> Floats:
    """(F, N, M) seconds of running, less what the man is worth; inf for a run that makes no sense."""
    value = man_value(p, d) * np.where(behind_gaps(p, d), GAP_MAN, 1.0)
    value = np.where((jobs.mark[:, :, None] == np.arange(p.opp.shape[1])).any(1), 0.0, value)
    share = value / np.maximum(value.max(1, keepdims=True), LEAST_TOP)
    time = times_to(p, places)
    wanted = (value > 0)[:, None] & sensible(p, places, time)
    return np.where(wanted, time - MAN_S * share[:, None], np.inf)


def _gap_places(p: Picture, d: Decisions) -> Floats:
    gaps = d.gaps
    return p.pitch.inside(gaps.middle + unit(p.goal - gaps.middle) * STEP_M, 0.5)


def _gap_cost(p: Picture, d: Decisions, places: Floats) -> Floats:
    """(F, N, G) only open gaps with nobody behind them, and only short runs."""
    gaps = d.gaps
    wanted = gaps.here & (gaps.man < 0) & (gaps.width_m > gaps.limit_m)
    near = norm(places[:, None] - p.own[:, :, None]) <= STEP_RUN_M
    return np.where(wanted[:, None] & near, times_to(p, places) - EMPTY_GAP_S, np.inf)


def _stay_cost(p: Picture, jobs: Jobs) -> Floats:
    """(F, N, N) time to the own place in the block on the diagonal; near the box the block is worth more than a man."""
    near_goal = np.clip((BOX_M - p.ball_goal_m) / BOX_FADE_M, 0.0, 1.0)[:, None]
    time = np.nan_to_num(p.own_arrival(jobs.anchor), posinf=1e3) - BOX_S * near_goal
    return np.where(np.eye(time.shape[1], dtype=bool), time[:, :, None], np.inf)


def recovery_spots(p: Picture) -> Floats:
    """(F, N, 2) the inside line back: to the near post with a wide ball, else to the penalty spot, until goal-side."""
    wide = np.clip((np.abs(p.origin[:, 1]) - 10.0) / 10.0, 0.0, 1.0)[:, None]
    post = p.goal + np.stack([np.zeros(len(p)), NEAR_POST_M * np.sign(p.origin[:, 1])], axis=-1)
    target = wide * post + (1 - wide) * (p.goal + (PENALTY_MARK_M, 0.0))
    way = target[:, None] - p.own
    back_m = np.maximum(p.own_goal_m - p.ball_goal_m[:, None] + 4.0, 0.0)
    return p.own + unit(way) * np.minimum(back_m, norm(way))[..., None]
