"""Name the fault in a picture: one was planted, and the engine finds it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.faults import KINDS, Fault, find_faults
from pressinglib.roles.plan import Plan
from pressinglib.tables import listed
from pressinglib.teach.answers import one_of, several_of
from pressinglib.teach.exercise import Judge
from pressinglib.teach.verdict import Finding

# -- Choose one: a player, a word, a way out. What holds of each choice is asked of the plan.


Choices = Callable[[Plan], Mapping[str, Finding]]


@dataclass(frozen=True)
class Choose(Judge):
    """Choose one of several; more than one of them may be right.

    Parameters
    ----------
    what : str
        What is chosen, in a word: "player", "opponent", "way out".
    choices : function of a Plan
        From each choice to its finding: whether it holds, and why, in seconds or metres of the plan.
    rule : str
        The second hint.
    far : function of a Plan
        The third hint: how far, with a number.
    players : bool
        Whether the choices are about certain numbers, so that variants keep the formation.
    turns : bool
        Whether another picture may turn the answer; not if something beside the picture decides,
        or if a mirror turns it already.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> def to_come(plan):
    ...     return {way: Finding(who is not None, f"{who} in {s:.1f} s.") for way, (who, s) in plan.take_over.items()}
    >>> judge, plan = Choose("way out", to_come, "", lambda plan: ""), plan_press(scene("worked scene"))
    >>> judge.findings(plan, judge.read(" Straight", plan.situation))[0].holds
    True
    """

    what: str
    choices: Choices
    rule: str
    far: Callable[[Plan], str]
    players: bool = False
    turns: bool = True

    def read(self, answer: Any, situation: Situation) -> str:
        """A word, or a number as text; whether it is among the choices the plan decides."""
        if isinstance(answer, bool) or not isinstance(answer, str | int) or len(str(answer)) > 60:
            answer = None
        return one_of(answer, [str(answer).strip()] if answer not in (None, "") else ["one of the choices"], self.what)

    def findings(self, plan: Plan, value: str) -> list[Finding]:
        """What the plan says of this choice."""
        choices = self.choices(plan)
        found = {name.casefold(): finding for name, finding in choices.items()}
        names = ", ".join(choices)
        return [found.get(value.casefold(), Finding(False, f"There is no {self.what} {value!r} here: {names}."))]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """Rule and numbers, as the author gave them."""
        return self.rule, self.far(plan)

    def model(self, plan: Plan) -> str:
        """The first choice that holds."""
        found = self.choices(plan)
        return next((name for name, finding in found.items() if finding.holds), next(iter(found)))

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever something is right and something is wrong."""
        return self if len({finding.holds for finding in self.choices(plan).values()}) == 2 else None

    @property
    def names_players(self) -> bool:
        """As the author said."""
        return self.players


# -- Put steps in order: by seconds or metres of the plan.


@dataclass(frozen=True)
class OrderSteps(Judge):
    """Write steps, or players, in their order; who is level may come either way round.

    Parameters
    ----------
    names : tuple of str
        What is to be ordered, short: ("A", "B", "C") or numbers of players.
    measure : function of a Plan
        From each name to its value; the least comes first.
    unit : str
        Of the values: "s", "m".
    rule : str
        The second hint.
    level : float
        Values this near count as equal.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.teach.press_questions import Race
    >>> names = ("9", "10", "7")
    >>> judge = OrderSteps(names, lambda plan: {n: Race(plan).time_s(n) for n in names}, "s", "The first goes.")
    >>> plan = plan_press(scene("worked scene"))
    >>> judge.model(plan), [f.holds for f in judge.findings(plan, ["9", "7", "10"])]
    (['9', '10', '7'], [True, False])
    """

    names: tuple[str, ...]
    measure: Callable[[Plan], Mapping[str, float]]
    unit: str
    rule: str
    level: float = 0.1

    def read(self, answer: Any, situation: Situation) -> list[str]:
        """Names in order, as a list or with commas; all of them count."""
        return several_of(answer, self.names, "step")

    def findings(self, plan: Plan, value: list[str]) -> list[Finding]:
        """Each neighbouring pair, and that nothing is missing."""
        measure = self.measure(plan)
        pairs = [Finding(measure[a] <= measure[b] + self.level, self._said(measure, a, b)) for a, b in pairwise(value)]
        missing = [name for name in self.names if name not in value]
        return pairs + ([Finding(False, f"{listed(missing)} still to come.")] if missing else [])

    def _said(self, measure: Mapping[str, float], a: str, b: str) -> str:
        words = f"{a} {measure[a]:.1f} {self.unit}, {b} {measure[b]:.1f} {self.unit}"
        if measure[a] <= measure[b] + self.level:
            return f"{words}."
        return f"{words}: {b} comes before {a}."

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and the first with its value."""
        measure, first = self.measure(plan), self.model(plan)[0]
        return self.rule, f"{first} is the first, with {measure[first]:.1f} {self.unit}."

    def model(self, plan: Plan) -> list[str]:
        """By value."""
        measure = self.measure(plan)
        return sorted(self.names, key=lambda name: (measure[name], name))

    def written(self, value: list[str]) -> str:
        """With commas."""
        return ", ".join(value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever at least one pair is not level."""
        values = self.measure(plan).values()
        return self if max(values) - min(values) > self.level else None

    @property
    def turns(self) -> bool:
        """The order may change."""
        return True


# -- Name the fault in a picture: one was planted, and the engine finds it.


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
