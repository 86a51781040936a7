"""Who goes to the ball, and to which side he steers the carrier; and a rule of one's own that says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import dist
from typing import Any

import numpy as np

from pressinglib.doors import door_class
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.roles.decisions import frame_rule
from pressinglib.roles.pipeline import decide
from pressinglib.roles.plan import Plan, plan_pictures
from pressinglib.roles.presser import broken, surplus
from pressinglib.roles.rule_contract import check_rule
from pressinglib.show.judged import Seen, passed, ran, wedge
from pressinglib.tables import listed
from pressinglib.teach.choices import SAME_S, ChooseOne
from pressinglib.teach.exercise import Finding, Judge
from pressinglib.teach.pictures import fresh_pictures, in_tenths

OTHER = {"left": "right", "right": "left"}
NOBODY = "nobody"
NOT_THERE = "This ball is not there to be pressed: nobody goes, the block holds."
OwnRule = Callable[[Situation], Any]


@dataclass(frozen=True)
class SteerSide(ChooseOne):
    """Choose left or right, as the pressing team sees it; the other side is played through to see what it opens."""

    what, turns = "side", True

    def model(self, plan: Plan) -> str:
        """The side of the plan, without a look at the other."""
        return plan.steer if plan.steer in OTHER else next(iter(OTHER))

    def choices(self, plan: Plan) -> dict[str, Finding]:
        """Right for the side of the plan; where the plan has none, both are."""
        hidden = [o for o, word in plan.account.items() if word == "shadow"]
        hides = f" and hides their {listed(hidden)}" if hidden else ""
        found = {}
        for side in OTHER:
            best = plan.steer if plan.steer in OTHER else side
            other = _steered(plan, OTHER[best])
            opened = [o for o, word in other.account.items() if word == "free" != plan.account[o]]
            words = [f"Steer him {best}: {plan.presser} comes from the {OTHER[best]}{hides}."]
            if opened:
                words.append(f"Steer him {OTHER[best]}, and the pass to {listed(opened)} is on.")
            ordered, seen = (words, _ways(plan, [])) if side == best else (words[::-1], _ways(other, opened))
            found[side] = Finding(side == best, " ".join([*ordered, _men(plan)]), seen=seen)
        return found

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule that holds in this picture, and the numbers to either side."""
        if broken(plan.picture)[0] and not _at_touchline(plan):
            return "The press is broken and no touchline is near: steer him back into the crowd.", _men(plan)
        return "Steer him outside, to the nearer touchline, unless you have two more inside.", _men(plan)


@lru_cache(maxsize=64)
def _steered(plan: Plan, side: str) -> Plan:
    """The plan if the carrier is steered this way."""
    sign = 1 if side == "left" else -1
    rules = plan.rulebook.with_rules(choose_steer=frame_rule(lambda p, d: (sign * p.side).astype(int)))
    return replace(plan, rulebook=rules, decisions=decide(plan.picture, rules))


def _ways(plan: Plan, opened: list[str]) -> tuple[Seen, ...]:
    """The presser's way, his shadow where it ends, and the passes that are on."""
    s, settings = plan.situation, plan.rulebook.settings
    if plan.presser is None:
        return ()
    job, ball = plan.assignments[plan.presser], s.ball_xy
    end, men = in_tenths(job.target_xy), [s.player("possession", number).xy for number in opened]
    hidden_m = [dist(ball, s.player("possession", o).xy) for o, word in plan.account.items() if word == "shadow"]
    return (wedge(ball, end, settings.trusted_shadow_deg, max([settings.short_pass_m, *hidden_m])),
            ran(plan.presser, s.player("pressing", plan.presser).xy, end, job.arrival_s),
            *(passed(ball, xy, float(ball_time(dist(ball, xy), settings.ball_mps))) for xy in men))


def _men(plan: Plan) -> str:
    """Surplus near the ball to either side, and where the touchline is near enough to count, that it does."""
    more = [int(side[0]) for side in surplus(plan.picture, plan.decisions)][::1 if plan.picture.side[0] > 0 else -1]
    on_left, on_right = ("level" if not n else f"{abs(n)} {'up' if n > 0 else 'short'}" for n in more)
    ends = f"; the touchline counts as {plan.rulebook.settings.touchline_counts:g}" * _at_touchline(plan)
    return f"Near the ball you are {on_left} on the left and {on_right} on the right{ends}."


def _at_touchline(plan: Plan) -> bool:
    situation = plan.situation
    return situation.pitch.width_m / 2 - abs(situation.ball_xy[1]) < plan.rulebook.settings.touchline_m


@door_class
class Race:
    """The race to the ball by number, as the rule that chooses the presser looks at it.

    Times are its own: flat out to where the carrier will be in half a second, without reaction and braking.

    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> race = Race(plan_press(scene("worked scene")))
    >>> race.first(2), race.needed_behind("4", "9"), race.time_s("1")
    (['9', '10'], True, inf)
    """

    def __init__(self, plan: Plan) -> None:
        p = plan.picture
        times = np.where(p.outfield, p.own_arrival(p.focus[:, None]), np.inf)[0]
        rows = zip(times.tolist(), p.goal_side[0].tolist(), p.front[0].tolist(), strict=True)
        self._row = {p.own_number(0, n): row for n, row in enumerate(rows)}

    def time_s(self, number: str) -> float:
        """Seconds to the ball; infinite for the goalkeeper."""
        return self._row[number][0]

    def goal_side(self, number: str) -> bool:
        """Whether he is nearer the own goal than the ball."""
        return self._row[number][1]

    def first(self, count: int) -> list[str]:
        """The numbers of those who could be there first."""
        return sorted(self._row, key=lambda number: (self.time_s(number), number))[:count]

    def needed_behind(self, number: str, first: str) -> bool:
        """Whether the rule keeps him in the back line because somebody in front of it is soon enough."""
        return self._row[first][2] and not self._row[number][2]


@dataclass(frozen=True)
class WhoPresses(ChooseOne):
    """Name the presser, or "nobody" where the rules let nobody go."""

    what = "player"
    turns = True

    def choices(self, plan: Plan) -> dict[str, Finding]:
        """Right for the presser, who comes first, and for whoever may go and is there as soon."""
        names = dict.fromkeys([plan.presser or NOBODY, *plan.assignments, NOBODY])
        if plan.presser is None:
            return {name: Finding(name == NOBODY, NOT_THERE) for name in names}
        race = Race(plan)  # once: of all who are named
        return {name: self._finding(plan, race, name, plan.presser) for name in names}

    def _finding(self, plan: Plan, race: Race, value: str, first: str) -> Finding:
        """The plan's presser; another: as good, too late, needed in the line, or on the wrong side."""
        if value == NOBODY:
            return Finding(False, f"{first} can be at the ball in {race.time_s(first):.1f} s: somebody has to go.")
        player = plan.situation.player("pressing", value)
        if player.is_goalkeeper:
            return Finding(False, f"{value} is the goalkeeper, and stays to sweep behind the line.")
        seen = (ran(value, player.xy, plan.situation.ball_xy, race.time_s(value)),)
        if value == first:
            return Finding(True, _there(plan, race, first), seen=seen)
        own_s, first_s = (round(race.time_s(n), 1) for n in (value, first))
        both, as_soon = f"{value} could be there in {own_s:.1f} s, {first} in {first_s:.1f} s", False
        if own_s > first_s + SAME_S:
            words = f"{both}: {value} is {own_s - first_s:.1f} s too late."
        elif race.needed_behind(value, first):
            words = f"{both}: soon enough, but {value} {_line_job(plan, value)}."
        elif race.goal_side(value) < race.goal_side(first):
            words = f"{both}. But {value} is not goal-side: that means running round the carrier."
        else:
            words, as_soon = f"{value} is there as soon as {first}.", True
        return Finding(as_soon, words, seen=seen)

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and the times of the three who could be there first."""
        race = Race(plan)
        times = ", ".join(f"{number} in {race.time_s(number):.1f} s" for number in race.first(3))
        return ("The first who can get there goes, but midfield and attack come before the back line.",
                f"Flat out to the ball: {times}.")


def _there(plan: Plan, race: Race, first: str) -> str:
    """His time by both clocks that a learner meets; who could be there before him, and why he stays."""
    braked_s, stays = plan.assignments[first].arrival_s, race.first(1)[0]
    words = f"{first} is there in {race.time_s(first):.1f} s flat out; to react, run and stop takes {braked_s:.1f} s."
    if stays == first or not race.needed_behind(stays, first):
        return words
    return f"{words} {stays} could be there sooner, in {race.time_s(stays):.1f} s, but {_line_job(plan, stays)}."


def _line_job(plan: Plan, number: str) -> str:
    """What the plan wants of a back-line player instead."""
    job = plan.assignments[number]
    return f"stays in the back line, to {f'mind their {job.mark}' if job.mark else job.duty}"


# -- A rule of one's own.

_known_rule = lru_cache(maxsize=16)(check_rule)  # an exercise asks it of its own again and again


@dataclass(frozen=True)
class WriteRule(Judge):
    """Give a function of one situation that decides in the place of a stock rule.

    `decision` is named as in `Rulebook.with_rules`; `known` is a rule that does the job; `rule` is the second hint. On
    average over so many fresh `pictures` near the exercise's the `measure` of the plan, if not said otherwise the
    danger once the runs are made (D), must be lower than with the stock rule.
    """

    decision: str
    known: OwnRule
    rule: str
    measure: Callable[[Plan], float] = lambda plan: plan.danger[1]
    pictures: int = 12

    def read(self, answer: Any, plan: Plan) -> OwnRule | None:
        """A function; one that still gives `...` is not written yet."""
        if not callable(answer) or isinstance(answer, type):
            raise BadInput("This is no rule", todo="write a function of one situation: def my_rule(situation): ...")
        try:
            return None if answer(plan.situation) is ... else answer
        except (Exception, SystemExit):
            return answer  # the contract says where it fails

    def findings(self, plan: Plan, value: OwnRule) -> list[Finding]:
        """The promises of the contract, and if they are kept the comparison."""
        check = (_known_rule if value is self.known else check_rule)(value, self.decision)
        broken = [f"On the scene {p.scene!r} it fails: {p.words}. {p.cause}." for p in check.promises if not p.kept]
        if broken:
            return [Finding(False, words) for words in broken]
        return [Finding(True, f"The contract holds on all named scenes, {len(check.promises)} promises kept."),
                self._beats(plan, value)]

    def _beats(self, plan: Plan, rule: OwnRule) -> Finding:
        near = [plan.situation, *fresh_pictures(plan.situation, 0, self.pictures - 1, keep_formation=False)]
        both = plan.rulebook.with_rules(**{self.decision: rule}), plan.rulebook
        try:
            mine, stock = (np.array([*map(self.measure, plan_pictures(near, rules).values())]) for rules in both)
        except PressingError as error:
            return Finding(False, str(error))
        lower, mean = int((mine < stock).sum()), 100 * mine.mean() / stock.mean()
        words = (f"On {len(stock)} fresh pictures it is lower than the stock rule on {lower}, higher on "
                 f"{int((mine > stock).sum())}; on average {mean:.0f} % of it.")
        return Finding(bool(mine.mean() < stock.mean()), words)

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule of thumb, and where the stock rule stands on this picture."""
        return self.rule, f"By this measure the stock rule stands at {self.measure(plan):.2f} on this picture."

    def model(self, plan: Plan) -> OwnRule:
        return self.known

    def written(self, value: OwnRule) -> str:
        return getattr(value, "__name__", "a rule")
