"""The pressing team's answer: the plan of every moment, acted upon after a reaction, handed on without flicker."""

from __future__ import annotations

from typing import Any

import numpy as np

from pressinglib.physics.motion import Running
from pressinglib.play.attack import Aims, Script
from pressinglib.play.ball_race import DUEL_M, cutter
from pressinglib.play.game_state import GameState
from pressinglib.play.plan_hysteresis import RoleMemory
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Bools, Floats, Picture, norm, picture_of
from pressinglib.roles.pipeline import decide
from pressinglib.roles.plan import arc
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import NOBODY, RECOVER

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


# -- What the pressing team has in mind, and where everybody heads.

LOOK_AHEAD = 4  # the point of his arc, of 16, that the presser heads for
CAREFUL_MPS2 = 3.5  # how hard the presser means to brake: less than he can (setting: 4 to 6.3), to be sure of it
ARRIVES_MPS = 2.5  # ... and how fast he comes into the duel: 3 m/s would be a dive (D)
EASE_S = 0.5  # who is not pressing slows down as he comes to his place, as if he had this long to go (D)


class Defence:
    """What the pressing team has in mind: at the beginning all have seen the picture, only the presser may be late."""

    def __init__(self, now: GameState, rulebook: Rulebook, handover_s: float, late_s: float) -> None:
        self.rulebook, self.memory, self.late_s = rulebook, RoleMemory(handover_s), late_s
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
        picture = picture_of(now.picture(), rulebook.settings)
        self.memory.out = now.time_s < now.out_until_s - 1e-9
        decisions = decide(picture, self.memory.rules(rulebook))
        ball = (now.carrier, now.receiver, now.winner, now.dribble_xy is None)
        played, self.ball = ball != self.ball, ball
        return picture, self.memory.in_force(picture, decisions, played)

    def aims(self, now: GameState, p: Picture, d: Decisions, script: Script) -> Aims:
        """Where everybody of us heads, how far, and how fast."""
        self._take_orders(now, p, d)
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
            xy[k], pace[k] = run.places[0], run.pace_mps
            left[k] = norm(xy[k] - now.own[k])
        presser = self.memory.presser
        if presser >= 0 and presser != self.cuts and d.steer[0] != 0 and now.time_s >= self.press_from_s:
            path = arc(now.own[presser], xy[presser], p.turned_back(p.focus)[0])  # his shadow falls on the denied side
            xy[presser] = path[min(LOOK_AHEAD, len(path) - 1)]
        return Aims(xy, left, pace)

    def _take_orders(self, now: GameState, p: Picture, d: Decisions) -> None:
        """Who is aware takes on the spot of the plan; the others go on to where they were going."""
        spots = np.empty_like(now.own)
        spots[p.own_order[0]] = p.turned_back(d.spot)[0]
        late = (np.arange(len(spots)) == self.memory.presser) & (now.time_s < self.press_from_s - 1e-9)
        aware = (now.time_s >= self.aware_s - 1e-9) & ~late
        self.order_xy = np.where(aware[:, None], spots, self.order_xy)

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
