"""A picture with an answer in it: where everybody stands, and which of ours takes the pass to each of theirs away.

A pass is taken away by who cuts it out, or is goal-side of the man by his first touch; everybody at rest where he
stands, by the clocks of the plan's lanes.
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
from pressinglib.physics.lanes import bearing_rad, lane_margins, offside_line_m, shadowed
from pressinglib.roles.plan import Plan
from pressinglib.roles.snapshot import Snapshot
from pressinglib.show.judged import Seen, passed, ran
from pressinglib.teach.pictures import in_tenths, towards

CLOSED_S = -0.2  # a lane is closed below this margin, as in the plan's lanes (D)
LEVEL_M = 1.0  # so much further from the own goal than his man is still level with him (D)
FURTHEST_M = 30.0
STILL = (0.0, 0.0)


def _margin_s(plan: Plan, ball: XY, men: ArrayLike, ours: ArrayLike) -> NDArray[np.float64]:
    """(men, ours) seconds by which each is too late to cut the ground pass out; negative: he cuts it out."""
    s, xy = plan.rulebook.settings, np.asarray(ours, dtype=float)
    return lane_margins(ball, men, xy, np.zeros_like(xy), s.reach_m, s.reaction_s, s.ball_mps, running=s.running)


def _late_s(plan: Plan, ball: XY, men: ArrayLike, ours: ArrayLike) -> NDArray[np.float64]:
    """Seconds after a man's first touch at which one of ours is with him; negative: before it."""
    s, away = plan.rulebook.settings, np.asarray(men, dtype=float) - ball
    touch_s = ball_time(np.hypot(away[..., 0], away[..., 1]), s.ball_mps) + s.control_time_s
    return np.asarray(s.running.time(ours, STILL, men, s.reaction_s, s.reach_m) - touch_s)


@dataclass(frozen=True, eq=False)
class Denial:
    """A defender at rest at `xy` against a ground pass to the opponent `option`; the plan's spots play no part.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
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
        return float(_margin_s(self.plan, self.plan.situation.ball_xy, [self.man_xy], [self.xy])[0, 0])

    @property
    def cuts_out(self) -> bool:
        """Whether he closes the lane."""
        return self.margin_s < CLOSED_S

    @property
    def late_s(self) -> float:
        """Seconds by which he is with the opponent after the first touch; negative: before it."""
        return float(_late_s(self.plan, self.plan.situation.ball_xy, self.man_xy, self.xy))

    @property
    def slack_m(self) -> float:
        """How far off the opponent he may stand and still be with him at the first touch."""
        away_m = np.arange(0.0, FURTHEST_M, 0.02)
        places = np.asarray(self.man_xy) + np.stack([away_m, np.zeros_like(away_m)], axis=-1)
        return float(away_m[_late_s(self.plan, self.plan.situation.ball_xy, self.man_xy, places) <= 0].max())

    def seen(self, number: str) -> tuple[Seen, Seen]:
        """Both clocks, for the one who stands there: to the man with his first touch, or into the lane."""
        s, ball = self.plan.rulebook.settings, self.plan.situation.ball_xy
        ball_s = float(ball_time(dist(ball, self.man_xy), s.ball_mps))
        if self.cuts_out and not (self.goal_side and self.late_s <= 0):
            way, off = np.subtract(self.man_xy, ball), np.subtract(self.xy, ball)
            foot = in_tenths(ball + way * np.clip(way @ off / (way @ way), 0.1, 0.95))
            foot_s = float(ball_time(dist(ball, foot), s.ball_mps))
            return passed(ball, foot, foot_s), ran(number, self.xy, foot, max(foot_s + self.margin_s, 0.1))
        touch_s = round(ball_s + s.control_time_s, 1)
        end = towards(self.man_xy, self.xy, min(s.reach_m, self.away_m)) if self.away_m else self.man_xy
        return (passed(ball, self.man_xy, ball_s, f"ball {ball_s:.1f} s, touch {touch_s:.1f} s"),
                ran(number, self.xy, end, max(touch_s + round(self.late_s, 1), 0.1)))

    @property
    def goal_side(self) -> bool:
        """Whether he is nearer his goal than the opponent, or level with him."""
        goal = self.plan.situation.pitch.own_goal_xy
        return dist(self.xy, goal) <= dist(self.man_xy, goal) + LEVEL_M


@dataclass(frozen=True, eq=False)
class Stand:
    """The picture with an answer in it, beside the plan of the exercise: what a criterion looks at."""

    plan: Plan  # before anybody was placed
    situation: Situation

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

    @property
    def origin(self) -> XY:
        """Where the next pass starts: at the receiver while a pass travels to him, else at the ball."""
        to = self.situation.receiver
        return self.situation.ball_xy if to is None else self.opponent(to)

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
        ours = [p.xy for p in self.situation.pressing]
        return float(_margin_s(self.plan, self.situation.ball_xy, [self.opponent(man)], ours).min())

    def bearing_deg(self, xy: XY) -> float:
        """How far a place bears off the line from the origin of the next pass to the own goal, degrees."""
        ball = np.asarray(self.origin)
        return float(np.degrees(bearing_rad(self.situation.pitch.own_goal_xy - ball, xy - ball)))


class Taken:
    """The outfield players of a picture against the next pass, all of them as they stand.

    The presser takes away what lies in his shadow, as far as it is trusted, and nothing else.
    """

    def __init__(self, stand: Stand) -> None:
        s, line_x, presser = stand.situation, offside_line_m(stand.situation), stand.standing.presser
        self.stand = stand
        self.ours = [p for p in s.pressing if not p.is_goalkeeper]
        self.theirs = [p for p in s.possession if not p.is_goalkeeper and p.number != s.on_ball and p.xy[0] >= line_x]
        name = None if presser is None else stand.standing.name(presser)
        self.presser = next((p for p in self.ours if p.number == name), None)

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
        plan, ball = self.stand.plan, self.stand.situation.ball_xy
        cut_out = _margin_s(plan, ball, _xy(self.theirs), _xy(self.ours)) < CLOSED_S
        found = cut_out | (self.goal_side & (self.late_s <= 0))
        if self.presser is not None:
            hidden = shadowed(self.presser.xy, ball, _xy(self.theirs), plan.rulebook.settings.trusted_shadow_deg)
            found[:, self.ours.index(self.presser)] = hidden
        return np.asarray(found)

    @cached_property
    def late_s(self) -> NDArray[np.float64]:
        """(theirs, ours) seconds by which he is with the man after the first touch."""
        return _late_s(self.stand.plan, self.stand.situation.ball_xy, _xy(self.theirs)[:, None], _xy(self.ours))

    @cached_property
    def goal_side(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he is nearer his goal than the man, or level with him."""
        ours, theirs = (np.array([self.stand.goal_m(p.xy) for p in team]) for team in (self.ours, self.theirs))
        return np.asarray(ours <= theirs[:, None] + LEVEL_M)

    def _row(self, man: str) -> int | None:
        return next((row for row, p in enumerate(self.theirs) if p.number == man), None)


def _xy(players: list[Player]) -> NDArray[np.float64]:
    return np.array([p.xy for p in players], dtype=float).reshape(-1, 2)
