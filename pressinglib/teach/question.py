"""Whether it is a good question: something is right, something is wrong, and nothing tells the answer."""

from __future__ import annotations

import re
from math import dist
from typing import Any

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.roles.faults import find_faults
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.labels import situation_title
from pressinglib.tables import listed
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.choices import NameFault
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.placing import DenyOption
from pressinglib.teach.verdict import RIGHT

MOSTLY = 0.5  # of the answers tried: if more are right, the tutor is told (own choice)


def faults_in(situation: Situation, rulebook: Rulebook | None = None) -> list[str]:
    """The kinds of fault in a picture, each once."""
    return list(dict.fromkeys(fault.kind for fault in find_faults(situation, rulebook)))


def check_question(exercise: Exercise) -> None:
    """BadInput, with what to change, unless something is right and something is wrong."""
    try:
        answer = exercise.solution().answer
        verdict = exercise.check(answer)
    except (PressingError, KeyError) as error:
        raise BadInput("There is no answer to this", got=str(error), todo="change picture or question") from error
    if verdict.outcome != RIGHT:
        raise _no_answer(exercise, verdict.words)
    if not Accepted(exercise).can_be_wrong:
        raise BadInput(f"Every answer to this is right, {exercise.judge.written(answer)} and any other: "
                       f"{situation_title(exercise.situation)}", todo="change the picture, or ask something else")


def _no_answer(exercise: Exercise, why: str) -> BadInput:
    """What to change where nothing that was tried is right."""
    judge, s = exercise.judge, exercise.situation
    if isinstance(judge, NameFault):
        there = faults_in(s, exercise.rulebook)
        todo = f"ask about {listed(there, 'or')}" if there else "put somebody where he should not be"
        return BadInput(f'There is no "{judge.fault}" in this picture', todo=todo)
    if isinstance(judge, DenyOption):
        return BadInput(f"{judge.cover} can deny {judge.option} from nowhere on the pitch: {why.rstrip('.')}",
                        todo=f"move their {judge.option} or the ball, or ask about another man")
    return BadInput(f"No answer to this is right: {why.rstrip('.')}", todo="change picture or question")


def doubts_of(accepted: Accepted) -> list[str]:
    """What a tutor should know of a question that can be solved: too easy, told by its own words, or out of reach."""
    exercise, doubts = accepted.exercise, []
    right, tried = len(accepted.right), len(accepted.right) + len(accepted.wrong)
    if tried > 1 and right > MOSTLY * tried:
        doubts.append(f"Hardly any answer is wrong: {right} of {tried} that were tried are right. Change the picture.")
    if told := given_away(accepted):
        doubts.append(f"Title and task tell {told}, which is the answer: leave it out.")
    if isinstance(exercise.judge, DenyOption):
        doubts += _too_late(exercise, exercise.judge, accepted)
    return doubts


def given_away(accepted: Accepted) -> str:
    """The answer, if title or task say it and no wrong one; else ""."""
    said = f"{accepted.exercise.title} {accepted.exercise.asks}".casefold()

    def names(answers: list[Any]) -> list[str]:
        return [word for word in answers if isinstance(word, str)
                and re.search(rf"(?<!\w){re.escape(word.casefold())}(?!\w)", said)]

    told = names(accepted.right)
    return told[0] if told and not names(accepted.wrong) else ""


def _too_late(exercise: Exercise, judge: DenyOption, accepted: Accepted) -> list[str]:
    """Where the cover cannot be at any right place by the time the presser is at the ball."""
    plan, running = exercise.plan, exercise.rulebook.settings.running
    stands = exercise.situation.player("pressing", judge.cover).xy
    away_m = min(dist(stands, place) for place in accepted.right)
    by_s = plan.assignments[plan.presser].arrival_s if plan.presser else 0.0
    if plan.presser is None or judge.cover == plan.presser or float(running.rest_time(away_m)) <= by_s:
        return []
    nearer = [job.number for job in plan.assignments.values() if job.mark == judge.option != job.number]
    other = f", or ask about {nearer[0]}" if nearer and nearer[0] not in (judge.cover, plan.presser) else ""
    return [f"{judge.cover} would come too late here: {away_m:.0f} m to go, and {plan.presser} is at the ball in "
            f"{by_s:.1f} s. Move {judge.cover} nearer{other}."]
