"""Write a rule of one's own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rule_contract import check_rule
from pressinglib.teach.exercise import Judge
from pressinglib.teach.pictures import fresh_pictures
from pressinglib.teach.verdict import Finding

OwnRule = Callable[[Situation], Any]


def danger_after(plan: Plan) -> float:
    """Danger once the runs are made: the measure that is asked for where nothing else is said (D)."""
    return plan.danger[1]


@dataclass(frozen=True)
class WriteRule(Judge):
    """Give a function of one situation that decides in the place of a stock rule.

    Parameters
    ----------
    decision : str
        As in `Rulebook.with_rules`.
    known : function of a Situation
        A rule that does the job.
    rule : str
        The second hint.
    mirrors : bool
        Whether left and right must be treated alike.
    measure : function of a Plan
        What must be lower on average over the pictures than with the stock rule.
    pictures : int
        How many fresh pictures near the exercise's it is tried on.
    """

    decision: str
    known: OwnRule
    rule: str
    mirrors: bool = True
    measure: Callable[[Plan], float] = danger_after
    pictures: int = 12
    names_players = False

    def read(self, answer: Any, plan: Plan) -> OwnRule | None:
        """A function; one that still gives `...` is not written yet."""
        if not callable(answer) or isinstance(answer, type):
            raise BadInput("This is no rule", todo="write a function of one situation: def my_rule(situation): ...")
        try:
            return None if answer(plan.situation) is ... else answer
        except (Exception, SystemExit):
            return answer  # the contract says where it fails

    def findings(self, plan: Plan, value: OwnRule) -> list[Finding]:
        """The promises of the contract, and if they are kept the comparison."""
        check = check_rule(value, self.decision, self.mirrors)
        broken = [f"On the scene {p.scene!r} it fails: {p.words}. {p.cause}." for p in check.promises if not p.kept]
        if broken:
            return [Finding(False, words) for words in broken]
        return [Finding(True, f"The contract holds on all named scenes, {len(check.promises)} promises kept."),
                self._beats(plan, value)]

    def _beats(self, plan: Plan, rule: OwnRule) -> Finding:
        try:
            mine, stock = self._values(plan, rule)
        except PressingError as error:
            return Finding(False, str(error))
        lower, mean = int((mine < stock).sum()), 100 * mine.mean() / stock.mean()
        words = (f"On {len(stock)} fresh pictures it is lower than the stock rule on {lower}, higher on "
                 f"{int((mine > stock).sum())}; on average {mean:.0f} % of it.")
        return Finding(bool(mine.mean() < stock.mean()), words)

    def _values(self, plan: Plan, rule: OwnRule) -> tuple[np.ndarray, np.ndarray]:
        """The measure with the own and with the stock rule, a picture each."""
        own = plan.rulebook.with_rules(**{self.decision: rule})
        near = [plan.situation, *fresh_pictures(plan.situation, 0, self.pictures - 1, keep_formation=False)]
        return (np.array([self.measure(plan_press(s, own)) for s in near]),
                np.array([self.measure(plan_press(s, plan.rulebook)) for s in near]))

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule of thumb, and where the stock rule stands on this picture."""
        return self.rule, f"By this measure the stock rule stands at {self.measure(plan):.2f} on this picture."

    def model(self, plan: Plan) -> OwnRule:
        return self.known

    def written(self, value: OwnRule) -> str:
        return getattr(value, "__name__", "a rule")
