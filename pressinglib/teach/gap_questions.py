"""Mark the gaps: between which neighbours of presser and covers a pass gets through to somebody."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import atan2, degrees, dist
from typing import Any, NamedTuple

import numpy as np

from pressinglib.errors import BadInput
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.gaps import BEHIND_M
from pressinglib.roles.plan import Plan
from pressinglib.tables import by_number, listed
from pressinglib.teach.answers import one_of
from pressinglib.teach.exercise import Judge
from pressinglib.teach.stand import Stand, Taken
from pressinglib.teach.verdict import Finding

# -- The gaps between presser and covers: how wide each is, how wide it may be, and who is behind it.
# As the plan finds them, with presser and covers at their spots; or as everybody stands.


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


# -- Mark the gaps: between which neighbours of presser and covers a pass gets through to somebody.


NONE = "none"


@dataclass(frozen=True)
class MarkGaps(Judge):
    """Write the open gaps as pairs, "9-10, 10-11", or "none".

    Parameters
    ----------
    standing : bool
        The gaps as everybody stands, presser and covers in their places; else as the plan sends them.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> judge, plan = MarkGaps(), plan_press(scene("worked scene"))
    >>> [f.holds for f in judge.findings(plan, judge.read("11-10", plan.situation))]
    [False, True]
    >>> judge.read("9 to 10", plan.situation)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: A gap lies between two players. Write such as 9-10.
    """

    standing: bool = False

    def read(self, answer: Any, situation: Situation) -> frozenset[Pair]:
        """Pairs of numbers of the pressing team; the order inside a pair does not matter."""
        if answer == frozenset() or (isinstance(answer, str) and answer.strip().casefold() == NONE):
            return frozenset()  # as the model says it, and as a learner does
        return frozenset(_pair(part, situation) for part in _parts(answer))

    def findings(self, plan: Plan, value: frozenset[Pair]) -> list[Finding]:
        """Each gap marked or left out."""
        gaps = self._gaps(plan)
        strangers = sorted(value - {gap.pair for gap in gaps})
        found = [self._of(gap, gap.pair in value) for gap in gaps]
        return found + [Finding(False, f"{'-'.join(pair)}: no neighbours as the ball sees them.") for pair in strangers]

    def _gaps(self, plan: Plan) -> list[Gap]:
        return standing_gaps(Stand(plan, plan.situation)) if self.standing else gaps_of(plan)

    def _of(self, gap: Gap, marked: bool) -> Finding:
        holds = gap.either_way or gap.open == marked
        return Finding(holds, f"{gap.said}: {'open' if gap.open else 'closed'}.")

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The gap rule, and how many are open."""
        gaps = self._gaps(plan)
        return ("Neighbours among presser and covers, as the ball sees them: the further off, the wider a gap may be.",
                f"{sum(gap.open for gap in gaps)} of {len(gaps)} are open.")

    def model(self, plan: Plan) -> frozenset[Pair]:
        """All that are open."""
        return frozenset(gap.pair for gap in self._gaps(plan) if gap.open)

    def written(self, value: frozenset[Pair]) -> str:
        """Pairs with commas."""
        return listed(["-".join(pair) for pair in sorted(value, key=lambda pair: tuple(map(by_number, pair)))]
                      or [NONE])

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever there is a gap to look at, and it can be told by eye."""
        gaps = self._gaps(plan)
        return self if gaps and not any(gap.either_way for gap in gaps) else None

    @property
    def names_players(self) -> bool:
        """It asks about whoever presses and covers."""
        return False

    @property
    def turns(self) -> bool:
        """Other gaps may be open."""
        return True


def _parts(answer: Any) -> list[Any]:
    if isinstance(answer, str) and 0 < len(answer) < 200:
        parts: Any = [part for part in re.split(r"[,;]|\band\b", answer) if part.strip()]
    else:
        parts = answer
    if isinstance(parts, tuple) and len(parts) == 2 and not any(isinstance(part, tuple | list) for part in parts):
        parts = [parts]
    if not isinstance(parts, list | tuple | set | frozenset) or not parts:
        raise BadInput("This is no list of gaps", todo="write such as 9-10, 10-11, or none")
    return list(parts)


def _pair(part: Any, situation: Situation) -> Pair:
    ends = re.split(r"\s*[-\u2013/ ]\s*", part.strip()) if isinstance(part, str) else part
    if not isinstance(ends, tuple | list) or len(ends) != 2:
        raise BadInput("A gap lies between two players", todo="write such as 9-10")
    first, second = (one_of(end, [p.number for p in situation.pressing], "player") for end in ends)
    return in_order(first, second)
