"""A picture with an answer in it: where everybody stands, and which of ours takes the pass to each of theirs away.

A pass is taken away by who cuts it out, or is goal-side of the man by his first touch; everybody at rest where he
stands, by the clocks of the plan's lanes.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import dist
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import bearing_rad, offside_line_m, rest_lane_margins, shadowed
from pressinglib.roles.plan import Plan
from pressinglib.roles.snapshot import Snapshot
from pressinglib.show.judged import Seen, passed, ran
from pressinglib.teach.pictures import in_tenths, towards

CLOSED_S = -0.2  # a lane is closed below this margin, as in the plan's lanes (D)
LEVEL_M = 1.0  # so much further from the own goal than his man is still level with him (D)


def _margin_s(plan: Plan, men: ArrayLike, ours: ArrayLike) -> Any:
    """(men, ours) seconds by which each is too late to cut the ground pass out; negative: he cuts it out."""
    s = plan.rulebook.settings
    return rest_lane_margins(plan.situation.ball_xy, men, ours, s.reach_m, s.reaction_s, s.ball_mps, running=s.running)


def _touch_s(plan: Plan, men: ArrayLike) -> Any:
    """Seconds until a man who is passed to has touched the ball."""
    s, away = plan.rulebook.settings, np.asarray(men, dtype=float) - plan.situation.ball_xy
    return ball_time(np.hypot(away[..., 0], away[..., 1]), s.ball_mps) + s.control_time_s


def _late_s(plan: Plan, men: ArrayLike, ours: ArrayLike) -> Any:
    """Seconds after a man's first touch at which one of ours is with him; negative: before it."""
    s = plan.rulebook.settings
    return s.running.time(ours, (0.0, 0.0), men, s.reaction_s, s.reach_m) - _touch_s(plan, men)


class Denial:
    """A defender at rest at `xy` against a ground pass to the opponent `option`; the plan's spots play no part.

    `away_m` off the man, he comes `margin_s` too late to cut the pass out (negative: `cuts_out`), and is with him
    `late_s` after the first touch; `slack_m` off he would be with him at it. `goal_side`: nearer his goal, or level.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> plan = plan_press(scene("worked scene"))
    >>> in_lane, behind = Denial(plan, "6", (24, 2.4)), Denial(plan, "6", (12, -8))
    >>> in_lane.cuts_out, behind.cuts_out, behind.goal_side, behind.late_s > 0
    (True, False, True, True)
    """

    def __init__(self, plan: Plan, option: str, xy: XY, number: str = "") -> None:
        s, goal = plan.rulebook.settings, plan.situation.pitch.own_goal_xy
        self.plan, self.number, self.xy = plan, number, xy
        self.man_xy = plan.situation.player("possession", option).xy
        self.away_m = dist(xy, self.man_xy)
        self.margin_s = float(_margin_s(plan, [self.man_xy], [xy])[0, 0])
        self.cuts_out = self.margin_s < CLOSED_S
        self.late_s = float(_late_s(plan, self.man_xy, xy))
        self.slack_m = float(s.reach_m + s.running.covered_m(_touch_s(plan, self.man_xy) - s.reaction_s))
        self.goal_side = dist(xy, goal) <= dist(self.man_xy, goal) + LEVEL_M

    @property
    def seen(self) -> tuple[Seen, Seen]:
        """Both clocks, for the one who stands there: to the man with his first touch, or into the lane."""
        s, ball = self.plan.rulebook.settings, self.plan.situation.ball_xy
        if self.cuts_out and (self.late_s > 0 or not self.goal_side):
            way, off = np.subtract(self.man_xy, ball), np.subtract(self.xy, ball)
            foot = in_tenths(ball + way * np.clip(way @ off / (way @ way), 0.1, 0.95))
            foot_s = float(ball_time(dist(ball, foot), s.ball_mps))
            return passed(ball, foot, foot_s), ran(self.number, self.xy, foot, max(foot_s + self.margin_s, 0.1))
        touch_s = round(float(_touch_s(self.plan, self.man_xy)), 1)
        ball_s = touch_s - s.control_time_s
        end = towards(self.man_xy, self.xy, min(s.reach_m, self.away_m)) if self.away_m else self.man_xy
        return (passed(ball, self.man_xy, ball_s, f"ball {ball_s:.1f} s, touch {touch_s:.1f} s"),
                ran(self.number, self.xy, end, max(touch_s + round(self.late_s, 1), 0.1)))


class Stand:
    """The picture with an answer in it, beside the plan of the exercise: what a criterion looks at.

    Against the next pass count `ours`, the outfield players, and `theirs` who are onside and not on the ball. It
    starts at `origin`: at the receiver while a pass travels to him, else at the ball. The presser takes away what lies
    in his shadow, as far as it is trusted, and nothing else.
    """

    def __init__(self, plan: Plan, situation: Situation) -> None:
        self.plan, self.situation = plan, situation  # the plan is of the picture before anybody was placed
        to, line_x = situation.receiver, offside_line_m(situation)
        self.origin = situation.ball_xy if to is None else self.opponent(to)
        self.ours = [p for p in situation.pressing if not p.is_goalkeeper]
        self.theirs = [p for p in situation.possession
                       if not p.is_goalkeeper and p.number != situation.on_ball and p.xy[0] >= line_x]

    @cached_property
    def standing(self) -> Snapshot:
        """The measures of the faults, on the picture with the answer."""
        return Snapshot.of(self.situation, self.plan.rulebook)

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
        return Denial(self.plan, man, self.own(number), number)

    def goal_m(self, xy: XY) -> float:
        """How far a place is from the own goal."""
        return dist(xy, self.situation.pitch.own_goal_xy)

    def lane_s(self, man: str) -> float:
        """Margin of the lane to an opponent against everybody as they stand; negative: it is cut out."""
        return float(_margin_s(self.plan, [self.opponent(man)], _xy(self.situation.pressing)).min())

    def bearing_deg(self, xy: XY) -> float:
        """How far a place bears off the line from the origin of the next pass to the own goal, degrees."""
        ball = np.asarray(self.origin)
        return float(np.degrees(bearing_rad(self.situation.pitch.own_goal_xy - ball, xy - ball)))

    @cached_property
    def presser(self) -> str:
        """Who is on the ball; "" if nobody is."""
        presser = self.standing.presser
        return "" if presser is None else self.standing.name(presser)

    def by(self, man: str) -> list[str]:
        """Who takes the pass to this opponent away; empty where nobody does, or he is offside."""
        return [p.number for q, row in zip(self.theirs, self._holds, strict=True) if q.number == man
                for p, holds in zip(self.ours, row, strict=True) if holds]

    @property
    def free(self) -> set[str]:
        """Opponents, their goalkeeper left out, to whom the next pass pays."""
        return {p.number for p, row in zip(self.theirs, self._holds, strict=True) if not row.any()}

    def in_reach(self, man: str) -> bool:
        """Whether somebody, the presser left out, is with him by his first touch, on whatever side of him."""
        return man in [p.number for p in self.theirs] and self.nearest(man).late_s <= 0

    def nearest(self, man: str) -> Denial:
        """Who would be with him first; no presser."""
        return min((self.denial(p.number, man) for p in self.ours if p.number != self.presser),
                   key=lambda denial: denial.late_s)

    @cached_property
    def _holds(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he takes the pass to him away."""
        plan, ours, men = self.plan, _xy(self.ours), _xy(self.theirs)
        ours_m, men_m = (np.array([self.goal_m(p.xy) for p in team]) for team in (self.ours, self.theirs))
        with_him = (ours_m <= men_m[:, None] + LEVEL_M) & (_late_s(plan, men[:, None], ours) <= 0)
        holds = np.asarray(with_him | (_margin_s(plan, men, ours) < CLOSED_S))
        for n in [n for n, p in enumerate(self.ours) if p.number == self.presser]:
            holds[:, n] = shadowed(ours[n], self.situation.ball_xy, men, plan.rulebook.settings.trusted_shadow_deg)
        return holds


def _xy(players: Sequence[Player]) -> NDArray[np.float64]:
    return np.array([p.xy for p in players], dtype=float).reshape(-1, 2)
