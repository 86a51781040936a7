"""The rulebook of the moment: triggers, the counter-press and a trap change what the team is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, dist, hypot, radians, sin, tan
from typing import Any

import numpy as np

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.play.actions import TRIGGERS
from pressinglib.play.game_state import GameState
from pressinglib.roles.decisions import Decisions, Jobs, frame_rule, is_player
from pressinglib.roles.measures import BEHIND_BALL_M
from pressinglib.roles.picture import Bools, Floats, Picture, norm, pick, turned, unit
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import COVER, GUARD_INSIDE, NOBODY, Settings

# -- Triggers: moments in which theirs cannot play forward at once, so that a team that waits may go (common practice).

TOUCH_M = 6.0  # a loose ball this near to one of theirs was his (D)
BACK_M = 3.0  # a pass is back or forward if it goes this far (D)
SQUARE_DEG = 30.0  # off the line across the pitch (D)
SQUARE_FROM_M = 8.0
SLOW_MPS = 13.0  # a pass slower than this (D: the usual one is 15)
TURNED_AWAY_DEG = 100.0
ON_HIM_M = 6.0  # one of us is this near behind a receiver who has his back to us (D)
IN_THE_AIR_M = 2.0
RUNS_MPS = 2.0  # who runs this fast looks where he runs (D)
LAST_LINE = 4  # so many of theirs, the goalkeeper left out, are their last line (P)


def find_triggers(situation: Situation, settings: Settings | None = None) -> tuple[str, ...]:
    """The triggers in one picture, read from places and velocities (thresholds are grade D, the list common practice).

    Some of `TRIGGERS`, in their order; the width of the wing is that of the settings.

    Examples
    --------
    >>> from dataclasses import replace
    >>> s = Situation.line_up(ball_xy=(20, 10))
    >>> find_triggers(replace(s, carrier=None, receiver="1", ball_velocity=(12, -4)))
    ('back pass',)
    >>> find_triggers(s)
    ()
    """
    (ball_x, ball_y), s = situation.ball_xy, settings or Settings()
    if situation.receiver is None:
        ours, theirs = (min(dist(q.xy, situation.ball_xy) for q in team)
                        for team in (situation.pressing, situation.possession))
        return ("heavy touch",) if situation.state == "loose" and theirs <= min(ours, TOUCH_M) else ()
    him, high = situation.player("possession", situation.receiver), situation.ball_height_m > IN_THE_AIR_M
    (x, y), slow = him.xy, 0 < hypot(*situation.ball_velocity) <= SLOW_MPS
    square = SQUARE_FROM_M <= abs(y - ball_y) and abs(x - ball_x) <= abs(y - ball_y) * tan(radians(SQUARE_DEG))
    deepest = sorted((q.xy[0] for q in situation.possession if not q.is_goalkeeper), reverse=True)[:LAST_LINE]
    wide = not him.is_goalkeeper and x >= deepest[-1] and situation.pitch.width_m / 2 - abs(y) <= s.touchline_m
    seen = {"back pass": x > ball_x + BACK_M and situation.ball_velocity[0] > 0,
            "slow square pass": square and slow and not high,
            "receiver facing own goal": _back_to_us(situation, him),
            "ball to the full-back": wide and abs(y) > abs(ball_y) + BACK_M,
            "lofted ball": high}
    return tuple(name for name in TRIGGERS if seen.get(name))


def _back_to_us(situation: Situation, him: Player) -> bool:
    """Turned away from our goal (as known, else as he runs, else to the ball that comes), one of us close behind."""
    goal, look = situation.pitch.own_goal_xy, np.array(him.velocity)
    if him.facing_deg is not None:
        look = np.array([cos(radians(him.facing_deg)), sin(radians(him.facing_deg))])
    elif norm(look) <= RUNS_MPS:
        look = np.subtract(situation.ball_xy, him.xy)
    away = float(unit(look) @ unit(np.subtract(goal, him.xy))) < cos(radians(TURNED_AWAY_DEG))
    return away and bool(norm(look)) and any(
        dist(q.xy, him.xy) <= ON_HIM_M and dist(q.xy, goal) < dist(him.xy, goal)
        for q in situation.pressing if not q.is_goalkeeper)


# -- Men who do not count for a while: one left free on purpose, and those whom a dribbling carrier bypasses.

AHEAD_S = 1.0  # a carrier who runs does not turn and pass to whom he has behind him this much later (D)


def overlooking(rulebook: Rulebook, gone: Callable[[Picture], Bools]) -> Rulebook:
    """The rulebook of a team whose covers and balance let go of some opponents (F, M), who are no options either."""
    def seeing(rule: Any) -> Any:
        @frame_rule
        def seen(p: Picture, d: Decisions) -> Any:
            who = gone(p)
            if who.any():
                d.options = d.options & ~who
                p = p.but(opp=np.where(who[..., None], np.nan, p.opp))
            return rule(p, d)

        return seen

    return rulebook.with_rules(choose_covers=seeing(rulebook.choose_covers),
                               choose_balance=seeing(rulebook.choose_balance))


def bypassed(p: Picture) -> Bools:
    """(F, M) those who will be well behind the carrier if he runs on: nobody is sent past him to deny them."""
    velocity = pick(p.opp_velocity, p.carrier)
    runs = (p.carrier >= 0) & (norm(velocity) > RUNS_MPS)
    to_m = norm(p.ball + AHEAD_S * velocity - p.goal)
    behind = p.opp_goal_m > to_m[:, None] + BEHIND_BALL_M
    return np.asarray(behind & runs[:, None] & ~p.is_holder)


# -- A trap: one option is left to the carrier on purpose, and closed by two while the ball travels to it.

CLOSE_M = 1.5  # the second stands this far from the ball, beside the presser (D)


def leaving_free(rulebook: Rulebook, man: int) -> Rulebook:
    """Nobody denies the opponent `man` (index in the sheet), and the carrier is steered towards him."""
    @frame_rule
    def steer(p: Picture, d: Decisions) -> Any:
        him = p.opp[p.opp_order == man]
        side = np.sign(him[:, 1] - p.origin[:, 1]).astype(int)
        return np.where((d.presser < 0) | (side == 0), rulebook.choose_steer(p, d), side)

    return overlooking(rulebook, lambda p: p.opp_order == man).with_rules(choose_steer=steer)


def closing_down(rulebook: Rulebook) -> Rulebook:
    """A second goes, and stands square to the presser: the one case in which two press one ball."""
    @frame_rule
    def covers(p: Picture, d: Decisions) -> Any:
        jobs = rulebook.choose_covers(p, d)
        who, spot = _second(p, d)
        anchor = np.where(who[..., None], spot[:, None], jobs.anchor)
        return Jobs(jobs.who | who, np.where(who, GUARD_INSIDE, jobs.duty), np.where(who, NOBODY, jobs.mark), anchor)

    @frame_rule
    def spots(p: Picture, d: Decisions) -> Any:
        who, spot = _second(p, d)
        who = who & (d.role == COVER)
        return np.where(who[..., None], spot[:, None], rulebook.settle_spots(p, d))

    return rulebook.with_rules(choose_covers=covers, settle_spots=spots)


def _second(p: Picture, d: Decisions) -> tuple[Bools, Floats]:
    """(F, N) the second man, none where nobody presses, and (F, 2) his spot.

    Of midfield and attack, without the presser, he who is first beside the carrier on either side of the presser.
    """
    off = unit(d.end_xy - p.focus) * CLOSE_M
    beside = np.stack([p.pitch.inside(p.focus + turned(off, side * np.pi / 2)) for side in (1, -1)], axis=1)
    free = p.front & ~is_player(d.presser, p.line.shape[1]) & (d.presser >= 0)[:, None]
    late = np.stack([np.where(free, p.own_arrival(beside[:, k, None]), np.inf) for k in (0, 1)], axis=1)
    side = late.min(2).argmin(1)
    there = pick(late, side)
    first = np.where(np.isfinite(there.min(1)), there.argmin(1), NOBODY)
    return is_player(first, p.line.shape[1]), pick(beside, side)


# -- The rulebook of the moment.

LOOK_S = 0.5  # a ball is read in this time after it left the foot: later every pass is slow (D)
COUNTER_PRESS_S = 5.0  # by convention (Bauer and Anzer 2021, 10.1007/s10618-021-00763-7)
TRIGGER_S = 3.0  # a trigger lets a team that waits go for this long (D)


@dataclass(eq=False)
class Orders:
    """What the team is told, and what it has seen.

    For some seconds after the ball is lost everybody near it goes, wherever it is: the counter-press.
    """

    stock: Rulebook
    trap: int = NOBODY  # the opponent who is left free
    trap_closed: bool = False
    go_until_s: float = 0.0
    counter_until_s: float | None = None  # while the counter-press is on
    seen: tuple[str, ...] = ()

    def ball_lost(self, now: GameState) -> None:
        """Go at once."""
        self.counter_until_s = now.time_s + COUNTER_PRESS_S
        now.say("counter-press started", f"The ball is lost: {COUNTER_PRESS_S:g} s to win it back.")

    def watch(self, now: GameState, press_broken: bool) -> None:
        """The counter-press is over when the time is, or when they have played out of it."""
        over = self.counter_until_s is not None and now.time_s >= self.counter_until_s
        if over or press_broken and self.counter_until_s is not None:
            self.counter_until_s, why = None, "Time is up" if over else "They have played out of it"
            now.say("counter-press aborted", f"{why}: back into the block.")

    def rulebook(self, now: GameState) -> Rulebook:
        """The rulebook as it holds now: after a trigger or a loss nobody waits at a line of confrontation."""
        self._see(now)
        rulebook = overlooking(self.stock, bypassed)
        if now.time_s < self.go_until_s or self.counter_until_s is not None:
            rulebook = rulebook.with_settings(confrontation_x_m=None)
        if self.trap < 0:
            return rulebook
        closing = self.trap in (now.receiver, now.carrier)
        if closing and not self.trap_closed:
            now.say("trap closed", f"The ball goes to their {now.theirs[self.trap]}: two close him down.",
                    theirs=[self.trap])
        self.trap_closed = closing
        return closing_down(rulebook) if closing else leaving_free(rulebook, self.trap)

    def _see(self, now: GameState) -> None:
        """Triggers, each said once for one ball; a ball that we give away is none."""
        if now.travel is None or (now.passer < 0 and now.barred.any()):
            self.seen = ()
            return
        if now.time_s > now.travel.begun_s + LOOK_S:
            return
        for name in find_triggers(now.picture().situation(0), self.stock.settings):
            self.go_until_s = now.time_s + TRIGGER_S
            if name not in self.seen:
                now.say("trigger seen", f"Trigger: {name}.", theirs=[now.receiver] if now.receiver >= 0 else [])
                self.seen = *self.seen, name
