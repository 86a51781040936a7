"""Mark the gaps: between which neighbours of presser and covers a pass gets through to somebody."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import dist
from typing import Any, NamedTuple

import numpy as np

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.balance import BEHIND_M
from pressinglib.roles.plan import Plan
from pressinglib.show.judged import Seen
from pressinglib.tables import by_number
from pressinglib.teach.answers import LONGEST, several_of
from pressinglib.teach.exercise import Finding, Form, Judge
from pressinglib.teach.stand import Stand

Pair = tuple[str, str]
SAME_M = 0.5  # a gap within this of its limit may be called either way (D)
EDGE_DEG = 1e-6  # a man on the line to the end of a gap is not behind it, whatever the rounding
NONE, ALL = "none", ("both", "all", "all of them")
SAID = re.compile(r"([^\s,;]+?)\s*[-\u2013/]\s*([^\s,;]+)")  # a gap in a learner's words
OFFERED = 6  # among so many players, the nearest to the ball, gaps are offered (own choice)


class Gap(NamedTuple):
    """A gap by the gap rule (D): metres, the free man behind it, and one behind it with whom one of ours is in time."""

    pair: Pair
    width_m: float
    limit_m: float
    man: str | None
    reached: str | None = None

    @property
    def name(self) -> str:
        """As it is written."""
        return "-".join(self.pair)

    def seen(self, first: XY, second: XY) -> Seen:
        """Width against limit, between the two."""
        return Seen("limit", (first, second), f"{self.width_m:.1f} m, limit {self.limit_m:.1f} m")

    @property
    def open(self) -> bool:
        """Too wide, and somebody free is behind it."""
        return self.man is not None and self.width_m > self.limit_m

    @property
    def either_way(self) -> bool:
        """Too near its limit to be told by eye."""
        return self.man is not None and abs(self.width_m - self.limit_m) <= SAME_M

    @property
    def said(self) -> str:
        """Width against limit, who is behind, and what comes of it."""
        behind = f"their {self.man} is free behind it" if self.man else "nobody is free behind it"
        if self.reached and not self.man:
            behind = f"their {self.reached} is behind it, but one of yours is there in time"
        return (f"{self.name} is {self.width_m:.1f} m wide, they can close {self.limit_m:.1f} m, {behind}: "
                f"{'open' if self.open else 'closed'}.")


def gaps_of(plan: Plan) -> list[Gap]:
    """The gaps of a plan before anybody is sent into them, as balance finds them, presser and covers at their spots.

    Nobody free is behind: then the nearest, if somebody is with him by his first touch from where he stands now.
    """
    g, p, stand, found = plan.decisions.gaps, plan.picture, Stand(plan, plan.situation), []
    spots = {n: job.anchor_xy for n, job in plan.assignments.items()} | {plan.presser: plan.end_xy}
    for k in np.flatnonzero(g.here[0]):
        pair, man = in_order(*(p.own_number(0, int(end[0, k])) for end in (g.left, g.right))), int(g.man[0, k])
        men = behind(stand, *((float(x), float(y)) for x, y in (spots[n] for n in pair))) if man < 0 else []
        found.append(Gap(pair, float(g.width_m[0, k]), float(g.limit_m[0, k]),
                         None if man < 0 else p.opp_number(0, man), next(filter(stand.in_reach, men), None)))
    return sorted(found, key=lambda gap: _as_said(gap.pair))


def gap_between(stand: Stand, pair: Pair) -> Gap:
    """The gap between two players as everybody stands; free behind it is whom nobody takes."""
    first, second = map(stand.own, pair)
    men = behind(stand, first, second)
    return Gap(in_order(*pair), dist(first, second),
               float(gap_limit(dist(_middle(first, second), stand.situation.ball_xy))),
               next((man for man in men if man in stand.free), None),
               next((man for man in men if {*stand.by(man)} - {*pair}), None))


def standing_gaps(stand: Stand) -> list[Gap]:
    """The gaps between him who is on the ball and the covers, the nearest to him, as they stand; none if nobody is."""
    st = stand.standing
    near = () if st.presser is None else (st.presser, *st.covers)
    seen = [st.name(n) for n in sorted(near, key=lambda n: float(st.bearing_deg(st.own[n])))]
    return [gap_between(stand, pair) for pair in sorted((in_order(*pair) for pair in pairwise(seen)), key=_as_said)]


def behind(stand: Stand, first: XY, second: XY) -> list[str]:
    """Opponents seen from the ball between two places and further off than their middle, the nearest first."""
    low, high = sorted(map(stand.bearing_deg, (first, second)))
    least_m = dist(_middle(first, second), stand.origin) + BEHIND_M
    away_m = {p.number: dist(p.xy, stand.origin) for p in stand.situation.possession
              if not p.is_goalkeeper and low + EDGE_DEG < stand.bearing_deg(p.xy) < high - EDGE_DEG}
    return [number for number in sorted(away_m, key=away_m.__getitem__) if away_m[number] > least_m]


def in_order(first: str, second: str) -> Pair:
    """A pair as it is said, the lower number first."""
    return (first, second) if by_number(first) <= by_number(second) else (second, first)


def _as_said(pair: Pair) -> tuple[tuple[int, str], ...]:
    return tuple(map(by_number, pair))


def _neighbours(situation: Situation) -> list[Pair]:
    """Pairs of the outfield players nearest to the ball with nobody of them in the circle between the two."""
    ball = situation.ball_xy
    ours = sorted((p for p in situation.pressing if not p.is_goalkeeper), key=lambda p: dist(p.xy, ball))[:OFFERED]
    return [in_order(a.number, b.number) for a, b in combinations(ours, 2)
            if all(dist(_middle(a.xy, b.xy), c.xy) > dist(a.xy, b.xy) / 2 for c in ours if c not in (a, b))]


def _middle(first: XY, second: XY) -> XY:
    return (first[0] + second[0]) / 2, (first[1] + second[1]) / 2


@dataclass(frozen=True)
class MarkGaps(Judge):
    """Mark the open gaps: pairs such as "9-10, 10-11", or "none".

    `standing`: as everybody stands, presser and covers in their places; else as the plan sends them.
    """

    standing: bool = False
    turns = True

    def read(self, answer: Any, plan: Plan) -> list[str]:
        """Names of gaps as they are offered; the order inside a name does not matter."""
        text = answer.strip(" .!").casefold()[:LONGEST] if isinstance(answer, str) else ""
        if text in ALL:
            return [gap.name for gap in self._gaps(plan)]
        said, offered = SAID.sub(lambda gap: "-".join(in_order(gap[1], gap[2])), text), self.form(plan).options
        meant = several_of(said or answer, offered, "gap")
        return [name for name in offered if name in meant]

    def findings(self, plan: Plan, value: list[str]) -> list[Finding]:
        """Each gap marked or left out."""
        gaps, xy = self._gaps(plan), Stand(plan, plan.situation).own
        found = [Finding(gap.either_way or gap.open == (gap.name in value), gap.said,
                         seen=(gap.seen(*map(xy, gap.pair)),) * (gap.name in value)) for gap in gaps]
        strangers = sorted({*value} - {NONE, *(gap.name for gap in gaps)})
        return found + [Finding(False, f"{name}: not neighbours, seen from the ball.") for name in strangers]

    def form(self, plan: Plan) -> Form:
        """All neighbours in front of the back line as they stand, so that the plan is not given away."""
        pairs, xy = {gap.pair for gap in self._gaps(plan)}, Stand(plan, plan.situation).own
        near = sorted(pairs and {*pairs, *_neighbours(plan.situation)}, key=_as_said)
        gaps = {"-".join(pair): (xy(pair[0]), xy(pair[1])) for pair in near}
        return Form(options=(*gaps, NONE), gaps=gaps, several=True)

    def _gaps(self, plan: Plan) -> list[Gap]:
        return standing_gaps(Stand(plan, plan.situation)) if self.standing else gaps_of(plan)

    def cues(self, plan: Plan, value: list[str]) -> tuple[str, str]:
        """How many of the marks are wrong, then how many gaps are open."""
        is_open = {gap.name: gap.open or gap.either_way for gap in self._gaps(plan)}
        wrong = sum(not is_open.get(name) for name in value if name != NONE)
        closed = f"Of those you marked, {wrong} {'is' if wrong == 1 else 'are'} not open."
        cue = closed if wrong else "There are more."
        return f"{cue} A gap counts if somebody free is behind it.", self.hints(plan)[1]

    def hints(self, plan: Plan) -> tuple[str, str]:
        gaps = self._gaps(plan)
        many = sum(gap.open for gap in gaps)
        return ("Take the presser and the covers in turn, seen from the ball. The further off, the wider a gap may be.",
                f"Of {len(gaps)} gaps {many} {'is' if many == 1 else 'are'} open.")

    def model(self, plan: Plan) -> list[str]:
        return [gap.name for gap in self._gaps(plan) if gap.open] or [NONE]

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever there is a gap to look at, and it can be told by eye."""
        gaps = self._gaps(plan)
        return self if gaps and not any(gap.either_way for gap in gaps) else None
