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
from pressinglib.teach import Band, Choose, Finding, PlacePlayers, Race, SetNumber, Stand, criterion
from pressinglib.teach.choices import SAME_S
from pressinglib.teach.explanation import asks_of
from pressinglib.teach.lessons import lesson_00, lesson_01
from pressinglib.teach.pictures import Places, drawn, pass_on_its_way, placed, running, towards
from pressinglib.teach.stand import LEVEL_M

ask = asks_of("lesson_02.md")
FOUR = ("9", "10", "11", "7")
CLOCK_S = 0.3  # so near is a good guess (own choice)
ENOUGH_M = 4.0  # further off is no effective pressure (common practice)
PASS_MPS = 15.0


def _pass_travels(to: str, share: float, ours: Places | None = None) -> Situation:
    """The pass from their 5 to a team-mate is on its way, so far along."""
    before = placed(scene("worked scene"), ours or {})
    long_m = dist(before.ball_xy, before.player("possession", to).xy)
    return pass_on_its_way(before, to, share * long_m, PASS_MPS)


def _comes(metres: float) -> Situation:
    """9 is so far from the ball at their 5's feet, on the line to our goal, and stands."""
    s = scene("worked scene")
    return s.moved("pressing", "9", towards(s.ball_xy, s.pitch.own_goal_xy, metres))


def _winger(pace: float) -> Situation:
    """11 runs at their 2, so many m/s, while the ball is on its way to him."""
    s = _pass_travels("2", 0.6, {"11": (19, 25)})
    x, y = towards((0.0, 0.0), tuple(np.subtract(s.player("possession", "2").xy, (19, 25))), pace)
    return running(s, {"11": (x, y)})


def stop_band(plan: Plan) -> Band:
    """Seconds until 9 stands at the ball, give or take what no eye tells."""
    start = plan.situation.player("pressing", "9").xy
    time_s = float(stops_in_s(plan, start, (0.0, 0.0), plan.situation.ball_xy))
    return Band(time_s - CLOCK_S, time_s, time_s + CLOCK_S)


def brake_band(plan: Plan) -> Band:
    """From how far off 11 must brake: way to stop and end distance, hardest and softest braking of the settings."""
    s, pace = plan.rulebook.settings, float(np.hypot(*plan.situation.player("pressing", "11").velocity))
    laws = (Running(deceleration_mps2=6.3), s.running, Running(deceleration_mps2=4.0))
    hard, usual, soft = (float(law.braking_m(pace)) for law in laws)
    return Band(hard + 0.9, usual + s.end_distance_m, soft + 2.0)


def touch_s(plan: Plan, to: str = "") -> float:
    """Seconds until the first touch of a man, or of the receiver, is made."""
    s, here = plan.rulebook.settings, plan.situation
    man = here.player("possession", to or here.receiver or here.on_ball or "")
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
    """In time or late by both times, as far as they can be told apart; hold where nobody goes."""
    words, right = "Nobody can be there: hold.", {"hold"}
    if plan.presser is not None:
        there_s, ready_s = round(touch_s(plan), 1), round(float(plan.assignments[plan.presser].arrival_s), 1)
        words = f"{plan.presser} is there, and stands, after {ready_s:.1f} s; the touch is made after {there_s:.1f} s."
        fits = {"in time": ready_s <= there_s + SAME_S, "late": ready_s >= there_s - SAME_S}
        right = {word for word, holds in fits.items() if holds}
    return {word: Finding(word in right, words) for word in ("in time", "late", "hold")}


@criterion
def stops_in_time(stand: Stand, number: str) -> Finding:
    """He is at his place and stands before the receiver's first touch is made."""
    start = stand.plan.situation.player("pressing", number)
    needs_s = round(float(stops_in_s(stand.plan, start.xy, start.velocity, stand.own(number))), 1)
    has_s = round(touch_s(stand.plan), 1)
    words = f"{number} needs {needs_s:.1f} s to run there and stop, the touch is made after {has_s:.1f} s"
    return Finding(needs_s <= has_s, f"{words}." if needs_s <= has_s else f"{words}: {needs_s - has_s:.1f} s short.")


@criterion
def slows_down(stand: Stand, number: str) -> Finding:
    """He stands in the receiver's way: goal-side, near enough to hold him up, not in reach of a dive."""
    man = stand.opponent(stand.situation.receiver or "")
    away_m = round(dist(stand.own(number), man), 1)
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


EARLIER = (lesson_00.which_side, lesson_01.whose_man)  # asked again, on fresh pictures

nearest = ask("nearest", drawn("nearest runs back"), teach.WhoPresses())

in_order = ask("in_order", drawn("nearest runs back"), teach.OrderSteps, FOUR,
    lambda plan: {number: Race(plan).time_s(number) for number in FOUR}, "s")

stop_clock = ask("stop_clock", _comes(8.0), SetNumber, "s", stop_band, slider=(0.0, 6.0),
    others=(_comes(16.0), _comes(4.5)))

where_to_brake = ask("where_to_brake", _winger(7.0), SetNumber, "m", brake_band, others=(_winger(3.6), _winger(4.2)))

in_time = ask("in_time", _pass_travels("2", 0.1, {"11": (15, 14)}), Choose, "answer", timings,
    far=lambda plan: f"The touch is made after {touch_s(plan):.1f} s.", names_players=True,
    others=(_pass_travels("2", 0.05, {"11": (24, 26)}), _pass_travels("2", 0.05, {"11": (25, 25)})))

how_far_off = ask("how_far_off", _pass_travels("2", 0.05), SetNumber, "m", how_far_band,
    others=(_pass_travels("2", 0.6), _pass_travels("2", 0.7)))

where_he_ends = ask("where_he_ends", _pass_travels("2", 0.1, {"11": (22.3, 25.6)}), PlacePlayers, ("11",),
    (stops_in_time("11"), slows_down("11")), places=in_the_way)
