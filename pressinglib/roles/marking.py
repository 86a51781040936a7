"""From where an opponent is denied, whose business he is, and whether a run for him makes sense."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.motion import arrival_time
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, unit

IN_FRONT_M = 1.5  # on the lane, this far off the man (P: 1-2 m)
BACKED_M = 15.0  # ... if a back-line player is goal-side of him within this distance (D)
NEAREST_M, FURTHEST_M = 1.2, 6.0  # goal-side of the man: never nearer, never further (D)
BEFORE_BALL_S = 0.2  # how much before the ball the marker must be able to get there (D)
SHADE = 0.5  # how much a goal-side marker leans from the goal to the ball (D)
LONG_RUN_M = 15.0  # nobody is sent further than this to arrive after the ball (P)
LATE_S = 0.5
LEVEL_M = 2.5  # a back-line player this little behind his man still has him (D)


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
    return p.pitch.inside(p.opp + direction * np.minimum(_slack_m(p), furthest_m)[..., None], 0.5)


def _slack_m(p: Picture) -> Floats:
    """(F, M) from how far a standing marker still reaches the man before the ball."""
    s = p.settings
    run_s = np.maximum(p.pass_s - s.reaction_s - BEFORE_BALL_S, 0.0)
    run_m = s.top_speed_mps * (run_s - (1 - np.exp(-s.alpha_per_s * run_s)) / s.alpha_per_s)
    return np.maximum(run_m + s.reach_m, NEAREST_M)


def _backed(p: Picture) -> Bools:
    apart = norm(p.opp[:, :, None] - p.own[:, None])
    behind = p.own_goal_m[:, None] < p.opp_goal_m[:, :, None]
    return np.asarray((p.back[:, None] & behind & (apart <= BACKED_M)).any(-1))


def held_by_line(p: Picture, leavers: Bools | None = None, touch_s: float = 0.0) -> Bools:
    """(F, M) opponents whom a goal-side back-line player reaches before the ball (and the first touch) does."""
    line = p.back if leavers is None else p.back & ~leavers
    goal_side = p.own_goal_m[:, :, None] < p.opp_goal_m[:, None] + LEVEL_M
    return np.asarray((line[..., None] & goal_side & (p.marking_s <= p.pass_s[:, None] + touch_s)).any(1))


def times_to(p: Picture, places: Floats) -> Floats:
    """(F, N, J) time of each player to each of the places (F, J, 2), without reaction."""
    s = p.settings
    time = arrival_time(p.own[:, :, None], p.own_velocity[:, :, None], places[:, None], s.alpha_per_s, s.top_speed_mps)
    return np.where(p.own_here[:, :, None], time, np.inf)


def sensible(p: Picture, places: Floats, time: Floats) -> Bools:
    """(F, N, M) runs of at most 15 m, or that end before the ball and the first touch get to the opponent."""
    s = p.settings
    short = norm(places[:, None] - p.own[:, :, None]) <= LONG_RUN_M
    in_time = time + s.reaction_s <= p.pass_s[:, None] + s.control_time_s + LATE_S
    return np.asarray(short | in_time)


def marked(p: Picture, mark: Ints) -> Bools:
    """(F, M) opponents who are somebody's mark in (F, N)."""
    return np.asarray((mark[:, :, None] == np.arange(p.opp.shape[1])).any(1))


def toward(start: Floats, target: Floats, most_m: float) -> Floats:
    """The target, or the point `most_m` on the way to it."""
    way = target - start
    return start + unit(way) * np.minimum(norm(way), most_m)[..., None]
