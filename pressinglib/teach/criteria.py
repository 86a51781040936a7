"""Place players, and what a placing must do: small conditions, answered by the engine in seconds or metres.

They combine freely. Each is written as a function of a stand and called without it: ``leaves_ball("10")`` is a
condition on any stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import wraps
from itertools import chain, compress
from math import copysign, dist, hypot
from typing import Any, Concatenate, ParamSpec

import numpy as np

from pressinglib.doors import door_class
from pressinglib.field.player import BACK, XY
from pressinglib.field.situation import Situation
from pressinglib.roles.balance import limit_m, switch_s
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import Plan
from pressinglib.show.judged import Seen, passed, ran, reach, wedge
from pressinglib.tables import by_number, listed
from pressinglib.teach.answers import places_of
from pressinglib.teach.choices import fault_kinds
from pressinglib.teach.exercise import Finding, Form, Judge
from pressinglib.teach.pictures import Places, in_tenths, once, placed, towards
from pressinglib.teach.stand import LEVEL_M, SAME_M, Stand, gap_between

P = ParamSpec("P")
Rings = tuple[tuple[float, float], ...]  # how near to each other, and how far round a middle, places are tried, m
BESIDE_M, GRID_M = 1.5, (3.0, 200.0)  # from his man; how the whole pitch is tried (own choice)
ARM_M, ON_BALL_M = 0.5, 3.0  # who is on the ball stands so far off: the near half of where one contains, 2-4 m (D)
SAME_DEG = 2.0  # no eye tells less (own choice)
SPREAD_M, BEYOND_M = 6.0, 2.0  # a line that decides is drawn so far to either side, a shadow so far past the man


@dataclass(frozen=True)
class Criterion:
    """A condition with its numbers filled in: one part of the credit for a placing, named as its function is."""

    check: Callable[..., Finding]
    args: tuple[Any, ...]

    def __call__(self, stand: Stand) -> Finding:
        return self.check(stand, *self.args)._replace(criterion=self.check.__name__.replace("_", " "))


def criterion(check: Callable[Concatenate[Stand, P], Finding]) -> Callable[P, Criterion]:
    """The function of a stand, to be called without it."""
    @wraps(check)
    def of(*args: P.args, **_: P.kwargs) -> Criterion:
        return Criterion(check, args)

    return of


# -- One player.


@criterion
def denies(stand: Stand, number: str, man: str) -> Finding:
    """He cuts the pass to an opponent out, or is goal-side of him by his first touch."""
    denial = stand.denial(number, man)
    late_s = round(denial.late_s, 1)
    if denial.goal_side and denial.in_time:
        when = f"{-late_s:.1f} s before" if late_s < 0 else "a blink after" if late_s else "at"
        words = f"{number} has their {man}: there {when} the first touch."
    elif denial.cuts_out:
        words = f"{number} cuts out the pass to their {man}, with {-denial.margin_s:.1f} s to spare."
    elif denial.goal_side:
        words = (f"{number} is {late_s:.1f} s late for their {man}: "
                 f"come {max(denial.away_m - denial.slack_m, 0.1):.1f} m nearer.")
    else:
        words = f"{number} is {denial.away_m:.1f} m from their {man}, and neither in the lane nor goal-side."
    return Finding(denial.cuts_out or (denial.goal_side and denial.in_time), words, seen=denial.seen)


@criterion
def presses(stand: Stand, number: str, most_m: float = ON_BALL_M) -> Finding:
    """He is on the ball, or on its receiver: at arm's length up to so many metres, goal-side."""
    place, what = stand.origin, "the receiver" if stand.situation.receiver else "the ball"
    away_m = round(dist(stand.own(number), place), 1)
    ends = f": come {away_m - most_m:.1f} m nearer" if away_m > most_m + SAME_M else \
        ", and not goal-side" if stand.goal_m(stand.own(number)) > stand.goal_m(place) + LEVEL_M else \
        ": nearer than an arm's length is diving in" if away_m < ARM_M else ", goal-side"
    return Finding(ends == ", goal-side", f"{number} is {away_m:.1f} m from {what}{ends}.",
                   seen=(reach(place, most_m),))


@criterion
def leaves_ball(stand: Stand, number: str) -> Finding:
    """He leaves the ball to the presser."""
    away_m = stand.ball_m(number)
    two = away_m < stand.plan.rulebook.settings.contain_distance_m
    return Finding(not two, f"{number} is {away_m:.1f} m from the ball: two press one ball." if two else "")


@criterion
def hides(stand: Stand, number: str, man: str) -> Finding:
    """The presser's shadow, as far as it is trusted, lies on an opponent."""
    off_deg = abs(stand.bearing_deg(stand.opponent(man)) - stand.bearing_deg(stand.own(number)))
    trusted_deg, man_m = stand.plan.rulebook.settings.trusted_shadow_deg, dist(stand.opponent(man), stand.origin)
    beside_deg = min(off_deg, 360.0 - off_deg) - trusted_deg
    nearer = stand.ball_m(number) < dist(stand.opponent(man), stand.situation.ball_xy)
    words = f"Their {man} is {beside_deg:.0f} degrees outside {number}'s shadow." if beside_deg > SAME_DEG else \
        f"Their {man} is in {number}'s shadow." if nearer else f"{number} stands behind their {man}: that hides nobody."
    return Finding(beside_deg <= SAME_DEG and nearer, words,
                   seen=(wedge(stand.origin, stand.own(number), trusted_deg, man_m + BEYOND_M),))


@criterion
def goal_side(stand: Stand, number: str, man: str) -> Finding:
    """He is nearer the own goal than an opponent, or level with him."""
    man_xy, goal = stand.opponent(man), stand.situation.pitch.own_goal_xy
    ahead_m, seen = dist(stand.own(number), goal) - dist(man_xy, goal), (man_xy, towards(man_xy, goal, SPREAD_M))
    words = f"{number} is goal-side of their {man}." if ahead_m <= LEVEL_M else \
        f"{number} is {ahead_m:.1f} m further from your goal than their {man}."
    return Finding(ahead_m <= LEVEL_M, words, seen=(Seen("limit", seen, "goal side"),))


@criterion
def guards_far_side(stand: Stand, number: str, man: str) -> Finding:
    """A switch to an opponent finds him there: lofted, with his first touch."""
    limit_m, away_m = round(switch_slack_m(stand, man), 1), round(dist(stand.own(number), stand.opponent(man)), 1)
    words = f"{number} may be {limit_m:.1f} m from their {man} while a switch is in the air, and is {away_m:.1f} m off"
    p, man_xy = stand.plan.picture, stand.opponent(man)
    switched_s = float(switch_s(p)[0, p.opp_index(0, man)])
    there_s = float(p.settings.running.rest_time(away_m, p.settings.reaction_s))
    return _within(away_m <= limit_m + SAME_M, words, f": {away_m - limit_m:.1f} m too far",
                   passed(stand.situation.ball_xy, man_xy, switched_s, f"switch and touch {switched_s:.1f} s"),
                   ran(number, stand.own(number), man_xy, there_s))


def switch_slack_m(stand: Stand, man: str) -> float:
    """How far from an opponent his guard may stand while a switch to him is in the air, m."""
    p = stand.plan.picture
    return float(limit_m(p, np.array([p.opp_index(0, man)]))[0])


@criterion
def tucks_in(stand: Stand, number: str, man: str, at_least_m: float) -> Finding:
    """He does not stand wide beside his man: so many metres nearer to the middle."""
    (x, y), (_, wide) = stand.own(number), stand.opponent(man)
    inside_m, inside = round(abs(wide) - abs(y), 1), copysign(max(abs(wide) - at_least_m, 0.0), wide)
    words = f"{number} is {abs(inside_m):.1f} m {'further in' if inside_m >= 0 else 'wider'} than their {man}"
    return _within(inside_m >= at_least_m, words, f": {at_least_m:.1f} m at least, or the middle is empty",
                   Seen("limit", ((x - SPREAD_M, inside), (x + SPREAD_M, inside)), f"{at_least_m:.0f} m inside {man}"))


@criterion
def near(stand: Stand, number: str, wanted: Callable[[Stand], XY], most_m: float, place: str) -> Finding:
    """He is at a place that the engine gives, within a distance."""
    away_m = round(dist(stand.own(number), wanted(stand)), 1)
    return _within(away_m <= most_m + SAME_M, f"{number} is {f'{away_m:.1f} m from' if away_m else 'on'} {place}",
                   f": {most_m:.1f} m at most", reach(wanted(stand), most_m))


def _within(holds: bool, words: str, else_: str, *seen: Seen) -> Finding:
    """A measure in words, and where it does not hold by how much."""
    return Finding(holds, f"{words}{'' if holds else else_}.", seen=seen)


@criterion
def few_moves(stand: Stand, most: int) -> Finding:
    """Hardly anybody has been moved, and nobody up and out of the back line."""
    stood = {p.number: p for p in stand.plan.situation.pressing}
    moved = sorted((n for n, p in stood.items() if stand.own(n) != p.xy), key=by_number)
    out = [n for n in moved if stood[n].line == BACK and stand.own(n)[0] > stood[n].xy[0] + LEVEL_M]
    words = f"You have moved {listed(moved)}: {most} at most." if len(moved) > most else \
        f"{listed(out)} left the back line: that is a midfielder's job." if out else ""
    return Finding(not words, words)


# -- Several, whoever does it: a line, men taken, gaps closed, and nothing opened elsewhere.


@criterion
def in_line(stand: Stand, *numbers: str) -> Finding:
    """They stand on one line, within the spread that the settings allow."""
    line, most_m = sorted(numbers, key=lambda n: stand.own(n)[0]), stand.plan.rulebook.settings.line_spread_m
    spread_m = round(stand.own(line[-1])[0] - stand.own(line[0])[0], 1)
    return _within(spread_m <= most_m + SAME_M, f"The line is {spread_m:.1f} m deep",
                   f", from {line[0]} up to {line[-1]}: {most_m:g} m at most",
                   Seen("limit", tuple(sorted(map(stand.own, numbers), key=lambda xy: xy[1]))))


@criterion
def no_fault(stand: Stand, kind: str = "") -> Finding:
    """This fault is not in the picture; where none is named, none that was not there before."""
    rules = stand.plan.rulebook
    before, now = (fault_kinds(s, rules) for s in (stand.plan.situation, stand.situation))
    bad = now & {kind} if kind else now - before
    return Finding(not bad, next(f.why for f in find_faults(stand.situation, rules) if f.kind in bad) if bad else "")


@criterion
def taken(stand: Stand, man: str) -> Finding:
    """Somebody takes the pass to an opponent away: he cuts it out, or is goal-side of him by his first touch."""
    if not (by := stand.by(man)):
        return _free(stand, man)
    return Finding(True, f"The pass to their {man}: {by[0]} takes it away.", seen=stand.denial(by[0], man).seen)


@criterion
def closes_gap(stand: Stand, first: str, second: str) -> Finding:
    """The two are near enough to each other, or nobody behind them is free."""
    gap = gap_between(stand, (first, second))
    between = gap.seen(stand.own(first), stand.own(second))
    if not (gap.open and gap.man):
        return Finding(True, gap.said, seen=(between, *(taken(gap.reached)(stand).seen if gap.reached else ())))
    free = _free(stand, gap.man)
    return Finding(False, f"{gap.said} {free.words}", seen=(between, *free.seen))


@criterion
def stays_taken(stand: Stand) -> Finding:
    """Whoever was taken is taken still."""
    lost = sorted(stand.free - Stand(stand.plan, stand.plan.situation).free, key=by_number)
    if not lost:
        return Finding(True, "")
    free = _free(stand, lost[0])
    return free._replace(words=f"You have opened another way. {free.words}")


def _free(stand: Stand, man: str) -> Finding:
    """How far the nearest is from taking him."""
    found = denies(stand.nearest(man).number, man)(stand)
    return Finding(False, f"Their {man} is free. Your {found.words}", seen=found.seen)


# -- The exercises: one or several are placed, and any placing that does the job is right.


def places_round(situation: Situation, middle: XY, rings: Rings) -> Iterator[XY]:
    """Places on the pitch round a middle, which comes first, each ring coarser than the one inside it."""
    (x, y), corner, inner = middle, situation.pitch.corner_xy, 0.0
    yield middle
    for step, far in rings:
        along, across = (step * np.arange(-n, n + 1) for n in (int(min(far, 2 * half) / step) for half in corner))
        grid = [(round(float(x + dx), 1), round(float(y + dy), 1)) for dx in along for dy in across
                if inner < hypot(dx, dy) <= far]
        here = compress(grid, situation.pitch.holds(np.reshape(grid, (-1, 2))))
        yield from sorted(here, key=lambda xy: dist(xy, middle))
        inner = far


@once
def _looked_at(criteria: tuple[Criterion, ...], plan: Plan, situation: Situation) -> tuple[Finding, ...]:
    """Each criterion on the picture with the answer, once."""
    stand = Stand(plan, situation)
    return tuple(criterion(stand) for criterion in criteria)


@dataclass(frozen=True)
class PlacePlayers(Judge):
    """Place `numbers` so that all criteria hold, each a part of the credit; nobody else counts.

    `rule` is the second hint; `places` makes of a plan where they do the job: left out, the plan's anchors, or its
    spots, whichever holds.
    """

    numbers: tuple[str, ...]
    criteria: tuple[Criterion, ...]
    rule: str
    places: Callable[[Plan], Places] | None = None
    names_players = turns = True

    def read(self, answer: Any, plan: Plan) -> dict[str, XY] | None:
        return places_of(answer, plan.situation, self.numbers)

    def form(self, plan: Plan) -> Form:
        return Form(placed=self.numbers)

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion on the picture with the answer."""
        return [*_looked_at(self.criteria, plan, placed(plan.situation, value))]

    def cues(self, plan: Plan, value: Places) -> tuple[str, str]:
        """The rule to hold the placing against, then the measure."""
        return self.rule, super().cues(plan, value)[1]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and what is still missing, in seconds and metres."""
        still = [finding.words for finding in self.findings(plan, {}) if not finding.holds]
        return self.rule, "As it stands: " + " ".join(still or ["everything holds, 0 m to go."])

    def model(self, plan: Plan) -> dict[str, XY]:
        """The first of the known placings that does the job."""
        jobs = plan.assignments
        known = [self.places(plan)] if self.places else [{n: jobs[n].anchor_xy for n in self.numbers},
                                                         {n: jobs[n].target_xy for n in self.numbers}]
        short = [{n: in_tenths(xy) for n, xy in each.items()} for each in known]
        return next((each for each in short if self._holds(plan, each)), short[-1])

    def _holds(self, plan: Plan, value: Places) -> bool:
        return all(finding.holds for finding in self.findings(plan, value))

    def written(self, value: Places) -> str:
        return listed(f"{n} at ({x:g}, {y:g})" for n, (x, y) in value.items())

    def shown(self, situation: Situation, value: Places) -> Situation:
        return placed(situation, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever something is left to do."""
        return None if self._holds(plan, {}) else self


@door_class
@dataclass(frozen=True, init=False)
class DenyOption(PlacePlayers):
    """Place `cover` so that a pass to `option` does not pay: he cuts it out, or is goal-side at the first touch."""

    cover: str = field(init=False)
    option: str = field(init=False)

    def __init__(self, cover: str, option: str) -> None:
        super().__init__((cover,), (leaves_ball(cover), denies(cover, option)),
                         f"A cover takes the short pass away: {cover} stands in the lane to their {option}, or "
                         f"goal-side of {option}.")
        vars(self).update(cover=cover, option=option)

    def model(self, plan: Plan) -> dict[str, XY]:
        """Where the rule puts him, if that does the job: his anchor, which is easier to explain than the spot a search
        settles on. Else in the lane, or goal-side of the man; else the nearest place on the whole pitch that does it.
        """
        s, man_xy = plan.situation, plan.situation.player("possession", self.option).xy
        anchor = in_tenths(plan.assignments[self.cover].anchor_xy)
        ends = [end for end in (s.ball_xy, s.pitch.own_goal_xy) if end != man_xy]
        near = (anchor, *(in_tenths(towards(man_xy, end, BESIDE_M)) for end in ends))
        tries = chain(near, places_round(s, s.player("pressing", self.cover).xy, (GRID_M,)))
        return {self.cover: next((xy for xy in tries if self._holds(plan, {self.cover: xy})), anchor)}

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever the plan wants this of him and he does not do it already."""
        return super().renewed(plan) if plan.assignments[self.cover].mark == self.option else None
