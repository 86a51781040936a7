"""Make an exercise: judged by whether it can be solved, can be got wrong, and does not tell its answer."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import dist
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rule_contract import check_rule
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.exercise import Exercise, Judge
from pressinglib.teach.own_exercise import make_exercise
from pressinglib.teach.press_questions import NOBODY, WhoPresses
from pressinglib.teach.variants import pictures
from pressinglib.teach.verdict import Finding

# -- Small rules of one situation, as an analyst writes them: examples to read, to break and to set beside the stock.


def the_nearest(situation: Situation) -> str:
    """The outfield player nearest to the ball goes, whatever his line and whichever side of the ball he is on.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> the_nearest(scene("behind the midfield"))
    '8'
    """
    return _nearest([p for p in situation.pressing if not p.is_goalkeeper], situation)


def the_nearest_goal_side(situation: Situation) -> str:
    """The nearest of those who are nearer to our goal line than the ball; of all, where nobody is.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> the_nearest_goal_side(scene("behind the midfield"))
    '4'
    """
    outfield = [p for p in situation.pressing if not p.is_goalkeeper]
    return _nearest([p for p in outfield if p.xy[0] < situation.ball_xy[0]] or outfield, situation)


def _nearest(players: Sequence[Player], situation: Situation) -> str:
    """Of two who are equally near the one with the lower number, so that the order of the sheet does not matter."""
    return min(players, key=lambda p: (round(dist(p.xy, situation.ball_xy), 6), p.number)).number


def the_last_listed(situation: Situation) -> str:
    """Whoever stands last on the sheet goes: a rule that depends on the order of the sheet, and so on no football."""
    return situation.pressing[-1].number


def always_inside(situation: Situation) -> str:
    """Steer towards the middle of the pitch.

    Examples
    --------
    >>> always_inside(Situation.line_up(ball_xy=(30, 10))), always_inside(Situation.line_up(ball_xy=(30, -10)))
    ('right', 'left')
    """
    return "right" if situation.ball_xy[1] > 0 else "left"


def always_outside(situation: Situation) -> str:
    """Steer towards the touchline."""
    return "left" if situation.ball_xy[1] > 0 else "right"


# -- Write a rule: it must keep the contract, and beat the stock rule on fresh pictures.


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
    rule : function of a Situation
        One that does the job.
    idea : str
        The second hint.
    mirrors : bool
        Whether left and right must be treated alike.
    measure : function of a Plan
        What must be lower on average over the pictures than with the stock rule.
    pictures : int
        How many fresh pictures near the exercise's it is tried on.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> judge = WriteRule("choose_steer", lambda situation: "left", "Look at the ball.")
    >>> judge.read(lambda situation: ..., scene("worked scene")) is None
    True
    >>> judge.read("left", scene("worked scene"))
    Traceback (most recent call last):
    pressinglib.errors.BadInput: This is no rule. Write a function of one situation: def my_rule(situation): ...
    """

    decision: str
    rule: OwnRule
    idea: str
    mirrors: bool = True
    measure: Callable[[Plan], float] = danger_after
    pictures: int = 12

    def read(self, answer: Any, situation: Situation) -> OwnRule | None:
        """A function; one that still gives `...` is not written yet."""
        if not callable(answer) or isinstance(answer, type):
            raise BadInput("This is no rule", todo="write a function of one situation: def my_rule(situation): ...")
        try:
            return None if answer(situation) is ... else answer
        except Exception:
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
        near = [plan.situation, *pictures(plan.situation, 0, self.pictures - 1, keep_formation=False)]
        return (np.array([self.measure(plan_press(s, own)) for s in near]),
                np.array([self.measure(plan_press(s, plan.rulebook)) for s in near]))

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The idea, and where the stock rule stands on this picture."""
        return self.idea, f"The stock rule stands at {100 * self.measure(plan):.0f} hundredths on this picture."

    def model(self, plan: Plan) -> OwnRule:
        """The rule that came with the exercise."""
        return self.rule

    def written(self, value: OwnRule) -> str:
        """Its name: the code stands in the lesson."""
        return getattr(value, "__name__", "a rule")

    def played(self, plan: Plan, value: OwnRule) -> Plan:
        """The plan with it."""
        return plan_press(plan.situation, plan.rulebook.with_rules(**{self.decision: value}))

    @property
    def names_players(self) -> bool:
        """A rule names nobody."""
        return False


# -- Make an exercise: judged by whether it can be solved, can be got wrong, and does not tell its answer.


Fields = tuple[str, ...]  # title, task, kind, and what is asked


@dataclass(frozen=True)
class MadeExercise(Judge):
    """Give an exercise: its fields for the picture that is given, or a whole one with a picture of your own."""

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
        """Its fields."""
        return f"{value!r}" if isinstance(value, Exercise) else ", ".join(map(repr, value))

    def shown(self, situation: Situation, value: Exercise | Fields) -> Situation:
        """The picture of the exercise that was made."""
        return value.situation if isinstance(value, Exercise) else situation

    @property
    def names_players(self) -> bool:
        """It asks about nobody."""
        return False


def _made(plan: Plan, title: str, task: str, kind: str, asked: str = "") -> Exercise:
    return make_exercise(plan.situation, title, task, kind, asked, rulebook=plan.rulebook)


def given_away(exercise: Exercise) -> str:
    """The answer, if title or task say it; else "".

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> picture = scene("worked scene")
    >>> given_away(make_exercise(picture, "Who goes?", "Does 9 go, or somebody else?", "who goes"))
    '9'
    >>> given_away(make_exercise(picture, "Who goes?", "Write his number, at most 2 letters.", "who goes"))
    ''
    """
    if not isinstance(exercise.judge, WhoPresses):
        return ""
    words = re.findall(r"\w+", f"{exercise.title} {exercise.asks}")
    return next((answer for answer in Accepted(exercise).right if answer in words), "")
