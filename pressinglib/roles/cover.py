"""Who covers: denies the short options and stands ready to take over."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.decisions import Decisions, Jobs, is_player
from pressinglib.roles.marking import denial_places, marked, times_to
from pressinglib.roles.options import option_value
from pressinglib.roles.pairing import least_total
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned
from pressinglib.roles.vocabulary import DENY, GUARD_INSIDE, GUARD_OUTSIDE, GUARD_STRAIGHT, NOBODY

BEATEN_M = 2.0  # a player this much further from our goal than the ball is beaten ...
BEATEN_S = 1.5  # ... and counts as this much later (D)
KEEP_FOR_BALANCE = 2  # midfielders and forwards whom pressure and cover leave over
VALUE_S = 3.0  # seconds of running that an option of value 1 is worth (D)
LEAST_LINE = 3  # so many stay in the back line when the full-back covers
GUARD_ORDER = np.array([GUARD_STRAIGHT, GUARD_INSIDE, GUARD_OUTSIDE])
OUTSIDE, INSIDE = 0, 2


def choose_covers(p: Picture, d: Decisions) -> Jobs:
    """Covers and what each does: those nearest to the presser's end spot, paired with the options by least total time.

    As many as there are open short options, at least two, at most four; two midfielders or forwards are left for balance
    (three when a man short). Covers without an option guard a way out. A full-back joins where only he can take over.
    """
    pool = p.front & ~is_player(d.presser, p.line.shape[1]) & (d.presser >= 0)[:, None]
    late = np.where(pool, p.own_arrival(d.end_xy[:, None]) + BEATEN_S * beaten(p), np.inf)
    chosen = pool & (late.argsort(1).argsort(1) < cover_count(p, d, pool)[:, None])
    cost = times_to(p, denial_places(p)) - VALUE_S * option_value(p, d)[:, None]
    mark = least_total(cost, chosen, d.options)
    duty = np.where(mark >= 0, DENY, _guards(p, d, chosen & (mark < 0)))
    full_back, his_mark, his_duty = _full_back(p, d, mark)
    who = chosen | full_back
    mark, duty = np.where(full_back, his_mark, mark), np.where(full_back, his_duty, duty)
    return Jobs(who, duty, mark, cover_spots(p, d, duty, mark))


def beaten(p: Picture) -> Bools:
    """(F, N) further from our goal than the ball by more than 2 m."""
    return np.asarray(p.own_goal_m > p.ball_goal_m[:, None] + BEATEN_M)


def cover_count(p: Picture, d: Decisions, pool: Bools) -> Ints:
    """(F,) the open options, at least two and at most four; one more where nobody takes over in time."""
    s = p.settings
    wanted = np.clip(d.options.sum(1), s.covers_at_least, s.covers_at_most)
    gap_in_time = (d.take_over_s.min(1) > s.take_over_limit_s) & (wanted < s.covers_at_most)
    spare = pool.sum(1) - KEEP_FOR_BALANCE + 1 - (p.men_short > 0)
    return np.minimum(wanted + gap_in_time, np.maximum(spare, np.minimum(pool.sum(1), 1))).astype(int)


def _guards(p: Picture, d: Decisions, idle: Bools) -> Ints:
    """(F, N) duty of covers without an option: straight, inside, outside, in order of distance to the end spot."""
    near = np.where(idle, norm(p.own - d.end_xy[:, None]), np.inf)
    return np.asarray(GUARD_ORDER[near.argsort(1).argsort(1) % len(GUARD_ORDER)])


def _full_back(p: Picture, d: Decisions, mark: Ints) -> tuple[Bools, Ints, Ints]:
    """Who leaves the back line to cover, his mark and duty: the full-back on a side where no midfielder takes over."""
    limit, s = p.settings.take_over_limit_s, p.line.shape[1]
    others = ~is_player(d.presser, s)
    who, marks, duty = np.zeros(p.line.shape, bool), np.full(p.line.shape, NOBODY), np.full(p.line.shape, GUARD_OUTSIDE)
    enough = (p.back & others).sum(1) > LEAST_LINE
    for way, sign, job in ((OUTSIDE, 1, GUARD_OUTSIDE), (INSIDE, -1, GUARD_INSIDE)):
        front_s = np.where(p.front & others, d.way_s[..., way], np.inf).min(1)
        widest = np.where(p.back & others, sign * p.own[..., 1], -np.inf).argmax(1)
        him = is_player(widest, s) & ~p.front
        goes = (front_s > limit) & (np.where(him, d.way_s[..., way], np.inf).min(1) <= limit) & enough & (d.presser >= 0)
        side = d.options & ~marked(p, mark) & (sign * (p.opp[..., 1] - p.origin[:, 1:]) > 0)
        apart = np.where(side, norm(p.opp - p.own[np.arange(len(p)), widest][:, None]), np.inf)
        his = np.where(side.any(1), apart.argmin(1), NOBODY)
        new = him & goes[:, None]
        who, marks = who | new, np.where(new, his[:, None], marks)
        duty = np.where(new, np.where(his >= 0, DENY, job)[:, None], duty)
        enough = enough & ~goes
    return who, marks, duty


def cover_spots(p: Picture, d: Decisions, duty: Ints, mark: Ints) -> Floats:
    """(F, N, 2) where a cover stands: denying his man, or at cover distance from the presser in the way he guards."""
    man = np.take_along_axis(denial_places(p), np.maximum(mark, 0)[..., None], 1)
    angle = np.radians(p.settings.cover_angle_deg) * ((duty == GUARD_INSIDE) * 1.0 - (duty == GUARD_OUTSIDE))
    guard = d.end_xy[:, None] + turned(p.goal_way[:, None], angle) * cover_distance_m(p)[:, None, None]
    return p.pitch.inside(np.where((mark >= 0)[..., None], man, guard), 0.5)


def cover_distance_m(p: Picture) -> Floats:
    """(F,) cover distance at the ball: shorter towards the own goal, joined by straight lines."""
    half = p.pitch.length_m / 2
    return np.interp(p.focus[:, 0], [-half + 11, -half / 2, 0.0, half / 2], p.settings.cover_distances_m)
