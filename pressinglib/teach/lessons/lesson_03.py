"""Lesson 03: on what angle the presser comes, and what his shadow does.

All scenes are invented. We know of no study that ties the approach angle to success: this is geometry.
"""

from collections.abc import Mapping

import numpy as np

from pressinglib import Plan, Rulebook, Settings, Situation, plan_press, scene
from pressinglib.field.player import XY
from pressinglib.physics import shadowed
from pressinglib.physics.lanes import bearing_rad
from pressinglib.roles.presser import offset_limit_deg
from pressinglib.show.judged import Seen
from pressinglib.tables import Table
from pressinglib.teach import Band, Choose, Finding, PlacePlayers, SetNumber, Stand, SteerSide, asks_of, side_by_side
from pressinglib.teach.choices import NO_BAND
from pressinglib.teach.criteria import hides, presses
from pressinglib.teach.pictures import drawn, placed, towards

ask = asks_of("lesson_03.md")
SQUARE_MAN = "4"
STRAIGHT, CURVED = "straight", "curved"
NEAR_DEG, HIGH_DEG = 20.0, 75.0  # may be allowed off the line to goal where a shot is near, and high up the pitch


def end_at(situation: Situation, angle_deg: float, away_m: float = 1.5) -> XY:
    """A place near the ball, off the line to the own goal on the square man's side."""
    ball, man = np.array(situation.ball_xy), situation.player("possession", SQUARE_MAN).xy
    x, y = towards(situation.ball_xy, situation.pitch.own_goal_xy, away_m) - ball
    c, s = np.cos(np.radians(angle_deg)), np.copysign(np.sin(np.radians(angle_deg)), bearing_rad((x, y), man - ball))
    return float(ball[0] + c * x - s * y), float(ball[1] + s * x + c * y)


def angles_that_hide(plan: Plan) -> Band:
    """At which angles off the ball-goal line the square man is in the trusted shadow, within the limit of the third."""
    s, trusted = plan.situation, plan.rulebook.settings.trusted_shadow_deg
    man = s.player("possession", SQUARE_MAN).xy
    limit = float(offset_limit_deg(plan.picture)[0])
    tries = np.arange(0.0, limit + 0.5, 1.0)
    hidden = np.array([bool(shadowed(end_at(s, deg), s.ball_xy, [man], trusted)[0]) for deg in tries])
    if not hidden.any():
        return NO_BAND
    low, high = float(tries[hidden][0]), float(tries[hidden][-1])
    return Band(low, (low + high) / 2, high)


def in_shadow(plan: Plan) -> dict[str, Finding]:
    """Each opponent, whether 9 hides him from the ball as he stands; drawn, the shadow that does, or the pass."""
    s, found = plan.situation, {}
    for man in s.possession:
        if man.number != s.on_ball and not man.is_goalkeeper:
            hidden = hides("9", man.number)(Stand(plan, s))
            found[man.number] = hidden if hidden.holds else hidden._replace(seen=(Seen("pass", (s.ball_xy, man.xy)),))
    return found


def run_choices(plan: Plan) -> Mapping[str, Finding]:
    """Straight where a shot is near, curved high up the pitch; in between either may be right, and it is not asked."""
    s, limit = plan.situation, float(offset_limit_deg(plan.picture)[0])
    wrong = {STRAIGHT: limit >= HIGH_DEG, CURVED: limit <= NEAR_DEG}
    words = f"The goal is {plan.picture.ball_goal_m[0]:.0f} m away: " + (
        "first stay in the way of the shot." if wrong[CURVED] else "there is time to shut a pass on the way.")
    shot = Seen("limit", (s.ball_xy, s.pitch.own_goal_xy), "ball to goal")
    return {run: Finding(not wrong[run], words, seen=(shot,)) for run in wrong}


def outside_beside() -> Table:
    """Always outside beside to the surplus."""
    outside = plan_press(other_side.situation, Rulebook(Settings(steering="outside")))
    return side_by_side({"always outside": outside, "to the surplus": other_side.plan})

which_side = ask("which_side", scene("full-back on the ball"), SteerSide())

other_side = ask("other_side", scene("back five"), SteerSide())

what_angle = ask("what_angle", scene("against a back three"), SetNumber, "degrees", angles_that_hide,
    moved=lambda situation, angle_deg: placed(situation, {"10": end_at(situation, angle_deg)}),
    seen=lambda plan, situation: [hides("10", SQUARE_MAN)(Stand(plan, situation))],
    others=(placed(scene("against a back three"), {}, {"4": (22, 4), "8": (24, 16)}),
            placed(scene("against a back three"), {}, {"4": (20, 8), "8": (24, 20)})))

who_is_hidden = ask("who_is_hidden", drawn("9 has arrived"), Choose, "opponent", in_shadow)

end_spot = ask("end_spot", scene("build-up left"), PlacePlayers, ("10",), (presses("10"), hides("10", "4")))

near_goal = ask("near_goal", drawn("in front of the box"), Choose, "run", run_choices,
    far=lambda plan: f"The goal is {plan.picture.ball_goal_m[0]:.0f} m away.", names_players=False,
    others=(scene("build-up left"),))
