"""The game while it runs: theirs act, we see and plan, everybody runs, the ball is won or not, and again."""

from __future__ import annotations

from collections.abc import Sequence as Many
from dataclasses import dataclass, field, replace

import numpy as np

from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.physics.pressure import least_arrival
from pressinglib.play import attack
from pressinglib.play.actions import Action, Dribble, Pass, Touch
from pressinglib.play.ball_race import DOUBLED_S, caught, on_him, tackler
from pressinglib.play.defence import Defence, stride
from pressinglib.play.event_detection import SURPRISED_S, EventDetector
from pressinglib.play.events import OVER
from pressinglib.play.game_state import GameState
from pressinglib.play.script import Script, SimulationOptions
from pressinglib.play.tactics import Orders
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Floats, Picture
from pressinglib.roles.rulebook import Rulebook

AFTER_LAST_S = 4.0  # a sequence goes on for this long after its last action
SEEK_EVERY_S = 0.5  # how often theirs look for an open lane (D)
CATCH_SHARE = 0.8  # with a seed: the chance that one who reaches a pass gets it (D)
OUT_M = 0.5


@dataclass(eq=False)
class Game:
    """Everything that plays a part while a sequence runs."""

    now: GameState
    rulebook: Rulebook
    options: SimulationOptions
    script: Script
    defence: Defence
    orders: Orders
    end_s: float
    chance: np.random.Generator | None
    sought: Floats  # (M, 2) where theirs go who have no other task
    shape: Floats  # (M, 2) where their last task has left them
    detector: EventDetector = field(default_factory=EventDetector)
    doubled_s: float = 0.0
    frames: list[Frames] = field(default_factory=list)
    decided: list[tuple[Picture, Decisions]] = field(default_factory=list)
    done: list[tuple[float, Action]] = field(default_factory=list)  # the actions as they were carried out

    @classmethod
    def of(cls, situation: Situation, actions: Many[Action], rulebook: Rulebook, options: SimulationOptions) -> Game:
        """Ready to begin."""
        now = GameState.of(situation, rulebook.settings)
        last = max((action.at_s for action in actions), default=0.0) + AFTER_LAST_S
        defence = Defence.of(now, rulebook, options.handover_s, options.late_s)
        chance = None if options.seed is None else np.random.default_rng(options.seed)
        game = cls(now, rulebook, options, Script.of(actions), defence, Orders.of(now, rulebook, options),
                   last if options.duration_s is None else options.duration_s, chance, now.opp.copy(), now.opp.copy())
        if options.just_lost:
            game.orders.counter.start(now)
            game.defence.startle(now, SURPRISED_S)
        return game

    @property
    def over(self) -> bool:
        """The ball is ours, or out of play."""
        return any(event.kind in OVER for event in self.now.events)

    def goes_on(self) -> bool:
        """The moment: what theirs do, what we make of it; False if it was the last one."""
        if not self.over:
            self._act()
        p, d = self.defence.plan(self.now, self.orders.rulebook(self.now))
        if not self.over:
            self.detector.picture(self.now, p)
            self.orders.counter.watch(self.now, self.detector.press_broken)
        self.decided.append((p, d))
        self.frames.append(self.now.picture())
        return not self.over and self.now.time_s < self.end_s - 1e-9

    def step(self) -> None:
        """Everybody runs, and so does the ball; who gets it, who is beaten."""
        now, s, step_s = self.now, self.rulebook.settings, self.options.step_s
        own_before, opp_before = now.own, now.opp
        ours = self.defence.aims(now, *self.decided[-1], self.script)
        theirs = attack.aims(now, self.script, self.sought, self.shape, s)
        now.own, now.own_velocity = stride(now.own, now.own_velocity, *ours, step_s, s)
        now.opp, now.opp_velocity = stride(now.opp, now.opp_velocity, *theirs, step_s, s)
        now.own, now.opp = now.within(now.own), now.within(now.opp)
        now.time_s = round(len(self.frames) * step_s, 9)
        if now.travel is not None:
            self._travel(own_before, opp_before)
        elif now.carrier >= 0:
            now.carry_ball()
            self._duel()
        elif now.winner >= 0:
            now.ball = now.own[now.winner].copy()
        self.detector.reception(now, s)

    # -- theirs --------------------------------------------------------------------------------------------------

    def _act(self) -> None:
        """The action that is due, as soon as somebody has the ball under control."""
        now = self.now
        self.done += [(now.time_s, run) for run in self.script.start_runs(now)]
        every = max(round(SEEK_EVERY_S / self.options.step_s), 1)
        if self.options.attackers == "seek" and len(self.frames) % every == 0:
            self.sought = attack.seek_lanes(now, self.shape, self.rulebook.settings)
        action = self.script.next_on_ball(now.time_s)
        if action is None or now.travel is not None or not (now.under_control or now.winner >= 0):
            return
        self.script.ball.pop(0)
        if not self._carry_out(action):
            now.say("action left out", f"There is no {action.word} to be played now.")

    def _carry_out(self, action: Pass | Dribble | Touch) -> bool:
        """Do it, if it can be done: we only pass (give the ball away), and nobody dribbles from a restart."""
        now, s, ours = self.now, self.rulebook.settings, self.now.winner >= 0
        if isinstance(action, Pass):
            pressure_s = float(least_arrival(now.own, now.own_velocity, now.ball))
            if not attack.play_pass(now, action, pressure_s, s, self.chance):
                return False
        elif ours or now.restart:
            return False
        elif isinstance(action, Touch):
            attack.heavy_touch(now, action)
        else:
            attack.start_dribble(now, action)
            action = replace(action, way=None, to_xy=tuple(now.dribble_xy))  # type: ignore[arg-type]
        self.done.append((now.time_s, action))
        self.defence.startle(now, SURPRISED_S if ours else s.reaction_s)
        return True

    # -- the ball ------------------------------------------------------------------------------------------------

    def _travel(self, own_before: Floats, opp_before: Floats) -> None:
        """The ball on its way: somebody gets it, or it is out."""
        now, s = self.now, self.rulebook.settings
        now.ball = now.flight.xy(np.array(now.time_s))
        catch = caught(now, own_before, opp_before, self.options.step_s, s)
        if catch is not None and catch.ours and self._misses():
            now.barred[catch.who] = True
        elif catch is not None:
            lost = now.passer < 0 and now.barred.any()
            attack.received(now, catch, s)
            if lost and not catch.ours:
                self.orders.counter.start(now)
        elif not now.pitch.holds(now.ball, OUT_M):
            now.ball = now.within(now.ball)
            now.say("out of play", "The ball is out of play.")

    def _misses(self) -> bool:
        return self.chance is not None and self.now.receiver >= 0 and self.chance.random() > CATCH_SHARE

    def _duel(self) -> None:
        """The carrier against whoever is on him."""
        now, s = self.now, self.rulebook.settings
        gone = self.detector.duel(now, self.defence.memory.presser, s)
        if gone.any():
            self.detector.was_beaten(now, gone)
            self.defence.startle(now, SURPRISED_S, gone)
        self.detector.take_over(now, s)
        who, near = tackler(now, s), on_him(now)
        self.doubled_s = self.doubled_s + self.options.step_s if len(near) >= 2 and now.under_control else 0.0
        if who is not None:
            attack.dispossessed(now, who, "takes the ball off")
        elif self.doubled_s >= DOUBLED_S - 1e-9:
            attack.dispossessed(now, int(near[0]), f"and {now.name(int(near[1]))} close down")
