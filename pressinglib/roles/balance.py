"""Who balances: closes the gaps, guards the far side, keeps the block, or runs back."""

from __future__ import annotations

import numpy as np

from pressinglib.field.block import block_xy
from pressinglib.roles.cover import beaten
from pressinglib.roles.decisions import Decisions, Gaps, Jobs
from pressinglib.roles.far_side import choose_far_guard, guard_spots
from pressinglib.roles.gaps import man_value
from pressinglib.roles.marking import goal_side_places, marked, times_to
from pressinglib.roles.pairing import least_total
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, unit
from pressinglib.roles.presser import confrontation_x
from pressinglib.roles.vocabulary import (
    COVER,
    DROP_ONTO,
    GUARD_FAR_SIDE,
    KEEP_BLOCK,
    NOBODY,
    PRESSURE,
    RECOVER,
    STEP_INTO_GAP,
)

DROP_M = 3.0  # who drops onto a man stands at most this far off him (D)
STEP_M = 2.0  # into an empty gap he steps to this much behind its middle (D)
GAP_MAN_S = 3.0  # seconds of running that a man behind a gap is worth, at value 1 ... (D)
OPEN_GAP_S = 0.5  # ... and an open gap without a man (D)
LONGEST_RUN_M = 25.0  # nobody leaves the block for a man further off than this (D)
NEAR_POST_M = 3.66
PENALTY_MARK_M = 11.0


def block_reference(p: Picture, leaves_line: Bools) -> Floats:
    """(F, N, 2) places in the zonal block; those who leave the line are left out and the others close up."""
    s = p.settings
    line = np.where(leaves_line, -1, p.line)
    ball = np.clip(p.focus, -np.array(p.pitch.corner_xy), p.pitch.corner_xy)
    xy = block_xy(line, np.nan_to_num(p.own[..., 1]), ball, p.pitch.length_m, p.pitch.width_m,
                  block_length_m=s.block_length_m, block_width_m=s.block_width_m, back_gap_m=s.back_gap_m,
                  front_gap_m=s.front_gap_m, shift=s.lateral_shift, confrontation_x=confrontation_x(p))
    return np.where(np.isfinite(xy), xy, p.own)


def choose_balance(p: Picture, d: Decisions) -> Jobs:
    """Balance players: the last for the far side, the others to the gaps by least total time, then to free men.

    A player who is left over keeps his place in the block, or runs back goal-side if he is beaten.
    """
    pool = p.front & ~(d.role == COVER) & ~(d.role == PRESSURE)
    reference = block_reference(p, d.role == PRESSURE)
    far_spots = guard_spots(p, reference, d.far_man, d.far_side_limit_m)  # type: ignore[arg-type]
    guard = choose_far_guard(p, d, pool, far_spots)
    duty = np.where(beaten(p), RECOVER, KEEP_BLOCK)
    anchor = np.where(beaten(p)[..., None], recovery_spots(p), reference)
    mark = np.full(duty.shape, NOBODY)
    duty, anchor = np.where(guard, GUARD_FAR_SIDE, duty), np.where(guard[..., None], far_spots, anchor)
    mark = np.where(guard, d.far_man[:, None], mark)  # type: ignore[index]
    jobs = _into_gaps(p, d, Jobs(pool, duty, mark, anchor), pool & ~guard)
    return _onto_free_men(p, d, jobs)


def _into_gaps(p: Picture, d: Decisions, jobs: Jobs, pool: Bools) -> Jobs:
    """Nearest player to nearest gap: onto the man behind it, or a step into it."""
    gaps = d.gaps
    assert gaps is not None
    if not gaps.here.size:
        return jobs
    men = np.take_along_axis(goal_side_places(p, DROP_M), np.maximum(gaps.man, 0)[..., None], 1)
    behind = unit(p.goal - gaps.middle) * STEP_M + gaps.middle
    places = np.where((gaps.man >= 0)[..., None], men, behind)
    gap = least_total(times_to(p, places) - _worth_s(p, d, gaps)[:, None], pool, _wanted(p, d, gaps))
    has = gap >= 0
    man = np.where(has, np.take_along_axis(gaps.man, np.maximum(gap, 0), 1), NOBODY)
    duty = np.where(has, np.where(man >= 0, DROP_ONTO, STEP_INTO_GAP), jobs.duty)
    place = np.take_along_axis(places, np.maximum(gap, 0)[..., None], 1)
    return Jobs(jobs.who, duty, np.where(has, man, jobs.mark), np.where(has[..., None], place, jobs.anchor))


def _worth_s(p: Picture, d: Decisions, gaps: Gaps) -> Floats:
    """(F, G) seconds of running that each gap is worth."""
    value = np.take_along_axis(man_value(p, d), np.maximum(gaps.man, 0), 1)
    return np.where(gaps.man >= 0, OPEN_GAP_S + GAP_MAN_S * value, OPEN_GAP_S * (gaps.width_m > gaps.limit_m))


def _wanted(p: Picture, d: Decisions, gaps: Gaps) -> Bools:
    """(F, G) gaps that somebody should fill: those with a man behind them, or too wide; one gap a man."""
    same = (gaps.man[:, :, None] == gaps.man[:, None]) & (gaps.man >= 0)[:, :, None]
    repeated = (same & (np.arange(gaps.man.shape[1])[:, None] > np.arange(gaps.man.shape[1]))).any(-1)
    return np.asarray(gaps.here & ~repeated & ((gaps.man >= 0) | (gaps.width_m > gaps.limit_m)))


def _onto_free_men(p: Picture, d: Decisions, jobs: Jobs) -> Jobs:
    """Who is left over drops onto a free man near him, goal-side; never a long way, and never one the line has."""
    left = jobs.who & (jobs.duty == KEEP_BLOCK)
    value = np.where(marked(p, jobs.mark), 0.0, man_value(p, d))
    places = goal_side_places(p, DROP_M)
    run = norm(places[:, None] - p.own[:, :, None])
    cost = np.where(run <= LONGEST_RUN_M, times_to(p, places) - 2 * GAP_MAN_S * value[:, None], np.inf)
    man = least_total(cost, left, value > np.maximum(value.max(1, keepdims=True) * 0.3, 1e-9))
    has = man >= 0
    place = np.take_along_axis(places, np.maximum(man, 0)[..., None], 1)
    return Jobs(jobs.who, np.where(has, DROP_ONTO, jobs.duty), np.where(has, man, jobs.mark),
                np.where(has[..., None], place, jobs.anchor))


def recovery_spots(p: Picture) -> Floats:
    """(F, N, 2) the inside line back: to the near post with a wide ball, else to the penalty spot, until goal-side."""
    wide = np.clip((np.abs(p.origin[:, 1]) - 10.0) / 10.0, 0.0, 1.0)[:, None]
    post = p.goal + np.stack([np.zeros(len(p)), NEAR_POST_M * np.sign(p.origin[:, 1])], axis=-1)
    target = wide * post + (1 - wide) * (p.goal + (PENALTY_MARK_M, 0.0))
    way = target[:, None] - p.own
    back_m = np.maximum(p.own_goal_m - p.ball_goal_m[:, None] + 4.0, 0.0)
    return p.own + unit(way) * np.minimum(back_m, norm(way))[..., None]
