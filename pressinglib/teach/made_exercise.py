"""Make an exercise: judged by whether others can solve it, and have something to solve."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.judge import Judge
from pressinglib.teach.own_exercise import make_exercise
from pressinglib.teach.verdict import Finding
from pressinglib.teach.who_presses import NOBODY, WhoPresses

ASIDE_M = 6.0


@dataclass(frozen=True)
class MadeExercise(Judge):
    """Give an exercise: a picture of your own, a question that has an answer, words that do not tell it."""

    def read(self, answer: Any, situation: Situation) -> Exercise:
        """An exercise, or whatever holds one (a form, a file)."""
        exercise = getattr(answer, "exercise", answer)
        if not isinstance(exercise, Exercise):
            raise BadInput("This is no exercise", todo="make one: fill in the form and press Try, or use make_exercise")
        return exercise

    def findings(self, plan: Plan, value: Exercise) -> list[Finding]:
        """An own picture, something to get wrong, nothing given away."""
        own = value.situation != plan.situation
        moved = "The picture is your own." if own else "The picture is the one you were given: move somebody."
        return [Finding(own, moved), *self._answers(value)]

    def _answers(self, exercise: Exercise) -> list[Finding]:
        accepted = Accepted(exercise)
        told = given_away(exercise)
        return [Finding(True, f"It can be solved. {accepted.card!r}"),
                Finding(bool(accepted.wrong), f"{len(accepted.wrong)} other answers were tried and are wrong."
                        if accepted.wrong else "Nothing that was tried is wrong: there is nothing to find out."),
                Finding(not told, f"Title and task tell {told}: leave it out." if told else "The words do not tell.")]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """What makes a question, and what the engine says of the given picture."""
        return ("Move the ball or a player first: then the answer is nowhere to be read.",
                f"In the picture you were given {plan.presser or NOBODY} goes; with the ball elsewhere it may be "
                f"another of the {len(plan.situation.pressing)}.")

    def model(self, plan: Plan) -> Exercise:
        """Who goes, with the ball carried to the other side of him who has it."""
        s = plan.situation
        number = s.on_ball or s.possession[-1].number
        x, y = s.player("possession", number).xy
        aside = s.moved("possession", number, (x, y - ASIDE_M if y > 0 else y + ASIDE_M))
        return make_exercise(aside, "Who goes now?", "Write his number.", "who goes", rulebook=plan.rulebook)

    def written(self, value: Exercise) -> str:
        """Its title and task."""
        return f"{value!r}"

    def shown(self, situation: Situation, value: Exercise) -> Situation:
        """The picture of the exercise that was made."""
        return value.situation

    @property
    def names_players(self) -> bool:
        """It asks about nobody."""
        return False


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
