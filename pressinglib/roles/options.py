"""The carrier's short, easy options, and how much each opponent is worth."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.lanes import lane_margins, shadowed
from pressinglib.roles.decisions import Decisions, is_player
from pressinglib.roles.picture import Bools, Floats, Picture, norm

OPEN_S = 0.2  # a lane is open above this margin, closed below its negative (D)
BEHIND_BALL_M = 4.0  # men this much further from our goal are no easy option ... (D)
CUT_BACK_M = 30.0  # ... unless they are this near to our goal
HELD_M = 1.5  # a goal-side back-line player this near holds his man (P)
STEERED_SIDE = 1.3  # an option on the side to which the carrier is pushed is worth this much more (D)
PASS_DECAY_M = 40.0


def worth(p: Picture, xy: Floats) -> Floats:
    """How much a place (F, ..., 2) is worth to the team in possession: 0.05 + 0.9 exp(-distance to goal / 25 m)."""
    return np.asarray(0.05 + 0.9 * np.exp(-norm(xy - p.goal) / 25.0))


def in_shadow(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the trusted cover shadow of a presser at his end spot."""
    hidden = shadowed(d.end_xy, p.origin, p.opp, p.settings.trusted_shadow_deg)
    return np.asarray(hidden & (d.presser >= 0)[:, None] & ~p.is_holder & p.opp_here)


def held_by_line(p: Picture, within_m: float = HELD_M) -> Bools:
    """(F, M) opponents with a goal-side player of the back line within a distance."""
    apart = norm(p.opp[:, :, None] - p.own[:, None])
    goal_side = p.own_goal_m[:, None] < p.opp_goal_m[:, :, None]
    return np.asarray((p.back[:, None] & goal_side & (apart <= within_m)).any(-1))


def short_options(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the short radius whose lane nobody closes: neither defenders where they stand nor the presser."""
    s = p.settings
    near = norm(p.opp - p.origin[:, None]) <= s.short_pass_m
    level = (p.opp_goal_m <= p.ball_goal_m[:, None] + BEHIND_BALL_M) | (p.opp_goal_m <= CUT_BACK_M)
    counted = p.opp_here & ~p.is_holder & ~p.offside & ~(p.opp_keeper & (s.count_goalkeeper == "no"))
    free = ~held_by_line(p) & ~in_shadow(p, d)
    return np.asarray(near & level & counted & free & (_margins(p, d).min(-1) > OPEN_S))


def _margins(p: Picture, d: Decisions) -> Floats:
    """(F, M, N) lane margins where everybody stands; the presser, who is on his way, left out."""
    s = p.settings
    margin = lane_margins(p.origin, p.opp, p.own, p.own_velocity, s.reach_m, s.reaction_s, s.ball_mps)
    return np.where(is_player(d.presser, p.line.shape[1])[:, None], np.inf, margin)


def option_value(p: Picture, d: Decisions) -> Floats:
    """(F, M) falls with the length of the pass, rises towards goal and on the steered side."""
    off = p.opp - p.origin[:, None]
    steered = off[..., 1] * d.steer[:, None] > 0
    value = worth(p, p.opp) * np.exp(-norm(off) / PASS_DECAY_M) * np.where(steered, STEERED_SIDE, 1.0)
    return np.where(p.opp_here, value, 0.0)
