"""An exercise: a picture, a task, and a judge who works the answer out from the picture and knows no key by heart."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Protocol

from pressinglib.errors import PressingError
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.card import Card
from pressinglib.teach.drawn import drawn
from pressinglib.teach.verdict import WRONG, Finding, Verdict, judged

if TYPE_CHECKING:
    from pressinglib.show.print_view import Picture

HINTS = 4  # where to look, which rule, how far, show


class Judge(Protocol):
    """A kind of exercise: how an answer is read and judged. `plan` is the plan of the exercise's picture."""

    def read(self, answer: Any, situation: Situation) -> Any:
        """The answer as a value, None if nothing was answered yet; a PressingError if it makes no sense."""

    def findings(self, plan: Plan, value: Any) -> list[Finding]:
        """What holds and what does not, each with its reason."""

    def hints(self, plan: Plan) -> tuple[str, str]:
        """Which rule, and how far: seconds or metres of this picture."""

    def model(self, plan: Plan) -> Any:
        """An answer that does the job."""

    def shown(self, situation: Situation, value: Any) -> Situation:
        """The picture with an answer in it."""


@dataclass(frozen=True, repr=False)
class Hint(Card):
    """One of four steps: where to look, which rule, how far, show; step 0 says how to ask."""

    step: int = 1

    @property
    def head(self) -> str:
        """Which step."""
        return f"Hint {self.step} of {HINTS}" if self.step else "Stuck"


@dataclass(frozen=True, repr=False)
class Solution(Card):
    """An answer that does the job, why, and the picture with it."""

    answer: Any = None
    situation: Situation | None = field(default=None, compare=False)

    @property
    def head(self) -> str:
        """The word that stands before it."""
        return "Solution"


@dataclass(frozen=True, repr=False)
class Exercise:
    """A task on a picture. Nothing in it changes: the same answer always gets the same verdict.

    Parameters
    ----------
    title, task : str
        A question, and what to do.
    situation : Situation
    judge : Judge
        The kind of exercise.
    look : str
        The first hint: where to look.
    rulebook : Rulebook
        By which the answer is judged.

    Examples
    --------
    >>> from pressinglib.teach.who_presses import WhoPresses
    >>> who = Exercise("Who goes?", "Name the presser.", Situation.line_up(ball_xy=(35, 10)), WhoPresses(), "The ball.")
    >>> who.check(...)
    Not attempted: Name the presser.
    >>> who.check("9").outcome, who.check("1").outcome
    ('right', 'wrong')
    >>> who.hint(1)
    Hint 1 of 4: The ball.
    """

    title: str
    task: str
    situation: Situation
    judge: Judge
    look: str
    rulebook: Rulebook = field(default_factory=Rulebook)

    def __repr__(self) -> str:
        return f"{self.title} {self.task}"

    @property
    def picture(self) -> Picture:
        """The picture to print or to show, without a plan."""
        return drawn(self.situation)

    @cached_property
    def plan(self) -> Plan:
        """What the rulebook makes of the picture."""
        return plan_press(self.situation, self.rulebook)

    def check(self, answer: Any) -> Verdict:
        """Not attempted for `...`, else judged by the engine; what makes no sense is wrong, and never an error."""
        if answer is ...:
            return Verdict(self.task)
        try:
            value = self.judge.read(answer, self.situation)
        except PressingError as error:
            return Verdict(str(error), WRONG)
        return Verdict(self.task) if value is None else judged(self.judge.findings(self.plan, value))

    def hint(self, step: Any = 1) -> Hint:
        """Where to look, which rule, how far, show: 1 to 4; `...` asks for none and says how to ask."""
        if step not in range(1, HINTS + 1):
            return Hint(f"Write 1, 2 or 3 over the dots for a hint; {HINTS} shows an answer.", 0)
        words = self.solution().words if step == HINTS else (self.look, *self.judge.hints(self.plan))[step - 1]
        return Hint(words, int(step))

    def solution(self) -> Solution:
        """An answer that does the job; others may do it too."""
        answer = self.judge.model(self.plan)
        why = judged(self.judge.findings(self.plan, answer)).words
        return Solution(f"{_written(answer)}. {why}", answer, self.judge.shown(self.situation, answer))

    def mirrored(self) -> Exercise:
        """The same task with left and right swapped in the picture."""
        return replace(self, situation=self.situation.mirrored())


def _written(answer: Any) -> str:
    """An answer as it would be typed; places to 0.1 m."""
    return "({:.1f}, {:.1f})".format(*answer) if isinstance(answer, tuple) else str(answer)
