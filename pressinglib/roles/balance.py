"""Cover and balance: midfield and attack shared out by what the next pass would do; the far side, the block, the gaps.

For each opponent three questions: how bad would the ball be there, how likely does it come there next, and how late
would we be. The team is shared out at once for the least total lateness; one covers behind the presser; who is not
worth a man keeps the block; who has a man keeps him unless a swap is clearly better. Who takes a man within a short
pass, or covers behind the presser, is a cover; who minds a man further off, the far side or the block is balance.
"""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import PENALTY_MARK_M
from pressinglib.field.zonal_block import block_xy
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.lanes import bearing_rad, gap_limit
from pressinglib.roles import settings as v
from pressinglib.roles.decisions import Decisions, Gaps, Jobs, frame_rule
from pressinglib.roles.measures import ahead, cut_back, held_by_line, in_shadow, least_total, marked, of_line, worth
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Bools, Floats, Ints, Picture, norm, once, pick, toward, unit
from pressinglib.roles.presser import bypassed, confrontation_x, outnumbered

FAR_M = 20.0  # so far across from the ball is the far side (D)
GOAL_SIDE_M = 0.5
LONG_RUN_M = 20.0  # nobody runs further to a man (P)


def far_man(p: Picture, mark: Ints) -> Ints:
    """(F,) the widest opponent on the far side, not behind the ball, whom neither a marker nor the line reaches; -1."""
    y = p.opp[..., 1]
    far = (y < np.minimum(p.origin[:, 1:] - FAR_M, 0.0)) & (ahead(p) == 1.0)
    reached = np.where(p.back[..., None], p.marking_s, np.inf).min(1) <= switch_s(p)  # by the line
    width = np.where(far & p.receivers & ~marked(p, mark) & ~reached, -y, -np.inf)
    return np.where(np.isfinite(width.max(1)), width.argmax(1), v.NOBODY)


@once
def switch_s(p: Picture) -> Floats:
    """(F, M) time of a switch to each opponent, with his first touch."""
    s = p.settings
    return np.asarray(lofted_time(p.pass_m, s.switch_mps, SWITCH_ANGLE_DEG) + s.control_time_s)


def limit_m(p: Picture, man: Ints) -> Floats:
    """(F,) how far from the far-side man his guard may stand and still reach him when the switch does; inf if none.

    From rest, 0.3 s reaction, reach 0, margin 0 (own arithmetic from a lofted ball of 28 m/s at 25 degrees).
    """
    s = p.settings
    return np.where(man >= 0, s.running.covered_m(pick(switch_s(p), man) - s.reaction_s), np.inf)


def guard_spots(p: Picture, reference: Floats, man: Ints, limit: Floats) -> Floats:
    """(F, N, 2) reference places drawn out just far enough to keep the far-side man in reach, and goal-side of him."""
    there = pick(p.opp, man)[:, None]
    spot = toward(there, reference, limit[:, None])
    spot[..., 0] = np.minimum(spot[..., 0], there[..., 0] - GOAL_SIDE_M)
    return p.pitch.inside(np.where((man >= 0)[:, None, None], spot, reference), 0.5)


# -- The block, and the way back to it.

NEAR_POST_M = 3.66


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


@once
def recovery_spots(p: Picture) -> Floats:
    """(F, N, 2) the inside line back: to the near post with a wide ball, else to the penalty spot, until goal-side."""
    wide = np.clip((np.abs(p.origin[:, 1]) - 10.0) / 10.0, 0.0, 1.0)[:, None]
    post = p.goal + np.stack([np.zeros(len(p)), NEAR_POST_M * np.sign(p.origin[:, 1])], axis=-1)
    target = wide * post + (1 - wide) * (p.goal + (PENALTY_MARK_M, 0.0))
    back_m = np.maximum(p.own_goal_m - p.ball_goal_m[:, None] + 4.0, 0.0)
    return toward(p.own, target[:, None], back_m)


# -- The gaps between presser and covers, as seen from the ball.

BEHIND_M = 1.0  # a man is behind a gap if he is this much further from the ball than its middle
BASE = 0.15
VALUE_DECAY_M = 25.0
SHADOW_SHARE = 0.5  # what is left of a man's value in the presser's shadow, which moves (D)


def find_gaps(p: Picture, d: Decisions) -> Gaps:
    """Neighbours of presser and covers by bearing from the ball; width and gap rule; the man who matters behind.

    The limit is the teaching rule: reach 1 m, ball 15 m/s, reaction 0.3 s, players 5 m/s in a straight line.
    """
    spots = np.where(d.presses[..., None], d.end_xy[:, None], d.anchor)
    member = (d.role == v.COVER) | d.presses
    bearing = np.where(member, _bearing(p, spots), np.inf)
    order = bearing.argsort(1)[:, : max(int(member.sum(1).max(initial=0)), 1)]
    bearing, spots = np.take_along_axis(bearing, order, 1), np.take_along_axis(spots, order[..., None], 1)
    left, right, here = bearing[:, :-1, None], bearing[:, 1:, None], np.isfinite(bearing[:, 1:])
    middle = (spots[:, :-1] + spots[:, 1:]) / 2
    away_m, seen = norm(middle - p.origin[:, None]), _bearing(p, p.opp)[:, None]
    with np.errstate(invalid="ignore"):
        inside = (left < seen) & (seen < right) & (p.pass_m[:, None] > away_m[..., None] + BEHIND_M)  # and beyond it
    value = np.where(inside & here[..., None], _man_value(p, d)[:, None], 0.0)
    man = np.where(value.max(-1, initial=0.0) > 0, value.argmax(-1), v.NOBODY)
    width_m = norm(spots[:, :-1] - spots[:, 1:])
    return Gaps(here, order[:, :-1], order[:, 1:], middle, width_m, gap_limit(away_m), man)


def _bearing(p: Picture, xy: Floats) -> Floats:
    """(F, n) angle off the line from the ball to the goal, counter-clockwise, of points (F, n, 2)."""
    return bearing_rad(p.goal_way[:, None], xy - p.origin[:, None])


def _man_value(p: Picture, d: Decisions) -> Floats:
    """(F, M) how much a free opponent matters behind a gap: the nearer to ball and goal, the more (own measure, D).

    Less in the presser's shadow, and nothing where a back-line player is there before his first touch.
    """
    held = held_by_line(p, d.role == v.PRESSURE, p.settings.control_time_s)
    value = (BASE + worth(p, p.opp)) * np.exp(-p.pass_m / VALUE_DECAY_M) * ahead(p)
    return np.where(p.receivers & ~marked(p, d.mark) & ~held, value * np.where(in_shadow(p, d), SHADOW_SHARE, 1.0), 0.0)


BEATEN_M = 2.0  # a player this much further from our goal than the ball is beaten ...
GOAL_DECAY_M, BALL_DECAY_M = 20.0, 40.0  # how the worth of the next pass falls with distance (D)
FAR_SHARE = 0.4  # the far-side man is worth a guard (D)
HELD_M = 8.0  # a man this little before the line whom it reaches in time is its man (D)
DEEP_M = 40.0  # with the ball this near to our goal the balance does not go up field (D)
THROWN_M = 25.0  # how far a throw-in reaches (P)
FORGIVEN_S, SOFT_S, MOST_LATE_S = 0.3, 0.5, 4.0
OUT_M, AWAY_S = 4.0, 0.1  # the far-side man's guard goes so far away from the ball for nothing; then each metre (D)
RUN_S = 0.15  # seconds of lateness that a second of running is worth (D)
BEATEN_S = 0.5  # ... and so much later (D)
KEEPS_S, LEAST_SHARE, HAS_M = 0.5, 0.3, 4.0  # leaving a man whom he has costs so much (D)
BLOCK_S, COVER_SHARE = 0.6, 0.3  # what the block is worth, and the cover behind the presser (D)
MARK_M, MOST_M, FURTHER = 1.5, 8.0, 0.75  # goal-side of his man: near the ball, at most, by the time of the pass (D)
TIGHT = 0.25  # ... and at most so much of his way to goal (D)
BEHIND_PRESSER_M, BEHIND_SHARE = 6.0, 0.4  # the cover behind the presser: at most, and of the way to goal (D)
CLEAR_M, LONGEST_M = 6.0, 15.0  # from the ball; nobody runs further for the block's sake (P)
IN_HAND_M, PAST_M = 12.0, 3.0  # a man so near is in the hand of one of the line, who is so much nearer (D)


def share_out(p: Picture, d: Decisions) -> Jobs:
    """Duty, man and place of everybody in midfield and attack who has no job yet."""
    men = p.opp.shape[1]
    pool = p.front & ~d.presses & ~np.isin(d.role, (v.PRESSURE, v.COVER))
    duty, kept = kept_places(p, d)
    behind = np.broadcast_to(behind_presser(p)[:, None], kept.shape)
    places = np.concatenate([_own_places(p, d, kept), behind[:, :, None], kept[:, :, None]], axis=2)
    time = p.own_arrival(places)
    cost = np.concatenate([_man_cost(p, d, places[:, :, :men], time[..., :men]), _behind_cost(d, time[..., men, None]),
                           _block_cost(time[..., -1])], axis=2)
    job = least_total(cost, pool, np.ones(cost.shape[::2], bool))
    to_man = (job >= 0) & (job < men)
    there = np.where((job < 0) | (job > men), men + 1, job)
    anchor = np.take_along_axis(places, there[..., None, None], 2)[:, :, 0]
    near = np.take_along_axis(_near(p), np.clip(job, 0, men - 1), 1)
    minds = np.where(job == d.far_man[:, None], v.GUARD_FAR_SIDE, np.where(near, v.DENY, v.DROP_ONTO))
    duty = np.where(to_man, minds, np.where(job == men, v.GUARD_STRAIGHT, duty))
    return Jobs(pool, duty, np.where(to_man, job, v.NOBODY), anchor)


@frame_rule
def choose_covers(p: Picture, d: Decisions) -> Jobs:
    """Those who take a man within a short pass, and the one behind the presser."""
    d.shared = jobs = share_out(p, d)
    return jobs._replace(who=_cover(jobs, d))


def _cover(jobs: Jobs, d: Decisions) -> Bools:
    return np.asarray(jobs.who & np.isin(jobs.duty, (v.DENY, v.GUARD_STRAIGHT)) & (d.presser >= 0)[:, None])


@frame_rule
def choose_balance(p: Picture, d: Decisions) -> Jobs:
    """The others: men further off, the far side, the block, or back goal-side; shared out anew if the covers are not.
    """
    jobs, covers = d.shared, d.role == v.COVER
    if jobs is None or (covers != _cover(jobs, d)).any() or (d.mark != jobs.mark)[covers].any():
        jobs = share_out(p, d)
    jobs = jobs._replace(who=jobs.who & ~covers)
    duty = np.where(jobs.duty == v.DENY, v.DROP_ONTO, jobs.duty)
    return jobs._replace(who=jobs.who & ~(p.back & (duty == v.KEEP_BLOCK)), duty=duty)


@once
def minding_places(p: Picture) -> Floats:
    """(F, M, 2) goal-side of each opponent where he will be, shaded to the ball, further off the longer the pass."""
    s = p.settings
    run_s = np.maximum(p.pass_s - s.reaction_s, 0.0)
    run_m = s.running.covered_m(run_s)
    away = np.clip(FURTHER * run_m, MARK_M, np.clip(TIGHT * p.opp_goal_m, MARK_M, MOST_M))
    way = unit(unit(p.goal - p.met) + 0.3 * unit(p.focus[:, None] - p.met))
    return p.pitch.inside(p.met + way * away[..., None], 0.5)


def _own_places(p: Picture, d: Decisions, kept: Floats) -> Floats:
    """(F, N, M, 2) the same for each player; the far-side man is guarded from as far in as a switch allows.

    With the ball near our goal nobody goes up field but to a man within a short pass of it.
    """
    y = np.maximum(p.own[..., 1], kept[..., 1])  # nobody goes out for the block's sake
    tucked = np.stack([kept[..., 0], y], axis=-1)
    guard = guard_spots(p, tucked, d.far_man, d.far_side_limit_m)
    far = d.is_far_man[:, None, :, None]
    places = np.where(far, guard[:, :, None], minding_places(p)[:, None])
    deep = (p.ball_goal_m < DEEP_M)[:, None, None] & ~_near(p)[:, None]
    x = np.where(deep, np.minimum(places[..., 0], p.own[:, :, None, 0]), places[..., 0])
    return np.stack([x, places[..., 1]], axis=-1)


def behind_presser(p: Picture) -> Floats:
    """(F, 2) the cover's place on the way from the ball to goal."""
    return p.focus + p.goal_way * np.minimum(BEHIND_PRESSER_M, BEHIND_SHARE * norm(p.focus - p.goal))[:, None]


def shares(p: Picture, d: Decisions) -> Floats:
    """(F, M) how much the next pass to each opponent matters, as a share of the worst."""
    worth = np.exp(-norm(p.met - p.goal) / GOAL_DECAY_M - norm(p.met - p.focus[:, None]) / BALL_DECAY_M)
    counts = p.receivers & ((p.pass_m <= THROWN_M) | ~p.is_state(v.THROW_IN)[:, None])
    worth = np.where(counts, worth * ahead(p), 0.0)
    share = worth / np.maximum(worth.max(1, keepdims=True), 1e-9) * np.where(in_shadow(p, d), SHADOW_SHARE, 1.0)
    far = d.is_far_man & counts
    free = ~marked(p, d.mark) & ~held_by_line(p, d.role == v.PRESSURE, p.settings.control_time_s, HELD_M)
    return np.where(free, np.where(far, np.maximum(share, FAR_SHARE), share), 0.0)


@once
def has_man(p: Picture) -> Bools:
    """(F, N, M) who stands by an opponent, nearest of ours."""
    apart = np.where(p.outfield[..., None], p.apart_m, np.inf)
    return np.asarray((apart <= HAS_M) & (apart <= apart.min(1, keepdims=True)))


def _man_cost(p: Picture, d: Decisions, places: Floats, time: Floats) -> Floats:
    time = time + BEATEN_S * beaten(p)[..., None]
    late = time - p.pass_s[:, None] - FORGIVEN_S
    late = np.clip(np.nan_to_num(late, nan=np.inf), -50, 50)  # who is not there is never in time
    soft = np.minimum(SOFT_S * np.logaddexp(0.0, late / SOFT_S), MOST_LATE_S)
    share = shares(p, d)[:, None]
    cost = share * (soft - MOST_LATE_S) + RUN_S * time - KEEPS_S * np.maximum(share, LEAST_SHARE) * has_man(p)
    # The far side tucks in: who has to go away from the ball for its man is the wrong one.
    away = norm(places - p.focus[:, None, None]) - norm(p.own - p.focus[:, None])[..., None]
    far = d.is_far_man[:, None]
    cost = cost + np.where(far, AWAY_S * np.maximum(away - OUT_M, 0.0), 0.0)
    run = (norm(places - p.own[:, :, None]) < LONG_RUN_M) & ~_sent_past(p, d)
    # Who is beaten comes back first, but for a man whom he has, or to whom the ball may be cut back.
    behind = (p.opp_goal_m > p.ball_goal_m[:, None])[:, None] & ~(has_man(p) & ~bypassed(p)[:, None, None])
    back_first = beaten(p)[..., None] & (behind | outnumbered(p)[:, None, None]) & ~cut_back(p)[:, None]
    return np.where(run & (share > 0) & ~back_first, cost, np.inf)


def _sent_past(p: Picture, d: Decisions) -> Bools:
    """(F, N, M) who would run past one of the line to an opponent: he is nearer by much, goal-side or in our box."""
    apart = norm(p.own[:, :, None] - p.met[:, None])
    line = of_line(p) & (d.role != v.PRESSURE)[..., None] & (apart <= IN_HAND_M)
    return np.asarray(apart > np.where(line, apart, np.inf).min(1)[:, None] + PAST_M)


def _behind_cost(d: Decisions, time: Floats) -> Floats:
    time = np.minimum(time, 1e3)
    cost = COVER_SHARE * (np.minimum(time, MOST_LATE_S) - MOST_LATE_S) + RUN_S * time
    wanted = (d.presser >= 0) & ~(d.role == v.COVER).any(1)  # only one, and he is a cover
    return np.where(wanted[:, None, None], cost, np.inf)


def _block_cost(time: Floats) -> Floats:
    cost = RUN_S * np.minimum(time, MOST_LATE_S) - BLOCK_S
    return np.where(np.eye(cost.shape[1], dtype=bool), cost[:, :, None], np.inf)


@once
def _near(p: Picture) -> Bools:
    return norm(p.met - p.focus[:, None]) <= p.settings.short_pass_m


def kept_places(p: Picture, d: Decisions) -> tuple[Ints, Floats]:
    """Duty and place of those for whom there is nothing to do: the block, or the inside line back towards it."""
    late = beaten(p) & (p.origin[:, :1] < p.pitch.length_m / 6)
    block = block_reference(p, d.role == v.PRESSURE)
    share = np.where(outnumbered(p), 1.0, 0.5)[:, None, None]
    place = np.where(late[..., None], share * recovery_spots(p) + (1.0 - share) * block, block)
    deep = (p.ball_goal_m < DEEP_M)[:, None]
    x = np.where(deep, np.minimum(place[..., 0], p.own[..., 0]), place[..., 0])
    place = toward(p.own, np.stack([x, place[..., 1]], axis=-1), LONGEST_M)
    off = place - p.focus[:, None]
    clear = p.focus[:, None] + unit(off) * np.maximum(norm(off), CLEAR_M)[..., None]
    clear = toward(p.own, clear, _short_of_ball_m(p, clear))
    return np.where(late, v.RECOVER, v.KEEP_BLOCK), np.where((d.presser >= 0)[:, None, None], clear, place)


def _short_of_ball_m(p: Picture, place: Floats) -> Floats:
    """(F, N) how far he runs whose way back leads through the ball and is too long to get round it: inf for others.

    Short of the ball he shuts their way back; only outnumbered does he have to come through.
    """
    way, off = unit(place - p.own), p.origin[:, None] - p.own
    along, aside = (way * off).sum(-1), way[..., 0] * off[..., 1] - way[..., 1] * off[..., 0]
    stops = along - np.sqrt(np.maximum(CLEAR_M**2 - aside**2, 0.0))
    past = beaten(p) & ~outnumbered(p)[:, None] & (np.abs(aside) < CLEAR_M) & (norm(place - p.own) > LONGEST_M)
    return np.where(past & (stops > 0), stops, np.inf)


@once
def beaten(p: Picture) -> Bools:
    """(F, N) further from our goal than the ball by more than 2 m."""
    return np.asarray(p.own_goal_m > p.ball_goal_m[:, None] + BEATEN_M)


def cover_distance_m(p: Picture) -> Floats:
    """(F,) cover distance at the ball: shorter towards the own goal, joined by straight lines."""
    half = p.pitch.length_m / 2
    return np.interp(p.focus[:, 0], [-half + 11, -half / 2, 0.0, half / 2], p.settings.cover_distances_m)
