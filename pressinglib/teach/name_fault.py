"""Name the fault in a picture: one was planted, and the engine finds it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.faults import KINDS, Fault, find_faults
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import one_of
from pressinglib.teach.card import listed
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding


@dataclass(frozen=True)
class NameFault(Judge):
    """Say which of a few faults is there; every one that the engine finds is right.

    Parameters
    ----------
    fault : str
        The one that was planted; variants must show it too.
    others : tuple of str
        Faults that might be meant and are not there.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> plan = plan_press(scene("worked scene").moved("pressing", "7", (14, 6)))
    >>> judge = NameFault("far side too narrow", ("block too long",))
    >>> [judge.findings(plan, kind)[0].holds for kind in judge.offered]
    [True, False]
    >>> NameFault("offside", ())
    Traceback (most recent call last):
    pressinglib.errors.BadInput: There is no fault 'offside' here. ...
    """

    fault: str
    others: tuple[str, ...]

    def __post_init__(self) -> None:
        for kind in (self.fault, *self.others):
            one_of(kind, KINDS, "fault")

    @property
    def offered(self) -> list[str]:
        """All that may be answered, in the order of the method."""
        return [kind for kind in KINDS if kind in (self.fault, *self.others)]

    def read(self, answer: Any, situation: Situation) -> str:
        """One of the faults that are offered."""
        return one_of(answer, self.offered, "fault")

    def findings(self, plan: Plan, value: str) -> list[Finding]:
        """There with its reason and change, or what is there instead."""
        faults = _found(plan)
        if value in faults:
            return [Finding(True, f"{faults[value].why} {faults[value].change}")]
        who = listed(faults[self.fault].players) if self.fault in faults else "the ball"
        return [Finding(False, f"{value.capitalize()}: the engine looked, and it is not there. Look at {who}.")]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The choices, and whom it is about."""
        players = _found(plan)[self.fault].players
        return f"It is one of these: {', '.join(self.offered)}.", f"It is about {listed(players)}."

    def model(self, plan: Plan) -> str:
        """The planted one."""
        return self.fault

    def shown(self, situation: Situation, value: str) -> Situation:
        """The mended picture for the right answer, else the picture as it is."""
        mended = [f.changed for f in find_faults(situation) if f.kind == value and f.changed is not None]
        return mended[0] if mended else situation

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever the planted fault is there and none of the others."""
        found = _found(plan)
        return self if self.fault in found and not set(self.others) & set(found) else None


def _found(plan: Plan) -> dict[str, Fault]:
    """By kind; of several of one kind the first."""
    return {fault.kind: fault for fault in reversed(find_faults(plan.situation, plan.rulebook))}
