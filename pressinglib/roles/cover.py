"""Who takes whom: midfield and attack shared out by what the next pass would do.

For each opponent three questions: how bad would the ball be there, how likely does it come there next, and how late
would we be. The team is shared out at once for the least total lateness; one covers behind the presser; who is not
worth a man keeps the block; who has a man keeps him unless a swap is clearly better. Who takes a man within a short
pass, or covers behind the presser, is a cover; who minds a man further off, the far side or the block is balance.
"""

from __future__ import annotations

import numpy as np

from pressinglib.roles.balance import LONG_RUN_M, block_reference, guard_spots, recovery_spots
from pressinglib.roles.decisions import Decisions, Jobs, frame_rule, is_player
from pressinglib.roles.marking import BEHIND_BALL_M, held_by_line, in_shadow, least_total, marked, toward
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, unit
from pressinglib.roles.presser import outnumbered
from pressinglib.roles.settings import (
    COVER,
    DENY,
    DROP_ONTO,
    GUARD_FAR_SIDE,
    GUARD_STRAIGHT,
    KEEP_BLOCK,
    NOBODY,
    PRESSURE,
    RECOVER,
    THROW_IN,
)

BEATEN_M = 2.0  # a player this much further from our goal than the ball is beaten ...
GOAL_DECAY_M, BALL_DECAY_M = 20.0, 40.0  # how the worth of the next pass falls with distance (D)
FAR_SHARE = 0.4  # the far-side man is worth a guard (D)
SHADOW_SHARE = 0.5  # what is left of a man's worth in the presser's shadow, which moves (D)
HELD_M = 8.0  # a man this little before the line whom it reaches in time is its man (D)
FADE_M = 10.0  # who is behind the ball matters less and less
DEEP_M = 40.0  # with the ball this near to our goal the balance does not go up field (D)
THROWN_M = 25.0  # how far a throw-in reaches (P)
FORGIVEN_S, SOFT_S, MOST_LATE_S = 0.3, 0.5, 4.0
RUN_S = 0.15  # seconds of lateness that a second of running is worth (D)
BEATEN_S = 0.5  # ... and so much later (D)
KEEPS_S, LEAST_SHARE, HAS_M = 0.5, 0.3, 4.0  # leaving a man whom he has costs so much (D)
BLOCK_S, COVER_SHARE = 0.6, 0.3  # what the block is worth, and the cover behind the presser (D)
MARK_M, MOST_M, FURTHER = 1.5, 8.0, 0.75  # goal-side of his man: near the ball, at most, by the time of the pass (D)
BEHIND_M, BEHIND_SHARE = 6.0, 0.4  # cover behind the presser: at most so far, at most this share of the way to goal (D)
CLEAR_M = 6.0


def share_out(p: Picture, d: Decisions) -> Jobs:
    """Duty, man and place of everybody in midfield and attack who has no job yet."""
    players, men = p.line.shape[1], p.opp.shape[1]
    pool = p.front & ~is_player(d.presser, players) & ~np.isin(d.role, (PRESSURE, COVER))
    duty, kept = kept_places(p, d)
    places, behind = _own_places(p, d, kept), behind_presser(p, d)
    men_cost, behind_cost = _man_cost(p, d, places), _behind_cost(p, d, behind)
    cost = np.concatenate([men_cost, behind_cost[..., None], _block_cost(p, kept)], axis=2)
    job = least_total(cost, pool, np.ones(cost.shape[::2], bool))
    to_man = (job >= 0) & (job < men)
    man = places[np.arange(len(p))[:, None], np.arange(players), np.clip(job, 0, men - 1)]
    anchor = np.where(to_man[..., None], man, np.where((job == men)[..., None], behind[:, None], kept))
    near = np.take_along_axis(_near(p), np.clip(job, 0, men - 1), 1)
    minds = np.where(job == d.far_man[:, None], GUARD_FAR_SIDE, np.where(near, DENY, DROP_ONTO))
    duty = np.where(to_man, minds, np.where(job == men, GUARD_STRAIGHT, duty))
    return Jobs(pool, duty, np.where(to_man, job, NOBODY), anchor)


@frame_rule
def choose_covers(p: Picture, d: Decisions) -> Jobs:
    """Those who take a man within a short pass, and the one behind the presser."""
    jobs = share_out(p, d)
    return jobs._replace(who=jobs.who & np.isin(jobs.duty, (DENY, GUARD_STRAIGHT)) & (d.presser >= 0)[:, None])


@frame_rule
def choose_balance(p: Picture, d: Decisions) -> Jobs:
    """The others: men further off, the far side, the block, or back goal-side."""
    jobs = share_out(p, d)
    duty = np.where(jobs.duty == DENY, DROP_ONTO, jobs.duty)
    return jobs._replace(who=jobs.who & ~(p.back & (duty == KEEP_BLOCK)), duty=duty)


def minding_places(p: Picture) -> Floats:
    """(F, M, 2) goal-side of each opponent where he will be, shaded to the ball, further off the longer the pass."""
    s = p.settings
    run_s = np.maximum(p.pass_s - s.reaction_s, 0.0)
    run_m = s.running.covered_m(run_s)
    away = np.clip(FURTHER * run_m, MARK_M, MOST_M)
    way = unit(unit(p.goal - p.met) + 0.3 * unit(p.focus[:, None] - p.met))
    return p.pitch.inside(p.met + way * away[..., None], 0.5)


def _own_places(p: Picture, d: Decisions, kept: Floats) -> Floats:
    """(F, N, M, 2) the same for each player; the far-side man is guarded from as far in as a switch allows.

    With the ball near our goal nobody goes up field but to a man within a short pass of it.
    """
    y = np.maximum(p.own[..., 1], kept[..., 1])  # nobody goes out for the block's sake
    tucked = np.stack([kept[..., 0], y], axis=-1)
    guard = guard_spots(p, tucked, d.far_man, d.far_side_limit_m)
    far = is_player(d.far_man, p.opp.shape[1])[:, None, :, None]
    places = np.where(far, guard[:, :, None], minding_places(p)[:, None])
    deep = (p.ball_goal_m < DEEP_M)[:, None, None] & ~_near(p)[:, None]
    x = np.where(deep, np.minimum(places[..., 0], p.own[:, :, None, 0]), places[..., 0])
    return np.stack([x, places[..., 1]], axis=-1)


def behind_presser(p: Picture, d: Decisions) -> Floats:
    """(F, 2) the cover's place on the way from the ball to goal."""
    return p.focus + p.goal_way * np.minimum(BEHIND_M, BEHIND_SHARE * norm(p.focus - p.goal))[:, None]


def shares(p: Picture, d: Decisions) -> Floats:
    """(F, M) how much the next pass to each opponent matters, as a share of the worst."""
    worth = np.exp(-norm(p.met - p.goal) / GOAL_DECAY_M - norm(p.met - p.focus[:, None]) / BALL_DECAY_M)
    counts = p.opp_here & ~p.is_holder & ~p.offside & ~p.opp_keeper
    counts &= (norm(p.opp - p.origin[:, None]) <= THROWN_M) | ~p.is_state(THROW_IN)[:, None]
    ahead = np.clip((p.ball_goal_m[:, None] + BEHIND_BALL_M - p.opp_goal_m) / FADE_M + 1.0, 0.0, 1.0)
    worth = np.where(counts, worth * ahead, 0.0)
    share = worth / np.maximum(worth.max(1, keepdims=True), 1e-9) * np.where(in_shadow(p, d), SHADOW_SHARE, 1.0)
    far = is_player(d.far_man, p.opp.shape[1]) & counts
    free = ~marked(p, d.mark) & ~held_by_line(p, d.role == PRESSURE, p.settings.control_time_s, HELD_M)
    return np.where(free, np.where(far, np.maximum(share, FAR_SHARE), share), 0.0)


def has_man(p: Picture) -> Bools:
    """(F, N, M) who stands by an opponent, nearest of ours."""
    both = p.outfield[..., None] & p.opp_here[:, None]
    apart = np.where(both, norm(p.own[:, :, None] - p.opp[:, None]), np.inf)
    return np.asarray((apart <= HAS_M) & (apart <= apart.min(1, keepdims=True)))


def _man_cost(p: Picture, d: Decisions, places: Floats) -> Floats:
    time = p.own_running.at(np.s_[:, :, None]).time(p.own[:, :, None], p.own_velocity[:, :, None], places)
    time = np.where(p.own_here[..., None], time, np.inf) + BEATEN_S * beaten(p)[..., None]
    late = time - p.pass_s[:, None] - FORGIVEN_S
    late = np.clip(np.nan_to_num(late, nan=np.inf), -50, 50)  # who is not there is never in time
    soft = np.minimum(SOFT_S * np.logaddexp(0.0, late / SOFT_S), MOST_LATE_S)
    share = shares(p, d)[:, None]
    cost = share * (soft - MOST_LATE_S) + RUN_S * time - KEEPS_S * np.maximum(share, LEAST_SHARE) * has_man(p)
    run = norm(places - p.own[:, :, None]) < LONG_RUN_M
    behind = p.opp_goal_m > p.ball_goal_m[:, None]
    back_first = beaten(p)[..., None] & (behind | outnumbered(p)[:, None])[:, None]
    return np.where(run & (share > 0) & ~back_first, cost, np.inf)


def _behind_cost(p: Picture, d: Decisions, place: Floats) -> Floats:
    time = np.minimum(p.own_arrival(place[:, None]), 1e3)
    cost = COVER_SHARE * (np.minimum(time, MOST_LATE_S) - MOST_LATE_S) + RUN_S * time
    wanted = (d.presser >= 0) & ~(d.role == COVER).any(1)  # only one, and he is a cover
    return np.where(wanted[:, None], cost, np.inf)


def _block_cost(p: Picture, kept: Floats) -> Floats:
    time = np.minimum(p.own_arrival(kept), MOST_LATE_S)
    cost = RUN_S * time - BLOCK_S
    return np.where(np.eye(cost.shape[1], dtype=bool), cost[:, :, None], np.inf)


def _near(p: Picture) -> Bools:
    return norm(p.met - p.focus[:, None]) <= p.settings.short_pass_m


def kept_places(p: Picture, d: Decisions) -> tuple[Ints, Floats]:
    """Duty and place of those for whom there is nothing to do: the block, or the inside line back towards it."""
    late = beaten(p) & (p.origin[:, :1] < p.pitch.length_m / 6)
    block = block_reference(p, d.role == PRESSURE)
    place = np.where(late[..., None], np.where(outnumbered(p)[:, None, None], 1.0, 0.5) * recovery_spots(p)
                     + np.where(outnumbered(p)[:, None, None], 0.0, 0.5) * block, block)
    deep = (p.ball_goal_m < DEEP_M)[:, None]
    x = np.where(deep, np.minimum(place[..., 0], p.own[..., 0]), place[..., 0])
    place = toward(p.own, np.stack([x, place[..., 1]], axis=-1), 15.0)
    off = place - p.focus[:, None]
    clear = p.focus[:, None] + unit(off) * np.maximum(norm(off), CLEAR_M)[..., None]
    return np.where(late, RECOVER, KEEP_BLOCK), np.where((d.presser >= 0)[:, None, None], clear, place)


def beaten(p: Picture) -> Bools:
    """(F, N) further from our goal than the ball by more than 2 m."""
    return np.asarray(p.own_goal_m > p.ball_goal_m[:, None] + BEATEN_M)


def cover_distance_m(p: Picture) -> Floats:
    """(F,) cover distance at the ball: shorter towards the own goal, joined by straight lines."""
    half = p.pitch.length_m / 2
    return np.interp(p.focus[:, 0], [-half + 11, -half / 2, 0.0, half / 2], p.settings.cover_distances_m)
