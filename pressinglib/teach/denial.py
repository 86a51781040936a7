"""Denial: does a player who stands here take the pass to an opponent away?"""

from __future__ import annotations

from dataclasses import dataclass
from math import dist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.field.player import XY
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import lane_margins
from pressinglib.physics.motion import arrival_time
from pressinglib.roles.plan import Plan

CLOSED_S = -0.2  # a lane is closed below this margin, as in the plan's lanes (D)
LEVEL_M = 1.0  # so much further from the own goal than his man is still level with him (D)
FURTHEST_M = 30.0
STILL = (0.0, 0.0)


@dataclass(frozen=True, eq=False)
class Denial:
    """A defender at rest at `xy` against a ground pass to an opponent, by the clocks of the plan's lanes.

    Parameters
    ----------
    plan : Plan
        Gives ball, opponents and settings; its spots play no part.
    option : str
        The opponent's number.
    xy : tuple of float

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> plan = plan_press(scene("worked scene"))
    >>> in_lane, behind = Denial(plan, "6", (24, 2.4)), Denial(plan, "6", (12, -8))
    >>> in_lane.cuts_out, behind.cuts_out, behind.goal_side, behind.late_s > 0
    (True, False, True, True)
    """

    plan: Plan
    option: str
    xy: XY

    @property
    def man_xy(self) -> XY:
        """Where the opponent stands."""
        return self.plan.situation.player("possession", self.option).xy

    @property
    def away_m(self) -> float:
        """How far off the opponent he stands."""
        return dist(self.xy, self.man_xy)

    @property
    def margin_s(self) -> float:
        """Seconds by which he is too late to cut the pass out; negative: he cuts it out."""
        s, ball = self.plan.rulebook.settings, self.plan.situation.ball_xy
        return float(lane_margins(ball, [self.man_xy], [self.xy], [STILL], s.reach_m, s.reaction_s, s.ball_mps,
                                  alpha_per_s=s.alpha_per_s, top_speed_mps=s.top_speed_mps)[0, 0])

    @property
    def cuts_out(self) -> bool:
        """Whether he closes the lane."""
        return self.margin_s < CLOSED_S

    @property
    def late_s(self) -> float:
        """Seconds by which he is with the opponent after the first touch; negative: before it."""
        return float(self._reach_s(self.xy) - self._touch_s)

    @property
    def slack_m(self) -> float:
        """How far off the opponent he may stand and still be with him at the first touch."""
        away_m = np.arange(0.0, FURTHEST_M, 0.02)
        places = np.asarray(self.man_xy) + np.stack([away_m, np.zeros_like(away_m)], axis=-1)
        return float(away_m[self._reach_s(places) <= self._touch_s].max())

    @property
    def goal_side(self) -> bool:
        """Whether he is nearer his goal than the opponent, or level with him."""
        goal = self.plan.situation.pitch.own_goal_xy
        return dist(self.xy, goal) <= dist(self.man_xy, goal) + LEVEL_M

    @property
    def _touch_s(self) -> float:
        s, ball = self.plan.rulebook.settings, self.plan.situation.ball_xy
        return float(ball_time(dist(ball, self.man_xy), s.ball_mps)) + s.control_time_s

    def _reach_s(self, xy: ArrayLike) -> NDArray[np.float64]:
        s = self.plan.rulebook.settings
        return arrival_time(xy, STILL, self.man_xy, s.alpha_per_s, s.top_speed_mps, s.reaction_s, s.reach_m)
