"""A trap: one option is left to the carrier on purpose, and closed by two while the ball travels to it."""

from __future__ import annotations

from typing import Any

import numpy as np

from pressinglib.play.hand_over import RulesInTime
from pressinglib.play.moment import Moment
from pressinglib.play.unseen import unseen
from pressinglib.roles.decisions import Decisions, Jobs, is_player
from pressinglib.roles.picture import Floats, Ints, Picture, unit
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.vocabulary import COVER, GUARD_INSIDE, NOBODY

CLOSE_M = 1.8  # the second stands this far from the ball, on the way back inside (D)


def sprung(now: Moment, man: int) -> bool:
    """The ball is on its way to him, or he has it."""
    return man in (now.receiver, now.carrier)


def trapped(rulebook: Rulebook, man: int, closing: bool) -> Rulebook:
    """The rulebook of a team that leaves the opponent `man` (index in the sheet) free, or now closes him down.

    Leaving: nobody denies him, and the carrier is steered towards him. Closing: beside the presser a second goes, onto
    the way back inside; this is the one case in which two press one ball.
    """
    return _closing(rulebook) if closing else _leaving(rulebook, man)


def _leaving(rulebook: Rulebook, man: int) -> Rulebook:
    def steer(p: Picture, d: Decisions) -> Any:
        him = p.opp[p.opp_order == man][0]
        side = np.sign(him[1] - p.origin[:, 1]).astype(int)
        return np.where((d.presser < 0) | (side == 0), rulebook.choose_steer(p, d), side)

    def covers(p: Picture, d: Decisions) -> Any:
        return rulebook.choose_covers(unseen(p, d, p.opp_order == man), d)

    def balance(p: Picture, d: Decisions) -> Any:
        return rulebook.choose_balance(unseen(p, d, p.opp_order == man), d)

    return RulesInTime.of(rulebook, choose_steer=steer, choose_covers=covers, choose_balance=balance)


def _closing(rulebook: Rulebook) -> Rulebook:
    def covers(p: Picture, d: Decisions) -> Any:
        jobs = rulebook.choose_covers(p, d)
        second = is_player(_second(p, d), p.line.shape[1])
        anchor = np.where(second[..., None], _way_back(p)[:, None], jobs.anchor)
        return Jobs(jobs.who | second, np.where(second, GUARD_INSIDE, jobs.duty), np.where(second, NOBODY, jobs.mark),
                    anchor)

    def spots(p: Picture, d: Decisions) -> Any:
        second = is_player(_second(p, d), p.line.shape[1]) & (d.role == COVER)
        return np.where(second[..., None], _way_back(p)[:, None], rulebook.settle_spots(p, d))

    return RulesInTime.of(rulebook, choose_covers=covers, settle_spots=spots)


def _second(p: Picture, d: Decisions) -> Ints:
    """(F,) the first of midfield and attack, without the presser, to the way back inside."""
    late = np.where(p.front & ~is_player(d.presser, p.line.shape[1]), p.own_arrival(_way_back(p)[:, None]), np.inf)
    return np.where((d.presser >= 0) & np.isfinite(late.min(1)), late.argmin(1), NOBODY)


def _way_back(p: Picture) -> Floats:
    """(F, 2) beside the ball, towards the middle of the pitch and level with it."""
    inside = np.stack([np.zeros(len(p)), -np.sign(p.focus[:, 1])], axis=-1)
    return p.pitch.inside(p.focus + unit(inside + 0.3 * p.goal_way) * CLOSE_M)
