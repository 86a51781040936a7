"""Who covers: denies the short options and stands ready to take over."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.decisions import Decisions, Jobs, frame_rule, is_player
from pressinglib.roles.gaps import LEAST_TOP, MAN_S, man_value
from pressinglib.roles.marking import denial_places, least_total, marked, next_options, option_value, sensible, times_to
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned
from pressinglib.roles.settings import DENY, GUARD_INSIDE, GUARD_OUTSIDE, GUARD_STRAIGHT, NOBODY

BEATEN_M = 2.0  # a player this much further from our goal than the ball is beaten ...
BEATEN_S = 1.5  # ... and counts as this much later (D)
KEEP_FOR_BALANCE = 2  # midfielders and forwards whom pressure and cover leave over
NEXT_MAN_S = 1.0  # seconds of running that a man in the shadow or a little behind is worth (D)
WAY_S = (3.0, 0.5, 0.0)  # ... and guarding the straight, the inside, the outside way (D)
GUARD_RUN_M = 9.0  # a longer run only where nobody is on the straight way ... (D)
UNGUARDED_S = 2.5  # ... within this time (D)
LATEST_S = 4.0  # who needs longer to the presser's end spot guards no way (D)
NEAR_SHARE = 0.25  # how much the way to the presser counts beside the way to the man (D)
OPTION_S, STAY_S = 8.0, 1.5  # an option comes before all else; staying is worth this (D)
VALUE_S = 3.0  # seconds of running that the best option is worth more than one of no value (D)
LEAST_LINE = 3  # so many stay in the back line when the full-back covers
HIS_MAN_M = 14.0  # a full-back who covers takes the man in his own zone first (D)
WAYS_GUARDED = (GUARD_STRAIGHT, GUARD_INSIDE, GUARD_OUTSIDE)
OUTSIDE, STRAIGHT, INSIDE = range(3)


@frame_rule
def choose_covers(p: Picture, d: Decisions) -> Jobs:
    """Covers and what each does.

    All of midfield and attack are paired at once with the open short options and the other men who matter, by least
    total time (a quarter of the way to the presser's end spot added), options first; who gets an option covers. As many
    covers as open options, at least two and at most four (settings), one more where nobody takes over in time, but no
    more than there are midfielders and forwards, less two (less three when a man short). Where options are fewer, those
    first at the presser's end spot fill up: each guards a way out (straight before inside before outside) or takes the
    next near man, whichever is worth more for less running; he for whom all that is too far is left to the balance. A
    full-back joins where only he can take over. Common practice; the weights are own choices (grade D).
    """
    pool = p.front & ~is_player(d.presser, p.line.shape[1]) & (d.presser >= 0)[:, None]
    late = np.where(pool, p.own_arrival(d.end_xy[:, None]) + BEATEN_S * beaten(p), np.inf)
    count = cover_count(p, d, pool)
    places = denial_places(p)
    time = times_to(p, places)
    runs = sensible(p, places, time)
    near = NEAR_SHARE * np.minimum(late, LATEST_S)[..., None]
    mark = _pairs(p, d, pool, _best_options(p, d, count), np.where(runs, time, np.inf), near)
    guards = pool & (mark < 0) & (late <= LATEST_S)
    chosen = (mark >= 0) | _nearest(guards, late, count - (mark >= 0).sum(1))
    duty, mark = _others(p, d, chosen, mark, np.where(runs, time - NEXT_MAN_S, np.inf))
    chosen = chosen & (duty >= 0)
    full_back, his_mark, his_duty = _full_back(p, d, mark)
    who = chosen | full_back
    mark, duty = np.where(full_back, his_mark, mark), np.where(full_back, his_duty, duty)
    man = np.take_along_axis(places, np.maximum(mark, 0)[..., None], 1)
    return Jobs(who, duty, mark, np.where((mark >= 0)[..., None], man, _guard_spot(p, d, duty)))


def _pairs(p: Picture, d: Decisions, pool: Bools, wanted: Bools, time: Floats, near: Floats) -> Ints:
    """(F, N) option of each cover, -1 for none.

    All the team is paired at once, with the options first and then with the other men who matter: so nobody covers an
    option whom the balance needs more where another could do it.
    """
    value = man_value(p, d)
    option = time + near - (OPTION_S + VALUE_S * _share(np.where(wanted, option_value(p, d), 0.0)))[:, None]
    other = np.where((value > 0)[:, None], time - MAN_S * _share(value)[:, None], np.inf)
    stay = np.where(np.eye(pool.shape[1], dtype=bool), STAY_S, np.broadcast_to(np.inf, (*pool.shape, pool.shape[1])))
    cost = np.concatenate([np.where(wanted[:, None], option, other), stay], axis=2)
    job = least_total(cost, pool, np.ones(cost.shape[::2], bool))
    has = np.take_along_axis(np.pad(wanted, ((0, 0), (0, pool.shape[1]))), np.maximum(job, 0), 1) & (job >= 0)
    return np.where(has, job, NOBODY)


def _share(value: Floats) -> Floats:
    """(F, M) values as shares of the greatest."""
    return value / np.maximum(value.max(1, keepdims=True), LEAST_TOP)


def _best_options(p: Picture, d: Decisions, count: Ints) -> Bools:
    """(F, M) the options worth most, no more than there are covers."""
    value = np.where(d.options, -option_value(p, d), np.inf)
    return np.asarray(d.options & (value.argsort(1).argsort(1) < count[:, None]))


def _nearest(who: Bools, late: Floats, count: Ints) -> Bools:
    """(F, N) so many of them, those first at the presser's end spot."""
    return np.asarray(who & (np.where(who, late, np.inf).argsort(1).argsort(1) < count[:, None]))


def beaten(p: Picture) -> Bools:
    """(F, N) further from our goal than the ball by more than 2 m."""
    return np.asarray(p.own_goal_m > p.ball_goal_m[:, None] + BEATEN_M)


def cover_count(p: Picture, d: Decisions, pool: Bools) -> Ints:
    """(F,) the open options, at least two and at most four; one more where nobody takes over in time."""
    s = p.settings
    wanted = np.clip(d.options.sum(1), s.covers_at_least, s.covers_at_most)
    gap_in_time = (d.take_over_s.min(1) > s.take_over_limit_s) & (wanted < s.covers_at_most)
    left = p.front.sum(1) - 1 - KEEP_FOR_BALANCE + 1 - (p.men_short > 0)
    return np.minimum(wanted + gap_in_time, np.maximum(left, np.minimum(pool.sum(1), 1))).astype(int)


def _others(p: Picture, d: Decisions, chosen: Bools, mark: Ints, man_cost: Floats) -> tuple[Ints, Ints]:
    """Duty and mark of all covers: the idle ones share the straight way, the next near men and the other ways.

    Duty -1 for one who would have to run too far: he is left to the balance.
    """
    idle, men = chosen & (mark < 0), p.opp.shape[1]
    wanted = (next_options(p, d) & ~marked(p, mark))[:, None]
    guards = np.stack([_guard_spot(p, d, way) for way in WAYS_GUARDED], axis=1)
    short = norm(guards[:, None] - p.own[:, :, None]) <= GUARD_RUN_M
    guard = np.where(short | _unguarded(p, d)[:, None, None], times_to(p, guards) - np.array(WAY_S), np.inf)
    cost = np.concatenate([np.where(wanted, man_cost, np.inf), guard], axis=2)
    job = least_total(cost, idle, np.ones(cost.shape[::2], bool))
    mark = np.where((job >= 0) & (job < men), job, mark)
    guard_duty = np.where(job >= men, np.array(WAYS_GUARDED)[np.clip(job - men, 0, 2)], NOBODY)
    return np.where(mark >= 0, DENY, guard_duty), mark


def _unguarded(p: Picture, d: Decisions) -> Bools:
    """(F,) nobody, the back line included, is on the carrier's straight way in time: a guard is worth a long run."""
    return np.asarray(d.take_over_s[:, STRAIGHT] > UNGUARDED_S)


def _full_back(p: Picture, d: Decisions, mark: Ints) -> tuple[Bools, Ints, Ints]:
    """Who leaves the back line to cover, his mark and duty: the full-back on a side where no midfielder takes over.

    He takes the man in his zone, else the short option on his side, else he guards the way. He stays where the ball is
    behind most of the team: then the line is all there is.
    """
    limit, players = p.settings.take_over_limit_s, p.line.shape[1]
    others = ~is_player(d.presser, players)
    who, marks, duty = np.zeros(p.line.shape, bool), np.full(p.line.shape, NOBODY), np.full(p.line.shape, GUARD_OUTSIDE)
    enough = ((p.back & others).sum(1) > LEAST_LINE) & (d.presser >= 0)
    enough = enough & ((p.front & p.goal_side).sum(1) > 1)
    for way, sign, job in ((OUTSIDE, 1, GUARD_OUTSIDE), (INSIDE, -1, GUARD_INSIDE)):
        front_s = np.where(p.front & others, d.way_s[..., way], np.inf).min(1)
        widest = np.where(p.back & others, sign * p.own[..., 1], -np.inf).argmax(1)
        him = is_player(widest, players) & ~p.front
        goes = (front_s > limit) & (np.where(him, d.way_s[..., way], np.inf).min(1) <= limit) & enough
        his = _his_man(p, d, widest, sign, mark)
        new = him & goes[:, None]
        who, marks = who | new, np.where(new, his[:, None], marks)
        duty = np.where(new, np.where(his >= 0, DENY, job)[:, None], duty)
        enough = enough & ~goes
    return who, marks, duty


def _his_man(p: Picture, d: Decisions, widest: Ints, sign: int, mark: Ints) -> Ints:
    """(F,) the opponent nearest to a full-back: in his zone, or the short option on his side; -1 if none."""
    side = sign * (p.opp[..., 1] - p.origin[:, 1:]) > -10.0
    apart = norm(p.opp - p.own[np.arange(len(p)), widest][:, None])
    free = p.opp_here & ~p.is_holder & ~p.opp_keeper & ~p.offside & ~marked(p, mark) & side
    counted = np.where(free & ((apart <= HIS_MAN_M) | d.options), apart, np.inf)
    return np.where(np.isfinite(counted.min(1)), counted.argmin(1), NOBODY)


def _guard_spot(p: Picture, d: Decisions, duty: int | Ints) -> Floats:
    """Where the cover stands who guards a way: (F, 2) for one duty, (F, N, 2) for many."""
    sign = np.equal(duty, GUARD_INSIDE) * 1.0 - np.equal(duty, GUARD_OUTSIDE)
    angle = np.radians(p.settings.cover_angle_deg) * sign
    many = (slice(None), None) if np.ndim(duty) else (slice(None),)
    step = turned(p.goal_way[many], angle) * cover_distance_m(p).reshape(-1, *[1] * (np.ndim(duty) or 1))
    return p.pitch.inside(d.end_xy[many] + step, 0.5)


def cover_distance_m(p: Picture) -> Floats:
    """(F,) cover distance at the ball: shorter towards the own goal, joined by straight lines."""
    half = p.pitch.length_m / 2
    return np.interp(p.focus[:, 0], [-half + 11, -half / 2, 0.0, half / 2], p.settings.cover_distances_m)
