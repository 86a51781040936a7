"""Lesson 09: triggers and traps, and when the counter-press is over.

All scenes are invented. The list of triggers and the idea of a trap are common practice; how near and how slow is our
own choice, named in `pressinglib.play.tactics`.
"""

from __future__ import annotations

from math import dist

import numpy as np

from pressinglib import Pass, Plan, Sequence, Situation, scene, simulate
from pressinglib.field.player import XY
from pressinglib.physics import ball_time
from pressinglib.play.actions import TRIGGERS
from pressinglib.play.tactics import find_triggers
from pressinglib.roles.approach import broken
from pressinglib.teach import Choose, Denial, Exercise, Finding, PlacePlayers, Stand, criterion
from pressinglib.teach.criteria import denies
from pressinglib.teach.pictures import pass_on_its_way, placed, towards

FREE_M = 6.0  # nearer than this the passer sees that the man is marked (own choice)
SLOW_PASS_MPS, USUAL_PASS_MPS = 11.0, 15.0


def _loose_midfield() -> Situation:
    """10 has dropped off their 6, and 9 is not near him either."""
    return placed(scene("worked scene"), {"10": (11, 1), "9": (30, -4)})


def _bait(waits: XY = (16, 19)) -> Situation:
    """9 hides the square pass, 10 is with their 6: their 3 is the one option left; where 11 waits."""
    return placed(scene("worked scene"), {"9": (34, 8), "10": (20, 1), "11": waits})


def named(plan: Plan) -> dict[str, Finding]:
    """From each trigger to whether it is in the picture."""
    seen = find_triggers(plan.situation)
    words = f"This picture holds {len(seen)}: {', '.join(seen) or 'none'}."
    return {name: Finding(name in seen, words) for name in TRIGGERS}


def slower(plan: Plan) -> str:
    """How long the ball is still on its way, and how long it would be at the usual pace."""
    here = plan.situation
    away_m = dist(here.ball_xy, here.player("possession", here.receiver or here.on_ball or "").xy)
    pace_mps = (float(np.hypot(*here.ball_velocity)), USUAL_PASS_MPS)
    needs_s, usual_s = (float(ball_time(away_m, mps)) for mps in pace_mps)
    return f"The ball still needs {needs_s:.1f} s; at {USUAL_PASS_MPS:.0f} m/s it would need {usual_s:.1f} s."


def behind_m(plan: Plan) -> float:
    """How far the nearest of ours is who stands goal-side of the receiver."""
    here = plan.situation
    man, goal = here.player("possession", here.receiver or here.on_ball or "").xy, here.pitch.own_goal_xy
    return min(dist(p.xy, man) for p in here.pressing if dist(p.xy, goal) < dist(man, goal))


def go_or_wait(plan: Plan) -> dict[str, Finding]:
    """Go with a trigger, wait without one."""
    seen = find_triggers(plan.situation)
    words = f"The nearest goal-side of him is {behind_m(plan):.1f} m off: " + (
        f"trigger, {seen[0]}." if seen else "he has time to turn. No trigger.")
    return {"go": Finding(bool(seen), words), "wait": Finding(not seen, words)}


def touch_s(plan: Plan, man: str) -> float:
    """Seconds from the pass until the first touch of its receiver is made."""
    s, here = plan.rulebook.settings, plan.situation
    return float(ball_time(dist(here.ball_xy, here.player("possession", man).xy), s.ball_mps)) + s.control_time_s


def starts(plan: Plan) -> dict[str, Finding]:
    """When 11 may leave his place: before the pass he gives the trap away, at the touch he is late."""
    spare_s = -Denial(plan, "3", plan.situation.player("pressing", "11").xy).late_s
    late_s = touch_s(plan, "3") - spare_s
    with_pass = f"he is with their 3 {abs(spare_s):.1f} s {'before' if spare_s >= 0 else 'after'} the touch is made."
    return {
        "before": Finding(False, f"Then 3 is no longer free, and 5 keeps the ball: with the pass is enough, by "
                                 f"{spare_s:.1f} s."),
        "with": Finding(spare_s >= 0, f"Off with the pass, {with_pass}"),
        "after": Finding(False, f"Off with the first touch, he comes {late_s:.1f} s after it."),
    }


def go_on_or_back(plan: Plan) -> dict[str, Finding]:
    """The counter-press goes on until they have played out of it."""
    over = bool(broken(plan.picture)[0])
    front, goal_side = plan.picture.front[0], plan.picture.goal_side[0]
    beaten = int((front & ~goal_side).sum())
    words = f"{beaten} of {int(front.sum())} in midfield and attack are behind the ball."
    return {"go on": Finding(not over, words), "back": Finding(over, words)}


@criterion
def looks_free(stand: Stand, number: str, man: str) -> Finding:
    """The pass to an opponent looks good: his lane is open, and nobody stands beside him."""
    away_m, lane_s = dist(stand.own(number), stand.opponent(man)), stand.lane_s(man)
    if away_m < FREE_M:
        return Finding(False, f"{number} is {away_m:.1f} m from their {man}: 5 sees it. {FREE_M:.0f} m at least.")
    if lane_s < 0:
        return Finding(False, f"{number} is in the lane to their {man}, {-lane_s:.1f} s before the ball.")
    return Finding(True, f"Their {man} looks free: {number} is {away_m:.1f} m off.")


def between(plan: Plan) -> dict[str, XY]:
    """8 m from their 3, on the line from him to where 11 stands."""
    s = plan.situation
    return {"11": towards(s.player("possession", "3").xy, s.player("pressing", "11").xy, 8.0)}


def trap_on_three() -> Sequence:
    """The trap, played: 3 is left free, the pass comes."""
    return simulate(_bait((22, 23.5)), [Pass("3", at_s=0.5)], trap="3", duration_s=5)


def ball_just_lost() -> Sequence:
    """A ball lost near their corner, and six seconds of counter-press."""
    return simulate(scene("their corner"), just_lost=True, duration_s=6)


def story(sequence: Sequence) -> str:
    """What happened, a line each."""
    return "\n".join(f"{event.time_s:.1f} s  {event.words}" for event in sequence.events)


which_trigger = Exercise(
    "Which trigger?", "The pass from their 5 to their 4 travels at 11 m/s. Write the trigger.",
    pass_on_its_way(scene("worked scene"), "4", 2.0, SLOW_PASS_MPS), Choose(
        "trigger", named, "A trigger is a moment in which they cannot play forward at once.",
        slower, turns=False),
    "Look at the way of the ball: forward, back or across?")

trigger_or_not = Exercise(
    "Go or wait?", "The pass to their 6 is on its way, and he has his back to your goal. Write go or wait.",
    pass_on_its_way(_loose_midfield(), "6", 2.0, USUAL_PASS_MPS), Choose(
        "answer", go_or_wait, "His back is a trigger only if one of yours is close behind him, 6 m or less.",
        lambda plan: f"The nearest goal-side of him is {behind_m(plan):.1f} m off."),
    "Look behind their 6: who is near enough to stop his turn?")

set_the_trap = Exercise(
    "Where does 11 wait?", "Drag 11: their 3 must look free, and be closed by his first touch.",
    _bait(), PlacePlayers(("11",), (looks_free("11", "3"), denies("11", "3")),
                          "Far enough to invite the pass, near enough to be there with it.", between),
    "Look at the length of the pass from their 5 to their 3.")

when_to_start = Exercise(
    "When does 11 go?", "Write before, with or after: before the pass, with it, or after the first touch.",
    _bait((22, 23.5)), Choose(
        "moment", starts, "The trap closes while the ball travels.",
        lambda plan: f"Pass and first touch last {touch_s(plan, '3'):.1f} s.", names_players=True, turns=False),
    "Think of what their 5 sees, and of what their 3 sees.")

on_or_back = Exercise(
    "Go on, or back?", "You lost the ball two seconds ago. Write go on or back.",
    scene("wingers high"), Choose(
        "answer", go_on_or_back, "Over: the time is up, or half of midfield and attack are behind the ball.",
        lambda plan: go_on_or_back(plan)["back"].words),
    "Count your midfield and attack: who is still between the ball and your goal?")
