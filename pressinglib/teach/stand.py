"""A picture with an answer in it: who takes the pass to each of theirs away, which gaps are open; and that question.

By who cuts it out, or is goal-side by the first touch; all at rest where they stand, by the clocks of the plan's lanes.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations, pairwise
from math import dist
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.doors import door_class
from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import bearing_rad, gap_limit, offside_line_m, rest_lane_margins, shadowed
from pressinglib.roles.balance import BEHIND_M
from pressinglib.roles.picture import norm
from pressinglib.roles.plan import Plan
from pressinglib.roles.snapshot import Snapshot
from pressinglib.show.judged import Seen, passed, ran
from pressinglib.tables import by_number
from pressinglib.teach.answers import LONGEST, several_of
from pressinglib.teach.choices import SAME_S
from pressinglib.teach.exercise import Finding, Form, Judge
from pressinglib.teach.pictures import in_tenths, towards

CLOSED_S = -0.2  # a lane is closed below this margin, as in the plan's lanes (D)
LEVEL_M = 1.0  # so much further from the own goal than his man is still level with him (D)
Pair = tuple[str, str]
SAME_M = 0.5  # no eye tells less: a gap so near its limit may be called either way (D)
EDGE_DEG = 1e-6  # a man on the line to the end of a gap is not behind it, whatever the rounding
NONE, ALL = "none", ("both", "all", "all of them")
SAID = re.compile(r"([^\s,;]+?)\s*[-\u2013/]\s*([^\s,;]+)")  # a gap in a learner's words
OFFERED = 6  # among so many players, the nearest to the ball, gaps are offered (own choice)


def _margin_s(plan: Plan, men: ArrayLike, ours: ArrayLike) -> Any:
    """(men, ours) seconds by which each is too late to cut the ground pass out; negative: he cuts it out."""
    s = plan.rulebook.settings
    return rest_lane_margins(plan.situation.ball_xy, men, ours, s.reach_m, s.reaction_s, s.ball_mps, running=s.running)


def first_touch_s(plan: Plan, men: ArrayLike) -> Any:
    """Seconds until a man who is passed to has touched the ball."""
    s, away = plan.rulebook.settings, np.asarray(men, dtype=float) - plan.situation.ball_xy
    return ball_time(np.hypot(away[..., 0], away[..., 1]), s.ball_mps) + s.control_time_s


def _late_s(plan: Plan, men: ArrayLike, ours: ArrayLike) -> Any:
    """Seconds after a man's first touch at which one of ours is with him; negative: before it."""
    s = plan.rulebook.settings
    return s.running.time(ours, (0.0, 0.0), men, s.reaction_s, s.reach_m) - first_touch_s(plan, men)


@door_class
class Denial:
    """A defender at rest at `xy` against a ground pass to the opponent `option`; the plan's spots play no part.

    `away_m` off the man, he comes `margin_s` too late to cut the pass out (negative: `cuts_out`), `late_s` after the
    first touch (`in_time`, for all an eye can tell), at it from `slack_m` off. `goal_side`: nearer his goal, or level.

    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> in_lane, behind = (Denial(plan_press(scene("worked scene")), "6", xy) for xy in ((24, 2.4), (12, -8)))
    >>> in_lane.cuts_out, behind.cuts_out, behind.goal_side, behind.late_s > 0
    (True, False, True, True)
    """

    def __init__(self, plan: Plan, option: str, xy: XY, number: str = "") -> None:
        s, ball, goal = plan.rulebook.settings, plan.situation.ball_xy, plan.situation.pitch.own_goal_xy
        self.plan, self.number, self.xy = plan, number, xy
        self.man_xy = plan.situation.player("possession", option).xy
        self.away_m = dist(xy, self.man_xy)
        self.margin_s = float(_margin_s(plan, [self.man_xy], [xy])[0, 0])
        self.cuts_out = self.margin_s < CLOSED_S and dist(xy, ball) <= dist(self.man_xy, ball)  # not through him
        self.late_s = float(_late_s(plan, self.man_xy, xy))
        self.in_time = round(self.late_s, 1) <= SAME_S
        self.slack_m = float(s.reach_m + s.running.covered_m(first_touch_s(plan, self.man_xy) - s.reaction_s))
        self.goal_side = dist(xy, goal) <= dist(self.man_xy, goal) + LEVEL_M

    @property
    def seen(self) -> tuple[Seen, Seen]:
        """Both clocks, for the one who stands there: to the man with his first touch, or into the lane."""
        s, ball = self.plan.rulebook.settings, self.plan.situation.ball_xy
        if self.cuts_out and not (self.in_time and self.goal_side):
            way, off = np.subtract(self.man_xy, ball), np.subtract(self.xy, ball)
            foot = in_tenths(ball + way * np.clip(way @ off / (way @ way), 0.1, 0.95))
            foot_s = float(ball_time(dist(ball, foot), s.ball_mps))
            return passed(ball, foot, foot_s), ran(self.number, self.xy, foot, max(foot_s + self.margin_s, 0.1))
        touch_s = round(float(first_touch_s(self.plan, self.man_xy)), 1)
        ball_s = touch_s - s.control_time_s
        end = towards(self.man_xy, self.xy, min(s.reach_m, self.away_m)) if self.away_m else self.man_xy
        return (passed(ball, self.man_xy, ball_s, f"ball {ball_s:.1f} s, touch {touch_s:.1f} s"),
                ran(self.number, self.xy, end, max(touch_s + round(self.late_s, 1), 0.1)))


@door_class
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
        """The measures of the faults."""
        return Snapshot.of(self.situation, self.plan.rulebook)

    def own(self, number: str) -> XY:
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

    def nearest(self, man: str) -> Denial:
        """Who would be with him first; no presser."""
        return min((self.denial(p.number, man) for p in self.ours if p.number != self.presser),
                   key=lambda denial: denial.late_s)

    @cached_property
    def _holds(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he takes the pass to him away."""
        plan, ours, men = self.plan, _xy(self.ours), _xy(self.theirs)
        ours_m, men_m = (np.array([self.goal_m(p.xy) for p in team]) for team in (self.ours, self.theirs))
        with_him = (ours_m <= men_m[:, None] + LEVEL_M) & (np.round(_late_s(plan, men[:, None], ours), 1) <= SAME_S)
        before = norm(ours - self.situation.ball_xy) <= norm(men - self.situation.ball_xy)[:, None]
        holds = np.asarray(with_him | (before & (_margin_s(plan, men, ours) < CLOSED_S)))
        for n in [n for n, p in enumerate(self.ours) if p.number == self.presser]:
            holds[:, n] = shadowed(ours[n], self.situation.ball_xy, men, plan.rulebook.settings.trusted_shadow_deg)
        return holds


def _xy(players: Sequence[Player]) -> NDArray[np.float64]:
    return np.array([p.xy for p in players], dtype=float).reshape(-1, 2)


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
        """Width against limit, between the two; where that does not decide, the width."""
        closed = self.width_m > self.limit_m and not self.man
        return Seen("limit", (first, second), f"{self.width_m:.1f} m, " + (
            "nobody free" if closed else f"limit {self.limit_m:.1f} m"))

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
        behind = f"their {self.man} is free behind it" if self.man else "nobody is free behind it" \
            if not self.reached else f"their {self.reached} is behind it, but one of yours is there in time"
        return (f"{self.name} is {self.width_m:.1f} m wide, limit {self.limit_m:.1f} m, {behind}: "
                f"{'open' if self.open else 'closed'}.")


@lru_cache(maxsize=64)
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
                         None if man < 0 else p.opp_number(0, man),
                         next((n for n in men if stand.nearest(n).in_time), None)))
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
        text = answer.strip(" .!").casefold()[:LONGEST] if isinstance(answer, str) else ""
        if text in ALL:
            return [gap.name for gap in self._gaps(plan)]
        said, offered = SAID.sub(lambda gap: "-".join(in_order(gap[1], gap[2])), text), self.form(plan).options
        meant = several_of(said or answer, offered, "gap")
        return [name for name in offered if name in meant]

    def findings(self, plan: Plan, value: list[str]) -> list[Finding]:
        gaps, xy = self._gaps(plan), Stand(plan, plan.situation).own
        found = [Finding(gap.either_way or gap.open == (gap.name in value),
                         gap.said * bool(gap.man or gap.reached or gap.name in value),
                         seen=(gap.seen(*map(xy, gap.pair)),) * (gap.name in value)) for gap in gaps]
        strangers = sorted({*value} - {NONE, *(gap.name for gap in gaps)})
        return found + [Finding(False, f"{name}: not neighbours among presser and covers.") for name in strangers]

    def form(self, plan: Plan) -> Form:
        """All neighbours in front of the back line as they stand, so that the plan is not given away."""
        pairs, xy = {gap.pair for gap in self._gaps(plan)}, Stand(plan, plan.situation).own
        near = sorted(pairs and {*pairs, *_neighbours(plan.situation)}, key=_as_said)
        gaps = {"-".join(pair): (xy(pair[0]), xy(pair[1])) for pair in near}
        return Form(options=(*gaps, NONE), gaps=gaps, several=True)

    def _gaps(self, plan: Plan) -> list[Gap]:
        return standing_gaps(Stand(plan, plan.situation)) if self.standing else gaps_of(plan)

    def cues(self, plan: Plan, value: list[str]) -> tuple[str, str]:
        bad = [f.words for f in self.findings(plan, value) if not f.holds and re.split("[ :]", f.words)[0] in value]
        cue = f"Of those you marked, {len(bad)} {'are' if bad[1:] else 'is'} not open." if bad else \
            f"There {'is one at least' if NONE in value else 'are more'}."
        return f"{cue} A gap counts if somebody free is behind it.", bad[0] if bad else self.hints(plan)[1]

    def hints(self, plan: Plan) -> tuple[str, str]:
        gaps = self._gaps(plan)
        many = sum(gap.open for gap in gaps)
        return ("Take the presser and the covers in turn, seen from the ball. The further off, the wider a gap may be.",
                f"Of {len(gaps)} gaps {many} {'is' if many == 1 else 'are'} open.")

    def model(self, plan: Plan) -> list[str]:
        return [gap.name for gap in self._gaps(plan) if gap.open] or [NONE]

    def renewed(self, plan: Plan) -> Judge | None:
        gaps = self._gaps(plan)
        return self if gaps and not any(gap.either_way for gap in gaps) else None
