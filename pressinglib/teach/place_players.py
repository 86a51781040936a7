"""Place players: one or several, judged criterion by criterion; any placing that does the job is right."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import places_of
from pressinglib.teach.card import listed
from pressinglib.teach.criteria import Criterion
from pressinglib.teach.judge import Judge
from pressinglib.teach.placed import placed
from pressinglib.teach.stand import Stand
from pressinglib.teach.verdict import Finding

Places = Mapping[str, XY]


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

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.teach.criteria import denies, leaves_ball
    >>> judge = PlacePlayers(("10",), (denies("10", "6"), leaves_ball("10")), "Deny him.")
    >>> plan = plan_press(scene("worked scene"))
    >>> [[f.holds for f in judge.findings(plan, {"10": xy})] for xy in ((20, 1), (0, 0))]
    [[True, True], [False, True]]
    """

    numbers: tuple[str, ...]
    criteria: tuple[Criterion, ...]
    rule: str
    places: Callable[[Plan], Places] | None = None

    def read(self, answer: Any, situation: Situation) -> dict[str, XY] | None:
        """Their places; nobody else's count."""
        return places_of(answer, situation, self.numbers)

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion on the picture with the answer."""
        stand = Stand(plan, self.shown(plan.situation, value))
        return [criterion(stand)._replace(criterion=name_of(criterion)) for criterion in self.criteria]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and what does not hold yet, in metres or seconds."""
        still = [f.words for f in self.findings(plan, self._untouched(plan)) if not f.holds]
        return self.rule, "As it stands: " + " ".join(still or ["everything holds, 0 m to go."])

    def model(self, plan: Plan) -> dict[str, XY]:
        """The first of the known placings that does the job."""
        known = [self.places(plan)] if self.places else [self._of_plan(plan, "anchor_xy"),
                                                         self._of_plan(plan, "target_xy")]
        short = [{n: (round(float(x), 1), round(float(y), 1)) for n, (x, y) in each.items()} for each in known]
        return next((each for each in short[:-1] if self._holds(plan, each)), short[-1])

    def _of_plan(self, plan: Plan, place: str) -> dict[str, XY]:
        return {n: getattr(plan.assignments[n], place) for n in self.numbers}

    def _untouched(self, plan: Plan) -> dict[str, XY]:
        return {n: plan.situation.player("pressing", n).xy for n in self.numbers}

    def _holds(self, plan: Plan, value: Places) -> bool:
        return all(finding.holds for finding in self.findings(plan, value))

    def written(self, value: Places) -> str:
        """Each with his place."""
        return listed([f"{n} at ({x:g}, {y:g})" for n, (x, y) in value.items()])

    def shown(self, situation: Situation, value: Places) -> Situation:
        """The picture with all of them in their places."""
        return placed(situation, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever something is left to do."""
        return None if self._holds(plan, self._untouched(plan)) else self


def name_of(criterion: Criterion) -> str:
    """A criterion is called what its function is called.

    Examples
    --------
    >>> from pressinglib.teach.criteria import leaves_ball
    >>> name_of(leaves_ball("10"))
    'leaves ball'
    """
    return criterion.__qualname__.partition(".")[0].replace("_", " ")
