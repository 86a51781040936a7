"""The plan in force: it follows the plan of each moment, but nobody changes his job for a blink of it."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import Any

import numpy as np

from pressinglib.roles.cover import beaten
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.marking import least_total
from pressinglib.roles.picture import ABSENT_LINE, Bools, Floats, Ints, Picture, norm, unit
from pressinglib.roles.presser import ROUND_HIM_S
from pressinglib.roles.rulebook import Rule, Rulebook
from pressinglib.roles.settings import BACK_LINE, BALANCE, COVER, KEEP_BLOCK, NOBODY, RECOVER
from pressinglib.roles.settings import GOALKEEPER as KEEPER

# -- Roles change hands without flicker: one passes on only when the other is clearly better.


STEERS_ON_S = 1.0  # the same man on the same carrier changes the side only if the other was right for so long (D)
OTHER_JOB_S = 0.5  # what it costs to give somebody a job that neither the plan nor the past gave him (D)


@dataclass(frozen=True)
class RulesInTime(Rulebook):
    """A rulebook whose rules are array code of this room; they are taken as they are."""

    def __post_init__(self) -> None:
        """Nothing is lifted: a rulebook has done so already."""

    @classmethod
    def of(cls, rulebook: Rulebook, **rules: Rule) -> RulesInTime:
        """The rules of a rulebook, some of them replaced."""
        return cls(**{**{f.name: getattr(rulebook, f.name) for f in fields(rulebook)}, **rules})


@dataclass(eq=False)
class HandOver:
    """What everybody did a moment ago, in the order of the sheets (-1: nobody), and how hard it is to take it over.

    `handover_s` is how much earlier another must be there (presser), or how much less two must run together (covers,
    balance).
    """

    handover_s: float
    presser: int = NOBODY
    holder: int = NOBODY  # of the ball
    steer: int = 0  # sign of y in the picture as it came
    steered_s: float = 0.0  # since when the rules have not wanted another side
    duty: Ints | None = None  # (N,)
    mark: Ints | None = None  # (N,)
    out: Bools = field(default_factory=lambda: np.zeros(0, bool))  # (N,) beaten, and not yet goal-side again

    def rules(self, rulebook: Rulebook) -> RulesInTime:
        """The same rules, but who has a job keeps it unless another is clearly better."""
        def presser(p: Picture, d: Decisions) -> Any:
            return self._same_presser(p, rulebook.choose_presser(self._without_beaten(p), d))

        def steer(p: Picture, d: Decisions) -> Any:
            return self._same_side(p, d, rulebook.choose_steer(p, d))

        def spots(p: Picture, d: Decisions) -> Any:
            self._same_jobs(p, d)
            return rulebook.settle_spots(p, d)

        return RulesInTime.of(rulebook, choose_presser=presser, choose_steer=steer, settle_spots=spots)

    def remember(self, p: Picture, d: Decisions) -> None:
        """What is in force now."""
        own, opp = p.own_order[0], p.opp_order[0]
        self.duty, self.mark = np.full(len(own), NOBODY), np.full(len(own), NOBODY)
        self.duty[own] = d.duty[0]
        self.mark[own] = np.where(d.mark[0] >= 0, opp[np.maximum(d.mark[0], 0)], NOBODY)
        self.presser, self.holder = _presser(p, d.presser), _holder(p)
        self.steer = int(d.steer[0] * p.side[0])

    def _without_beaten(self, p: Picture) -> Picture:
        """The picture without those of us who were beaten and are not yet goal-side again."""
        out = self.out[p.own_order]
        return replace(p, line=np.where(out, ABSENT_LINE, p.line)) if out.any() else p

    def _same_presser(self, p: Picture, chosen: Ints) -> Ints:
        """Who pressed goes on, if he is there at most so much later than the one chosen; the beaten must get round."""
        if chosen[0] < 0 or self.presser < 0:
            return chosen
        last = int(np.argmax(p.own_order[0] == self.presser))
        time = p.own_arrival(p.focus[:, None])[0] + ROUND_HIM_S * beaten(p)[0]
        keeps = not self.out[self.presser] and time[last] <= time[chosen[0]] + self.handover_s
        return np.array([last]) if keeps else chosen

    def _same_side(self, p: Picture, d: Decisions, chosen: Ints) -> Ints:
        """The side he steers to is kept for a while by the same man on the same carrier."""
        now_s, side = float(p.frames.time_s[0]), int(p.side[0])
        same = _presser(p, d.presser) == self.presser and _holder(p) == self.holder and self.steer != 0
        if not same or chosen[0] * side == self.steer:
            self.steered_s = now_s
        keeps = same and chosen[0] != 0 and now_s - self.steered_s < STEERS_ON_S
        return np.array([self.steer * side]) if keeps else chosen

    def _same_jobs(self, p: Picture, d: Decisions) -> None:
        """Covers and balance players keep the man or the way they had, where the plan has only swapped them."""
        who = np.flatnonzero((((d.role == COVER) | (d.role == BALANCE)) & ~p.back)[0])
        if len(who) < 2 or self.mark is None:
            return
        same, own = self._had_it(p, d, who), np.eye(len(who), dtype=bool)
        cost = _times(p, d, who) + OTHER_JOB_S * ~(own | same) - self.handover_s * same
        everyone = np.ones((1, len(who)), bool)
        job = who[least_total(cost[None], everyone, everyone)[0]]
        for array in (d.role, d.duty, d.mark, d.anchor, d.spot):
            array[0, who] = array[0, job].copy()

    def _had_it(self, p: Picture, d: Decisions, who: Ints) -> Bools:
        """(K, K) whether each had the job of each other: the same man, or the same way or gap and no man."""
        assert self.mark is not None and self.duty is not None
        sheet, duty = p.own_order[0, who], d.duty[0, who]
        mark = np.where(d.mark[0, who] >= 0, p.opp_order[0, np.maximum(d.mark[0, who], 0)], NOBODY)
        had, did = self.mark[sheet][:, None], self.duty[sheet][:, None]
        same_man = (mark >= 0) & (had == mark)
        same_duty = (mark < 0) & (had < 0) & (did == duty)
        his_own = ~np.isin(duty, (KEEP_BLOCK, RECOVER)) | np.eye(len(who), dtype=bool)
        return np.asarray(same_man | (same_duty & his_own))


def _presser(p: Picture, presser: Ints) -> int:
    """Place in the sheet."""
    return NOBODY if presser[0] < 0 else int(p.own_order[0, presser[0]])


def _holder(p: Picture) -> int:
    return NOBODY if p.holder[0] < 0 else int(p.opp_order[0, p.holder[0]])


def _times(p: Picture, d: Decisions, who: Ints) -> Floats:
    """(K, K) time of each player to each anchor."""
    return np.stack([p.own_arrival(d.anchor[:, n, None])[0, who] for n in who], axis=1)


# -- The plan in force: it follows the plan of each moment, but nobody changes his job for a blink of it.


STANDS_S = 0.3  # a new job must stand for this long, unless the ball is played or the presser changes (D: a reaction)
GLIDE_MPS = 8.0  # a spot moves no faster than a man runs (D)


@dataclass(frozen=True, eq=False)
class Steady:
    """The plan in force, in the order of the sheets and the frame of the picture as it came."""

    time_s: float
    presser: int
    role: Ints  # (N,)
    duty: Ints
    mark: Ints
    spot: Floats  # (N, 2)
    anchor: Floats
    wish: Ints  # (N, 3) job that waits to be taken up
    wished_s: Floats  # (N,) since when


def in_force(p: Picture, d: Decisions, before: Steady | None, now_s: float, at_once: bool) -> tuple[Decisions, Steady]:
    """The decisions in force now, and what to remember; `at_once`: the ball was played, everything new counts."""
    new = _fresh(p, d, now_s)
    if before is None or at_once or new.presser != before.presser:
        return d, new
    job = np.stack([new.role, new.duty, new.mark], axis=-1)
    wished_s = np.where((job == before.wish).all(-1), before.wished_s, now_s)
    keeps = _other_job(new, before) & (now_s - wished_s < STANDS_S - 1e-9)
    spot = np.where(keeps[:, None], before.spot, _gliding(new.spot, before, new, now_s))
    role, duty, mark = np.where(keeps, np.stack([before.role, before.duty, before.mark]), job.T)
    anchor = np.where(keeps[:, None], before.anchor, new.anchor)
    steady = replace(new, role=role, duty=duty, mark=mark, anchor=anchor, spot=spot, wish=job, wished_s=wished_s)
    return _written(p, d, steady), steady


def _fresh(p: Picture, d: Decisions, now_s: float) -> Steady:
    """The decisions of this moment, read off."""
    own, opp = p.own_order[0], p.opp_order[0]
    back = np.argsort(own)
    mark = np.where(d.mark[0] >= 0, opp[np.maximum(d.mark[0], 0)], NOBODY)
    role, duty, mark = d.role[0, back], d.duty[0, back], mark[back]
    presser = int(d.presser[0])
    return Steady(now_s, NOBODY if presser < 0 else int(own[presser]), role, duty, mark, p.turned_back(d.spot)[0, back],
                  p.turned_back(d.anchor)[0, back], np.stack([role, duty, mark], axis=-1), np.full(len(own), now_s))


def _other_job(new: Steady, before: Steady) -> Bools:
    """(N,) whose job is another one; to hold, to drop and to step are one job of the line."""
    line = (new.role == BACK_LINE) & (before.role == BACK_LINE) | (new.role == KEEPER)
    other = (new.role != before.role) | (new.duty != before.duty) | (new.mark != before.mark)
    presser = np.arange(len(line)) == new.presser
    return np.asarray(other & ~line & ~presser)


def _gliding(spot: Floats, before: Steady, new: Steady, now_s: float) -> Floats:
    """Spots that move towards the new ones no faster than a man runs; a new job has its spot at once."""
    same = ~_other_job(new, before) & (np.arange(len(spot)) != new.presser)
    way = spot - before.spot
    most = GLIDE_MPS * (now_s - before.time_s)
    step = before.spot + unit(way) * np.minimum(norm(way), most)[:, None]
    return np.where(same[:, None], step, spot)


def _written(p: Picture, d: Decisions, steady: Steady) -> Decisions:
    """The decisions in the order of the picture again."""
    own, opp = p.own_order, p.opp_order[0]
    place = np.append(np.argsort(opp), NOBODY)
    mark = place[steady.mark]
    flip = np.array([1.0, p.side[0]])
    return replace(d, role=steady.role[own], duty=steady.duty[own], mark=mark[own], spot=steady.spot[own] * flip,
                   anchor=steady.anchor[own] * flip)
