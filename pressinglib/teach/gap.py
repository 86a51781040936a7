"""The gaps between presser and covers: how wide each is, how wide it may be, and who is behind it.

As the plan finds them, with presser and covers at their spots; or as everybody stands.
"""

from __future__ import annotations

from math import atan2, degrees, dist
from typing import NamedTuple

import numpy as np

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.gaps import BEHIND_M
from pressinglib.roles.plan import Plan
from pressinglib.teach.stand import Stand
from pressinglib.teach.taken import Taken

Pair = tuple[str, str]
SAME_M = 0.5  # a gap within this of its limit may be called either way (D)


class Gap(NamedTuple):
    """A gap by the gap rule (D): metres, the free man behind it, and one behind it with whom one of ours is in time."""

    pair: Pair
    width_m: float
    limit_m: float
    man: str | None
    reached: str | None = None

    @property
    def over_m(self) -> float:
        """How much wider than the rule allows; below zero: narrower."""
        return self.width_m - self.limit_m

    @property
    def open(self) -> bool:
        """Too wide, and somebody free is behind it."""
        return self.over_m > 0 and self.man is not None

    @property
    def either_way(self) -> bool:
        """Too near its limit to be told by eye."""
        return self.man is not None and abs(self.over_m) <= SAME_M

    @property
    def said(self) -> str:
        """Width against limit, and who is behind."""
        return f"{'-'.join(self.pair)} is {self.width_m:.1f} m wide, {self.limit_m:.1f} m can be closed, {self._behind}"

    @property
    def _behind(self) -> str:
        if self.man:
            return f"their {self.man} is free behind it"
        in_time = f"their {self.reached} is behind it, but one of yours is there in time"
        return in_time if self.reached else "nobody free is behind it"


def gaps_of(plan: Plan) -> list[Gap]:
    """The gaps of a plan before anybody is sent into them, as balance finds them.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> [gap.pair for gap in gaps_of(plan_press(scene("worked scene")))]
    [('9', '10'), ('10', '11')]
    """
    g, p = plan.decisions.gaps, plan.picture
    spots = {n: job.anchor_xy for n, job in plan.assignments.items()} | {plan.presser: plan.end_xy}
    stand, found = Stand(plan, plan.situation), []
    for k in np.flatnonzero(g.here[0]):
        pair = in_order(*(p.own_number(0, int(end[0, k])) for end in (g.left, g.right)))
        man = int(g.man[0, k])
        reached = _reached(stand, *((float(x), float(y)) for x, y in (spots[n] for n in pair))) if man < 0 else None
        found.append(Gap(pair, float(g.width_m[0, k]), float(g.limit_m[0, k]),
                         None if man < 0 else p.opp_number(0, man), reached))
    return sorted(found, key=lambda gap: tuple(map(by_number, gap.pair)))


def gap_between(stand: Stand, pair: Pair) -> Gap:
    """The gap between two players as everybody stands; free behind it is whom nobody takes."""
    first, second = (stand.own(number) for number in pair)
    middle_m = dist(_middle(first, second), stand.situation.ball_xy)
    men, taken = behind(stand.situation, first, second), Taken(stand)
    man = next((man for man in men if man in taken.free), None)
    return Gap(in_order(*pair), dist(first, second), float(gap_limit(middle_m)), man,
               next((man for man in men if set(taken.by(man)) - {*pair}), None))


def standing_gaps(stand: Stand) -> list[Gap]:
    """The gaps between him who is on the ball and the covers, the nearest to him, as they stand; none if nobody is."""
    st = stand.standing
    if st.presser is None:
        return []
    seen = sorted((st.presser, *st.covers), key=lambda n: _bearing_deg(stand.situation, stand.own(st.name(n))))
    pairs = (in_order(st.name(a), st.name(b)) for a, b in zip(seen, seen[1:], strict=False))
    return [gap_between(stand, pair) for pair in sorted(pairs, key=lambda pair: tuple(map(by_number, pair)))]


def behind(situation: Situation, first: XY, second: XY) -> list[str]:
    """Opponents seen from the ball between two places and further off than their middle, the nearest first.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> behind(scene("worked scene"), (20, 1), (24, 27)), behind(scene("worked scene"), (20, 1), (20, 2))
    (['8', '9', '11'], [])
    """
    ball = _ball(situation)
    low, high = sorted(_bearing_deg(situation, xy) for xy in (first, second))
    least_m = dist(_middle(first, second), ball) + BEHIND_M
    men = [p for p in situation.possession if not p.is_goalkeeper and dist(p.xy, ball) > least_m
           and low < _bearing_deg(situation, p.xy) < high]
    return [p.number for p in sorted(men, key=lambda p: dist(p.xy, ball))]


def by_number(number: str) -> tuple[int, str]:
    """The order in which numbers are said."""
    return len(number), number


def in_order(first: str, second: str) -> Pair:
    """A pair as it is said, the lower number first."""
    return (first, second) if by_number(first) <= by_number(second) else (second, first)


def _reached(stand: Stand, first: XY, second: XY) -> str | None:
    """The nearest behind the gap, if somebody is with him by his first touch from where he stands now."""
    taken = Taken(stand)
    return next((man for man in behind(stand.situation, first, second) if taken.in_reach(man)), None)


def _middle(first: XY, second: XY) -> XY:
    return (first[0] + second[0]) / 2, (first[1] + second[1]) / 2


def _ball(situation: Situation) -> XY:
    """Where the next pass starts."""
    to = situation.receiver
    return situation.ball_xy if to is None else situation.player("possession", to).xy


def _bearing_deg(situation: Situation, xy: XY) -> float:
    """Off the line from the ball to the own goal, so that only what is seen backwards is torn apart."""
    (x, y), (goal_x, goal_y) = _ball(situation), situation.pitch.own_goal_xy
    off = degrees(atan2(xy[1] - y, xy[0] - x) - atan2(goal_y - y, goal_x - x))
    return (off + 180.0) % 360.0 - 180.0
