"""Who is taken: which of ours takes the pass to each of theirs away, all of them as they stand.

The measures are those of `denial`, with one more: the presser takes away what lies in his shadow, as far as it is
trusted, and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import dist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import lane_margins, shadowed
from pressinglib.physics.motion import arrival_time
from pressinglib.physics.pitch_control import offside_line_m
from pressinglib.roles.plan import Plan
from pressinglib.roles.snapshot import Standing

# -- Denial: does a player who stands here take the pass to an opponent away?


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


# -- The picture with an answer in it, beside the plan of the exercise: what a criterion looks at.


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


# -- Who is taken: which of ours takes the pass to each of theirs away, all of them as they stand.
# The measures are those of `denial`, with one more: the presser takes away what lies in his shadow, as far as it is
# trusted, and nothing else.


class Taken:
    """The outfield players of a picture against the next pass.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> picture = scene("worked scene")
    >>> taken = Taken(Stand(plan_press(picture), picture.moved("pressing", "11", (24, 28))))
    >>> taken.by("3"), taken.by("6"), taken.free
    (['11'], ['10'], {'4'})
    """

    def __init__(self, stand: Stand) -> None:
        s, line_x = stand.situation, offside_line_m(stand.situation)
        self.stand = stand
        self.ours = [p for p in s.pressing if not p.is_goalkeeper]
        self.theirs = [p for p in s.possession if not p.is_goalkeeper and p.number != s.on_ball and p.xy[0] >= line_x]
        self.presser = next((p for p in self.ours if p.number == _presser(stand)), None)

    def by(self, man: str) -> list[str]:
        """Who takes the pass to this opponent away; empty where nobody does, or he is offside."""
        row = self._row(man)
        return [] if row is None else [p.number for p, holds in zip(self.ours, self.holds[row], strict=True) if holds]

    @property
    def free(self) -> set[str]:
        """Opponents, their goalkeeper left out, to whom the next pass pays."""
        return {p.number for p, row in zip(self.theirs, self.holds, strict=True) if not row.any()}

    def in_reach(self, man: str) -> bool:
        """Whether somebody, the presser left out, is with him by his first touch, on whatever side of him."""
        return self._row(man) is not None and self.nearest(man)[1] <= 0

    def nearest(self, man: str) -> tuple[str, float, bool]:
        """Who would be with him first, seconds after his first touch, and whether he is goal-side; no presser."""
        row = self.late_s[self._row(man)]
        first = int(np.where([p is self.presser for p in self.ours], np.inf, row).argmin())
        return self.ours[first].number, float(row[first]), bool(self.goal_side[self._row(man), first])

    @cached_property
    def holds(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he cuts the pass out, or is goal-side of the man by his first touch."""
        found = self._cut_out | (self.goal_side & (self.late_s <= 0))
        if self.presser is not None:
            ball, trusted = self.stand.situation.ball_xy, self.stand.plan.rulebook.settings.trusted_shadow_deg
            found[:, self.ours.index(self.presser)] = shadowed(self.presser.xy, ball, _xy(self.theirs), trusted)
        return found

    @cached_property
    def late_s(self) -> NDArray[np.float64]:
        """(theirs, ours) seconds by which he is with the man after the first touch."""
        s, theirs = self.stand.plan.rulebook.settings, _xy(self.theirs)[:, None]
        touch_s = ball_time(np.hypot(*(theirs - self.stand.situation.ball_xy).T).T, s.ball_mps) + s.control_time_s
        reach_s = arrival_time(_xy(self.ours), (0.0, 0.0), theirs, s.alpha_per_s, s.top_speed_mps, s.reaction_s,
                               s.reach_m)
        return np.asarray(reach_s - touch_s)

    @cached_property
    def goal_side(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he is nearer his goal than the man, or level with him."""
        ours, theirs = (np.array([self.stand.goal_m(p.xy) for p in team]) for team in (self.ours, self.theirs))
        return np.asarray(ours <= theirs[:, None] + LEVEL_M)

    @property
    def _cut_out(self) -> NDArray[np.bool_]:
        s, ours = self.stand.plan.rulebook.settings, _xy(self.ours)
        margin_s = lane_margins(self.stand.situation.ball_xy, _xy(self.theirs), ours, np.zeros_like(ours), s.reach_m,
                                s.reaction_s, s.ball_mps, alpha_per_s=s.alpha_per_s, top_speed_mps=s.top_speed_mps)
        return np.asarray(margin_s < CLOSED_S)

    def _row(self, man: str) -> int | None:
        return next((row for row, p in enumerate(self.theirs) if p.number == man), None)


def _xy(players: list[Player]) -> NDArray[np.float64]:
    return np.array([p.xy for p in players], dtype=float).reshape(-1, 2)


def _presser(stand: Stand) -> str | None:
    found = stand.standing.presser
    return None if found is None else stand.standing.name(found)
