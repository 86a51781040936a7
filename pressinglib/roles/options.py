"""The carrier's short, easy options, and how much each opponent is worth."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.lanes import shadowed
from pressinglib.roles.decisions import Decisions, is_player
from pressinglib.roles.marking import held_by_line
from pressinglib.roles.picture import Bools, Floats, Picture, norm

OPEN_S = 0.2  # a lane is open above this margin, closed below its negative (D)
BEHIND_BALL_M = 4.0  # men this much further from our goal are no easy option ... (D)
CUT_BACK_M = 30.0  # ... unless they are this near to our goal
NEXT_BEHIND_M = 12.0  # a cover who has nobody to deny takes a man at most this much behind the ball (D)
HELD_TOUCH_S = 0.2  # a man whom the line reaches this little after the ball is still held (D)
STEERED_SIDE = 1.3  # an option on the side to which the carrier is pushed is worth this much more (D)
PASS_DECAY_M = 40.0


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


def next_options(p: Picture, d: Decisions) -> Bools:
    """(F, M) near men for a cover with nobody to deny: in the shadow, in a contested lane, or a little behind."""
    level = p.opp_goal_m <= p.ball_goal_m[:, None] + NEXT_BEHIND_M
    return np.asarray(_near(p) & level & ~_held(p, d) & ~d.options)


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
