"""A trap: one option is left to the carrier on purpose, and closed by two while the ball travels to it."""

from __future__ import annotations

from typing import Any

import numpy as np

from pressinglib.play.hand_over import RulesInTime
from pressinglib.play.moment import Moment
from pressinglib.play.unseen import unseen
from pressinglib.roles.decisions import Decisions, Jobs, is_player
from pressinglib.roles.picture import Bools, Floats, Picture, turned, unit
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.vocabulary import COVER, GUARD_INSIDE, NOBODY

CLOSE_M = 1.5  # the second stands this far from the ball, beside the presser (D)


def sprung(now: Moment, man: int) -> bool:
    """The ball is on its way to him, or he has it."""
    return man in (now.receiver, now.carrier)


def trapped(rulebook: Rulebook, man: int, closing: bool) -> Rulebook:
    """The rulebook of a team that leaves the opponent `man` (index in the sheet) free, or now closes him down.

    Leaving: nobody denies him, and the carrier is steered towards him. Closing: a second goes, and stands square to
    the presser; this is the one case in which two press one ball.
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
        who, spot = _second(p, d)
        anchor = np.where(who[..., None], spot[:, None], jobs.anchor)
        return Jobs(jobs.who | who, np.where(who, GUARD_INSIDE, jobs.duty), np.where(who, NOBODY, jobs.mark), anchor)

    def spots(p: Picture, d: Decisions) -> Any:
        who, spot = _second(p, d)
        who = who & (d.role == COVER)
        return np.where(who[..., None], spot[:, None], rulebook.settle_spots(p, d))

    return RulesInTime.of(rulebook, choose_covers=covers, settle_spots=spots)


def _second(p: Picture, d: Decisions) -> tuple[Bools, Floats]:
    """(F, N) the second man, none where nobody presses, and (F, 2) his spot.

    Of midfield and attack, without the presser, he who is first beside the carrier on either side of the presser.
    """
    off = unit(d.end_xy - p.focus) * CLOSE_M
    beside = np.stack([p.pitch.inside(p.focus + turned(off, side * np.pi / 2)) for side in (1, -1)], axis=1)
    free = p.front & ~is_player(d.presser, p.line.shape[1]) & (d.presser >= 0)[:, None]
    late = np.stack([np.where(free, p.own_arrival(beside[:, k, None]), np.inf) for k in (0, 1)], axis=1)
    side = late.min(2).argmin(1)
    frame = np.arange(len(p))
    there = late[frame, side]
    who = is_player(np.where(np.isfinite(there.min(1)), there.argmin(1), NOBODY), p.line.shape[1])
    return who, beside[frame, side]
