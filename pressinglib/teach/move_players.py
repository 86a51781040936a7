"""Move players: whom you like, but only so many; any move that does the job is right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.card import listed
from pressinglib.teach.place_players import PlacePlayers, Places
from pressinglib.teach.verdict import Finding


@dataclass(frozen=True)
class MovePlayers(PlacePlayers):
    """Move at most `most` of `numbers` so that all criteria hold; `places` says who moves where in the solution.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.teach.criteria import denies
    >>> judge = MovePlayers(("6", "8", "10"), (denies("10", "6"),), "Deny him.", lambda plan: {"10": (20, 1)}, 1)
    >>> plan = plan_press(scene("worked scene"))
    >>> [[f.holds for f in judge.findings(plan, v)] for v in ({"10": (20, 1)}, {"10": (20, 1), "6": (0, 0)})]
    [[True, True], [True, False]]
    """

    most: int = 2

    def read(self, answer: Any, situation: Situation) -> dict[str, XY] | None:
        """Those who were moved, and where to."""
        places = super().read(answer, situation)
        stood = {n: situation.player("pressing", n).xy for n in self.numbers}
        return None if places is None else {n: xy for n, xy in places.items() if xy != stood[n]}

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion, and how many were moved."""
        few = len(value) <= self.most
        moved = "" if few else f"You have moved {listed(list(value))}: {self.most} at most."
        return [*super().findings(plan, value), Finding(few, moved, "few moves")]

    def _untouched(self, plan: Plan) -> dict[str, XY]:
        return {}
