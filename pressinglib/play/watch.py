"""Somebody who watches a sequence and says what he sees: broken, recovered, contained, beaten, taken over."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from pressinglib.play.duel import duel, left_behind
from pressinglib.play.events import Log
from pressinglib.play.moment import Moment
from pressinglib.roles.picture import Bools, Picture, norm
from pressinglib.roles.settings import Settings
from pressinglib.roles.steering import broken
from pressinglib.roles.vocabulary import NOBODY, OPEN_PLAY

NO_PRESSURE_M = 4.0  # further off is no effective pressure (common practice)
TURN_M = 3.0  # a receiver with one of us this near on our side of him cannot turn (D)


@dataclass(eq=False)
class Watch:
    """What was seen so far."""

    press_broken: bool = False
    contained: bool = False
    judged: bool = True  # whether the last reception has been looked at
    engaged: Bools = field(default_factory=lambda: np.zeros(0, bool))
    beaten: int = NOBODY
    beaten_s: float = 0.0

    def picture(self, now: Moment, p: Picture, log: Log) -> None:
        """Is the press broken, or have we recovered?"""
        is_broken = bool(broken(p)[0]) and p.state[0] == OPEN_PLAY and not _covered(p)
        if is_broken and not self.press_broken:
            log.say(now, "press broken", "Half of midfield and attack are behind the ball: run back, nearest presses.")
            self.press_broken = True
        elif self.press_broken and not bool(broken(p)[0]) and _on_him(now):
            log.say(now, "recovered", "Enough of us are goal-side again, and the ball is pressed.")
            self.press_broken = False

    def reception(self, now: Moment, log: Log) -> None:
        """As the first touch ends: is he free, and can he turn?"""
        if now.carrier < 0:
            self.judged = now.travel is None
            return
        if self.judged or not now.under_control:
            return
        self.judged, him = True, now.carrier
        if not _on_him(now, NO_PRESSURE_M):
            log.say(now, "receiver free", f"Their {now.foe(him)} has it under control and nobody is within "
                    f"{NO_PRESSURE_M:g} m.", theirs=[him])
        if not _on_him(now, TURN_M):
            now.face(him, now.goal - now.opp[him])

    def duel(self, now: Moment, log: Log) -> Bools:
        """(N,) who has just been beaten; says so, and whether the carrier is contained."""
        if now.carrier < 0 or now.dribble_xy is None:
            self.contained, self.engaged = False, np.zeros(len(now.own), bool)
            return self.engaged
        seen = duel(now)
        if not len(self.engaged):
            self.engaged = np.zeros(len(now.own), bool)
        gone = left_behind(now, self.engaged) | seen.dives
        self.engaged = (self.engaged | seen.near) & ~gone & (now.goal_m(now.own) < now.goal_m(now.opp[now.carrier]))
        if seen.blocks.any() and not self.contained:
            who = int(np.where(seen.blocks, now.ball_m, np.inf).argmin())
            log.say(now, "carrier contained", f"{now.name(who)} is in the way of their {now.foe(now.carrier)}.", [who],
                    [now.carrier])
        self.contained = bool(seen.blocks.any())
        return gone

    def was_beaten(self, now: Moment, gone: Bools, log: Log) -> None:
        """Say who was beaten, once each."""
        for n in map(int, np.flatnonzero(gone)):
            log.say(now, "presser beaten", f"{now.name(n)} is beaten by their {now.foe(now.carrier)}.", [n],
                    [now.carrier])
            self.beaten, self.beaten_s = n, now.time_s

    def take_over(self, now: Moment, log: Log, s: Settings) -> None:
        """Has another stopped the carrier who beat the presser, and in time?"""
        if self.beaten < 0:
            return
        others = np.arange(len(now.own)) != self.beaten
        if now.carrier < 0:
            self.beaten = NOBODY
        elif (duel(now).blocks & others).any():
            who = int(np.where(duel(now).blocks & others, now.ball_m, np.inf).argmin())
            log.say(now, "taken over", f"{now.name(who)} takes over.", [who], [now.carrier])
            self.beaten = NOBODY
        elif now.time_s >= self.beaten_s + s.take_over_limit_s:
            log.say(now, "nobody takes over", f"{s.take_over_limit_s:g} s after {now.name(self.beaten)} was beaten "
                    "nobody is in the carrier's way.", [self.beaten], [now.carrier])
            self.beaten = NOBODY


def _covered(p: Picture) -> bool:
    """Whether one of us is at the ball (or at its receiver) within the time of a covered ball."""
    return bool(np.where(p.outfield, p.own_arrival(p.origin[:, None]), np.inf).min() <= p.settings.covered_s)


def _on_him(now: Moment, within_m: float = NO_PRESSURE_M) -> bool:
    """Whether one of us is this near to the ball and on our side of it."""
    place = now.opp[now.carrier] if now.carrier >= 0 else now.ball
    side = now.goal_m(now.own) < now.goal_m(place) + 1.0
    return bool((side & now.outfield & (norm(now.own - place) <= within_m)).any())
