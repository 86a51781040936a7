"""Games played on from many pictures at once: whoever presses gets orders from a scheme, all else is chance.

Nothing of the method's laws is used here. Players accelerate evenly and then cruise (Spearman 2018), and cannot turn or
brake at will; the ball rolls out evenly or flies; whether a pass comes off, a tackle wins the ball, or the carrier gets
past his man is drawn. All numbers are our own (grade D), set by how games end against teams that stand or only shift
and by what followed in the match, before the plan was tried. Attackers are of four kinds; their team-mates show for the
ball, keep onside, and run behind the line. The same picture played by two schemes gets the same draws.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tests.judge.attack import (
    CARRIERS,
    FLIES,
    HELD,
    LOOSE,
    REACH_M,
    ROLL_OUT,
    ROLLS,
    STEP_S,
    TOP_MPS,
    Strength,
    carriers,
    distance_to_segment,
    first_meeting,
    norm,
    off_the_ball,
    reach_s,
    roll_s,
    standing,
    stride,
    unit,
)
from tests.judge.openings import GOAL, PITCH, TEAM, Array, Bools, Ints, Openings

LASTS_S, ORDERS_S = 8.0, 0.4  # the defenders' scheme is asked anew every 0.4 s
LAG_S = (0.2, 0.4)  # ... and each man hears it so much later
TACKLE_M = 1.1
Scheme = Callable[[Openings], Array]


@dataclass(frozen=True, eq=False)
class Outcome:
    """How each game stands after 8 s, or when it ended."""

    value: Array  # (G,) conceded: the chance of the shot, or the threat of where the ball is
    won: Bools  # the defenders have the ball, or it is out
    metres: Array  # by which the ball has come nearer to the goal
    outplayed: Ints  # passes that left three or more defenders behind the ball


@dataclass(eq=False)
class Play:
    """The state of G games; `step` moves all of them on by a tenth of a second."""

    o: Openings
    strength: Strength
    kind: Ints  # (G,) of CARRIERS
    seed: int
    lag: tuple[float, float] = LAG_S
    time: float = 0.0

    def __post_init__(self) -> None:
        o, games = self.o, len(self.o)
        self.rows = np.arange(games)
        self.own, self.own_v, self.opp, self.opp_v = (np.array(a) for a in (
            o.own, o.own_velocity, o.opp, o.opp_velocity))
        self.keeper, self.ball = o.line == 0, np.array(o.ball)
        self.phase, self.holder = np.full(games, HELD), np.array(o.carrier)
        self.to, self.since, self.speed = np.array(o.carrier), np.zeros(games), np.zeros(games)
        self.start, self.aim, self.flight = np.array(o.ball), np.array(o.ball), np.zeros(games)
        self.ready, self.think = np.full(games, 0.2), np.full(games, 0.2)
        self.stunned, self.tried = np.zeros((games, TEAM)), np.zeros((games, TEAM), bool)
        self.behind = np.zeros((games, TEAM), bool)
        self.over, self.won, self.outplayed = np.zeros(games, bool), np.zeros(games, bool), np.zeros(games, int)
        self.value = np.zeros(games)
        first = np.random.default_rng((self.seed, 0))
        self.late_s = first.uniform(*self.lag, (games, TEAM))
        self.runner = first.random((games, TEAM))
        self.order = self.before = self.own + 0.3 * self.own_v
        self.show, self.way = np.array(self.opp), np.array(self.ball)

    def picture(self, games: Ints) -> Openings:
        """What the scheme sees: some games as they stand now."""
        travels, held = np.isin(self.phase, (ROLLS, FLIES)), self.phase == HELD
        velocity = unit(self.aim - self.start) * np.where(travels, self.speed, 0.0)[:, None]
        velocity = np.where(held[:, None], self.opp_v[self.rows, self.holder], velocity)
        now = replace(self.o, own=self.own, own_velocity=self.own_v, opp=self.opp, opp_velocity=self.opp_v,
                      ball=self.ball, ball_velocity=velocity, carrier=np.where(held, self.holder, -1),
                      receiver=np.where(travels, self.to, -1))
        return now.take(games)

    # -- one step ------------------------------------------------------------------------------------------------

    def step(self, k: int, scheme: Scheme) -> None:
        """Orders, carriers' choices, running, the ball, tackles."""
        self.chance = np.random.default_rng((self.seed, 1 + k)).random((len(self.rows), 64))
        self.noise = np.random.default_rng((self.seed, 1 + k, 1)).normal(size=(len(self.rows), 40))
        if k % round(ORDERS_S / STEP_S) == 0:
            games = np.flatnonzero(~self.over)
            self.before, self.order = self.order, np.array(self.order)
            if len(games):
                self.order[games] = scheme(self.picture(games))
            self.ordered = self.time
        if k % 7 == 0:
            self.show = off_the_ball(self)
        carriers(self)
        self._run()
        self.time += STEP_S
        self._move_ball()
        self._tackles()

    def end(self) -> Outcome:
        """The games that are not over stand as they are."""
        value = np.where(self.over, self.value, standing(self.ball, self.own, self.keeper))
        return Outcome(value, self.won, norm(self.o.ball - GOAL) - norm(self.ball - GOAL), self.outplayed)

    def finish(self, games: Bools, value: Array | float, won: bool) -> None:
        games = games & ~self.over
        self.value = np.where(games, value, self.value)
        self.won |= games & won
        self.over |= games

    # -- running -------------------------------------------------------------------------------------------------

    def _run(self) -> None:
        heard = (self.time >= self.ordered + self.late_s)[..., None]
        own_to = np.where(heard, self.order, self.before)
        own_to, opp_to = self._to_the_ball(own_to, np.array(self.show))
        held = self.phase == HELD
        mine = held[:, None] & (np.arange(TEAM) == self.holder[:, None])
        opp_to = np.where(mine[..., None], self.way[:, None], opp_to)
        own_to = np.where((self.stunned > self.time)[..., None], self.own, own_to)
        hurry = self.hurry | (self.runner < 0.35) & (norm(opp_to - self.opp) > 5.0)
        pace = np.where(mine, 0.75, np.where(hurry, 1.0, 0.75)) * self.strength.top_mps
        self.own, self.own_v = self._placed(*stride(self.own, self.own_v, own_to, np.full(own_to.shape[:2], TOP_MPS)))
        self.opp, self.opp_v = self._placed(*stride(self.opp, self.opp_v, opp_to, pace))

    def _placed(self, xy: Array, velocity: Array) -> tuple[Array, Array]:
        return PITCH.inside(xy, -2.0), velocity

    def _path(self) -> tuple[Array, Array]:
        """(G, 10, 2) points on the ball's way from now on, and (G, 10) when it is there."""
        way = unit(self.aim - self.start)
        full = norm(self.aim - self.start) + 6.0
        gone = norm(self.ball - self.start)
        share = np.linspace(0.0, 1.0, 10)
        at = gone[:, None] + np.maximum(full - gone, 0.0)[:, None] * share
        time = np.where(self.phase == FLIES, self.flight, 0.0)[:, None] + 0 * at
        time = np.where((self.phase == ROLLS)[:, None], roll_s(at, self.speed[:, None]), time)
        still = (self.phase == LOOSE)[:, None]
        points = self.start[:, None] + way[:, None] * at[..., None]
        points = np.where((self.phase == FLIES)[:, None, None], self.aim[:, None], points)
        points = np.where(still[..., None], self.ball[:, None], points)
        return points, np.where(still, 0.0, time - (self.time - self.since)[:, None])

    def _to_the_ball(self, own_to: Array, opp_to: Array) -> tuple[Array, Array]:
        """While the ball is free its receiver meets it, and the first of ours cuts it out if he can."""
        free = (self.phase != HELD) & ~self.over
        points, ball_s = self._path()
        self.hurry = np.zeros((len(free), TEAM), bool)
        for team, xy, v, to, top in ((0, self.own, self.own_v, own_to, TOP_MPS),
                                     (1, self.opp, self.opp_v, opp_to, self.strength.top_mps)):
            arrive = reach_s(xy[:, :, None], v[:, :, None], points[:, None], top, 0.5, 0.1)
            point, there, early = first_meeting(arrive - ball_s[:, None], points[:, None])
            loose = self.phase == LOOSE
            early = np.where(np.isin(self.phase, (FLIES, LOOSE))[:, None], arrive.min(-1), early)
            early = early + 0.01 * np.nan_to_num(norm(xy - self.ball[:, None]), nan=99.0)
            goes = np.arange(TEAM) == early.argmin(1)[:, None]
            if team:
                goes = np.where(loose[:, None], goes, np.arange(TEAM) == self.to[:, None])
                self.hurry = goes & free[:, None]
            else:
                reacts = (self.time > self.since + 0.3)[:, None]
                goes = goes & (there & reacts | (self.phase == FLIES)[:, None] & reacts | loose[:, None])
            to[...] = np.where((goes & free[:, None])[..., None], point, to)
        return own_to, opp_to

    # -- the ball ------------------------------------------------------------------------------------------------

    def _move_ball(self) -> None:
        """It rolls, flies, or goes along with its holder; whoever is in reach may get it."""
        t = self.time - self.since
        way = unit(self.aim - self.start)
        length = norm(self.aim - self.start)
        stops = self.speed / ROLL_OUT
        rolled = self.speed * np.minimum(t, stops) - 0.5 * ROLL_OUT * np.minimum(t, stops) ** 2
        flown = length * np.clip(t / np.maximum(self.flight, 1e-9), 0.0, 1.0)
        moved = self.start + way * np.where(self.phase == ROLLS, rolled, flown)[:, None]
        at_feet = self.opp[self.rows, self.holder] + 0.5 * unit(self.opp_v[self.rows, self.holder] + (-1e-6, 0.0))
        travels = np.isin(self.phase, (ROLLS, FLIES))
        last = np.array(self.ball)
        ball = np.where(travels[:, None], moved, np.where((self.phase == HELD)[:, None], at_feet, self.ball))
        self.ball = np.where(self.over[:, None], self.ball, ball)
        outside = (np.abs(self.ball) > np.array(PITCH.corner_xy) + 0.01).any(1) & (self.phase != HELD)
        self.finish(outside, 0.0, True)
        self.ball = PITCH.inside(self.ball)
        self._cut_out(last)
        self._received(t)

    def _cut_out(self, last: Array) -> None:
        """A defender within reach of a rolling ball tries once; fast balls slip through more often."""
        rolls = (self.phase == ROLLS) & ~self.over & (self.time - self.since > 0.15)
        near = (distance_to_segment(self.own, last, self.ball) < REACH_M) & rolls[:, None] & ~self.tried
        near &= self.stunned <= self.time
        pace = np.maximum(self.speed - ROLL_OUT * (self.time - self.since), 0.0)
        chance = np.clip(1.15 - pace / 20.0, 0.4, 0.95)[:, None]
        got = near & (self.chance[:, :TEAM] < chance)
        self.tried |= near
        self.finish(got.any(1), 0.0, True)

    def _received(self, t: Array) -> None:
        """Attackers take a rolling ball in reach; under a flying one the nearest contest; a loose one is raced for."""
        away = np.nan_to_num(norm(self.opp - self.ball[:, None]), nan=99.0)
        ours = np.where(self.stunned > self.time, 99.0, np.nan_to_num(norm(self.own - self.ball[:, None]), nan=99.0))
        passer = (np.arange(TEAM) == self.holder[:, None]) & (t < 1.0)[:, None]
        first = np.where(passer, 99.0, away)
        rolls, lands = self.phase == ROLLS, (self.phase == FLIES) & (t >= self.flight)
        slow = rolls & (self.speed - ROLL_OUT * t < 0.5)
        self.phase = np.where(slow & ~self.over, LOOSE, self.phase)
        there = rolls & (first.min(1) < REACH_M) & (t > 0.15)
        tackled = (ours.min(1) < 1.3) & (self.chance[:, 20] < 0.3 * self.strength.tackled)
        slips = self.chance[:, 21] < 0.03 * self.strength.error_deg / 2.8 + 0.04 * (ours.min(1) < 2.0)
        self._contest(lands, first, ours)
        loose = (self.phase == LOOSE) & ~lands & (np.minimum(first.min(1), ours.min(1)) < REACH_M) & ~self.over
        self.finish(loose & (ours.min(1) <= first.min(1)) | there & tackled, 0.0, True)
        self._control((there & ~tackled & ~slips | loose) & ~self.over, first.argmin(1), self.strength.touch_s)
        self.phase = np.where(there & slips & ~self.over & (self.phase == ROLLS), LOOSE, self.phase)

    def _contest(self, lands: Bools, first: Array, ours: Array) -> None:
        attack, defence = np.exp(-first / 0.7).max(1), np.exp(-ours / 0.7).max(1)
        nobody = np.minimum(first.min(1), ours.min(1)) > 2.0
        theirs = self.chance[:, 22] < attack / (attack + 1.3 * defence + 1e-12)
        nobody |= theirs & (self.chance[:, 23] < 0.2)  # it bounces off him
        lands = lands & ~self.over
        self.finish(lands & ~nobody & ~theirs, 0.0, True)
        self._control(lands & ~nobody & theirs, first.argmin(1), 1.4 * self.strength.touch_s)
        self.phase = np.where(lands & nobody, LOOSE, self.phase)

    def _control(self, games: Bools, who: Ints, touch_s: float) -> None:
        """Somebody of theirs has the ball; whom the pass outplayed is counted."""
        past = (self.behind & (self.own[..., 0] > self.ball[:, None, 0])).sum(1) >= 3
        self.outplayed += games & past & np.isin(self.phase, (ROLLS, FLIES, LOOSE))
        self.holder = np.where(games, who, self.holder)
        self.phase = np.where(games, HELD, self.phase)
        self.ready = np.where(games, self.time + touch_s, self.ready)
        self.think = np.where(games, self.time + touch_s, self.think)
        self.way = np.where(games[:, None], self.opp[self.rows, self.holder], self.way)

    def _tackles(self) -> None:
        """Near the carrier a defender wins the ball or is beaten, by chance; from behind he wins it less often."""
        held = (self.phase == HELD) & ~self.over
        man = self.opp[self.rows, self.holder]
        near = np.exp(-(norm(self.own - man[:, None]) / TACKLE_M) ** 2) * (self.stunned <= self.time)
        near = np.nan_to_num(near) * held[:, None]
        goal_side = norm(self.own - GOAL) < norm(man - GOAL)[:, None]
        wins = 1 - np.exp(-STEP_S * self.strength.tackled * 1.4 * near * np.where(goal_side, 1.0, 0.5))
        closing = (unit(man[:, None] - self.own) * (self.own_v - self.opp_v[self.rows, self.holder][:, None])).sum(-1)
        loses = 1 - np.exp(-STEP_S * self.strength.beats_man * 0.6 * near * (1 + np.clip(closing, 0.0, 8.0) / 3.0))
        drawn = self.chance[:, 24:24 + TEAM]
        self.finish((drawn < wins).any(1), 0.0, True)
        self.stunned = np.where((drawn > 1 - loses) & goal_side, self.time + 0.7, self.stunned)


def play(o: Openings, scheme: Scheme, strength: Strength, seed: int, lag: tuple[float, float] = LAG_S,
         watch: Callable[[Play], None] | None = None) -> Outcome:
    """All games to the end; the carriers' kinds go round, another one first with each seed."""
    games = Play(o, strength, (np.arange(len(o)) + seed) % len(CARRIERS), seed, lag)
    for k in range(round(LASTS_S / STEP_S)):
        games.step(k, scheme)
        if watch:
            watch(games)
    return games.end()
