"""Mark the gaps: between which neighbours of presser and covers a pass gets through to somebody."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import one_of
from pressinglib.teach.card import listed
from pressinglib.teach.judge import Judge
from pressinglib.teach.verdict import Finding

Pair = tuple[str, str]
NONE = "none"
SAME_M = 0.5  # a gap within this of its limit may be called either way (D)


class Gap(NamedTuple):
    """A gap of the plan before anybody is sent into it, by the gap rule (D): metres, and the man behind."""

    pair: Pair
    width_m: float
    limit_m: float
    man: str | None

    @property
    def over_m(self) -> float:
        """How much wider than the rule allows; below zero: narrower."""
        return self.width_m - self.limit_m

    @property
    def open(self) -> bool:
        """Too wide, and somebody is behind it."""
        return self.over_m > 0 and self.man is not None

    @property
    def either_way(self) -> bool:
        """Too near its limit to be told by eye."""
        return self.man is not None and abs(self.over_m) <= SAME_M

    @property
    def said(self) -> str:
        """Width against limit, and who is behind."""
        behind = f"their {self.man} is behind it" if self.man else "nobody is behind it"
        return f"{'-'.join(self.pair)} is {self.width_m:.1f} m wide, {self.limit_m:.1f} m can be closed, {behind}"


def gaps_of(plan: Plan) -> list[Gap]:
    """The gaps between presser and covers at their spots, as balance finds them.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> [gap.pair for gap in gaps_of(plan_press(scene("worked scene")))]
    [('9', '10'), ('10', '11')]
    """
    g, p = plan.decisions.gaps, plan.picture
    found = []
    for k in np.flatnonzero(g.here[0]):
        first, second = sorted((p.own_number(0, int(end[0, k])) for end in (g.left, g.right)), key=_by_number)
        man = int(g.man[0, k])
        found.append(Gap((first, second), float(g.width_m[0, k]), float(g.limit_m[0, k]),
                         None if man < 0 else p.opp_number(0, man)))
    return sorted(found, key=lambda gap: tuple(map(_by_number, gap.pair)))


def _by_number(number: str) -> tuple[int, str]:
    return len(number), number


@dataclass(frozen=True)
class MarkGaps(Judge):
    """Write the open gaps as pairs, "9-10, 10-11", or "none".

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

    def read(self, answer: Any, situation: Situation) -> frozenset[Pair]:
        """Pairs of numbers of the pressing team; the order inside a pair does not matter."""
        if answer == frozenset() or (isinstance(answer, str) and answer.strip().casefold() == NONE):
            return frozenset()  # as the model says it, and as a learner does
        return frozenset(_pair(part, situation) for part in _parts(answer))

    def findings(self, plan: Plan, value: frozenset[Pair]) -> list[Finding]:
        """Each gap marked or left out."""
        gaps = gaps_of(plan)
        strangers = sorted(value - {gap.pair for gap in gaps})
        found = [self._of(gap, gap.pair in value) for gap in gaps]
        return found + [Finding(False, f"{'-'.join(pair)}: no neighbours as the ball sees them.") for pair in strangers]

    def _of(self, gap: Gap, marked: bool) -> Finding:
        holds = gap.either_way or gap.open == marked
        return Finding(holds, f"{gap.said}: {'open' if gap.open else 'closed'}.")

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The gap rule, and how many are open."""
        gaps = gaps_of(plan)
        return ("Neighbours among presser and covers, as the ball sees them: the further off, the wider a gap may be.",
                f"{sum(gap.open for gap in gaps)} of {len(gaps)} are open.")

    def model(self, plan: Plan) -> frozenset[Pair]:
        """All that are open."""
        return frozenset(gap.pair for gap in gaps_of(plan) if gap.open)

    def written(self, value: frozenset[Pair]) -> str:
        """Pairs with commas."""
        return listed(["-".join(pair) for pair in sorted(value, key=lambda pair: tuple(map(_by_number, pair)))]
                      or [NONE])

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever there is a gap to look at, and it can be told by eye."""
        gaps = gaps_of(plan)
        return self if gaps and not any(gap.either_way for gap in gaps) else None

    @property
    def names_players(self) -> bool:
        """It asks about whoever presses and covers."""
        return False


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
    return (first, second) if _by_number(first) <= _by_number(second) else (second, first)
