"""Mark the gaps: between which neighbours of presser and covers a pass gets through to somebody."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import one_of
from pressinglib.teach.card import listed
from pressinglib.teach.gap import Gap, Pair, by_number, gaps_of, in_order, standing_gaps
from pressinglib.teach.judge import Judge
from pressinglib.teach.stand import Stand
from pressinglib.teach.verdict import Finding

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
