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
from pressinglib.teach import Band, Choose, Finding, PlacePlayers, SetNumber, SteerSide, side_by_side
from pressinglib.teach.choices import NO_BAND
from pressinglib.teach.criteria import hides, presses
from pressinglib.teach.explanation import asks_of
from pressinglib.teach.lessons import lesson_00, lesson_02
from pressinglib.teach.pictures import drawn, in_tenths, placed, towards

ask = asks_of("lesson_03.md")
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


EARLIER = (lesson_00.who_goes, lesson_02.in_time)  # asked again, on fresh pictures

which_side = ask("which_side", scene("full-back on the ball"), SteerSide())

other_side = ask("other_side", scene("back five"), SteerSide())

what_angle = ask("what_angle", scene("against a back three"), SetNumber, "degrees", angles_that_hide,
    others=(_inside((22, 4), (24, 16)), _inside((20, 8), (24, 20))))

who_is_hidden = ask("who_is_hidden", _arrived(scene("build-up right"), "9", -62.0), Choose, "opponent", in_shadow,
    far=_hidden_now, names_players=True)

end_spot = ask("end_spot", scene("build-up left"), PlacePlayers, ("10",), (presses("10"), hides("10", "4")),
    places=lambda plan: {"10": end_at(plan.situation, 74.0 if plan.steer == "left" else -74.0)})

near_goal = ask("near_goal", drawn("in front of the box"), Choose, "run", run_choices,
    far=lambda plan: f"The goal is {float(plan.picture.ball_goal_m[0]):.0f} m away.")
