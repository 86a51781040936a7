"""What nobody does but is seen: the press broken, recovered; a carrier contained, a presser beaten, taken over."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from pressinglib.physics.pressure import least_arrival
from pressinglib.play.ball_race import beaten, duel
from pressinglib.play.game_state import GameState
from pressinglib.roles.approach import broken
from pressinglib.roles.picture import Bools, Picture, norm
from pressinglib.roles.settings import NOBODY, OPEN_PLAY, Settings

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
        is_broken = bool(broken(p)[0]) and p.state[0] == OPEN_PLAY and not _covered(p)
        if is_broken and not self.press_broken:
            now.say("press broken", "Half of midfield and attack are behind the ball: run back, nearest presses.")
            self.press_broken = True
        elif self.press_broken and not bool(broken(p)[0]) and _on_him(now):
            now.say("recovered", "Enough of us are goal-side again, and the ball is pressed.")
            self.press_broken = False

    def reception(self, now: GameState, s: Settings) -> None:
        """As the first touch ends: is he free, and can he turn?"""
        if now.carrier < 0:
            self.judged, self.contained, self.contained_from_s = now.travel is None, False, np.inf
            return
        if self.judged or not now.under_control:
            return
        self.judged, him = True, now.carrier
        first_s = least_arrival(now.own[now.outfield], now.own_velocity[now.outfield], now.ball)
        if not _on_him(now) and first_s > s.covered_s:
            now.say("receiver free", f"Their {now.foe(him)} has it under control: nobody is within "
                    f"{NO_PRESSURE_M:g} m, or there in {s.covered_s:g} s.", theirs=[him])
        if not _on_him(now, TURN_M):
            now.face(him, now.goal - now.opp[him])

    def duel(self, now: GameState, presser: int, s: Settings) -> Bools:
        """(N,) who has just been beaten by a carrier who runs with the ball; says whether he is contained."""
        if not len(self.engaged) or now.dribble_xy is None:
            self.engaged = np.zeros(len(now.own), bool)
        seen, goal_side = duel(now), now.goal_m(now.own) < now.goal_m(now.opp[now.carrier])
        gone = (beaten(now, self.engaged) | seen.dives) & (now.dribble_xy is not None)
        holds_off = (np.arange(len(now.own)) == presser) & (now.ball_m <= NO_PRESSURE_M)
        self.engaged = (self.engaged | (seen.near | holds_off) & goal_side) & ~gone & (now.ball_m <= LETS_GO_M)
        self._contained(now, seen.blocks & ~gone)
        behind = (now.out_until_s > 0) & ~goal_side
        now.out_until_s = np.where(behind, np.maximum(now.out_until_s, now.time_s + s.reaction_s), now.out_until_s)
        return gone

    def _contained(self, now: GameState, blocks: Bools) -> None:
        """Say that somebody stays in the carrier's way, once he has done so for a moment."""
        if not blocks.any():
            self.contained_from_s, self.contained = np.inf, False
            return
        self.contained_from_s = min(self.contained_from_s, now.time_s)
        if not self.contained and now.time_s >= self.contained_from_s + CONTAINED_S - 1e-9:
            who = _nearest(now, blocks)
            now.say("carrier contained", f"{now.name(who)} is in the way of their {now.foe(now.carrier)}.", [who],
                    [now.carrier])
            self.contained = True

    def was_beaten(self, now: GameState, gone: Bools) -> None:
        """Say who was beaten; he is out of it until he has turned and is goal-side of the carrier again."""
        for n in map(int, np.flatnonzero(gone)):
            now.say("presser beaten", f"{now.name(n)} is beaten by their {now.foe(now.carrier)}.", [n],
                    [now.carrier])
            self.beaten, self.beaten_s = n, now.time_s
            now.out_until_s[n] = now.time_s + SURPRISED_S

    def take_over(self, now: GameState, s: Settings) -> None:
        """Has another stopped the carrier who beat the presser, and in time?"""
        if self.beaten < 0:
            return
        over, him = now.carrier < 0, now.name(self.beaten)
        blocks = np.zeros(len(now.own), bool) if over else duel(now).blocks
        blocks = blocks & (np.arange(len(now.own)) != self.beaten)
        if blocks.any():
            who = _nearest(now, blocks)
            now.say("taken over", f"{now.name(who)} takes over from {him}.", [who, self.beaten], [now.carrier])
        elif not over and now.time_s >= self.beaten_s + s.take_over_limit_s:
            now.say("nobody takes over", f"{s.take_over_limit_s:g} s after {him} was beaten nobody is in the "
                    "carrier's way.", [self.beaten], [now.carrier])
        elif not over:
            return
        self.beaten = NOBODY


def _nearest(now: GameState, who: Bools) -> int:
    """The nearest of them to the ball."""
    return int(np.where(who, now.ball_m, np.inf).argmin())


def _covered(p: Picture) -> bool:
    """Whether one of us is at the ball (or at its receiver) within the time of a covered ball."""
    return bool(np.where(p.outfield, p.own_arrival(p.origin[:, None]), np.inf).min() <= p.settings.covered_s)


def _on_him(now: GameState, within_m: float = NO_PRESSURE_M) -> bool:
    """Whether one of us is this near to the ball and on our side of it."""
    place = now.opp[now.carrier] if now.carrier >= 0 else now.ball
    side = now.goal_m(now.own) < now.goal_m(place) + 1.0
    return bool((side & now.outfield & (norm(now.own - place) <= within_m)).any())
