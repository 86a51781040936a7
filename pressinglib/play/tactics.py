"""The rulebook of the moment: triggers, the counter-press and a trap change what the team is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.player import Player, as_number
from pressinglib.field.situation import Situation
from pressinglib.play.defence import unseen, with_eyes_ahead
from pressinglib.play.events import Log
from pressinglib.play.memory import RulesInTime
from pressinglib.play.state import Moment
from pressinglib.roles.decisions import Decisions, Jobs, is_player
from pressinglib.roles.picture import Bools, Floats, Picture, turned, unit
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import COVER, GUARD_INSIDE, NOBODY, Settings

# -- Triggers: moments in which theirs cannot play forward at once, so that a team that waits may go (common practice)


TRIGGERS = ("heavy touch", "back pass", "slow square pass", "receiver facing own goal", "ball to the full-back",
            "lofted ball")
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

    Parameters
    ----------
    situation : Situation
    settings : Settings, optional
        For the width of the wing.

    Returns
    -------
    tuple of str
        Some of `TRIGGERS`, in their order.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> from dataclasses import replace
    >>> s = Situation.line_up(ball_xy=(20, 10))
    >>> find_triggers(replace(s, carrier=None, receiver="1", ball_velocity=(12, -4)))
    ('back pass',)
    >>> find_triggers(s)
    ()
    """
    if not isinstance(situation, Situation):
        raise BadInput("picture", expected="a Situation", got=type(situation).__name__, todo="make one: Situation(...)")
    s = Settings() if settings is None else settings
    if situation.receiver is None:
        return ("heavy touch",) if _got_away(situation) else ()
    him = situation.player("possession", situation.receiver)
    seen = {"back pass": him.xy[0] > situation.ball_xy[0] + BACK_M and situation.ball_velocity[0] > 0,
            "slow square pass": _slow_square(situation, him), "receiver facing own goal": _back_to_us(situation, him),
            "ball to the full-back": _to_full_back(situation, him, s),
            "lofted ball": situation.ball_height_m > IN_THE_AIR_M}
    return tuple(name for name in TRIGGERS if seen.get(name))


def checked_triggers(names: Sequence[str]) -> tuple[str, ...]:
    """The names, or UnknownName for one that is no trigger."""
    if isinstance(names, str) or not isinstance(names, Sequence):
        raise BadInput("triggers", expected="a list of names", got=repr(names), todo="put them in brackets")
    for name in names:
        if name not in TRIGGERS:
            raise UnknownName("trigger", name, TRIGGERS)
    return tuple(names)


def _got_away(situation: Situation) -> bool:
    """The ball is loose and still nearest to one of theirs."""
    near = {team: min(_apart_m(q.xy, situation.ball_xy) for q in situation.players(team))
            for team in ("pressing", "possession")}
    return situation.state == "loose" and near["possession"] <= min(near["pressing"], TOUCH_M)


def _slow_square(situation: Situation, him: Player) -> bool:
    """Across the pitch, along the ground, and slow enough to be run down."""
    dx, dy = him.xy[0] - situation.ball_xy[0], him.xy[1] - situation.ball_xy[1]
    square = abs(dx) <= abs(dy) * float(np.tan(np.radians(SQUARE_DEG)))
    speed = float(np.hypot(*situation.ball_velocity))
    return square and abs(dy) >= SQUARE_FROM_M and 0 < speed <= SLOW_MPS and situation.ball_height_m <= IN_THE_AIR_M


def _back_to_us(situation: Situation, him: Player) -> bool:
    """Turned away from our goal, with one of us close behind him."""
    to_goal = np.subtract(situation.pitch.own_goal_xy, him.xy)
    looks = _looks(situation, him)
    cosine = float(to_goal @ looks) / max(float(np.hypot(*to_goal) * np.hypot(*looks)), 1e-9)
    behind = [q for q in situation.pressing if not q.is_goalkeeper and _apart_m(q.xy, him.xy) <= ON_HIM_M
              and _apart_m(q.xy, situation.pitch.own_goal_xy) < _apart_m(him.xy, situation.pitch.own_goal_xy)]
    return cosine < float(np.cos(np.radians(TURNED_AWAY_DEG))) and bool(behind)


def _looks(situation: Situation, him: Player) -> np.ndarray:
    """Where he looks: as known, else the way he runs, else at the ball that comes."""
    if him.facing_deg is not None:
        return np.array([np.cos(np.radians(him.facing_deg)), np.sin(np.radians(him.facing_deg))])
    if float(np.hypot(*him.velocity)) > RUNS_MPS:
        return np.array(him.velocity)
    return np.subtract(situation.ball_xy, him.xy)


def _to_full_back(situation: Situation, him: Player, s: Settings) -> bool:
    """To one of their four deepest, near a touchline, from further inside."""
    deepest = sorted((q.xy[0] for q in situation.possession if not q.is_goalkeeper), reverse=True)[:LAST_LINE]
    wide = situation.pitch.width_m / 2 - abs(him.xy[1]) <= s.touchline_m
    return wide and him.xy[0] >= deepest[-1] and abs(him.xy[1]) > abs(situation.ball_xy[1]) + BACK_M


def _apart_m(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(np.hypot(a[0] - b[0], a[1] - b[1]))


# -- How a sequence is simulated: the named arguments of `simulate`, checked.


ATTACKERS = ("stay", "seek")
SHORTEST_STEP_S, LONGEST_STEP_S = 0.05, 0.5
LONGEST_S = 60.0


@dataclass(frozen=True)
class Manner:
    """See `simulate`.

    Examples
    --------
    >>> Manner(late_s=0.4).late_s
    0.4
    >>> Manner(attackers="run")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: attackers: expected 'stay' or 'seek'; got 'run'. Use one of the two.
    """

    step_s: float = 0.1
    duration_s: float | None = None
    late_s: float = 0.0
    seed: int | None = None
    attackers: str = "stay"
    triggers: Sequence[str] = TRIGGERS
    trap: str | None = None
    just_lost: bool = False
    counter_press_s: float = 5.0
    handover_s: float = 0.4

    def __post_init__(self) -> None:
        for name, low, high in (("step_s", SHORTEST_STEP_S, LONGEST_STEP_S), ("late_s", 0.0, 3.0),
                                ("counter_press_s", 3.0, 8.0), ("handover_s", 0.0, 2.0)):
            object.__setattr__(self, name, as_number(getattr(self, name), name, low=low, high=high))
        if self.duration_s is not None:
            object.__setattr__(self, "duration_s", as_number(self.duration_s, "duration_s", low=0.0, high=LONGEST_S))
        if self.attackers not in ATTACKERS:
            raise BadInput("attackers", expected="'stay' or 'seek'", got=repr(self.attackers),
                           todo="use one of the two")
        if self.seed is not None and (isinstance(self.seed, bool) or not isinstance(self.seed, int) or self.seed < 0):
            raise BadInput("seed", expected="None or a whole number from 0", got=repr(self.seed), todo="give one")
        object.__setattr__(self, "triggers", checked_triggers(self.triggers))


# -- A trap: one option is left to the carrier on purpose, and closed by two while the ball travels to it.


CLOSE_M = 1.5  # the second stands this far from the ball, beside the presser (D)


def sprung(now: Moment, man: int) -> bool:
    """The ball is on its way to him, or he has it."""
    return man in (now.receiver, now.carrier)


def trapped(rulebook: Rulebook, man: int, closing: bool) -> Rulebook:
    """The rulebook of a team that leaves the opponent `man` (index in the sheet) free, or now closes him down.

    Leaving: nobody denies him, and the carrier is steered towards him. Closing: a second goes, and stands square to
    the presser; this is the one case in which two press one ball.
    """
    return _closing(rulebook) if closing else _leaving(rulebook, man)


def _leaving(rulebook: Rulebook, man: int) -> Rulebook:
    def steer(p: Picture, d: Decisions) -> Any:
        him = p.opp[p.opp_order == man][0]
        side = np.sign(him[1] - p.origin[:, 1]).astype(int)
        return np.where((d.presser < 0) | (side == 0), rulebook.choose_steer(p, d), side)

    def covers(p: Picture, d: Decisions) -> Any:
        return rulebook.choose_covers(unseen(p, d, p.opp_order == man), d)

    def balance(p: Picture, d: Decisions) -> Any:
        return rulebook.choose_balance(unseen(p, d, p.opp_order == man), d)

    return RulesInTime.of(rulebook, choose_steer=steer, choose_covers=covers, choose_balance=balance)


def _closing(rulebook: Rulebook) -> Rulebook:
    def covers(p: Picture, d: Decisions) -> Any:
        jobs = rulebook.choose_covers(p, d)
        who, spot = _second(p, d)
        anchor = np.where(who[..., None], spot[:, None], jobs.anchor)
        return Jobs(jobs.who | who, np.where(who, GUARD_INSIDE, jobs.duty), np.where(who, NOBODY, jobs.mark), anchor)

    def spots(p: Picture, d: Decisions) -> Any:
        who, spot = _second(p, d)
        who = who & (d.role == COVER)
        return np.where(who[..., None], spot[:, None], rulebook.settle_spots(p, d))

    return RulesInTime.of(rulebook, choose_covers=covers, settle_spots=spots)


def _second(p: Picture, d: Decisions) -> tuple[Bools, Floats]:
    """(F, N) the second man, none where nobody presses, and (F, 2) his spot.

    Of midfield and attack, without the presser, he who is first beside the carrier on either side of the presser.
    """
    off = unit(d.end_xy - p.focus) * CLOSE_M
    beside = np.stack([p.pitch.inside(p.focus + turned(off, side * np.pi / 2)) for side in (1, -1)], axis=1)
    free = p.front & ~is_player(d.presser, p.line.shape[1]) & (d.presser >= 0)[:, None]
    late = np.stack([np.where(free, p.own_arrival(beside[:, k, None]), np.inf) for k in (0, 1)], axis=1)
    side = late.min(2).argmin(1)
    frame = np.arange(len(p))
    there = late[frame, side]
    who = is_player(np.where(np.isfinite(there.min(1)), there.argmin(1), NOBODY), p.line.shape[1])
    return who, beside[frame, side]


# -- The counter-press: for some seconds after the ball is lost everybody near it goes, wherever it is.


@dataclass(eq=False)
class CounterPress:
    """A window of `window_s` after a loss (5 s by convention: Bauer and Anzer 2021, 10.1007/s10618-021-00763-7)."""

    window_s: float
    on: bool = False
    begun_s: float = 0.0

    def start(self, now: Moment, log: Log) -> None:
        """The ball is lost: go at once."""
        self.on, self.begun_s = True, now.time_s
        log.say(now, "counter-press started", f"The ball is lost: {self.window_s:g} s to win it back.")

    def watch(self, now: Moment, press_broken: bool, log: Log) -> None:
        """It is over when the time is, or when they have played out of it."""
        if not self.on:
            return
        over = now.time_s >= self.begun_s + self.window_s
        if over or press_broken:
            why = "the time is over" if over else "they have played out of it"
            self.on = False
            log.say(now, "counter-press aborted", f"{why.capitalize()}: back into the block.")


# -- The rulebook of the moment: triggers, the counter-press and a trap change what the team is told.


LOOK_S = 0.5  # a ball is read in this time after it left the foot: later every pass is slow (D)
TRIGGER_S = 3.0  # a trigger lets a team that waits go for this long (D)


@dataclass(eq=False)
class Orders:
    """What the team is told, and what it has seen."""

    told: Rulebook
    triggers: tuple[str, ...]
    counter: CounterPress
    trap: int = NOBODY  # the opponent who is left free
    trap_closed: bool = False
    go_until_s: float = 0.0
    seen: tuple[str, ...] = ()

    @classmethod
    def of(cls, now: Moment, rulebook: Rulebook, manner: Manner) -> Orders:
        """At the beginning."""
        counter = CounterPress(manner.counter_press_s)
        return cls(rulebook, tuple(manner.triggers), counter, _trapped_man(now, manner.trap))

    def rulebook(self, now: Moment, log: Log) -> Rulebook:
        """The rulebook as it holds now: after a trigger or a loss nobody waits at a line of confrontation."""
        self._see(now, log)
        rulebook = with_eyes_ahead(self.told)
        if now.time_s < self.go_until_s or self.counter.on:
            rulebook = rulebook.with_settings(confrontation_x_m=None)
        return rulebook if self.trap < 0 else self._with_trap(now, rulebook, log)

    def _see(self, now: Moment, log: Log) -> None:
        """Triggers, each said once for one ball; a ball that we give away is none."""
        if now.travel is None or (now.passer < 0 and now.barred.any()):
            self.seen = ()
            return
        if now.time_s > now.travel.begun_s + LOOK_S:
            return
        found = find_triggers(now.picture().situation(0), self.told.settings)
        found = tuple(name for name in found if name in self.triggers)
        for name in found:
            if name not in self.seen:
                log.say(now, "trigger seen", f"Trigger: {name}.", theirs=[now.receiver] if now.receiver >= 0 else [])
        self.seen = tuple(sorted({*self.seen, *found}))
        if found:
            self.go_until_s = now.time_s + TRIGGER_S

    def _with_trap(self, now: Moment, rulebook: Rulebook, log: Log) -> Rulebook:
        closing = sprung(now, self.trap)
        if closing and not self.trap_closed:
            log.say(now, "trap closed", f"The ball goes to their {now.foe(self.trap)}: two close him down.",
                    theirs=[self.trap])
        self.trap_closed = closing
        return trapped(rulebook, self.trap, closing)


def _trapped_man(now: Moment, number: str | None) -> int:
    if number is None:
        return NOBODY
    if number not in now.sheet.possession_numbers:
        raise BadInput("trap", expected="one of " + ", ".join(now.sheet.possession_numbers), got=repr(number),
                       todo="give the number of the opponent who is left free")
    return now.opponent(number)
