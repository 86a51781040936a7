"""Lesson 03: on what angle the presser comes, and what his shadow does.

All scenes are invented. No study was found that ties the approach angle to success: this is geometry.
"""

from __future__ import annotations

import numpy as np

from pressinglib import Plan, Rulebook, Settings, Situation, plan_press, scene
from pressinglib.field.player import XY
from pressinglib.physics import shadowed
from pressinglib.roles.presser import offset_limit_deg
from pressinglib.tables import Table
from pressinglib.teach import Band, Choose, Exercise, Finding, PlacePlayers, SetNumber, SteerSide, side_by_side
from pressinglib.teach.choices import NO_BAND
from pressinglib.teach.criteria import hides, presses
from pressinglib.teach.lessons import lesson_00, lesson_02
from pressinglib.teach.pictures import in_tenths, placed, towards

SQUARE_MAN = "4"
STRAIGHT, CURVED = "straight", "curved"


def _arrived(situation: Situation, number: str, angle_deg: float) -> Situation:
    """The picture with the presser at arm's length, so many degrees off the ball-goal line, to the right positive."""
    return situation.moved("pressing", number, in_tenths(end_at(situation, angle_deg)))


def end_at(situation: Situation, angle_deg: float, away_m: float = 1.5) -> XY:
    """A place near the ball, off the line to the own goal towards -y."""
    ball = np.array(situation.ball_xy)
    x, y = towards(situation.ball_xy, situation.pitch.own_goal_xy, away_m) - ball
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    return float(ball[0] + c * x - s * y), float(ball[1] + s * x + c * y)


def angles_that_hide(plan: Plan) -> Band:
    """At which angles off the ball-goal line the square man is in the trusted shadow, within the limit of the third."""
    s, side = plan.situation, 1.0 if plan.steer == "left" else -1.0
    man, trusted = s.player("possession", SQUARE_MAN).xy, plan.rulebook.settings.trusted_shadow_deg
    limit = float(offset_limit_deg(plan.picture)[0])
    tries = np.arange(0.0, limit + 0.5, 1.0)
    hidden = np.array([bool(shadowed(end_at(s, side * deg), s.ball_xy, [man], trusted)[0]) for deg in tries])
    if not hidden.any():
        return NO_BAND
    low, high = float(tries[hidden][0]), float(tries[hidden][-1])
    return Band(low, (low + high) / 2, high)


def in_shadow(plan: Plan) -> dict[str, Finding]:
    """Each opponent, whether 9 hides him from the ball as he stands."""
    s, trusted = plan.situation, plan.rulebook.settings.trusted_shadow_deg
    ball, presser = np.array(s.ball_xy), np.array(s.player("pressing", "9").xy)
    axis = presser - ball
    found = {}
    for man in s.possession:
        way = np.array(man.xy) - ball
        if man.number == s.on_ball or man.is_goalkeeper:
            continue
        off_deg = float(np.degrees(np.arccos(np.clip(axis @ way / np.hypot(*axis) / np.hypot(*way), -1, 1))))
        hidden = round(off_deg) <= trusted
        found[man.number] = Finding(hidden, f"Their {man.number} is {off_deg:.0f} degrees off the line through 9, "
                                    f"{trusted:g} is the limit: {'hidden' if hidden else 'open to a pass'}.")
    return found


def run_choices(plan: Plan) -> dict[str, Finding]:
    """Straight or curved, and how many degrees are allowed here."""
    limit = float(offset_limit_deg(plan.picture)[0])
    goal_m = float(plan.picture.ball_goal_m[0])
    words = f"The goal is {goal_m:.0f} m away: at most {limit:.0f} degrees off the ball-goal line."
    return {STRAIGHT: Finding(limit <= 20, words), CURVED: Finding(limit > 20, words)}


def _hidden_now(plan: Plan) -> str:
    found = in_shadow(plan)
    return f"Of their {len(found)} outfield players off the ball {sum(f.holds for f in found.values())} are hidden."


def outside_beside() -> Table:
    """Always outside beside to the surplus."""
    outside = plan_press(other_side.situation, Rulebook(Settings(steering="outside")))
    return side_by_side({"always outside": outside, "to the surplus": other_side.plan})


def _inside(xy: XY, eight: XY) -> Situation:
    """Their 4 has moved inside, and their 8 out of his way."""
    return placed(scene("against a back three"), {}, {"4": xy, "8": eight})


def _in_front_of_the_box() -> Situation:
    """Their 8 has come within 20 m of our goal, and our 6 stands before him."""
    ball_in = scene("low block").with_ball((-33, 6)).moved("possession", "8", (-32, 6)).with_ball((-33, 6), carrier="8")
    return placed(ball_in, {"6": (-37.5, 2.5), "4": (-41, 6), "5": (-41, -3)}, {"9": (-38.5, -1.5)})


EARLIER = (lesson_00.who_goes, lesson_02.in_time)  # asked again, on fresh pictures

which_side = Exercise(
    "To which side?", "Choose the side to which your presser steers the man on the ball.",
    scene("full-back on the ball"), SteerSide(), "Look how far the touchline is.")

other_side = Exercise(
    "And here?", "Choose the side to which your presser steers the man on the ball.", scene("back five"), SteerSide(),
    "Count yours and theirs on either side of the ball, within 25 m.")

what_angle = Exercise(
    "At what angle?", "Move the slider: how many degrees off the ball-goal line must 10 end to hide their 4?",
    scene("against a back three"), SetNumber(
        "degrees", angles_that_hide, "The pass to their 4 is still on.",
        "So far round he no longer stands between ball and goal, or his shadow has gone past their 4.",
        "The shadow reaches 20 degrees to either side of the line from the ball through the presser."),
    "Imagine a lamp in the ball: where does the shadow of 10 fall?",
    others=(_inside((22, 4), (24, 16)), _inside((20, 8), (24, 20))))

who_is_hidden = Exercise(
    "Whom does he hide?", "9 has arrived. Click one of theirs who is in his shadow.",
    _arrived(scene("build-up right"), "9", -62.0),
    Choose("opponent", in_shadow, "Draw the line from the ball through 9: 20 degrees to either side are hidden.",
           _hidden_now, names_players=True),
    "Lay a ruler on the ball and on 9.")

end_spot = Exercise(
    "Where does 10 end his run?", "Move 10: at the ball, goal-side, and their 4 in his shadow.",
    scene("build-up left"), PlacePlayers(
        ("10",), (presses("10"), hides("10", "4")),
        "End at arm's length, on the side of the pass that you want to shut.",
        lambda plan: {"10": end_at(plan.situation, 74.0 if plan.steer == "left" else -74.0)}),
    "Look along the line from their 5 to their 4.")

near_goal = Exercise(
    "Straight or curved?", "Choose how your presser comes.", _in_front_of_the_box(),
    Choose("run", run_choices, "Near your own goal the shot comes first: stay on the line from ball to goal.",
           lambda plan: f"The goal is {float(plan.picture.ball_goal_m[0]):.0f} m away."),
    "Look at what is behind the presser.")
