"""What a kind of exercise must be able to do: read an answer, judge it by the engine, help, and know an answer."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.verdict import Finding


class Judge(ABC):
    """A kind of exercise; `plan` is always the plan of the exercise's picture.

    Kinds are frozen dataclasses. Their fields may stand in the exercise's words: "Drag {cover}.".
    """

    @abstractmethod
    def read(self, answer: Any, situation: Situation) -> Any:
        """The answer as a value, None if nothing was answered yet; a PressingError if it makes no sense."""

    @abstractmethod
    def findings(self, plan: Plan, value: Any) -> list[Finding]:
        """What holds and what does not, each with its reason: which rule, which player, how far off."""

    @abstractmethod
    def hints(self, plan: Plan) -> tuple[str, str]:
        """Which rule, and how far: seconds or metres of this picture."""

    @abstractmethod
    def model(self, plan: Plan) -> Any:
        """An answer that does the job."""

    def written(self, value: Any) -> str:
        """An answer as a learner would write it."""
        if isinstance(value, str):
            return value
        if isinstance(value, tuple) and all(isinstance(v, float) for v in value):
            return "(" + ", ".join(f"{v:g}" for v in value) + ")"
        return f"{value}"

    def shown(self, situation: Situation, value: Any) -> Situation:
        """The picture with an answer in it; as it is where nobody moves for it."""
        return situation

    def played(self, plan: Plan, value: Any) -> Plan | Situation:
        """What comes of an answer, for "why not mine?": a plan to be carried out, or a picture as it stands."""
        return self.shown(plan.situation, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """The same question on another picture, with other players if need be; None if it cannot be asked there."""
        return self

    @property
    def names_players(self) -> bool:
        """Whether the question is about certain numbers, so that the team's formation must stay."""
        return True

    @property
    def turns(self) -> bool:
        """Whether the answer is one of a few, and another picture may turn it."""
        return False
