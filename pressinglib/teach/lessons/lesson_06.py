"""Lesson 06: the back line and the goalkeeper: hold, step or drop, offside, the ball over the top.

All scenes are invented. Offside is Law 11 (IFAB, grade A); the races are own arithmetic on the clocks of the rulebook.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from pressinglib.field.player import XY
from pressinglib.field.scenes import scene
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import arrival_time
from pressinglib.physics.offside import offside_line_m
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import Settings
from pressinglib.teach.choose import Choose
from pressinglib.teach.criteria import Criterion, in_line, near, no_fault
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.hold_step_drop import HoldStepDrop
from pressinglib.teach.place_players import PlacePlayers
from pressinglib.teach.stand import Stand
from pressinglib.teach.verdict import Finding

KEEPER, BACK_FOUR = "1", ("2", "5", "4", "3")
RUNNER, LINE, GOALKEEPER = "runner", "line", "keeper"
BEHIND_M, LOFT_DEG = 12.0, 25.0  # where the ball over the top comes down, and how steep it is played (D)
SWEEP_M = 15.0  # how far off his goal the keeper of the solution stands (D)


def _open() -> Situation:
    """Their 10 has turned and runs; our midfield and forwards are behind him, their 9 starts at the line."""
    ours = {"1": (-49.5, 0.5), "8": (9, -9), "6": (10, 10), "7": (12, -19), "11": (12, 20), "9": (25, -4),
            "10": (24, 7), "2": (-20, -15), "5": (-22, -5), "4": (-22, 5), "3": (-20, 15)}
    theirs = {"10": (0.0, 1.0), "9": (-20, -1), "8": (14, 11), "6": (15, -9), "7": (-10, 14), "11": (-11, -15)}
    runs = {"10": (-4.0, 0.0), "9": (-6.0, 0.0)}
    picture = scene("behind the midfield")
    for number, xy in ours.items():
        picture = picture.moved("pressing", number, xy)
    for number, xy in theirs.items():
        picture = picture.moved("possession", number, xy)
    runners = tuple(replace(p, velocity=runs.get(p.number, (0.0, 0.0))) for p in picture.possession)
    return replace(picture, possession=runners, ball_velocity=(-4.0, 0.0))


def _back_pass() -> Situation:
    """Their left back plays back to 4: the ball is on its way."""
    return replace(scene("full-back on the ball"), carrier=None, receiver="4", ball_velocity=(8.0, 12.7))


def _hanging() -> Situation:
    """2 hangs behind the line; their 9 is past the centre-backs, their 11 past 2."""
    picture = scene("build-up left").moved("pressing", "2", (-12, -15))
    return picture.moved("possession", "9", (-9, 3)).moved("possession", "11", (-14, -24))


# -- what the engine is asked --------------------------------------------------------------------------------------


def offside_men(plan: Plan) -> dict[str, Finding]:
    """Each opponent in front, whether he is past the second-last of ours, the ball and the halfway line."""
    s = plan.situation
    line = offside_line_m(s)
    found = {}
    for man in sorted(s.possession, key=lambda p: p.xy[0])[:5]:
        past_m = line - man.xy[0]
        where = f"{past_m:.1f} m past" if past_m > 0 else f"{-past_m:.1f} m short of"
        found[man.number] = Finding(past_m > 0, f"Their {man.number} is {where} the offside line: "
                                    f"{'offside' if past_m > 0 else 'onside'}.")
    return found


def _off_goal_line_m(situation: Situation) -> float:
    return offside_line_m(situation) + situation.pitch.length_m / 2


def landing(situation: Situation) -> XY:
    """Where the ball over the top comes down: behind the line, a little to the ball's side."""
    line = min(situation.player("pressing", number).xy[0] for number in BACK_FOUR)
    return max(line - BEHIND_M, 2.0 - situation.pitch.length_m / 2), 0.3 * situation.ball_xy[1]


def race_s(situation: Situation, settings: Settings) -> dict[str, float]:
    """Seconds to the landing place: the first runner with the ball, the first of the line, the goalkeeper."""
    place, limit_x = landing(situation), offside_line_m(situation)

    def first(players: list[tuple[XY, XY]], reaction_s: float, reach_m: float) -> float:
        xy, velocity = (np.array(part, dtype=float) for part in zip(*players, strict=True))
        return float(arrival_time(xy, velocity, place, settings.alpha_per_s, settings.top_speed_mps, reaction_s,
                                  reach_m).min())

    runners = [(p.xy, p.velocity) for p in situation.possession if p.xy[0] >= limit_x and p.number != situation.on_ball]
    line = [(p.xy, p.velocity) for p in situation.pressing if p.number in BACK_FOUR]
    keeper = [(situation.player("pressing", KEEPER).xy, (0.0, 0.0))]
    away_m = float(np.hypot(*(np.array(place) - situation.ball_xy)))
    ball_s = float(lofted_time(away_m, settings.switch_mps, LOFT_DEG))
    return {RUNNER: max(first(runners, 0.0, 0.0), ball_s), LINE: first(line, settings.reaction_s, settings.reach_m),
            GOALKEEPER: first(keeper, settings.reaction_s, settings.reach_m)}


def first_at_the_ball(plan: Plan) -> dict[str, Finding]:
    """Runner, line or goalkeeper: who is first where the ball comes down."""
    times = race_s(plan.situation, plan.rulebook.settings)
    words = f"Runner {times[RUNNER]:.1f} s, line {times[LINE]:.1f} s, keeper {times[GOALKEEPER]:.1f} s."
    best = min(times.values())
    return {name: Finding(s == best, words) for name, s in times.items()}


def sweeps(number: str) -> Criterion:
    """He is at the ball over the top before the runner, standing where he stands."""
    def criterion(stand: Stand) -> Finding:
        times = race_s(stand.situation, stand.plan.rulebook.settings)
        early_s = times[RUNNER] - times[GOALKEEPER]
        return Finding(early_s >= 0, f"{number} is {abs(early_s):.1f} s "
                       f"{'before' if early_s >= 0 else 'after'} the runner.")

    return criterion


def stays_home(number: str, room_m: float = 8.0) -> Criterion:
    """He keeps room to his own line, and the space behind it is his to sweep."""
    def criterion(stand: Stand) -> Finding:
        line = min(stand.own(other)[0] for other in BACK_FOUR)
        between_m = line - stand.own(number)[0]
        return Finding(between_m >= room_m, f"{between_m:.0f} m between {number} and the line"
                       + ("." if between_m >= room_m else f": {room_m:.0f} m at least."))

    return criterion


def on_the_line(away_m: float) -> Callable[[Stand], XY]:
    """A place on the line from the own goal to the ball, so far off the goal; or where he stands along it."""
    def place(stand: Stand) -> XY:
        goal, ball = np.array(stand.situation.pitch.own_goal_xy), np.array(stand.situation.ball_xy)
        way = (ball - goal) / np.hypot(*(ball - goal))
        along_m = away_m or float((np.array(stand.own(KEEPER)) - goal) @ way)
        x, y = goal + along_m * way
        return float(x), float(y)

    return place


# -- the exercises -------------------------------------------------------------------------------------------------

open_ball = Exercise(
    "What does the line do?", "Write hold, step or drop.", _open(), HoldStepDrop(),
    "Look at their 10: who can get at him?")

back_pass = Exercise(
    "And now?", "Write hold, step or drop.", _back_pass(), HoldStepDrop(),
    "Look which way the ball travels.")

offside = Exercise(
    "Who is offside?", "Their 5 passes now. Write the number of one of theirs who is offside.", _hanging(),
    Choose("opponent in front", offside_men, "Count from your goal: the keeper is the last, who is the second-last?",
           lambda plan: f"The offside line is {_off_goal_line_m(plan.situation):.0f} m from your goal line.",
           players=True),
    "Look for the deepest of your back four.")

mend_line = Exercise(
    "Who plays him onside?", "Drag 2 so that the line is a line again.", _hanging(),
    PlacePlayers(("2",), (in_line(*BACK_FOUR), no_fault("broken line")),
                 "With a covered ball the line stands on one height: 2 m from first to last at most.",
                 lambda plan: {"2": (plan.situation.player("pressing", "5").xy[0] + 0.5,
                                     plan.situation.player("pressing", "2").xy[1])}),
    "Look along the back four.")

over_top = Exercise(
    "Who is first?", "Write runner, line or keeper: first where the ball comes down, 12 m behind the line.", _open(),
    Choose("choice", first_at_the_ball, "Their 9 runs already; yours must turn, and need 0.3 s to see it.",
           lambda plan: f"The runner has it after {race_s(plan.situation, plan.rulebook.settings)[RUNNER]:.1f} s.",
           players=True),
    "Look at their 9, and how far the goalkeeper has to come.")

keeper_height = Exercise(
    "How high does the goalkeeper stand?", "Drag 1: first at the ball over the top, and not chipped.", _open(),
    PlacePlayers((KEEPER,), (sweeps(KEEPER), stays_home(KEEPER), no_fault("keeper too high"),
                             near(KEEPER, on_the_line(0.0), 2.0, "the ball-goal line")),
                 "Come up on the line from ball to goal, until you win the race behind your line.",
                 lambda plan: {KEEPER: on_the_line(SWEEP_M)(Stand(plan, plan.situation))}),
    "Look at the space between your line and your goal.")
