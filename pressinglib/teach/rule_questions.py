"""Write a rule, or an exercise, of one's own."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rule_contract import check_rule
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.exercise import Exercise, Judge
from pressinglib.teach.own_exercise import make_exercise
from pressinglib.teach.pictures import fresh_pictures
from pressinglib.teach.press_questions import NOBODY, WhoPresses
from pressinglib.teach.verdict import Finding

OwnRule = Callable[[Situation], Any]
Fields = tuple[str, ...]  # of an exercise: title, task, kind, and what is asked


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

    def read(self, answer: Any, situation: Situation) -> OwnRule | None:
        """A function; one that still gives `...` is not written yet."""
        if not callable(answer) or isinstance(answer, type):
            raise BadInput("This is no rule", todo="write a function of one situation: def my_rule(situation): ...")
        try:
            return None if answer(situation) is ... else answer
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
        return self.rule, f"The stock rule stands at {100 * self.measure(plan):.0f} hundredths on this picture."

    def model(self, plan: Plan) -> OwnRule:
        return self.known

    def written(self, value: OwnRule) -> str:
        return getattr(value, "__name__", "a rule")

    def played(self, plan: Plan, value: OwnRule) -> Plan:
        return plan_press(plan.situation, plan.rulebook.with_rules(**{self.decision: value}))


@dataclass(frozen=True)
class MadeExercise(Judge):
    """Give an exercise: its fields for the picture that is given, or a whole one with a picture of your own.

    It must be possible to solve it and to get it wrong, and its words must not tell the answer.
    """

    names_players = False

    def read(self, answer: Any, situation: Situation) -> Exercise | Fields | None:
        """Title, task, kind and what is asked; or an exercise, or the form that holds one."""
        whole = getattr(answer, "exercise", answer)
        if whole is ... or isinstance(whole, Exercise):
            return None if whole is ... else whole
        if not isinstance(answer, tuple | list) or not 3 <= len(answer) <= 4:
            raise BadInput("This is no exercise", todo='write three fields: "title", "task", "kind", and what is asked')
        made = make_exercise(situation, *answer)
        return (made.title, made.task, *map(str, answer[2:]))

    def findings(self, plan: Plan, value: Exercise | Fields) -> list[Finding]:
        """It can be solved, there is something to get wrong, and nothing is given away."""
        made = value if isinstance(value, Exercise) else _made(plan, *value)
        accepted, told = Accepted(made), given_away(made)
        wrong = len(accepted.wrong)
        return [Finding(True, f"It can be solved. {accepted.card!r}"),
                Finding(wrong > 0, f"Other answers that were tried and are wrong: {wrong}."),
                Finding(not told, f"Title and task tell {told}: leave it out." if told else "The words do not tell.")]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """What makes a question, and what the engine says of the picture."""
        return ("A good question can be got wrong, and does not tell its answer.",
                f"In this picture {plan.presser or NOBODY} goes, one of {len(plan.situation.pressing)}: "
                f"keep his number out of your words.")

    def model(self, plan: Plan) -> Fields:
        """The simplest of all questions."""
        return "Who goes?", "Write his number.", "who goes"

    def written(self, value: Exercise | Fields) -> str:
        return f"{value!r}" if isinstance(value, Exercise) else ", ".join(map(repr, value))

    def shown(self, situation: Situation, value: Exercise | Fields) -> Situation:
        """The picture of the exercise that was made."""
        return value.situation if isinstance(value, Exercise) else situation


def _made(plan: Plan, title: str, task: str, kind: str, asked: str = "") -> Exercise:
    return make_exercise(plan.situation, title, task, kind, asked, rulebook=plan.rulebook)


def given_away(exercise: Exercise) -> str:
    """The answer, if title or task say it; else ""."""
    if not isinstance(exercise.judge, WhoPresses):
        return ""
    words = re.findall(r"\w+", f"{exercise.title} {exercise.asks}")
    return next((answer for answer in Accepted(exercise).right if answer in words), "")
