"""One exercise of every kind, invented for the tests, with answers to try."""

from __future__ import annotations

from collections.abc import Mapping
from math import dist, hypot

from pressinglib.field.player import XY
from pressinglib.field.scene_file import scene
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.choices import Band, Choose, NameFault, OrderSteps, SetNumber
from pressinglib.teach.criteria import DenyOption, PlacePlayers, denies, few_moves, leaves_ball, stays_taken, taken
from pressinglib.teach.exercise import Exercise, Finding
from pressinglib.teach.line_questions import HoldStepDrop
from pressinglib.teach.press_questions import Race, SteerSide, WhoPresses, WriteRule
from pressinglib.teach.stand import MarkGaps
from tests.teach.keys.key import Key

WORKED = scene("worked scene")


def accounted(plan: Plan) -> dict[str, Finding]:
    """From each opponent to whether he is free."""
    return {opponent: Finding(word == "free", f"Their {opponent}: {word}.") for opponent, word in plan.account.items()}


def times(plan: Plan) -> Mapping[str, float]:
    race = Race(plan)
    return {number: race.time_s(number) for number in ("9", "10", "11", "7")}


def brake(plan: Plan) -> Band:
    """From the last metre in which he can stop to a second of walking more."""
    least = float(plan.rulebook.settings.running.braking_m(6.0))
    return Band(least, least + 0.5, least + 1.5)


def between_goal_and_neighbour(situation: Situation) -> XY:
    """1.5 m from the ball, half way round from the goal to the nearest opponent."""
    ball, goal = situation.ball_xy, situation.pitch.own_goal_xy
    others = [p for p in situation.possession if dist(p.xy, ball) > 2 and not p.is_goalkeeper]
    near = min(others, key=lambda p: (round(dist(p.xy, ball), 6), p.number)).xy
    ways = [((x - ball[0]) / dist((x, y), ball), (y - ball[1]) / dist((x, y), ball)) for x, y in (goal, near)]
    way = (ways[0][0] + ways[1][0], ways[0][1] + ways[1][1])
    return ball[0] + 1.5 * way[0] / hypot(*way), ball[1] + 1.5 * way[1] / hypot(*way)


def far_off(situation: Situation) -> XY:
    """Keeps the contract, and leaves the ball alone."""
    return situation.pitch.own_goal_xy[0] + 5.0, 0.0


def beside_their_2(plan: Plan) -> dict[str, XY]:
    """11, goal-side of him and a little inside."""
    x, y = plan.situation.player("possession", "2").xy
    return {"11": (x - 4.0, 0.9 * y)}


def with_fault() -> Situation:
    """The far-side winger has been drawn across the ball."""
    return WORKED.moved("pressing", "7", (14, 6))


KINDS = {
    "who_presses": Exercise("Who goes?", "Name him.", WORKED, WhoPresses(), "The ball."),
    "steer_side": Exercise("Side?", "Choose.", WORKED, SteerSide(), "The touchline."),
    "deny_option": Exercise("Where?", "Drag {cover} to deny {option}.", WORKED, DenyOption("11", "2"), "At {option}."),
    "choose": Exercise("Who is free?", "Name him.", WORKED,
                       Choose("opponent", accounted, "Everybody is accounted for.",
                              lambda plan: f"{len(plan.account)} opponents.", names_players=True), "Behind the ball."),
    "hold_step_drop": Exercise("The line?", "hold, step or drop.", scene("full-back on the ball"), HoldStepDrop(),
                               "The ball."),
    "order_steps": Exercise("Who is first?", "Order {names}.", WORKED,
                            OrderSteps(("9", "10", "11", "7"), times, "The first to the ball."), "The ball."),
    "set_number": Exercise("Where to brake?", "Metres.", WORKED,
                           SetNumber("m", brake, "He runs past.", "He walks.", "v squared by 2 b.",
                                     names_players=False), "The carrier."),
    "mark_gaps": Exercise("Which gaps?", "Pairs.", WORKED, MarkGaps(), "From the ball."),
    "name_fault": Exercise("What is wrong?", "Name it.", with_fault(),
                           NameFault("far side too narrow", ("flat cover", "block too long")), "The far side."),
    "place_players": Exercise("Where?", "Drag {numbers}.", WORKED,
                              PlacePlayers(("10", "11"), (denies("10", "6"), denies("11", "2"), leaves_ball("11")),
                                           "A cover takes the short pass away."), "Two men."),
    "move_players": Exercise("Who?", "Move one.", WORKED.moved("pressing", "11", (12, 8)),
                             PlacePlayers(("6", "7", "11"), (taken("2"), stays_taken(), few_moves(1)),
                                          "Out to him.", beside_their_2), "At their 2."),
    "write_rule": Exercise("A rule?", "Write it.", scene("build-up right"),
                           WriteRule("place_presser", between_goal_and_neighbour, "Between goal and neighbour.",
                                     pictures=6), "The nearest opponent."),
}

KEYS = {
    "who_presses": Key(wrong=("7", "1"), right=("9", 9)),
    "steer_side": Key(wrong=("right", "RIGHT"), right=("left", " Left")),
    "deny_option": Key(wrong=((0, 0), (34, 11)), right=((24, 27), (27, 28))),
    "choose": Key(wrong=("5", "12"), right=("1", 1)),
    "hold_step_drop": Key(wrong=("hold", "step"), right=("drop", "Drop ")),
    "order_steps": Key(wrong=("7 9 10 11", "9, 10, 11"), right=("9 10 11 7", ["9", 10, "11", 7])),
    "set_number": Key(wrong=(1, "9 m"), right=(3.5, "3,9 m")),
    "mark_gaps": Key(wrong=("9-10", "none"), right=("9-10, 10-11", "11-10 and 10/9")),
    "name_fault": Key(wrong=("flat cover", "block too long"),
                      right=("far side too narrow", "FAR side too narrow")),
    "place_players": Key(wrong=({"10": (20, 1)}, {"10": (0, 0), "11": (24, 27)}),
                         right=({10: (20, 1), 11: (24, 27)}, {"10": (21, 1), "11": (27, 28)})),
    "move_players": Key(wrong=({"11": (0, 0)}, {"11": (23, 27), "7": (10, -18)}),
                        right=({"11": (23, 27)}, {11: (25, 27)})),
    "write_rule": Key(wrong=(far_off, lambda situation: "forward"),
                      right=(between_goal_and_neighbour, lambda situation: between_goal_and_neighbour(situation))),
}
