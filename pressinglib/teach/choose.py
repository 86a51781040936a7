"""Choose one: a player, a word, a way out. What holds of each choice is asked of the plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import one_of
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding

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
