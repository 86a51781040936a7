"""The rulebook of the moment: triggers, the counter-press and a trap change what the team is told."""

from __future__ import annotations

from dataclasses import dataclass

from pressinglib.errors import BadInput
from pressinglib.play.counter_press import CounterPress
from pressinglib.play.events import Log
from pressinglib.play.manner import Manner
from pressinglib.play.moment import Moment
from pressinglib.play.trap import sprung, trapped
from pressinglib.play.triggers import find_triggers
from pressinglib.play.unseen import with_eyes_ahead
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.vocabulary import NOBODY

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
