"""The plan in force: it follows the plan of each moment, but nobody changes his job for a blink of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from pressinglib.roles.balance import beaten
from pressinglib.roles.decisions import Decisions, frame_rule, least_total, toward
from pressinglib.roles.picture import ABSENT_LINE, Bools, Floats, Ints, Picture
from pressinglib.roles.presser import ROUND_HIM_S
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import BACK_LINE, BALANCE, COVER, KEEP_BLOCK, NOBODY, RECOVER
from pressinglib.roles.settings import GOALKEEPER as KEEPER

# -- Roles change hands without flicker: one passes on only when the other is clearly better.

STEERS_ON_S = 1.0  # the same man on the same carrier changes the side only if the other was right for so long (D)
OTHER_JOB_S = 0.5  # what it costs to give somebody a job that neither the plan nor the past gave him (D)


@dataclass(eq=False)
class RoleMemory:
    """The plan in force a moment ago, and how hard it is to take a job over.

    `handover_s` is how much earlier another must be there (presser), or how much less two must run together (covers,
    balance).
    """

    handover_s: float
    was: PlanInForce | None = None
    steered_s: float = 0.0  # since when the rules have not wanted another side
    out: Bools = field(default_factory=lambda: np.zeros(0, bool))  # (N,) beaten, and not yet goal-side again

    @property
    def presser(self) -> int:
        """Who presses, by his place in the sheet."""
        return NOBODY if self.was is None else self.was.presser

    def rules(self, rulebook: Rulebook) -> Rulebook:
        """The same rules, but who has a job keeps it unless another is clearly better."""
        return rulebook.with_rules(
            choose_presser=frame_rule(
                lambda p, d: self._same_presser(p, rulebook.choose_presser(self._without_beaten(p), d))),
            choose_steer=frame_rule(lambda p, d: self._same_side(p, d, rulebook.choose_steer(p, d))),
            settle_spots=frame_rule(lambda p, d: rulebook.settle_spots(p, self._same_jobs(p, d))))

    def in_force(self, p: Picture, d: Decisions, at_once: bool) -> Decisions:
        """The decisions in force now; `at_once`: the ball was played, everything new counts."""
        before, self.was = self.was, PlanInForce.of(p, d)
        if before is None or at_once or self.was.presser != before.presser:
            return d
        self.was = self.was.after(before)
        return self.was.decisions(p, d)

    def _without_beaten(self, p: Picture) -> Picture:
        """The picture without those of us who were beaten and are not yet goal-side again."""
        out = self.out[p.own_order]
        return replace(p, line=np.where(out, ABSENT_LINE, p.line)) if out.any() else p

    def _same_presser(self, p: Picture, chosen: Ints) -> Ints:
        """Who pressed goes on, if he is there at most so much later than the one chosen; the beaten must get round."""
        if chosen[0] < 0 or self.presser < 0:
            return chosen
        last = np.flatnonzero(p.own_order[0] == self.presser)
        time = p.own_arrival(p.focus[:, None])[0] + ROUND_HIM_S * beaten(p)[0]
        keeps = not self.out[self.presser] and time[last] <= time[chosen] + self.handover_s
        return last if keeps else chosen

    def _same_side(self, p: Picture, d: Decisions, chosen: Ints) -> Ints:
        """The side he steers to is kept for a while by the same man on the same carrier."""
        now_s, side = float(p.frames.time_s[0]), int(p.side[0])
        pair = _place(p.own_order, d.presser), _place(p.opp_order, p.holder)
        steer = self.was.steer if self.was is not None and pair == (self.was.presser, self.was.holder) else 0
        if steer == 0 or chosen[0] * side == steer:
            self.steered_s = now_s
        keeps = steer != 0 and chosen[0] != 0 and now_s - self.steered_s < STEERS_ON_S
        return np.array([steer * side]) if keeps else chosen

    def _same_jobs(self, p: Picture, d: Decisions) -> Decisions:
        """Covers and balance players keep the man or the way they had, where the plan has only swapped them."""
        who = np.flatnonzero((((d.role == COVER) | (d.role == BALANCE)) & ~p.back)[0])
        if len(who) < 2 or self.was is None:
            return d
        duty, mark, own = d.duty[0, who], _marked(p, d.mark[0, who]), np.eye(len(who), dtype=bool)
        did, had = self.was.job[p.own_order[0, who], 1:].T[..., None]
        to_all = ~np.isin(duty, (KEEP_BLOCK, RECOVER))  # a way or a gap; to keep the block is everybody's own
        same = (mark >= 0) & (had == mark) | (mark < 0) & (had < 0) & (did == duty) & (to_all | own)
        times = np.stack([p.own_arrival(d.anchor[:, n, None])[0, who] for n in who], axis=1)
        cost = times + OTHER_JOB_S * ~(own | same) - self.handover_s * same
        everyone = np.ones((1, len(who)), bool)
        job = who[least_total(cost[None], everyone, everyone)[0]]
        for array in (d.role, d.duty, d.mark, d.anchor, d.spot):
            array[0, who] = array[0, job].copy()
        return d


def _place(order: Ints, index: Ints) -> int:
    """Where somebody of the picture's order stands in the sheet; -1 for nobody."""
    return NOBODY if index[0] < 0 else int(order[0, index[0]])


def _marked(p: Picture, mark: Ints) -> Ints:
    """Marked men by their place in the sheet."""
    return np.where(mark >= 0, p.opp_order[0, np.maximum(mark, 0)], NOBODY)



# -- The plan in force follows the plan of each moment, but nobody changes his job for a blink of it.

STANDS_S = 0.3  # a new job must stand for this long, unless the ball is played or the presser changes (D: a reaction)
GLIDE_MPS = 8.0  # a spot moves no faster than a man runs (D)


@dataclass(frozen=True, eq=False)
class PlanInForce:
    """The plan in force, in the order of the sheets and the frame of the picture as it came."""

    time_s: float
    presser: int
    holder: int  # of the ball
    steer: int  # sign of y
    job: Ints  # (N, 3) role, duty, mark
    spot: Floats  # (N, 2)
    anchor: Floats
    wish: Ints  # (N, 3) job that waits to be taken up
    wished_s: Floats  # (N,) since when

    @classmethod
    def of(cls, p: Picture, d: Decisions) -> PlanInForce:
        """The decisions of this moment."""
        back, now_s = np.argsort(p.own_order[0]), float(p.frames.time_s[0])
        job = np.stack([d.role[0], d.duty[0], _marked(p, d.mark[0])], axis=-1)[back]
        spot, anchor = (p.turned_back(places)[0, back] for places in (d.spot, d.anchor))
        return cls(now_s, _place(p.own_order, d.presser), _place(p.opp_order, p.holder), int(d.steer[0] * p.side[0]),
                   job, spot, anchor, job, np.full(len(back), now_s))

    def other_job(self, before: PlanInForce) -> Bools:
        """(N,) who has another job than before; to hold, to drop and to step are one job of the line."""
        role, earlier = self.job[:, 0], before.job[:, 0]
        line = (role == BACK_LINE) & (earlier == BACK_LINE) | (role == KEEPER)
        return np.asarray((self.job != before.job).any(-1) & ~line)

    def after(self, before: PlanInForce) -> PlanInForce:
        """The plan in force once this one has followed another: who has a new job waits with it, the presser does not.

        Spots move towards the new ones no faster than a man runs; a new job has its spot at once.
        """
        presses, other = np.arange(len(self.spot)) == self.presser, self.other_job(before)
        wished_s = np.where((self.wish == before.wish).all(-1), before.wished_s, self.time_s)
        keeps = (other & ~presses & (self.time_s - wished_s < STANDS_S - 1e-9))[:, None]
        glides = toward(before.spot, self.spot, GLIDE_MPS * (self.time_s - before.time_s))
        spot = np.where((other | presses)[:, None], self.spot, glides)
        return replace(self, job=np.where(keeps, before.job, self.job), wished_s=wished_s,
                       anchor=np.where(keeps, before.anchor, self.anchor), spot=np.where(keeps, before.spot, spot))

    def decisions(self, p: Picture, d: Decisions) -> Decisions:
        """The decisions in the order of the picture again."""
        place = np.append(np.argsort(p.opp_order[0]), NOBODY)
        role, duty, mark = np.moveaxis(self.job[p.own_order], -1, 0)
        spot, anchor = (p.turned_back(places[p.own_order]) for places in (self.spot, self.anchor))
        return replace(d, role=role, duty=duty, mark=place[mark], spot=spot, anchor=anchor)
