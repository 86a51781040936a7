"""Choose a player: who goes to the ball."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.teach.answers import one_of
from pressinglib.teach.judge import Judge
from pressinglib.teach.race import Race
from pressinglib.teach.verdict import Finding

NOBODY = "nobody"
SAME_S = 0.1  # who is there this little later is as good an answer: no eye can tell (own choice, D)


@dataclass(frozen=True)
class WhoPresses(Judge):
    """Name the presser, or "nobody" where the rules let nobody go."""

    def read(self, answer: Any, situation: Situation) -> str:
        """A number of the pressing team, or "nobody"."""
        return one_of(answer, [*(p.number for p in situation.pressing), NOBODY], "player")

    def findings(self, plan: Plan, value: str) -> list[Finding]:
        """Right for the presser, and for whoever may go and is there as soon."""
        first, race = plan.presser, Race(plan)
        if first is None:
            return [Finding(value == NOBODY, "The ball is not there to be pressed: nobody goes, the block holds.")]
        if value == first:
            return [Finding(True, f"{_there(plan, race, first)}{_sooner(plan, race, first)}")]
        if value == NOBODY:
            return [Finding(False, f"{first} can be at the ball in {race.time_s(first):.1f} s: somebody has to go.")]
        if value in race.keepers:
            return [Finding(False, f"{value} is the goalkeeper: he stays to sweep behind the line.")]
        return [_compared(plan, race, value, first)]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and the times of the three who could be there first."""
        race = Race(plan)
        times = ", ".join(f"{number} in {race.time_s(number):.1f} s" for number in race.first(3))
        return ("The first who can get there goes, but midfield and attack come before the back line.",
                f"Flat out to the ball: {times}.")

    def model(self, plan: Plan) -> str:
        """The plan's presser."""
        return plan.presser or NOBODY

    def played(self, plan: Plan, value: str) -> Plan:
        """The plan with him as the presser."""
        goes = None if value == NOBODY else value
        return plan_press(plan.situation, plan.rulebook.with_rules(choose_presser=lambda situation: goes))

    @property
    def names_players(self) -> bool:
        """It asks about whoever is there."""
        return False

    @property
    def turns(self) -> bool:
        """Somebody else may go."""
        return True


def _there(plan: Plan, race: Race, first: str) -> str:
    """His time, by both clocks that a learner meets."""
    braked_s = plan.assignments[first].arrival_s
    return f"There in {race.time_s(first):.1f} s flat out, in {braked_s:.1f} s with reaction and braking."


def _sooner(plan: Plan, race: Race, first: str) -> str:
    """Who could be there before the presser, and why he stays."""
    stays = race.first(1)[0]
    if stays == first or not _needed_behind(race, stays, first):
        return ""
    return f" {stays} could be there sooner, in {race.time_s(stays):.1f} s, but {_his_job(plan, stays)}."


def _needed_behind(race: Race, number: str, first: str) -> bool:
    """Whether the rule keeps him in the back line because somebody in front of it is soon enough."""
    return race.in_back_line(number) and not race.in_back_line(first)


def _his_job(plan: Plan, number: str) -> str:
    """What the plan wants of a back-line player instead."""
    job = plan.assignments[number]
    his = f"his man is their {job.mark}" if job.mark else f"his job is to {job.duty}"
    return f"he plays in the back line and {his}"


def _compared(plan: Plan, race: Race, number: str, first: str) -> Finding:
    """Another player than the plan's presser: as good, too late, needed in the line, or on the wrong side."""
    own_s, first_s = race.time_s(number), race.time_s(first)
    both = f"{number} could be there in {own_s:.1f} s, {first} in {first_s:.1f} s"
    if own_s > first_s + SAME_S:
        return Finding(False, f"{both}: {number} is {own_s - first_s:.1f} s too late.")
    if _needed_behind(race, number, first):
        return Finding(False, f"{both}: soon enough. {number} stays: {_his_job(plan, number)}.")
    if race.goal_side(number) < race.goal_side(first):
        return Finding(False, f"{both}. But {number} is not goal-side: he would have to run round the carrier.")
    return Finding(True, f"{number} is there as soon as {first}.")
