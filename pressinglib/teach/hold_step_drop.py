"""Hold, step or drop: what the back line does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pressinglib.field.situation import Situation
from pressinglib.roles.back_line import BACK_PASS_MPS, openness
from pressinglib.roles.plan import Plan
from pressinglib.roles.vocabulary import BACK_LINE, DROP_LINE, HOLD_LINE, STEP_UP
from pressinglib.teach.answers import drop, hold, one_of, step
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding

MOVES = {HOLD_LINE: hold, STEP_UP: step, DROP_LINE: drop}
DOES = {hold: "holds", step: "steps up", drop: "drops"}
LEVEL_M = 0.5  # a line that moves within this of the border between two words may be called either (D)
BORDER_M = 2.0  # from here on the plan calls it a step or a drop


@dataclass(frozen=True)
class HoldStepDrop(Judge):
    """Say what the back line does: hold, step or drop.

    Parameters
    ----------
    turns : bool
        Whether another picture may turn the answer; not while a pass back decides it.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> plan = plan_press(scene("worked scene"))
    >>> HoldStepDrop().findings(plan, "drop")[0].words
    'The line holds its height: the ball is covered, 9 comes in time.'
    """

    turns: bool = True

    def read(self, answer: Any, situation: Situation) -> str:
        """One of the three words."""
        return one_of(answer, MOVES.values(), "move of the line")

    def findings(self, plan: Plan, value: str) -> list[Finding]:
        """Right for what the plan wants of the line, and near a border for its neighbour too."""
        moved_m, wanted = _moved_m(plan), self.model(plan)
        by = f", {abs(moved_m):.1f} m {'up' if moved_m > 0 else 'back'}" if abs(moved_m) >= 0.05 else " its height"
        near = abs(abs(moved_m) - BORDER_M) <= LEVEL_M
        either = {hold, step if moved_m > 0 else drop} if near else {wanted}
        return [Finding(value in either, f"The line {DOES[wanted]}{by}: {_ball(plan)}.")]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """Covered or open, and in how many seconds somebody is at the ball."""
        return ("Covered ball: hold, or step up when they play back. Open ball: drop. In doubt: drop.",
                f"The first of yours is at the ball in {_first_s(plan):.1f} s; within "
                f"{plan.rulebook.settings.covered_s:g} s it is covered.")

    def model(self, plan: Plan) -> str:
        """The duty of most of the line."""
        duties = plan.decisions.duty[0][plan.decisions.role[0] == BACK_LINE]
        return MOVES[max(MOVES, key=lambda duty: int((duties == duty).sum()))]

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever there is a line."""
        return self if (plan.decisions.role[0] == BACK_LINE).any() else None

    @property
    def names_players(self) -> bool:
        """It asks about the line, whoever plays in it."""
        return False


def _moved_m(plan: Plan) -> float:
    """How far up the line is sent, m."""
    line = plan.decisions.role[0] == BACK_LINE
    return float((plan.decisions.anchor[0, line, 0] - plan.picture.own[0, line, 0]).mean())


def _ball(plan: Plan) -> str:
    """Whether the ball is open or covered, by the line's own measure, or on its way back."""
    if plan.situation.receiver is not None and plan.situation.ball_velocity[0] > BACK_PASS_MPS:
        return "the ball travels back"
    open_ball = float(openness(plan.picture, plan.decisions)[0]) > 0.5
    timing = f", {plan.presser} comes in time" if not open_ball and plan.presser and plan.timing == "in time" else ""
    return f"the ball is {'open' if open_ball else 'covered'}{timing}"


def _first_s(plan: Plan) -> float:
    return float(np.where(plan.picture.outfield, plan.picture.to_ball_s, np.inf).min())
