"""Lesson 06: the back line and the goalkeeper: hold, step or drop, offside, the ball over the top.

All scenes are invented. Offside is Law 11 (IFAB, grade A); the races are own arithmetic on the clocks of the rulebook.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from pressinglib import Plan, Situation
from pressinglib.field.player import XY
from pressinglib.physics.lanes import offside_line_m
from pressinglib.tables import Table
from pressinglib.teach import Choose, Finding, HoldStepDrop, PlacePlayers, Stand, asks_of, criterion
from pressinglib.teach.choices import soonest
from pressinglib.teach.criteria import in_line, near, no_fault
from pressinglib.teach.line_questions import KEEPER, LINE, RUNNER, offside_seen, race_s, stays_home, sweeps
from pressinglib.teach.pictures import drawn, placed, towards
from pressinglib.teach.prices import COUNTED, TITLE, beside, more

ask = asks_of("lesson_06.md")
BACK_FOUR = ("2", "5", "4", "3")
SLOW_MPS = 6.0  # of a slow line; the usual 7.8 m/s are the rulebook's (D)
SWEEP_M = 15.0  # how far off his goal the keeper of the solution stands (D)


def _level_with_5(stand: Stand) -> XY:
    """As high as 5, as far out as 2 stood at first."""
    return stand.own("5")[0] + 0.5, stand.plan.situation.player("pressing", "2").xy[1]


@criterion
def catches(stand: Stand, man: str) -> Finding:
    """An opponent is in an offside position, as ours stand."""
    past_m = round(offside_line_m(stand.situation) - stand.opponent(man)[0], 1)
    where = f"{abs(past_m):.1f} m {'past' if past_m > 0 else 'short of'}" if past_m else "level with"
    words = f"Their {man} is {where} the offside line: {'an offside position' if past_m > 0 else 'onside'}."
    return Finding(past_m > 0, words, seen=offside_seen(stand.situation))


def offside_men(plan: Plan) -> dict[str, Finding]:
    """Each opponent in front, whether he is past the second-last of ours, the ball and the halfway line."""
    front = sorted(plan.situation.possession, key=lambda p: p.xy[0])[:5]
    return {p.number: catches(p.number)(Stand(plan, plan.situation)) for p in front}


def first_at_the_ball(plan: Plan) -> dict[str, Finding]:
    """Runner, line or goalkeeper: who is first where the ball comes down."""
    times = race_s(plan.situation, plan.rulebook.settings)
    words = f"Runner {times[RUNNER]:.1f} s, line {times[LINE]:.1f} s, keeper {times[KEEPER]:.1f} s."
    return soonest(times, lambda name: words)


def on_the_line(away_m: float) -> Callable[[Stand], XY]:
    """A place on the line from the own goal to the ball, so far off the goal; or where he stands along it."""
    def place(stand: Stand) -> XY:
        goal, ball = stand.situation.pitch.own_goal_xy, stand.situation.ball_xy
        way = np.array(towards(goal, ball, 1.0)) - goal
        return towards(goal, ball, away_m or float((np.array(stand.own("1")) - goal) @ way))

    return place


def price_of_eight() -> Table:
    """What games that are played on from the open ball come to: only what sets the two ways apart."""
    rows = [(four, *(more(beside(name, "drop eight", column)) for column in (1, 2)))
            for four, name in (("as usual", "price_06"), ("slow", "price_06_slow"))]
    return Table(("your four", *[*COUNTED][:2]), rows, {}, TITLE)


def slow(situation: Situation) -> Situation:
    """The picture with a back four that runs no faster than that."""
    return replace(situation, pressing=tuple(replace(p, top_speed_mps=SLOW_MPS) if p.number in BACK_FOUR else p
                                             for p in situation.pressing))


open_ball = ask("open_ball", drawn("open ball"), HoldStepDrop())

covered = ask("covered", drawn("covered ball"), HoldStepDrop())

back_pass = ask("back_pass", drawn("played back"), HoldStepDrop(),
    others=(drawn("played inside to 10"), drawn("played on to 11")))

offside = ask("offside", drawn("hanging behind"), Choose, "opponent in front", offside_men,
    far=lambda plan: f"The offside line is {offside_line_m(plan.situation) + plan.situation.pitch.length_m / 2:.0f} m "
                     "from your goal line.",
    others=(placed(drawn("hanging behind"), {"2": (-6, -15)}, {"9": (-8.5, 3), "11": (-4, -24)}),))

mend = ask("mend", drawn("hanging behind"), PlacePlayers, ("2",),
    (in_line(*BACK_FOUR), catches("9"), near("2", _level_with_5, 8.0, "the right back's spot")),
    places=lambda plan: {"2": _level_with_5(Stand(plan, plan.situation))})

over_top = ask("over_top", drawn("open ball"), Choose, "choice", first_at_the_ball,
    far=lambda plan: f"The runner has it after {race_s(plan.situation, plan.rulebook.settings)[RUNNER]:.1f} s.")

slow_line = ask("slow_line", slow(drawn("covered ball")), Choose, "choice", first_at_the_ball,
    far=lambda plan: f"The line needs {race_s(plan.situation, plan.rulebook.settings)[LINE]:.1f} s.")

keeper_height = ask("keeper_height", drawn("open ball"), PlacePlayers, ("1",),
    (sweeps("1"), stays_home("1"), no_fault("keeper too high"),
     near("1", on_the_line(0.0), 2.0, "the line from ball to goal")),
    places=lambda plan: {"1": on_the_line(SWEEP_M)(Stand(plan, plan.situation))},
    others=tuple(placed(drawn("open ball"), {}, {"10": (0, y)}) for y in (26, -26)))
