"""Lesson 00: who goes to the ball, to which side he steers the carrier, and who takes the short pass away.

All scenes are invented. Shapes and heights are common practice.
"""

from __future__ import annotations

from pressinglib import Plan, Rulebook, Settings, Situation, plan_press, scene
from pressinglib.roles.settings import DUTIES, GUARD_FAR_SIDE
from pressinglib.tables import Table
from pressinglib.teach import Choose, DenyOption, Exercise, Finding, SteerSide, WhoPresses, jobs, side_by_side
from pressinglib.teach.pictures import placed


def _full_back_steps_up() -> Situation:
    """Their 2 brings the ball up our left; our full-back is nearest to him, the winger a little further off."""
    ball_up = scene("worked scene").moved("possession", "2", (13, 30)).with_ball((12, 30), carrier="2")
    return placed(ball_up, {"3": (3, 25), "11": (13, 17), "4": (-8, 11), "5": (-8, 0), "2": (-6, -11), "6": (2, 4),
                            "8": (4, -3), "7": (10, -10), "10": (16, 8), "9": (24, 8)}, {"7": (-5, 28)})


def _one_is_missing() -> Situation:
    """Everybody has made his run but 8, who has watched the ball."""
    return placed(scene("build-up right"), {
        "1": (-28.5, -3.5), "2": (-5, -24), "5": (-5.5, -12), "4": (-5.5, 0), "3": (-5, 13.5), "6": (4, 0),
        "7": (27.5, -28), "9": (33, -10.7), "10": (21.5, 6.5), "11": (25, 20)})


def who_does_what() -> Table:
    """Everybody's job in the whole press."""
    return jobs(stays_out.plan)


def nearest_beside() -> Table:
    """The plan beside the one in which the nearest goes, whoever he is."""
    anyone = plan_press(who_goes.situation, Rulebook(Settings(pressers="anyone")))
    return side_by_side({"midfield and attack first": who_goes.plan, "the nearest": anyone})


def _guards(plan: Plan) -> dict[str, Finding]:
    """Each of midfield and attack, whether he guards the far side."""
    front = (job for job in plan.assignments.values() if job.role in ("pressure", "cover", "balance"))
    return {job.number: Finding(job.duty == DUTIES[GUARD_FAR_SIDE], f"{job.number}'s job here is to {job.duty}.")
            for job in front}


def _far_limit(plan: Plan) -> str:
    return f"He may be {plan.far_side_limit_m or 0.0:.0f} m from his man over there while a switch is in the air."


who_goes = Exercise(
    "Who goes?", "Click the one of yours who goes to the ball.",
    _full_back_steps_up(), WhoPresses(),
    "Look at the two who are nearest to the ball. In which line does each of them play?")

stays_out = Exercise(
    "Who stays out?", "Click the one of midfield and attack who guards the far side.",
    scene("worked scene"), Choose(
        "player", _guards, "The last one left, when presser and covers are gone and the gaps are filled.", _far_limit),
    "Look away from the ball: if they switch it, who can be there?")

which_side = Exercise(
    "To which side?", "Choose the side to which your presser steers the man on the ball.",
    scene("build-up right"), SteerSide(),
    "Look for the pass you fear most: the short square one. Then look for the touchline.")

place_the_cover = Exercise(
    "Where does the cover stand?", "Move {cover} so that the pass into their {option} isn't on.",
    _one_is_missing(), DenyOption("8", "6"), "Look along the line from the ball to their {option}.")

the_switch = Exercise(
    "And after the switch?", "Click the one of yours who goes now.",
    scene("worked scene").with_ball((26, -30), carrier="3"), WhoPresses(),
    "Look for whoever stayed out on that side.")
