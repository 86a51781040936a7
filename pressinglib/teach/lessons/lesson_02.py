"""Lesson 02: who goes, whether he is in time, and where he brakes.

All scenes are invented. The law of running is drive minus drag, the deceleration the one measured in matches; both are
named in `pressinglib.physics`.
"""

from collections.abc import Iterable
from math import dist
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib import Plan, Player, Situation, scene, teach
from pressinglib.field.player import XY
from pressinglib.physics import Running
from pressinglib.show.judged import Seen, passed, ran
from pressinglib.teach import Band, Choose, Finding, PlacePlayers, Race, SetNumber, Stand, asks_of, criterion
from pressinglib.teach.choices import SAME_S, drawn_of
from pressinglib.teach.criteria import presses
from pressinglib.teach.pictures import drawn, in_tenths, placed, towards
from pressinglib.teach.stand import first_touch_s

ask = asks_of("lesson_02.md")
FOUR = ("9", "10", "11", "7")
LOOK_UP_S, CLOCK_S = 2.0, 0.2  # until their 5 has his head up; so near is a good guess (own choices)
ENOUGH_M = 4.0  # further off is no effective pressure (common practice)
# 9 stands 8 m from the ball at their 5's feet, on the line to our goal.
STANDS = scene("worked scene").moved("pressing", "9", (27.1, 9.1))


def nearer_band(plan: Plan) -> Band:
    """How many metres nearer to the ball 9 may be and stand when their 5 looks up, give or take what no eye tells."""
    nine, limits_s = plan.situation.player("pressing", "9"), (LOOK_UP_S - CLOCK_S, LOOK_UP_S, LOOK_UP_S + CLOCK_S)
    return Band(*covered_m(plan, nine, plan.situation.ball_xy, limits_s))


def nearer(situation: Situation, metres: float) -> Situation:
    """9 so many metres nearer to the ball, and never on it."""
    start, ball = situation.player("pressing", "9").xy, situation.ball_xy
    return placed(situation, {"9": towards(start, ball, min(metres, dist(start, ball) - 0.5))})


def covered_m(plan: Plan, runner: Player, to: XY, limits_s: Iterable[float]) -> list[float]:
    """The most metres that he can run on the way to a place and stand within each of some times."""
    away = np.arange(0.0, dist(runner.xy, to), 0.05)
    times = stops_in_s(plan, runner.xy, runner.velocity, [towards(runner.xy, to, metres) for metres in away])
    return [float(away[times <= limit_s].max(initial=0.0)) for limit_s in limits_s]


def brake_band(plan: Plan) -> Band:
    """From how far off 11 must brake: way to stop and end distance, hardest and softest braking of the settings."""
    s, pace = plan.rulebook.settings, float(np.hypot(*plan.situation.player("pressing", "11").velocity))
    laws = (Running(deceleration_mps2=6.3), s.running, Running(deceleration_mps2=4.0))
    hard, usual, soft = (float(law.braking_m(pace)) for law in laws)
    return Band(hard + 0.9, usual + s.end_distance_m, soft + 2.0)


def off_him(situation: Situation, metres: float) -> Situation:
    """11 so far from the receiver, on his own side of him."""
    xy = situation.player("possession", situation.receiver or "").xy
    return placed(situation, {"11": towards(xy, situation.player("pressing", "11").xy, max(metres, 0.5))})


def touch_s(plan: Plan, to: str = "") -> float:
    """Seconds until the first touch of a man, or of the receiver, is made."""
    here = plan.situation
    return float(first_touch_s(plan, here.player("possession", to or here.receiver or here.on_ball or "").xy))


def stops_in_s(plan: Plan, start: ArrayLike, velocity: ArrayLike, end: ArrayLike) -> Any:
    """Seconds to be at a place and stand, with reaction and braking."""
    s = plan.rulebook.settings
    return s.running.braked_time(start, velocity, end, s.reaction_s)


def how_far_band(plan: Plan) -> Band:
    """How far from the receiver a standing player may be: there with the ball (short), with the first touch (far)."""
    s, touch = plan.rulebook.settings, touch_s(plan)
    near, far = covered_m(plan, Player("0", "outfield", (0.0, 0.0)), (30.0, 0.0), (touch - s.control_time_s, touch))
    return Band(near + s.end_distance_m, (near + far) / 2 + s.end_distance_m, far + s.end_distance_m)


def timings(plan: Plan) -> dict[str, Finding]:
    """In time or late by both times, as far as they can be told apart; somebody goes."""
    goes = plan.situation.player("pressing", plan.presser or "")
    ready_s, there_s, (ball, run) = race(plan, goes, in_tenths(plan.assignments[goes.number].target_xy))
    words = f"{goes.number} is there and stops after {ready_s:.1f} s; the first touch is taken after {there_s:.1f} s."
    fits = {"in time": ready_s <= there_s + SAME_S, "late": ready_s >= there_s - SAME_S, "hold": False}
    return {word: Finding(holds, words, seen=(ball, run._replace(words=run.words + f", {word}" * holds)))
            for word, holds in fits.items()}


def race(plan: Plan, runner: Player, end: XY) -> tuple[float, float, tuple[Seen, Seen]]:
    """Seconds that he needs to be at a place and stand, and has until the receiver's first touch; both to be drawn."""
    s, has_s = plan.situation, round(touch_s(plan), 1)
    needs_s = round(float(stops_in_s(plan, runner.xy, runner.velocity, end)), 1)
    man = s.player("possession", s.receiver or "").xy
    return needs_s, has_s, (passed(s.ball_xy, man, has_s, f"ball and touch {has_s:.1f} s"),
                            ran(runner.number, runner.xy, end, needs_s))


@criterion
def stops_in_time(stand: Stand, number: str) -> Finding:
    """He is at his place and stands before the receiver's first touch is made."""
    needs_s, has_s, seen = race(stand.plan, stand.plan.situation.player("pressing", number), stand.own(number))
    words = f"{number} needs {needs_s:.1f} s to run there and stop; the first touch is taken after {has_s:.1f} s"
    on_time = needs_s <= round(has_s + SAME_S, 1)
    return Finding(on_time, f"{words}." if on_time else f"{words}: {needs_s - has_s:.1f} s late.", seen=seen)


def stands_by(plan: Plan, situation: Situation) -> list[Finding]:
    """The run of 9 to where he has been put, with the time that it takes him to run there and stop."""
    nine, end = plan.situation.player("pressing", "9"), situation.player("pressing", "9").xy
    return drawn_of(ran("9", nine.xy, end, float(stops_in_s(plan, nine.xy, nine.velocity, end))))


def brakes(plan: Plan, situation: Situation) -> list[Finding]:
    """How far 11 still runs if he brakes where he has been put."""
    start, man = situation.player("pressing", "11"), situation.player("possession", situation.receiver or "").xy
    way_m = float(plan.rulebook.settings.running.braking_m(float(np.hypot(*start.velocity))))
    return drawn_of(Seen("limit", (start.xy, towards(start.xy, man, way_m)), "stops here"))


def in_time_from(plan: Plan, situation: Situation) -> list[Finding]:
    """Ball, first touch and the run of 11 from where he has been put."""
    runner, man = situation.player("pressing", "11"), situation.player("possession", "2").xy
    needs_s, has_s, seen = race(plan, runner, towards(man, runner.xy, plan.rulebook.settings.end_distance_m))
    return [Finding(needs_s <= round(has_s + SAME_S, 1), "", seen=seen)]


def in_the_way(plan: Plan) -> dict[str, XY]:
    """As near to the receiver as he can be in time, between the way he comes and the way to goal."""
    s, start = plan.situation, plan.situation.player("pressing", "11")
    end = towards(s.player("possession", s.receiver or "").xy, towards(start.xy, s.pitch.own_goal_xy, 4.0), 1.5)
    return {"11": towards(start.xy, end, covered_m(plan, start, end, (touch_s(plan) - 0.02,))[0])}


nearest = ask("nearest", drawn("nearest runs back"), teach.WhoPresses())

in_order = ask("in_order", drawn("nearest runs back"), teach.OrderSteps, FOUR,
    lambda plan: {number: Race(plan).time_s(number) for number in FOUR})

stop_clock = ask("stop_clock", STANDS, SetNumber, "m", nearer_band, slider=(0.0, 12.0), moved=nearer,
    seen=stands_by, others=(drawn("nearest runs back"),))

where_to_brake = ask("where_to_brake", drawn("winger at full pace"), SetNumber, "m", brake_band, seen=brakes,
    moved=off_him, others=(drawn("winger jogs"), drawn("winger runs")))

in_time = ask("in_time", drawn("pass to 2 played").moved("pressing", "11", (15, 14)), Choose, "answer", timings,
    far=lambda plan: f"The first touch is taken after {touch_s(plan):.1f} s.",
    others=tuple(drawn("pass to 2 just played").moved("pressing", "11", xy) for xy in ((24, 26), (25, 25))))

how_far_off = ask("how_far_off", drawn("pass to 2 just played"), SetNumber, "m", how_far_band,
    seen=in_time_from, moved=off_him, others=(drawn("pass to 2 on its way"), drawn("pass to 2 nearly there")))

where_he_ends = ask("where_he_ends", drawn("pass to 2 played"), PlacePlayers, ("11",),
    (stops_in_time("11"), presses("11", ENOUGH_M)), places=in_the_way)
