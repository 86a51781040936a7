"""Make an exercise: judged by whether it can be solved, can be got wrong, and does not tell its answer."""

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
