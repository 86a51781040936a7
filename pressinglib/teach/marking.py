"""Marking: a learner's tries at one exercise, judged again, whatever their file says of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pressinglib.errors import PressingError
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.progress import so_far
from pressinglib.teach.verdict import NOT_ATTEMPTED, RIGHT

MAKES_NO_SENSE = "an answer that makes sense"
THE_ANSWER = "the answer"  # where there is but one criterion


@dataclass(frozen=True)
class Mark:
    """What came of a learner's tries at one exercise.

    Parameters
    ----------
    outcomes : tuple of str
        "right" or "wrong" for each try, oldest first.
    failed : tuple of str
        Criteria that a try did not meet, each once.
    """

    outcomes: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()

    @property
    def solved(self) -> bool:
        """Whether one of the tries was right."""
        return RIGHT in self.outcomes

    @property
    def words(self) -> str:
        """How far the learner got: "right, try 2", "not yet, 3 tries" or "-"."""
        return so_far(list(self.outcomes)) if self.outcomes else "-"


def mark(exercise: Exercise, answers: Iterable[Any]) -> Mark:
    """The tries judged again.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> mark(who_goes, ["3", "11"]).words, mark(who_goes, []).words
    ('right, try 2', '-')
    """
    answers = list(answers)
    failed = dict.fromkeys(criterion for answer in answers for criterion in failed_criteria(exercise, answer))
    outcomes = [exercise.check(answer).outcome for answer in answers]
    return Mark(tuple(outcome for outcome in outcomes if outcome != NOT_ATTEMPTED), tuple(failed))


def failed_criteria(exercise: Exercise, answer: Any) -> list[str]:
    """What an answer does not meet, in the words of the exercise's criteria.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> failed_criteria(who_goes, "11"), failed_criteria(who_goes, "nine")
    ([], ['an answer that makes sense'])
    """
    try:
        value = exercise.judge.read(answer, exercise.situation)
    except PressingError:
        return [MAKES_NO_SENSE]
    findings = [] if value is None else exercise.judge.findings(exercise.plan, value)
    return [finding.criterion or THE_ANSWER for finding in findings if not finding.holds]
