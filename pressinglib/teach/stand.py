"""The picture with an answer in it, beside the plan of the exercise: what a criterion looks at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import dist

import numpy as np

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import lane_margins
from pressinglib.roles.plan import Plan
from pressinglib.roles.standing import Standing
from pressinglib.teach.denial import Denial


@dataclass(frozen=True, eq=False)
class Stand:
    """Players as the learner placed them.

    Parameters
    ----------
    plan : Plan
        Of the exercise's picture, before anybody was placed.
    situation : Situation
        With the answer in it.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> picture = scene("worked scene")
    >>> stand = Stand(plan_press(picture), picture.moved("pressing", "9", (34, 8)))
    >>> round(stand.ball_m("9"), 1), stand.lane_s("3") > 0
    (2.2, True)
    """

    plan: Plan
    situation: Situation

    @cached_property
    def standing(self) -> Standing:
        """The measures of the faults, on the picture with the answer."""
        return Standing.of(self.situation, self.plan.rulebook)

    def own(self, number: str) -> XY:
        """Where a player of the pressing team stands."""
        return self.situation.player("pressing", number).xy

    def opponent(self, number: str) -> XY:
        """Where an opponent stands."""
        return self.situation.player("possession", number).xy

    def ball_m(self, number: str) -> float:
        """How far a player is from the ball."""
        return dist(self.own(number), self.situation.ball_xy)

    def denial(self, number: str, man: str) -> Denial:
        """A player against the pass to an opponent."""
        return Denial(self.plan, man, self.own(number))

    def goal_m(self, xy: XY) -> float:
        """How far a place is from the own goal."""
        return dist(xy, self.situation.pitch.own_goal_xy)

    def lane_s(self, man: str) -> float:
        """Margin of the lane to an opponent against everybody as they stand; negative: it is cut out."""
        s = self.plan.rulebook.settings
        xy = np.array([p.xy for p in self.situation.pressing])
        velocity = np.zeros_like(xy)
        return float(lane_margins(self.situation.ball_xy, [self.opponent(man)], xy, velocity, s.reach_m, s.reaction_s,
                                  s.ball_mps, alpha_per_s=s.alpha_per_s, top_speed_mps=s.top_speed_mps).min())

    def off_goal_line_deg(self, xy: XY) -> float:
        """How far a place bears off the line from the ball to the own goal, degrees, to the left positive."""
        bx, by = self.situation.ball_xy
        gx, gy = self.situation.pitch.own_goal_xy
        to_goal, to_place = np.arctan2(gy - by, gx - bx), np.arctan2(xy[1] - by, xy[0] - bx)
        return float(np.degrees((to_goal - to_place + np.pi) % (2 * np.pi) - np.pi))
