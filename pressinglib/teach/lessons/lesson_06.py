"""Lesson 06: the back line and the goalkeeper: hold, step or drop, offside, the ball over the top.

All scenes are invented. Offside is Law 11 (IFAB, grade A); the races are own arithmetic on the clocks of the rulebook.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from pressinglib import Plan, Rulebook, Settings, Situation, plan_press, scene
from pressinglib.field.player import XY
from pressinglib.physics.lanes import offside_line_m
from pressinglib.tables import Table
from pressinglib.teach import (
    Choose,
    Exercise,
    Finding,
    HoldStepDrop,
    PlacePlayers,
    Stand,
    criterion,
    side_by_side,
)
from pressinglib.teach.criteria import in_line, near, no_fault
from pressinglib.teach.lessons import lesson_03, lesson_05
from pressinglib.teach.line_questions import KEEPER, LINE, RUNNER, race_s, stays_home, sweeps
from pressinglib.teach.pictures import Places, pass_on_its_way, placed, running, towards

OUR_1, BACK_FOUR = "1", ("2", "5", "4", "3")
SAME_S = 0.1  # no eye can tell less
SWEEP_M = 15.0  # how far off his goal the keeper of the solution stands (D)


def _running(picture: Situation, runs: Places) -> Situation:
    """The picture with these of theirs running, and everybody else of theirs standing."""
    return running(picture, {}, {p.number: runs.get(p.number, (0.0, 0.0)) for p in picture.possession})


def _open() -> Situation:
    """Their 10 has turned and runs; of midfield and attack only 7 is back, far out; their 9 starts at the line."""
    picture = placed(scene("behind the midfield"),
                      {"1": (-49.5, 0.5), "8": (9, -9), "6": (10, 10), "7": (-12, -25), "11": (12, 20), "9": (25, -4),
                       "10": (24, 7), "2": (-22.8, -15), "5": (-23.7, -5), "4": (-23.7, 5), "3": (-22.8, 15)},
                      {"10": (0.0, 1.0), "9": (-21.6, -4), "8": (14, 11), "6": (15, -9), "7": (-10, 14),
                       "11": (-11, -15)})
    return replace(_running(picture, {"10": (-4.0, 0.0), "9": (-6.0, 0.0)}), ball_velocity=(-4.0, 0.0))


def _covered() -> Situation:
    """Their 3 is held at the touchline by our 7, and their 9 starts all the same."""
    picture = placed(scene("full-back on the ball"),
                      {"1": (-31, -8), "7": (20.1, -29.5), "8": (7.6, -19), "9": (29, -11), "10": (18.5, -7),
                       "11": (15, 6), "6": (3, -13), "2": (-2.5, -29), "5": (-6, -21), "4": (-6.5, -9.5), "3": (-5, 2)})
    return _running(picture, {"9": (-5.0, 0.0)})


def _back_pass() -> Situation:
    """He has played back to their 4: the ball is on its way."""
    return replace(_running(_covered(), {}), carrier=None, receiver="4", ball_xy=(23.4, -27.9),
                   ball_velocity=(8.0, 12.7))


def _played_on(to: str) -> Situation:
    """He has played on, and not back."""
    return pass_on_its_way(_running(_covered(), {}), to, 4.0, 15.0)


def _hanging() -> Situation:
    """10 is on the ball, and 2 hangs behind the line; their 9 is past the centre-backs, their 11 past 2."""
    return placed(scene("build-up left"), {"10": (35.0, 11.5), "2": (-12, -15)}, {"9": (-9, 3), "11": (-14, -24)})


def offside_men(plan: Plan) -> dict[str, Finding]:
    """Each opponent in front, whether he is past the second-last of ours, the ball and the halfway line."""
    s = plan.situation
    line = offside_line_m(s)
    front = sorted(s.possession, key=lambda p: p.xy[0])[:5]
    return {p.number: Finding(line > p.xy[0], f"Their {p.number} is {_past(line - p.xy[0])}.") for p in front}


@criterion
def catches(stand: Stand, man: str) -> Finding:
    """An opponent is in an offside position, as ours stand."""
    past_m = offside_line_m(stand.situation) - stand.opponent(man)[0]
    return Finding(past_m > 0, f"Their {man} is {_past(past_m)}.")


def _past(past_m: float) -> str:
    if past_m == 0:
        return "level with the offside line: onside"
    return f"{past_m:.1f} m past the offside line: an offside position" if past_m > 0 else \
        f"{-past_m:.1f} m short of the offside line: onside"


def _off_goal_line_m(situation: Situation) -> float:
    return offside_line_m(situation) + situation.pitch.length_m / 2


def first_at_the_ball(plan: Plan) -> dict[str, Finding]:
    """Runner, line or goalkeeper: who is first where the ball comes down."""
    times = race_s(plan.situation, plan.rulebook.settings)
    words = f"Runner {times[RUNNER]:.1f} s, line {times[LINE]:.1f} s, keeper {times[KEEPER]:.1f} s."
    return {name: Finding(s <= min(times.values()) + SAME_S, words) for name, s in times.items()}


def on_the_line(away_m: float) -> Callable[[Stand], XY]:
    """A place on the line from the own goal to the ball, so far off the goal; or where he stands along it."""
    def place(stand: Stand) -> XY:
        goal, ball = stand.situation.pitch.own_goal_xy, stand.situation.ball_xy
        way = np.array(towards(goal, ball, 1.0)) - goal
        return towards(goal, ball, away_m or float((np.array(stand.own(OUR_1)) - goal) @ way))

    return place


def brave_or_early() -> Table:
    """A drop by one metre beside one by eight."""
    return side_by_side({f"{m} m": plan_press(open_ball.situation, Rulebook(Settings(line_drop_m=m))) for m in (1, 8)})


EARLIER = (lesson_03.who_is_hidden, lesson_05.far_side)  # asked again, on fresh pictures

open_ball = Exercise(
    "What does the line do?", "Choose what your back line does.", _open(), HoldStepDrop(),
    "Look at their 10: who can get at him?")

covered = Exercise(
    "The same run, and now?", "Choose what your back line does.", _covered(), HoldStepDrop(),
    "Look at the man on the ball: has he time to lift his head?")

back_pass = Exercise(
    "And a second later?", "Choose what your back line does.", _back_pass(), HoldStepDrop(turns=False),
    "Look which way the ball travels.", others=(_played_on("10"), _played_on("11")))

offside = Exercise(
    "Who is offside?", "Their 5 passes now. Click one of theirs who is in an offside position.", _hanging(),
    Choose("opponent in front", offside_men, "Count from your goal line: 1 is the last, who is the second-last?",
           lambda plan: f"The offside line is {_off_goal_line_m(plan.situation):.0f} m from your goal line.",
           names_players=True),
    "Look for the deepest of your back four.",
    others=(placed(_hanging(), {"2": (-6, -15)}, {"9": (-8.5, 3), "11": (-4, -24)}),))

mend = Exercise(
    "Who plays him onside?", "Move 2 so that the line is a line again, and their 9 is caught.", _hanging(),
    PlacePlayers(("2",), (in_line(*BACK_FOUR), catches("9")),
                 "With a covered ball the line stands level: 2 m from first to last at most.",
                 lambda plan: {"2": (plan.situation.player("pressing", "5").xy[0] + 0.5,
                                     plan.situation.player("pressing", "2").xy[1])}),
    "Look along the back four.")

over_top = Exercise(
    "Who is first?", "Choose who is first where the ball comes down, 12 m behind the line.", _open(),
    Choose("choice", first_at_the_ball, "Their 9 runs already; yours must turn, and need 0.3 s to see it.",
           lambda plan: f"The runner has it after {race_s(plan.situation, plan.rulebook.settings)[RUNNER]:.1f} s.",
           names_players=True),
    "Look at their 9, and how far the goalkeeper has to come.")

keeper_height = Exercise(
    "How high does the goalkeeper stand?", "Move 1: first at the ball over the top, and not chipped.", _open(),
    PlacePlayers((OUR_1,), (sweeps(OUR_1), stays_home(OUR_1), no_fault("keeper too high"),
                             near(OUR_1, on_the_line(0.0), 2.0, "the ball-goal line")),
                 "Come up on the line from ball to goal, until you win the race behind your line.",
                 lambda plan: {OUR_1: on_the_line(SWEEP_M)(Stand(plan, plan.situation))}, turns=False),
    "Look at the space between your line and your goal.")
