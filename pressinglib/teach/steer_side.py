"""Choose a word: to which side the carrier is steered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.steering import broken, surplus
from pressinglib.teach.answers import left, one_of, right
from pressinglib.teach.card import listed
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding

OTHER = {left: right, right: left}


@dataclass(frozen=True)
class SteerSide(Judge):
    """Choose left or right, as the pressing team sees it; the other side is played through to see what it opens."""

    def read(self, answer: Any, situation: Situation) -> str:
        """ "left" or "right"."""
        return one_of(answer, OTHER, "side")

    def findings(self, plan: Plan, value: str) -> list[Finding]:
        """Right for the side of the plan; where the plan has none, both are."""
        best = plan.steer if plan.steer in OTHER else value
        hidden = [o for o, word in plan.account.items() if word == "shadow"]
        words = [f"Steered {best}: {plan.presser} comes from the {OTHER[best]}"
                 + (f" and has {listed(hidden)} in his shadow." if hidden else "."), self._opens(plan, OTHER[best])]
        return [Finding(value == best, " ".join([*(words if value == best else reversed(words)), _men(plan)]).strip())]

    def _opens(self, plan: Plan, side: str) -> str:
        """Who is free if the carrier is steered the other way, and is not by the plan."""
        other = self.played(plan, side)
        opened = [o for o, word in other.account.items() if word == "free" != plan.account[o]]
        return f"Steered {side}: {f'the pass to {listed(opened)}' if opened else 'no other pass'} is on."

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and the numbers to either side."""
        return _rule(plan), _men(plan)

    def model(self, plan: Plan) -> str:
        """The plan's side; left where there is none."""
        return plan.steer if plan.steer in OTHER else left

    def played(self, plan: Plan, value: str) -> Plan:
        """The plan that steers to this side."""
        return plan_press(plan.situation, plan.rulebook.with_rules(choose_steer=lambda situation: value))

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever the plan has a side."""
        return self if plan.steer in OTHER else None

    @property
    def names_players(self) -> bool:
        """It asks about the side alone."""
        return False


def _rule(plan: Plan) -> str:
    """Which of the rules holds in this picture."""
    if broken(plan.picture)[0] and not _touchline(plan):
        return "The press is broken and no touchline is near: steer him back into the crowd."
    return "Steer him outside, to the nearer touchline, unless the surplus inside leads by two."


def _men(plan: Plan) -> str:
    """Surplus near the ball to either side."""
    pair = [f"{int(side[0]):+d}" if side[0] else "0" for side in surplus(plan.picture, plan.decisions)]
    on_left, on_right = pair if plan.picture.side[0] > 0 else reversed(pair)
    return f"Surplus near the ball, yours minus theirs{_touchline(plan)}: left {on_left}, right {on_right}."


def _touchline(plan: Plan) -> str:
    """Where the touchline is near enough to count, that it does."""
    settings, situation = plan.rulebook.settings, plan.situation
    near = situation.pitch.width_m / 2 - abs(situation.ball_xy[1]) < settings.touchline_m
    return f" (the touchline counts {settings.touchline_counts:g})" if near else ""
