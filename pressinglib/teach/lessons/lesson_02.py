"""Lesson 02: who goes, whether he is in time, and where he brakes.

All scenes are invented. The law of running is drive minus drag, the deceleration the one measured in matches; both are
named in `pressinglib.physics`.
"""

from __future__ import annotations

from math import dist
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib import Plan, Situation, scene, teach
from pressinglib.field.player import XY
from pressinglib.physics import Running, ball_time
from pressinglib.teach import Band, Choose, Exercise, Finding, PlacePlayers, Race, SetNumber, Stand, criterion
from pressinglib.teach.pictures import Places, pass_on_its_way, placed, running
from pressinglib.teach.stand import LEVEL_M

PACE_MPS = 7.0  # how fast the presser of the braking task comes
FOUR = ("9", "10", "11", "7")
ENOUGH_M = 4.0  # further off is no effective pressure (common practice)
PASS_MPS = 15.0


def _nearest_runs_back() -> Situation:
    """Their 5 has the ball; 10 is nearest to him but is running back, 9 comes across."""
    near = placed(scene("worked scene"), {"10": (23, 13), "9": (26, -4)})
    return running(near, {"10": (-6, -1), "9": (2, 4)})


def _pass_travels(to: str, share: float, ours: Places | None = None) -> Situation:
    """The pass from their 5 to a team-mate is on its way, so far along."""
    before = placed(scene("worked scene"), ours or {})
    long_m = dist(before.ball_xy, before.player("possession", to).xy)
    return pass_on_its_way(before, to, share * long_m, PASS_MPS)


def both_clocks(metres: float) -> str:
    """From rest: flat out, and with a stop at the end; reaction counted in both."""
    rest, end = (0.0, 0.0), (metres, 0.0)
    law = Running()
    flat, pace = law.time(rest, rest, end, 0.3), law.speed_on_arrival(rest, rest, end, 0.3)
    stop = law.braked_time(rest, rest, end, 0.3)
    return f"{metres:g} m: flat out {flat:.1f} s, and then {pace:.1f} m/s fast; with a stop {stop:.1f} s"


def race_times(plan: Plan) -> dict[str, float]:
    """Seconds of the four front players to the ball, flat out."""
    race = Race(plan)
    return {number: race.time_s(number) for number in FOUR}


def brake_band(plan: Plan) -> Band:
    """From how far off he must brake: way to stop and end distance, hardest and softest braking of the settings."""
    s = plan.rulebook.settings
    laws = (Running(deceleration_mps2=6.3), s.running, Running(deceleration_mps2=4.0))
    hard, usual, soft = (float(law.braking_m(PACE_MPS)) for law in laws)
    return Band(hard + 0.9, usual + s.end_distance_m, soft + 2.0)


def touch_s(plan: Plan) -> float:
    """Seconds until the receiver's first touch is made."""
    s, here = plan.rulebook.settings, plan.situation
    man = here.player("possession", here.receiver or here.on_ball or "")
    return float(ball_time(dist(here.ball_xy, man.xy), s.ball_mps)) + s.control_time_s


def stops_in_s(plan: Plan, start: ArrayLike, velocity: ArrayLike, end: ArrayLike) -> Any:
    """Seconds to be at a place and stand, with reaction and braking."""
    s = plan.rulebook.settings
    return s.running.braked_time(start, velocity, end, s.reaction_s)


def how_far_band(plan: Plan) -> Band:
    """How far from the receiver a standing player may be: there with the ball (short), with the first touch (far)."""
    s, touch = plan.rulebook.settings, touch_s(plan)
    away = np.arange(0.0, 30.0, 0.05)
    time = stops_in_s(plan, (0.0, 0.0), (0.0, 0.0), np.stack([away, 0.0 * away], axis=-1))
    ends = [float(away[time <= limit].max()) + s.end_distance_m for limit in (touch - s.control_time_s, touch)]
    return Band(ends[0], sum(ends) / 2, ends[1])


def timings(plan: Plan) -> dict[str, Finding]:
    """In time, late, hold: what the plan says, with both times."""
    words, who = "Nobody can be there: hold.", plan.presser
    if who is not None:
        words = (f"{who} can be there and stand in {plan.assignments[who].arrival_s:.1f} s, "
                 f"the touch is made in {touch_s(plan):.1f} s.")
    return {word: Finding(word == plan.timing, words) for word in ("in time", "late", "hold")}


@criterion
def stops_in_time(stand: Stand, number: str) -> Finding:
    """He is at his place and stands before the receiver's first touch is made."""
    start = stand.plan.situation.player("pressing", number)
    needs_s, has_s = stops_in_s(stand.plan, start.xy, start.velocity, stand.own(number)), touch_s(stand.plan)
    words = f"{number} needs {needs_s:.1f} s to run there and stop, the touch is made in {has_s:.1f} s"
    short_s = needs_s - has_s
    return Finding(bool(short_s <= 0), f"{words}." if short_s <= 0 else f"{words}: {short_s:.1f} s short.")


@criterion
def slows_down(stand: Stand, number: str) -> Finding:
    """He stands in the receiver's way: goal-side, near enough to hold him up, not in reach of a dive."""
    man = stand.opponent(stand.situation.receiver or "")
    away_m = dist(stand.own(number), man)
    if stand.goal_m(stand.own(number)) > stand.goal_m(man) + LEVEL_M:
        return Finding(False, f"{number} is not goal-side: the receiver turns and is gone.")
    if away_m > ENOUGH_M:
        return Finding(False, f"{number} is {away_m:.1f} m from the receiver, {away_m - ENOUGH_M:.1f} m too far.")
    near_enough = away_m >= stand.plan.rulebook.settings.end_distance_m - 0.6
    return Finding(near_enough, f"{number} is {away_m:.1f} m from the receiver" + (
        ", goal-side." if near_enough else ": nearer than an arm's length he dives in."))


def in_the_way(plan: Plan) -> dict[str, XY]:
    """As near to the receiver as he can be in time, on the way from the receiver to where he comes from."""
    s, start = plan.situation, plan.situation.player("pressing", "11")
    man, goal = (np.array(xy) for xy in (s.player("possession", s.receiver or "").xy, s.pitch.own_goal_xy))
    way = np.array(start.xy) - man
    way, home = way / np.hypot(*way), (goal - man) / np.hypot(*(goal - man))
    tries = [man + off * (share * way + (1 - share) * home) for off in np.arange(1.5, 4.0, 0.1)
             for share in (0.4, 0.6, 0.8, 1.0)]
    fits = [xy for xy in tries if stops_in_s(plan, start.xy, start.velocity, xy) <= touch_s(plan) - 0.02]
    x, y = (fits or tries)[0]
    return {"11": (float(x), float(y))}


nearest = Exercise(
    "Who goes?", "Write the number of the one who goes to the ball.",
    _nearest_runs_back(), teach.WhoPresses(), "Look at the dotted lines: who already runs the right way?")

in_order = Exercise(
    "Who is first, second, third, last?", "Write 7, 9, 10 and 11 in the order in which they could be at the ball.",
    _nearest_runs_back(), teach.OrderSteps(FOUR, race_times, "s", "Seconds count: a turn costs most of one."),
    "First cross out who runs away from the ball.")

in_time = Exercise(
    "In time, late, or hold?", "The pass to their 3 is on its way. Write in time, late or hold.",
    _pass_travels("3", 0.1, {"11": (15, 14)}), Choose(
        "answer", timings, "In time: he stands at arm's length before the first touch is made. Else he is late.",
        lambda plan: f"The touch is made in {touch_s(plan):.1f} s.", names_players=True),
    "Look how far the ball still has to go, and how far 11.")

how_far_off = Exercise(
    "From how far can he be in time?", "Write metres: as far from their 3 as 11 may stand, and still be in time.",
    _pass_travels("3", 0.05), SetNumber(
        "m", how_far_band, "So near he would wait for the ball, and 5 would not play it.",
        "The first touch is made before he stands.",
        "Time of the pass and the first touch, less reaction, less the price of stopping."),
    "Look at the length of the pass.")

where_to_brake = Exercise(
    "Where does he brake?", "11 comes at 7 m/s. Write how many metres before the man he begins to brake.",
    _pass_travels("3", 0.6, {"11": (21, 25)}), SetNumber(
        "m", brake_band, "He runs past, and one touch beats him.", "He walks the last metres, and the man looks up.",
        "Way to stop: speed times speed, by twice the braking. Then the arm's length on top.", names_players=False),
    "Think of the last time you saw a winger run past a full-back.")

where_he_ends = Exercise(
    "Late. Where does his run end?", "Drag 11 to where he should stand when their 3 has made his first touch.",
    _pass_travels("3", 0.1, {"11": (21.5, 25)}), PlacePlayers(
        ("11",), (stops_in_time("11"), slows_down("11")),
        "Who is late does not dive in: he stops goal-side, near enough to hold the man up.", in_the_way),
    "Look for the place that 11 can still reach.")
