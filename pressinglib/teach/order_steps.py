"""Put steps in order: by seconds or metres of the plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import several_of
from pressinglib.teach.card import listed
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding


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
    >>> from pressinglib.teach.race import Race
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
