"""Place a player: the cover who denies a short option."""

from __future__ import annotations

from dataclasses import dataclass
from math import dist
from typing import Any

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import place_of
from pressinglib.teach.denial import Denial
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding


@dataclass(frozen=True)
class DenyOption(Judge):
    """Place `cover` so that a pass to `option` does not pay: he cuts it out, or is goal-side at the first touch.

    Parameters
    ----------
    cover, option : str
        Numbers of the one to be placed and of the opponent to be denied.
    """

    cover: str
    option: str

    def read(self, answer: Any, situation: Situation) -> XY | None:
        """His place; nobody else's counts."""
        return place_of(answer, situation, self.cover)

    def findings(self, plan: Plan, value: XY) -> list[Finding]:
        """He leaves the ball to the presser, and he denies his man."""
        return [self._leaves_the_ball(plan, value)._replace(criterion="leaves ball"),
                self._denies(Denial(plan, self.option, value))._replace(criterion="denies")]

    def _leaves_the_ball(self, plan: Plan, xy: XY) -> Finding:
        away_m = dist(xy, plan.situation.ball_xy)
        words = f"{self.cover} is {away_m:.1f} m from the ball: two press one ball. Leave it to {plan.presser}."
        near = away_m < plan.rulebook.settings.contain_distance_m
        return Finding(not near, words if near else "")

    def _denies(self, denial: Denial) -> Finding:
        number, man, late_s = self.cover, self.option, denial.late_s
        if denial.goal_side and late_s <= 0:
            return Finding(True, f"{number} is goal-side of {man}, and with him "
                                 f"{-late_s:.1f} s before his first touch.")
        if denial.cuts_out:
            return Finding(True, f"{number} is in the lane: he cuts the pass to {man} out, "
                                 f"with {-denial.margin_s:.1f} s to spare.")
        if late_s > 0:
            nearer_m = max(denial.away_m - denial.slack_m, 0.1)
            return Finding(False, f"{number} gets to {man} {late_s:.1f} s after his first touch. "
                                  f"Come {nearer_m:.1f} m nearer to him.")
        return Finding(False, f"{number} is near enough, but on the wrong side of {man}, who turns and is gone. "
                              f"Get goal-side of him, or into the lane.")

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and how far he may stand off."""
        slack_m = Denial(plan, self.option, self.model(plan)).slack_m
        return (f"A cover takes the short pass away: {self.cover} stands in the lane to {self.option}, "
                f"or goal-side of him.",
                f"Goal-side he may be {slack_m:.1f} m off, no more. In the lane, 1 to 2 m in front of him.")

    def model(self, plan: Plan) -> XY:
        """Where the rule puts him: his anchor, which is easier to explain than the spot a search settles on."""
        x, y = plan.assignments[self.cover].anchor_xy
        return round(float(x), 1), round(float(y), 1)

    def shown(self, situation: Situation, value: XY) -> Situation:
        """The picture with him in his place."""
        return situation.moved("pressing", self.cover, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever the plan wants this of him and he does not do it already."""
        wanted = plan.assignments[self.cover].mark == self.option
        done = all(f.holds for f in self.findings(plan, plan.situation.player("pressing", self.cover).xy))
        return self if wanted and not done else None
