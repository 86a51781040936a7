"""Place players: one or several, judged criterion by criterion; any placing that does the job is right."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import chain, compress
from math import dist, hypot
from typing import Any

import numpy as np

from pressinglib.doors import door_class
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.tables import listed
from pressinglib.teach.answers import places_of
from pressinglib.teach.criteria import Criterion, denies, leaves_ball
from pressinglib.teach.exercise import Finding, Form, Judge
from pressinglib.teach.pictures import Places, in_tenths, placed, towards
from pressinglib.teach.stand import Denial, Stand

Rings = tuple[tuple[float, float], ...]  # how near to each other, and how far round a middle, places are tried, m
BESIDE_M, GRID_M = 1.5, (3.0, 200.0)  # from his man; how the whole pitch is tried (own choice)


def places_round(situation: Situation, middle: XY, rings: Rings) -> Iterator[XY]:
    """Places on the pitch round a middle, which comes first, each ring coarser than the one inside it."""
    (x, y), corner, inner = middle, situation.pitch.corner_xy, 0.0
    yield middle
    for step, reach in rings:
        along, across = (step * np.arange(-n, n + 1) for n in (int(min(reach, 2 * half) / step) for half in corner))
        grid = [(round(float(x + dx), 1), round(float(y + dy), 1)) for dx in along for dy in across
                if inner < hypot(dx, dy) <= reach]
        here = compress(grid, situation.pitch.holds(np.reshape(grid, (-1, 2))))
        yield from sorted(here, key=lambda xy: dist(xy, middle))
        inner = reach


@dataclass(frozen=True)
class PlacePlayers(Judge):
    """Place `numbers` so that all criteria hold.

    Parameters
    ----------
    numbers : tuple of str
        Whom the learner places; nobody else counts.
    criteria : tuple of Criterion
        See `criteria.py`; each is one part of the credit.
    rule : str
        The second hint.
    places : function of a Plan, optional
        Where they do the job. Left out: the plan's anchors, or its spots, whichever holds.
    turns : bool
        Whether another picture is looked for on which these places are wrong; not where it would take long.
    """

    numbers: tuple[str, ...]
    criteria: tuple[Criterion, ...]
    rule: str
    places: Callable[[Plan], Places] | None = None
    turns: bool = True
    names_players = True

    def read(self, answer: Any, plan: Plan) -> dict[str, XY] | None:
        return places_of(answer, plan.situation, self.numbers)

    def form(self, plan: Plan) -> Form:
        return Form(placed=self.numbers)

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion on the picture with the answer."""
        stand = Stand(plan, self.shown(plan.situation, value))
        return [criterion(stand) for criterion in self.criteria]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and what does not hold yet, in metres or seconds."""
        still = [f.words for f in self.findings(plan, self._untouched(plan)) if not f.holds]
        return self.rule, "As it stands: " + " ".join(still or ["everything holds, 0 m to go."])

    def model(self, plan: Plan) -> dict[str, XY]:
        """The first of the known placings that does the job."""
        jobs = plan.assignments
        known = [self.places(plan)] if self.places else [{n: jobs[n].anchor_xy for n in self.numbers},
                                                         {n: jobs[n].target_xy for n in self.numbers}]
        short = [{n: in_tenths(xy) for n, xy in each.items()} for each in known]
        return short[0] if self._holds(plan, short[0]) else short[-1]

    def _untouched(self, plan: Plan) -> dict[str, XY]:
        return {n: plan.situation.player("pressing", n).xy for n in self.numbers}

    def _holds(self, plan: Plan, value: Places) -> bool:
        return all(finding.holds for finding in self.findings(plan, value))

    def written(self, value: Places) -> str:
        return listed([f"{n} at ({x:g}, {y:g})" for n, (x, y) in value.items()])

    def shown(self, situation: Situation, value: Places) -> Situation:
        return placed(situation, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever something is left to do."""
        return None if self._holds(plan, self._untouched(plan)) else self


@dataclass(frozen=True)
class MovePlayers(PlacePlayers):
    """Move at most `most` of `numbers` so that all criteria hold; `places` says who moves where in the solution."""

    most: int = 2

    def read(self, answer: Any, plan: Plan) -> dict[str, XY] | None:
        """Those who were moved, and where to."""
        places, stood = super().read(answer, plan), super()._untouched(plan)
        return None if places is None else {n: xy for n, xy in places.items() if xy != stood[n]}

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion, and how many were moved."""
        moved = f"You have moved {listed(list(value))}: {self.most} at most." if len(value) > self.most else ""
        return [*super().findings(plan, value), Finding(not moved, moved, "few moves")]

    def _untouched(self, plan: Plan) -> dict[str, XY]:
        return {}


@door_class
@dataclass(frozen=True, init=False)
class DenyOption(PlacePlayers):
    """Place `cover` so that a pass to `option` does not pay: he cuts it out, or is goal-side at the first touch.

    Parameters
    ----------
    cover, option : str
        Numbers of the one to be placed and of the opponent to be denied.
    """

    cover: str = field(init=False)
    option: str = field(init=False)

    def __init__(self, cover: str, option: str) -> None:
        super().__init__((cover,), (leaves_ball(cover), denies(cover, option)),
                         f"A cover takes the short pass away: {cover} stands in the lane to their {option}, or "
                         "goal-side of him.")
        for name, number in {"cover": cover, "option": option}.items():
            object.__setattr__(self, name, number)

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and how far he may stand off."""
        slack_m = Denial(plan, self.option, (0.0, 0.0)).slack_m
        return self.rule, f"Goal-side he may be {slack_m:.1f} m off, no more. In the lane, 1 to 2 m in front of him."

    def model(self, plan: Plan) -> dict[str, XY]:
        """Where the rule puts him, if that does the job: his anchor, which is easier to explain than the spot a search
        settles on. Else in the lane, or goal-side of the man; else the nearest place on the whole pitch that does it.
        """
        s, man_xy = plan.situation, plan.situation.player("possession", self.option).xy
        anchor = in_tenths(plan.assignments[self.cover].anchor_xy)
        ends = [end for end in (s.ball_xy, s.pitch.own_goal_xy) if end != man_xy]
        near = (anchor, *(in_tenths(towards(man_xy, end, BESIDE_M)) for end in ends))
        tries = chain(near, places_round(s, s.player("pressing", self.cover).xy, (GRID_M,)))
        return {self.cover: next((xy for xy in tries if self._holds(plan, {self.cover: xy})), anchor)}

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever the plan wants this of him and he does not do it already."""
        return super().renewed(plan) if plan.assignments[self.cover].mark == self.option else None
