"""Lesson 09: triggers and traps, and when the counter-press is over.

All scenes are invented. The list of triggers and the idea of a trap are common practice; how near and how slow is our
own choice, named in `pressinglib.play.tactics`.
"""

from collections.abc import Mapping
from functools import lru_cache
from math import dist

import numpy as np

from pressinglib import Pass, Plan, Rulebook, Sequence, Situation, scene, simulate
from pressinglib.field.player import XY
from pressinglib.physics import ball_time
from pressinglib.play.actions import TRIGGERS
from pressinglib.play.tactics import find_triggers
from pressinglib.tables import Table
from pressinglib.teach import Choose, Finding, PlacePlayers, Stand, asks_of, criterion
from pressinglib.teach.choices import one_holds
from pressinglib.teach.criteria import denies
from pressinglib.teach.lessons.lesson_02 import touch_s
from pressinglib.teach.lessons.lesson_07 import gone_past, past_half
from pressinglib.teach.pictures import drawn, pass_on_its_way, placed, towards
from pressinglib.teach.prices import KEPT, all_ways, beside, more

ask = asks_of("lesson_09.md")
FREE_M = 6.0  # nearer than this the passer sees that the man is marked (own choice)
CLOSED_M = 4.0  # further off than this nobody is held up (common practice)
TOO_FAR = "not from there"
SLOW_PASS_MPS, USUAL_PASS_MPS = 11.0, 15.0
# 9 hides the square pass, 10 is with their 6: their 2 is the one option left.
BAIT = placed(scene("worked scene"), {"9": (33, 7), "10": (19, 1), "11": (16, 19), "8": (7.5, -6)})
WAITS_AT_M = 17.0  # the line of confrontation of a team that waits


# -- The films.


@lru_cache(maxsize=8)
def waiting(lasts_s: float) -> Sequence:
    """Our team waits in its block; they pass across at the usual pace, and then back, slowly."""
    passes = [Pass("4", at_s=0.6), Pass("5", at_s=2.0, speed_mps=SLOW_PASS_MPS)]
    waits = Rulebook().with_settings(confrontation_x_m=WAITS_AT_M)
    return simulate(scene("worked scene"), passes, waits, duration_s=lasts_s, attackers="seek")


@lru_cache(maxsize=64)
def trap_on_two(situation: Situation, late_s: float = 0.0, lasts_s: float = 5.0) -> Sequence:
    """The trap, played: the pass comes to their 2, and 11 is off with it or so much later."""
    return simulate(situation, [Pass("2")], trap="2", duration_s=lasts_s, late_s=late_s, attackers="seek")


@lru_cache(maxsize=8)
def ball_just_lost(lasts_s: float = 6.0) -> Sequence:
    """A ball lost near their corner, and the counter-press; they play round it, by their goalkeeper."""
    round_it = [Pass("1", at_s=0.8), Pass("5", at_s=2.6)]
    return simulate(scene("their corner"), round_it, just_lost=True, duration_s=lasts_s, attackers="seek")


def trap_film(lasts_s: float = 5.0) -> Sequence:
    """The trap of the lesson."""
    return trap_on_two(when_to_start.situation, lasts_s=lasts_s)


# -- What is right.


def named(plan: Plan) -> dict[str, Finding]:
    """From each trigger to whether it is in the picture."""
    seen = find_triggers(plan.situation)
    return {name: Finding(name in seen, "Go now, while the ball is on its way." if name in seen else slower(plan))
            for name in TRIGGERS}


def slower(plan: Plan) -> str:
    """How long the ball is still on its way, and how long it would be at the usual pace."""
    here = plan.situation
    away_m = dist(here.ball_xy, here.player("possession", here.receiver or here.on_ball or "").xy)
    pace_mps = (float(np.hypot(*here.ball_velocity)), USUAL_PASS_MPS)
    needs_s, usual_s = (float(ball_time(away_m, mps)) for mps in pace_mps)
    return f"The ball still needs {needs_s:.1f} s; at {USUAL_PASS_MPS:.0f} m/s it would need {usual_s:.1f} s."


def behind_him(plan: Plan) -> str:
    """How far the nearest of ours is who stands goal-side of the receiver."""
    here = plan.situation
    man, goal = here.player("possession", here.receiver or here.on_ball or "").xy, here.pitch.own_goal_xy
    near_m = min(dist(p.xy, man) for p in here.pressing if dist(p.xy, goal) < dist(man, goal))
    return f"Your nearest player goal-side of him is {near_m:.1f} m away."


def go_or_wait(plan: Plan) -> Mapping[str, Finding]:
    """Go with a trigger, wait without one."""
    seen = find_triggers(plan.situation)
    return one_holds(("go", "wait"), "go" if seen else "wait", behind_him(plan),
                     f"That is a trigger: {seen[0]}." if seen else "He has time to turn: no trigger.")


def more_often(plan: Plan) -> dict[str, Finding]:
    """Each of the other ways, whether it wins the ball more often than the plan, beyond chance."""
    return {way: Finding(beside("price_09", way).sign > 0, _won(way)) for way in KEPT["price_09"]["more"]}


def _won(way: str) -> str:
    return f'In this model, balls won in 100 beside the plan by "{way}": {more(beside("price_09", way))}.'


def prices() -> Table:
    """What each way wins and costs, from the games that are kept beside the lesson."""
    return all_ways("price_09")


def zone_or_man() -> str:
    """What the games say of man for man, and of the trap, beside the plan."""
    return f"{_won('man for man')} {_won('a trap for their 2')}"


def held_up(plan: Plan, late_s: float) -> tuple[float, str]:
    """How far 11 is from their 2 when the first touch is made, and when 11 stands in the way, as it is played."""
    film, made_s = trap_on_two(plan.situation, late_s), touch_s(plan, "2")
    then = film.at(made_s).situation
    away_m = dist(then.player("pressing", "11").xy, then.player("possession", "2").xy)
    in_s = [event.time_s - made_s for event in film.events if event.kind == "carrier contained"]
    later = f", and somebody is in the way {in_s[0]:.1f} s later" if in_s else ""
    return away_m, f"11 is {away_m:.0f} m away when their 2 has the ball under control{later}."


def starts(plan: Plan) -> dict[str, Finding]:
    """When 11 may set off: before the pass the trap is given away, at the touch it is too late; as it is played."""
    away_m, with_pass = held_up(plan, 0.0)
    return {"before": Finding(False, "Off before the pass, and their 2 no longer looks free: their 5 keeps the ball."),
            "with": Finding(away_m <= CLOSED_M, f"Off with the pass: {with_pass}"),
            "after": Finding(False, f"Off after the touch: {held_up(plan, touch_s(plan, '2'))[1]}"),
            TOO_FAR: Finding(away_m > CLOSED_M, f"Even off with the pass, {with_pass}")}


@criterion
def looks_free(stand: Stand, number: str, man: str) -> Finding:
    """The pass to an opponent looks good: his lane is open, and nobody stands beside him."""
    away_m, lane_s = dist(stand.own(number), stand.opponent(man)), stand.lane_s(man)
    if away_m < FREE_M:
        return Finding(False, f"{number} is {away_m:.1f} m from their {man}, too near: {FREE_M:.0f} m at least.")
    if lane_s < 0:
        return Finding(False, f"{number} is in the lane to their {man}, {-lane_s:.1f} s before the ball.")
    return Finding(True, f"Their {man} looks free: {number} is {away_m:.1f} m away.")


def between(plan: Plan) -> dict[str, XY]:
    """8 m from their 2, on the line to where 11 stands."""
    s = plan.situation
    return {"11": towards(s.player("possession", "2").xy, s.player("pressing", "11").xy, 8.0)}


trigger_or_not = ask("trigger_or_not", drawn("their 6 faces his goal"), Choose, "answer", go_or_wait, far=behind_him,
    others=(drawn("their 6 faces his goal").moved("pressing", "10", (16.5, 1)),), names_players=False)

which_trigger = ask("which_trigger", drawn("square and slow"), Choose, "trigger", named, far=slower,
    others=(pass_on_its_way(scene("worked scene"), "2", 2.0, USUAL_PASS_MPS),
            pass_on_its_way(scene("worked scene"), "1", 2.0, USUAL_PASS_MPS)), names_players=False)

what_it_costs = ask("what_it_costs", scene("worked scene"), Choose, "way", more_often, turns=False,
    far="{right} of the {all} do.")

set_the_trap = ask("set_the_trap", BAIT, PlacePlayers, ("11",), (looks_free("11", "2"), denies("11", "2")),
    places=between)

when_to_start = ask("when_to_start", BAIT.moved("pressing", "11", (22, 23.5)), Choose, "moment", starts,
    far=lambda plan: f"Pass and first touch take {touch_s(plan, '2'):.1f} s.",
    others=tuple(BAIT.moved("pressing", "11", xy) for xy in ((16, 20), (14, 18))))

still_on = ask("still_on", ball_just_lost(3.0).situations[-1], Choose, "answer", past_half("back", "go on"),
    far=gone_past, others=(scene("wingers high"),), names_players=False)

on_or_back = ask("on_or_back", scene("wingers high"), still_on.judge, others=(scene("their corner"),))
