"""Men who do not count for a while: one left free on purpose, and those whom a dribbling carrier leaves behind."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from pressinglib.play.hand_over import RulesInTime
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.options import BEHIND_BALL_M
from pressinglib.roles.picture import Bools, Picture, norm, pick
from pressinglib.roles.rulebook import Rulebook

RUNS_MPS = 2.0
AHEAD_S = 1.0  # a carrier who runs does not turn and pass to whom he has behind him this much later (D)


def unseen(p: Picture, d: Decisions, gone: Bools) -> Picture:
    """The picture without some opponents (F, M), who are no options either."""
    d.options = d.options & ~gone
    return replace(p, opp=np.where(gone[..., None], np.nan, p.opp))


def left_behind(p: Picture) -> Bools:
    """(F, M) those who will be well behind the carrier if he runs on: nobody is sent past him to deny them."""
    velocity = pick(p.opp_velocity, p.carrier)
    runs = (p.carrier >= 0) & (norm(velocity) > RUNS_MPS)
    to_m = norm(p.ball + AHEAD_S * velocity - p.goal)
    behind = p.opp_goal_m > to_m[:, None] + BEHIND_BALL_M
    return np.asarray(behind & runs[:, None] & ~p.is_holder)


def with_eyes_ahead(rulebook: Rulebook) -> Rulebook:
    """The rulebook of a team that lets go of those who are left behind."""
    def seen(p: Picture, d: Decisions) -> Picture:
        gone = left_behind(p)
        return unseen(p, d, gone) if gone.any() else p

    def covers(p: Picture, d: Decisions) -> Any:
        return rulebook.choose_covers(seen(p, d), d)

    def balance(p: Picture, d: Decisions) -> Any:
        return rulebook.choose_balance(seen(p, d), d)

    return RulesInTime.of(rulebook, choose_covers=covers, choose_balance=balance)
