"""The pressing team's answer: the plan of every moment, acted upon after a reaction, handed on without flicker."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from pressinglib.physics.motion import Running
from pressinglib.play.attack import Aims, Script
from pressinglib.play.ball_race import DUEL_M, cutter
from pressinglib.play.game_state import GameState
from pressinglib.roles.balance import beaten
from pressinglib.roles.decisions import Decisions, frame_rule, on_sheet
from pressinglib.roles.measures import least_total
from pressinglib.roles.picture import ABSENT_LINE, Bools, Floats, Ints, Picture, norm, toward
from pressinglib.roles.pipeline import decide
from pressinglib.roles.plan import arc
from pressinglib.roles.presser import ROUND_HIM_S
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import BACK_LINE, BALANCE, COVER, GOALKEEPER, KEEP_BLOCK, NOBODY, RECOVER

# -- How players run from one moment to the next: drive minus drag, and braking so that they stop where they want to.

STILL_M = 0.05


def stride(xy: Floats, velocity: Floats, aim_xy: Floats, left_m: Floats, pace_mps: Any, step_s: float,
           law: Running) -> tuple[Floats, Floats]:
    """Places and velocities (N, 2) after one step of players who head for places (N, 2).

    `left_m` (N,) is how far each still has to go (inf: he runs through), `pace_mps` (N,) how fast he wants to run. The
    law is that of `Running`: drive of at most alpha * top speed against a drag of alpha * speed. Nobody brakes harder
    than the setting. The step is a simple one (own arithmetic): over 5, 10 and 20 m from rest, with steps of 0.1 s, it
    is within 0.06 s of the exact law.
    """
    way = aim_xy - xy
    away = norm(way)
    heading = np.where((away > STILL_M)[:, None], way / np.maximum(away, STILL_M)[:, None], 0.0)
    brakes = law.deceleration_mps2 * step_s
    stopping = np.sqrt(brakes**2 + 2 * law.deceleration_mps2 * left_m) - brakes  # he still stops in time, a step ahead
    wanted = heading * np.minimum(np.minimum(pace_mps, law.top_speed_mps), stopping)[:, None]
    drag, pace = float(np.exp(-law.alpha_per_s * step_s)), norm(velocity)
    after = velocity * drag + _at_most(wanted - velocity * drag, law.top_speed_mps * (1 - drag))
    ahead = velocity / np.maximum(pace, 1e-9)[:, None]
    braking = np.minimum(((after - velocity) * ahead).sum(-1), 0.0)
    after = after + (np.maximum(braking, -brakes) - braking)[:, None] * ahead
    after = _at_most(after, np.maximum(pace, law.top_speed_mps))
    return xy + 0.5 * (velocity + after) * step_s, after


def _at_most(vector: Floats, longest: Any) -> Floats:
    """Vectors (N, 2), none longer than that."""
    return np.asarray(vector * np.minimum(1.0, longest / np.maximum(norm(vector), 1e-9))[:, None])


# -- Roles change hands without flicker: one passes on only when the other is clearly better.

STEERS_ON_S = 1.0  # the same man on the same carrier changes the side only if the other was right for so long (D)
# How much earlier another must be there (presser), or how much less two must run together (covers, balance): D.
HANDOVER_S = 0.4
OTHER_JOB_S = 0.5  # what it costs to give somebody a job that neither the plan nor the past gave him (D)


@dataclass(eq=False)
class RoleMemory:
    """The plan in force a moment ago, and what it was made of."""

    was: PlanInForce | None = None
    presser: int = NOBODY  # by his place in the sheet
    steered_s: float = 0.0  # since when the rules have not wanted another side
    out: Bools = field(default_factory=lambda: np.zeros(0, bool))  # (N,) beaten, and not yet goal-side again

    def rules(self, rulebook: Rulebook) -> Rulebook:
        """The same rules, but who has a job keeps it unless another is clearly better."""
        return rulebook.with_rules(
            choose_presser=frame_rule(
                lambda p, d: self._same_presser(p, rulebook.choose_presser(self._without_beaten(p), d))),
            choose_steer=frame_rule(lambda p, d: self._same_side(p, d, rulebook.choose_steer(p, d))),
            settle_spots=frame_rule(lambda p, d: rulebook.settle_spots(p, self._same_jobs(p, d))))

    def in_force(self, p: Picture, d: Decisions, at_once: bool) -> Decisions:
        """The decisions in force now; `at_once`: the ball was played, everything new counts."""
        before, self.was, self.presser = self.was, PlanInForce(p, d), int(on_sheet(p.own_order, d.presser)[0])
        if before is None or at_once or self.presser != before.presser:
            return d
        self.was.follow(before)
        return self.was.decisions(p, d)

    def _without_beaten(self, p: Picture) -> Picture:
        """The picture without those of us who were beaten and are not yet goal-side again."""
        out = self.out[p.own_order]
        return p.but(line=np.where(out, ABSENT_LINE, p.line)) if out.any() else p

    def _same_presser(self, p: Picture, chosen: Ints) -> Ints:
        """Who pressed goes on, if he is there at most so much later than the one chosen; the beaten must get round."""
        if chosen[0] < 0 or self.presser < 0:
            return chosen
        last = np.flatnonzero(p.own_order[0] == self.presser)
        time = p.own_arrival(p.focus[:, None])[0] + ROUND_HIM_S * beaten(p)[0]
        keeps = not self.out[self.presser] and time[last] <= time[chosen] + HANDOVER_S
        return last if keeps else chosen

    def _same_side(self, p: Picture, d: Decisions, chosen: Ints) -> Ints:
        """The side he steers to is kept for a while by the same man on the same carrier."""
        now_s, side = float(p.frames.time_s[0]), int(p.side[0])
        pair = on_sheet(p.own_order, d.presser)[0], on_sheet(p.opp_order, p.holder)[0]
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
        duty, mark, own = d.duty[0, who], on_sheet(p.opp_order, d.mark)[0, who], np.eye(len(who), dtype=bool)
        did, had = self.was.job[p.own_order[0, who], 1:].T[..., None]
        to_all = ~np.isin(duty, (KEEP_BLOCK, RECOVER))  # a way or a gap; to keep the block is everybody's own
        same = (mark >= 0) & (had == mark) | (mark < 0) & (had < 0) & (did == duty) & (to_all | own)
        times = np.stack([p.own_arrival(d.anchor[:, n, None])[0, who] for n in who], axis=1)
        cost = times + OTHER_JOB_S * ~(own | same) - HANDOVER_S * same
        everyone = np.ones((1, len(who)), bool)
        job = who[least_total(cost[None], everyone, everyone)[0]]
        for array in (d.role, d.duty, d.mark, d.anchor, d.spot):
            array[0, who] = array[0, job].copy()
        return d


# -- The plan in force follows the plan of each moment, but nobody changes his job for a blink of it.

STANDS_S = 0.3  # a new job must stand for this long, unless the ball is played or the presser changes (D: a reaction)
GLIDE_MPS = 8.0  # a spot moves no faster than a man runs (D)


class PlanInForce:
    """The plan in force, in the order of the sheets and the frame of the picture as it came."""

    def __init__(self, p: Picture, d: Decisions) -> None:
        back, self.time_s = np.argsort(p.own_order[0]), float(p.frames.time_s[0])
        self.presser, self.holder = (int(on_sheet(order, who)[0]) for order, who in (  # of the ball
            (p.own_order, d.presser), (p.opp_order, p.holder)))
        self.steer = int(d.steer[0] * p.side[0])  # sign of y
        self.job: Ints = np.stack([d.role[0], d.duty[0], on_sheet(p.opp_order, d.mark)[0]], axis=-1)[back]  # (N, 3)
        self.spot, self.anchor = (p.turned_back(places)[0, back] for places in (d.spot, d.anchor))
        self.wish, self.wished_s = self.job, np.full(len(back), self.time_s)  # a job that waits, and since when

    def follow(self, before: PlanInForce) -> None:
        """The plan in force once this one has followed another: who has a new job waits with it, the presser does not.

        Spots move towards the new ones no faster than a man runs; a new job has its spot at once. To hold, to drop and
        to step are one job of the line.
        """
        role, earlier = self.job[:, 0], before.job[:, 0]
        line = (role == BACK_LINE) & (earlier == BACK_LINE) | (role == GOALKEEPER)
        presses, other = np.arange(len(role)) == self.presser, (self.job != before.job).any(-1) & ~line
        self.wished_s = np.where((self.wish == before.wish).all(-1), before.wished_s, self.time_s)
        keeps = (other & ~presses & (self.time_s - self.wished_s < STANDS_S - 1e-9))[:, None]
        glides = toward(before.spot, self.spot, GLIDE_MPS * (self.time_s - before.time_s))
        spot = np.where((other | presses)[:, None], self.spot, glides)
        self.job, self.anchor, self.spot = (np.where(keeps, old, new) for old, new in (
            (before.job, self.job), (before.anchor, self.anchor), (before.spot, spot)))

    def decisions(self, p: Picture, d: Decisions) -> Decisions:
        """The decisions in the order of the picture again."""
        place = np.append(np.argsort(p.opp_order[0]), NOBODY)
        role, duty, mark = np.moveaxis(self.job[p.own_order], -1, 0)
        spot, anchor = (p.turned_back(places[p.own_order]) for places in (self.spot, self.anchor))
        return d.but(role=role, duty=duty, mark=place[mark], spot=spot, anchor=anchor)


# -- What the pressing team has in mind, and where everybody heads.

LOOK_AHEAD = 4  # the point of his arc, of 16, that the presser heads for
CAREFUL_MPS2 = 3.5  # how hard the presser means to brake: less than he can (setting: 4 to 6.3), to be sure of it
ARRIVES_MPS = 2.5  # ... and how fast he comes into the duel: 3 m/s would be a dive (D)
EASE_S = 0.5  # who is not pressing slows down as he comes to his place, as if he had this long to go (D)


class Defence:
    """What the pressing team has in mind: at the beginning all have seen the picture, only the presser may be late."""

    def __init__(self, now: GameState, rulebook: Rulebook, late_s: float) -> None:
        self.rulebook, self.memory, self.late_s = rulebook, RoleMemory(), late_s
        self.order_xy = np.full((len(now.own), 2), np.nan)  # where each is going; NaN: he runs on as he was
        self.aware_s = np.zeros(len(now.own))  # from when each acts on what he sees
        self.press_from_s = late_s  # from when a presser does
        self.ball: tuple[object, ...] = ()
        self.cuts = NOBODY

    def startle(self, now: GameState, reaction_s: float, who: Bools | None = None) -> None:
        """Something new: they act on it after a reaction, the presser as much later as he is late."""
        until = now.time_s + reaction_s
        self.aware_s = np.where(True if who is None else who, np.maximum(self.aware_s, until), self.aware_s)
        if who is None:
            self.press_from_s = max(self.press_from_s, until + self.late_s)

    def plan(self, now: GameState, rulebook: Rulebook) -> tuple[Picture, Decisions]:
        """The plan of this moment by a rulebook; who had a job keeps it unless another is clearly better."""
        picture = Picture(now.picture(), rulebook.settings)
        self.memory.out = now.time_s < now.out_until_s - 1e-9
        decisions = decide(picture, self.memory.rules(rulebook))
        ball = (now.carrier, now.receiver, now.winner, now.dribble_xy is None)
        played, self.ball = ball != self.ball, ball
        return picture, self.memory.in_force(picture, decisions, played)

    def aims(self, now: GameState, p: Picture, d: Decisions, script: Script) -> Aims:
        """Where everybody of us heads, how far, and how fast."""
        spots = p.turned_back(d.spot)[0, np.argsort(p.own_order[0])]
        late = (np.arange(len(spots)) == self.memory.presser) & (now.time_s < self.press_from_s - 1e-9)
        aware = (now.time_s >= self.aware_s - 1e-9) & ~late  # the others go on to where they were going
        self.order_xy = np.where(aware[:, None], spots, self.order_xy)
        coasts, hurries = np.isnan(self.order_xy[:, 0]), np.zeros(len(now.own), bool)
        hurries[p.own_order[0]] = d.duty[0] == RECOVER
        xy = np.where(coasts[:, None], now.own + now.own_velocity, self.order_xy)
        left = norm(xy - now.own)
        pace = np.where(hurries, np.inf, np.where(coasts, norm(now.own_velocity), left / EASE_S))
        left = np.where(coasts, np.inf, left)
        if self.memory.presser >= 0:
            pace[self.memory.presser] = _no_dive_mps(now)[self.memory.presser]
        self._cut_out(now, xy, left, pace)
        for k, run in script.of_team("pressing").items():
            xy[k], pace[k] = run.to_xy, run.speed_mps or np.inf
            left[k] = norm(xy[k] - now.own[k])
        presser = self.memory.presser
        if presser >= 0 and presser != self.cuts and d.steer[0] != 0 and now.time_s >= self.press_from_s:
            path = arc(now.own[presser], xy[presser], p.turned_back(p.focus)[0])  # his shadow falls on the denied side
            xy[presser] = path[min(LOOK_AHEAD, len(path) - 1)]
        return xy, left, pace

    def _cut_out(self, now: GameState, xy: Floats, left: Floats, pace: Floats) -> None:
        """Who is at a travelling ball before theirs goes for it at full speed; there in good time, he waits for it."""
        if now.travel is None:
            self.cuts = NOBODY
            return
        s = self.rulebook.settings
        self.cuts, place, early_s = cutter(now, self.aware_s, self.cuts, s)
        if self.cuts >= 0 and now.time_s >= self.aware_s[self.cuts] - 1e-9:
            waits = early_s > norm(now.own_velocity[self.cuts]) / (2 * s.deceleration_mps2)  # what braking costs
            away = norm(place - now.own[self.cuts]) if waits else np.inf
            xy[self.cuts], left[self.cuts], pace[self.cuts] = place, away, np.inf


def _no_dive_mps(now: GameState) -> Floats:
    """(N,) how fast one may come in: fast, then brake, so that he can hold the carrier up once he is in the duel."""
    him = now.carrier if now.carrier >= 0 else now.receiver
    if him < 0:
        return np.full(len(now.own), np.inf)
    place = now.ball if now.carrier >= 0 else now.opp[him]
    left = np.maximum(norm(now.own - place) - DUEL_M, 0.0)
    return np.asarray(np.sqrt(ARRIVES_MPS**2 + 2 * CAREFUL_MPS2 * left) + norm(now.opp_velocity[him]))
