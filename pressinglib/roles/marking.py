"""Marking: the carrier's short, easy options and their worth, from where one is denied, who is paired with whom."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.lanes import shadowed
from pressinglib.roles.decisions import Decisions, is_player
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, unit
from pressinglib.roles.settings import NOBODY

FORBIDDEN = 1e6

IN_FRONT_M = 1.5  # on the lane, this far off the man (P: 1-2 m)
BACKED_M = 15.0  # ... if a back-line player is goal-side of him within this distance (D)
NEAREST_M, FURTHEST_M = 1.2, 6.0  # goal-side of the man: never nearer, never further (D)
BEFORE_BALL_S = 0.2  # how much before the ball the marker must be able to get there (D)
SHADE = 0.5  # how much a goal-side marker leans from the goal to the ball (D)
LEVEL_M = 2.5  # a back-line player this little behind his man still has him (D)

OPEN_S = 0.2  # a lane is open above this margin, closed below its negative (D)
BEHIND_BALL_M = 4.0  # men this much further from our goal are no easy option ... (D)
CUT_BACK_M = 30.0  # ... unless they are this near to our goal
HELD_TOUCH_S = 0.2  # a man whom the line reaches this little after the ball is still held (D)
STEERED_SIDE = 1.3  # an option on the side to which the carrier is pushed is worth this much more (D)
PASS_DECAY_M = 40.0


def least_total(cost: Floats, players: Bools, jobs: Bools) -> Ints:
    """(F, N) job of each player, -1 for none: as many pairs as possible at the least total of costs (F, N, J).

    Of players (F, N) and jobs (F, J) who take part (Kuhn 1955, 10.1002/nav.3800020109).
    """
    from scipy.optimize import linear_sum_assignment

    out = np.full(players.shape, NOBODY)
    for f in np.flatnonzero(players.any(1) & jobs.any(1)):
        rows, columns = np.flatnonzero(players[f]), np.flatnonzero(jobs[f])
        table = np.minimum(np.nan_to_num(cost[f][np.ix_(rows, columns)], nan=FORBIDDEN, posinf=FORBIDDEN), FORBIDDEN)
        chosen, job = linear_sum_assignment(table)
        out[f, rows[chosen]] = np.where(table[chosen, job] < FORBIDDEN, columns[job], NOBODY)
    return out


def denial_places(p: Picture) -> Floats:
    """(F, M, 2) the place from which each opponent is denied the ball.

    In front of him on the lane where the back line backs it up; else goal-side, shaded to the ball, and as near as the
    ball's travel demands: a far option is held from further off than a near one.
    """
    front = p.opp + unit(p.origin[:, None] - p.opp) * IN_FRONT_M
    return p.pitch.inside(np.where(_backed(p)[..., None], front, goal_side_places(p, FURTHEST_M)), 0.5)


def goal_side_places(p: Picture, furthest_m: float) -> Floats:
    """(F, M, 2) the same, always goal-side: for players who drop onto a man."""
    direction = unit(unit(p.goal - p.opp) + SHADE * unit(p.origin[:, None] - p.opp))
    away_m = np.clip(slack_m(p, -BEFORE_BALL_S), NEAREST_M, furthest_m)
    return p.pitch.inside(p.opp + direction * away_m[..., None], 0.5)


def slack_m(p: Picture, touch_s: float) -> Floats:
    """(F, M) from how far a standing player still reaches each opponent by so long after the ball."""
    s = p.settings
    return s.running.covered_m(p.pass_s + touch_s - s.reaction_s) + s.reach_m


def _backed(p: Picture) -> Bools:
    apart = norm(p.opp[:, :, None] - p.own[:, None])
    behind = p.own_goal_m[:, None] < p.opp_goal_m[:, :, None]
    return np.asarray((p.back[:, None] & behind & (apart <= BACKED_M)).any(-1))


def held_by_line(p: Picture, leavers: Bools | None = None, touch_s: float = 0.0, before_m: float = np.inf) -> Bools:
    """(F, M) opponents not far before the line whom one of it, goal-side, reaches before the ball (and the touch)."""
    line = p.back if leavers is None else p.back & ~leavers
    goal_side = p.own_goal_m[:, :, None] < p.opp_goal_m[:, None] + LEVEL_M
    near = p.met[:, None, :, 0] - p.own[:, :, None, 0] <= before_m
    return np.asarray((line[..., None] & goal_side & near & (p.marking_s <= p.pass_s[:, None] + touch_s)).any(1))


def times_to(p: Picture, places: Floats) -> Floats:
    """(F, N, J) time of each player to each of the places (F, J, 2), without reaction."""
    time = p.own_running.at(np.s_[:, :, None]).time(p.own[:, :, None], p.own_velocity[:, :, None], places[:, None])
    return np.where(p.own_here[:, :, None], time, np.inf)


def marked(p: Picture, mark: Ints) -> Bools:
    """(F, M) opponents who are somebody's mark in (F, N)."""
    return np.asarray((mark[:, :, None] == np.arange(p.opp.shape[1])).any(1))


def toward(start: Floats, target: Floats, most_m: float) -> Floats:
    """The target, or the point `most_m` on the way to it."""
    way = target - start
    return start + unit(way) * np.minimum(norm(way), most_m)[..., None]


def worth(p: Picture, xy: Floats) -> Floats:
    """How much a place (F, ..., 2) is worth to the team in possession: 0.05 + 0.9 exp(-distance to goal / 25 m)."""
    return np.asarray(0.05 + 0.9 * np.exp(-norm(xy - p.goal) / 25.0))


def in_shadow(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the trusted cover shadow of a presser at his end spot."""
    hidden = shadowed(d.end_xy, p.origin, p.opp, p.settings.trusted_shadow_deg)
    return np.asarray(hidden & (d.presser >= 0)[:, None] & ~p.is_holder & p.opp_here)


def short_options(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the short radius whose lane nobody closes: defenders where they stand, nor the presser."""
    level = (p.opp_goal_m <= p.ball_goal_m[:, None] + BEHIND_BALL_M) | (p.opp_goal_m <= CUT_BACK_M)
    return np.asarray(_near(p) & level & ~in_shadow(p, d) & ~_held(p, d) & (_margins(p, d).min(-1) > OPEN_S))


def _near(p: Picture) -> Bools:
    s = p.settings
    counted = p.opp_here & ~p.is_holder & ~p.offside & ~(p.opp_keeper & (s.count_goalkeeper == "no"))
    return np.asarray(counted & (norm(p.opp - p.origin[:, None]) <= s.short_pass_m))


def _held(p: Picture, d: Decisions) -> Bools:
    return held_by_line(p, is_player(d.presser, p.line.shape[1]), HELD_TOUCH_S)


def _margins(p: Picture, d: Decisions) -> Floats:
    """(F, M, N) lane margins where everybody stands; the presser, who is on his way, left out."""
    return np.where(is_player(d.presser, p.line.shape[1])[:, None], np.inf, p.cut_out_s)


def option_value(p: Picture, d: Decisions) -> Floats:
    """(F, M) falls with the length of the pass, rises towards goal and on the steered side."""
    off = p.opp - p.origin[:, None]
    steered = off[..., 1] * d.steer[:, None] > 0
    value = worth(p, p.opp) * np.exp(-norm(off) / PASS_DECAY_M) * np.where(steered, STEERED_SIDE, 1.0)
    return np.where(p.opp_here, value, 0.0)
