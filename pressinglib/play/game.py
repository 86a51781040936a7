"""The game while it runs: theirs act, we see and plan, everybody runs, the ball is won or not, and again."""

from __future__ import annotations

from collections.abc import Sequence as Many
from dataclasses import dataclass, field

import numpy as np

from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.physics.pitch_control import least_arrival
from pressinglib.play import attack
from pressinglib.play.actions import Action, Dribble, Pass, SimulationOptions, Touch
from pressinglib.play.ball_race import DOUBLED_S, PAST_M, caught, duel, tacklers
from pressinglib.play.defence import Defence, stride
from pressinglib.play.game_state import OVER, GameState
from pressinglib.play.tactics import Orders
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.measures import to_ball_s
from pressinglib.roles.picture import Bools, Floats, Picture, norm
from pressinglib.roles.presser import broken
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import NOBODY, OPEN_PLAY, Settings

# -- What nobody does but is seen: the press broken, recovered; a carrier contained, a presser beaten, taken over.

SURPRISED_S = 0.7  # reaction of one who is beaten, or whose team has just lost the ball (constant of the model)
NO_PRESSURE_M = 4.0  # further off is no effective pressure (common practice)
CONTAINED_S = 0.3  # who is in the carrier's way for so long contains him (D)
LETS_GO_M = 6.0  # who is further off is in no duel any more (D)
TURN_M = 3.0  # a receiver with one of us this near on our side of him cannot turn (D)


@dataclass(eq=False)
class EventDetector:
    """Watches the game and says what it sees; this is what it has seen so far."""

    press_broken: bool = False
    contained: bool = False
    contained_from_s: float = np.inf
    judged: bool = True  # whether the last reception has been looked at
    engaged: Bools = field(default_factory=lambda: np.zeros(0, bool))
    beaten: int = NOBODY
    beaten_s: float = 0.0

    def picture(self, now: GameState, p: Picture) -> None:
        """Is the press broken, or have we recovered? A pass on its way has done neither."""
        if now.travel is not None:
            return
        if self.press_broken:
            if not broken(p)[0] and _on_him(now):
                now.say("recovered", "Enough of you are goal-side again, and the ball is pressed.")
                self.press_broken = False
        elif broken(p)[0] and p.state[0] == OPEN_PLAY and to_ball_s(p).min() > p.settings.covered_s:
            now.say("press broken", "The ball is past half of you: run back; the nearest goal-side player goes.")
            self.press_broken = True

    def reception(self, now: GameState, s: Settings) -> None:
        """As the first touch ends: is he free, and can he turn?"""
        him = now.carrier
        if him < 0:
            self.judged, self.contained, self.contained_from_s = now.travel is None, False, np.inf
        elif not self.judged and now.under_control:
            self.judged = True
            out = now.outfield
            first_s = least_arrival(now.own[out], now.own_velocity[out], now.ball, now.own_running.at(out))
            if not _on_him(now) and first_s > s.covered_s:
                now.say("receiver free", f"Their {now.theirs[him]} has it under control, with nobody "
                        f"within {NO_PRESSURE_M:g} m or {s.covered_s:g} s of him.", theirs=[him])
            if not _on_him(now, TURN_M):
                now.face(him, now.goal - now.opp[him])

    def duel(self, now: GameState, presser: int, s: Settings) -> Bools:
        """(N,) who has just been beaten by a carrier who runs with the ball; says so, and whether he is contained."""
        if not len(self.engaged) or now.dribble_xy is None:
            self.engaged = np.zeros(len(now.own), bool)
        seen, past_m = duel(now), now.goal_m(now.opp[now.carrier]) + PAST_M
        gone = (self.engaged & (now.goal_m(now.own) > past_m) | seen.dives) & (now.dribble_xy is not None)
        holds_off = (np.arange(len(now.own)) == presser) & (now.ball_m <= NO_PRESSURE_M)
        self.engaged = (self.engaged | (seen.near | holds_off) & seen.goal_side) & ~gone & (now.ball_m <= LETS_GO_M)
        behind = (now.out_until_s > 0) & ~seen.goal_side
        now.out_until_s = np.where(behind, np.maximum(now.out_until_s, now.time_s + s.reaction_s), now.out_until_s)
        now.out_until_s[gone] = now.time_s + SURPRISED_S  # out of it until he has turned and is goal-side again
        blocks, him = seen.blocks & ~gone, now.theirs[now.carrier]
        self.contained_from_s = min(self.contained_from_s, now.time_s) if blocks.any() else np.inf
        stays = now.time_s >= self.contained_from_s + CONTAINED_S - 1e-9
        if stays and not self.contained:
            who = now.nearest(blocks)
            now.say("carrier contained", f"{now.ours[who]} is in the way of their {him}.", [who], [now.carrier])
        self.contained = stays
        for n in map(int, np.flatnonzero(gone)):
            now.say("presser beaten", f"{now.ours[n]} is beaten by their {him}.", [n], [now.carrier])
            self.beaten, self.beaten_s = n, now.time_s
        return gone

    def take_over(self, now: GameState, s: Settings) -> None:
        """Has another stopped the carrier who beat the presser, and in time?"""
        if self.beaten < 0:
            return
        him, blocks = now.ours[self.beaten], duel(now).blocks & (np.arange(len(now.own)) != self.beaten)
        if blocks.any():
            who = now.nearest(blocks)
            now.say("taken over", f"{now.ours[who]} takes over from {him}.", [who, self.beaten], [now.carrier])
        elif now.time_s >= self.beaten_s + s.take_over_limit_s:
            now.say("nobody takes over", f"{s.take_over_limit_s:g} s after {him} was beaten nobody is in the "
                    "carrier's way.", [self.beaten], [now.carrier])
        else:
            return
        self.beaten = NOBODY


def _on_him(now: GameState, within_m: float = NO_PRESSURE_M) -> bool:
    """Whether one of us is this near to the ball and on our side of it."""
    place = now.opp[now.carrier] if now.carrier >= 0 else now.ball
    side = now.goal_m(now.own) < now.goal_m(place) + 1.0
    return bool((side & now.outfield & (norm(now.own - place) <= within_m)).any())


# -- The game.

AFTER_LAST_S = 4.0  # a sequence goes on for this long after its last action
SEEK_EVERY_S = 0.5  # how often theirs look for an open lane (D)
CATCH_SHARE = 0.8  # with a seed: the chance that one who reaches a pass gets it (D)
OUT_M = 0.5


class Game:
    """Everything that plays a part while a sequence runs."""

    def __init__(self, situation: Situation, actions: Many[Action], rulebook: Rulebook,
                 options: SimulationOptions) -> None:
        self.now = now = GameState(situation, rulebook.settings)
        self.rulebook, self.options, self.script = rulebook, options, attack.Script(actions)
        self.defence = Defence(now, rulebook, options.late_s)
        self.orders = Orders(rulebook, NOBODY if options.trap is None else now.theirs.index(options.trap))
        self.detector, self.doubled_s = EventDetector(), 0.0
        self.chance = None if options.seed is None else np.random.default_rng(options.seed)
        last_s = max((action.at_s for action in actions), default=0.0) + AFTER_LAST_S
        self.end_s = last_s if options.duration_s is None else options.duration_s
        self.sought, self.shape = now.opp.copy(), now.opp.copy()  # (M, 2) as `attack.aims` has them
        self.frames: list[Frames] = []
        self.decided: list[tuple[Picture, Decisions]] = []
        self.left: list[tuple[Action, ...]] = []  # what is still to be done, counted from each moment
        if options.just_lost:
            self.orders.ball_lost(now)
            self.defence.startle(now, SURPRISED_S)

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
            self.orders.watch(self.now, self.detector.press_broken)
        self.decided.append((p, d))
        self.frames.append(self.now.picture())
        self.left.append(self.script.left(self.now))
        return not self.over and self.now.time_s < self.end_s - 1e-9

    def step(self) -> None:
        """Everybody runs, and so does the ball; who gets it, who is beaten."""
        now, s, step_s = self.now, self.rulebook.settings, self.options.step_s
        own_before, opp_before = now.own, now.opp
        ours = self.defence.aims(now, *self.decided[-1], self.script)
        theirs = attack.aims(now, self.script, self.sought, self.shape, s)
        now.own, now.own_velocity = stride(now.own, now.own_velocity, *ours, step_s, now.own_running)
        now.opp, now.opp_velocity = stride(now.opp, now.opp_velocity, *theirs, step_s, now.opp_running)
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
        self.script.start_runs(now)
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
        done = not (ours or now.restart)
        if isinstance(action, Pass):
            done = attack.play_pass(now, action, s, self.chance)
        elif done:
            attack.heavy_touch(now, action) if isinstance(action, Touch) else attack.start_dribble(now, action)
        if done:
            self.defence.startle(now, SURPRISED_S if ours else s.reaction_s)
        return done

    # -- the ball ------------------------------------------------------------------------------------------------

    def _travel(self, own_before: Floats, opp_before: Floats) -> None:
        """The ball on its way: somebody gets it, or it is out."""
        now, s = self.now, self.rulebook.settings
        now.ball = now.flight.xy(np.array(now.time_s))
        catch = caught(now, own_before, opp_before, self.options.step_s, s)
        if catch is None:
            if not now.pitch.holds(now.ball, OUT_M):
                now.ball = now.within(now.ball)
                now.say("out of play", "The ball is out of play.")
        elif catch.ours and self.chance is not None and now.receiver >= 0 and self.chance.random() > CATCH_SHARE:
            now.barred[catch.who] = True
        else:
            lost = now.passer < 0 and now.barred.any()
            attack.received(now, catch, s)
            if lost and not catch.ours:
                self.orders.ball_lost(now)

    def _duel(self) -> None:
        """The carrier against whoever is on him."""
        now, s = self.now, self.rulebook.settings
        gone = self.detector.duel(now, self.defence.memory.presser, s)
        if gone.any():
            self.defence.startle(now, SURPRISED_S, gone)
        self.detector.take_over(now, s)
        takes, near = tacklers(now, s), np.flatnonzero(duel(now).near)
        self.doubled_s = self.doubled_s + self.options.step_s if len(near) >= 2 and now.under_control else 0.0
        if takes.any():
            attack.dispossessed(now, now.nearest(takes), "takes the ball off")
        elif self.doubled_s >= DOUBLED_S - 1e-9:
            first, second = near[np.lexsort((now.own[near, 1], now.ball_m[near]))][:2]
            attack.dispossessed(now, int(first), f"and {now.ours[second]} close down")
