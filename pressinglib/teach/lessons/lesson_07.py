"""Lesson 07: the press is broken, and who does what at once.

All scenes are invented. Who steps out and who runs where is common practice; seconds are worked out.
"""

from collections.abc import Mapping
from functools import lru_cache
from math import dist

import numpy as np
from shapely import LineString, Point

from pressinglib import Dribble, Pass, Plan, Rulebook, Sequence, Settings, Situation, plan_press, scene, simulate
from pressinglib.field.player import XY
from pressinglib.roles.balance import recovery_spots
from pressinglib.roles.presser import broken
from pressinglib.tables import Table
from pressinglib.teach import Choose, Finding, PlacePlayers, Race, SetNumber, Stand, WhoPresses, asks_of, criterion
from pressinglib.teach.charts import side_by_side
from pressinglib.teach.choices import NO_BAND, Band, Choices, one_holds
from pressinglib.teach.pictures import drawn, placed, towards
from pressinglib.teach.stand import LEVEL_M

ask = asks_of("lesson_07.md")
FULL_BACK, WINGER = "2", "7"
GO, STAY = "go", "stay"
INSIDE_M = 4.0  # so far beside the inside line is still on it (own choice)
RUNS_BACK, STOPPED = "run back", ("carrier contained", "ball won")
ROUGHLY_S = 1.0  # a guess this near is a good one (own choice)


@lru_cache(maxsize=8)
def late_press(lasts_s: float) -> Sequence:
    """All of ours start 0.8 s late, and the ball goes through to their 8."""
    through = [Pass("8", at_s=0.6), Dribble(way="straight", at_s=1.0)]
    return simulate(scene("worked scene"), through, duration_s=lasts_s, late_s=0.8, attackers="seek")


@lru_cache(maxsize=64)
def run_at_us(situation: Situation, lasts_s: float = 6.0) -> Sequence:
    """The carrier runs straight at our goal."""
    return simulate(situation, [Dribble(way="straight")], duration_s=lasts_s, attackers="seek")


def stopped(plan: Plan) -> Band:
    """When somebody is in the way of the carrier who runs at us, and a second to either side."""
    first_s = next((event.time_s for lasts_s in (4.0, 6.0)  # mostly the shorter run tells
                    for event in run_at_us(plan.situation, lasts_s).events if event.kind in STOPPED), None)
    return NO_BAND if first_s is None else Band(max(first_s - ROUGHLY_S, 0.0), first_s, first_s + ROUGHLY_S)


def past_half(yes: str, no: str) -> Choices:
    """Whether the ball has gone past half of midfield and attack: the press is broken."""
    return lambda plan: one_holds((yes, no), yes if broken(plan.picture)[0] else no, gone_past(plan))


def gone_past(plan: Plan) -> str:
    """Past how many of midfield and attack the ball has gone."""
    front, goal_side = plan.picture.front[0], plan.picture.goal_side[0]
    return f"The ball is past {(front & ~goal_side).sum() or 'none'} of your {front.sum()} midfielders and forwards."


def go_or_stay(plan: Plan) -> Mapping[str, Finding]:
    """Whether the full-back goes to the ball, with both times and where the winger is."""
    right, so = (GO, "goes to meet the ball") if plan.presser == FULL_BACK else (STAY, f"leaves it to {plan.presser}")
    return one_holds((GO, STAY), right, both_times(plan), f"{FULL_BACK} {so}.")


def both_times(plan: Plan) -> str:
    """Full-back and winger to the ball, and whether the winger is between ball and goal."""
    race = Race(plan)
    return (f"Flat out {FULL_BACK} is there in {race.time_s(FULL_BACK):.1f} s, {WINGER} in "
            f"{race.time_s(WINGER):.1f} s; {WINGER} is {'' if race.goal_side(WINGER) else 'not '}goal-side.")


def who_is_beaten(plan: Plan) -> dict[str, Finding]:
    """Each of midfield and attack, whether he runs back; else what he does."""
    p, found = plan.picture, {}
    for number, n in ((p.own_number(0, int(n)), n) for n in np.flatnonzero(p.front[0])):
        job, ahead_m = plan.assignments[number], float(p.own_goal_m[0, n] - p.ball_goal_m[0])
        where = f"{abs(ahead_m):.0f} m {'further from' if ahead_m > 0 else 'nearer to'} your goal than the ball"
        found[number] = Finding(job.duty.startswith(RUNS_BACK), f"{number} is {where}. {job.reason}")
    return found


def to_which_side(plan: Plan) -> Mapping[str, Finding]:
    """Left and right: how far the touchline is, where ours are."""
    return one_holds(("left", "right"), plan.steer, crowd(plan), "The players running back meet him there.")


def crowd(plan: Plan) -> str:
    """Distance to the nearer touchline, and how many of ours are on either side of the ball."""
    s = plan.situation
    left = [p.xy[1] > s.ball_xy[1] for p in s.pressing if not p.is_goalkeeper]
    return (f"The nearer touchline is {s.pitch.corner_xy[1] - abs(s.ball_xy[1]):.0f} m off. Left of the ball you have "
            f"{sum(left)}, right of it {len(left) - sum(left)}.")


def end_of_run(plan: Plan, number: str) -> XY:
    """On the inside line, just goal-side of the ball."""
    p = plan.picture
    x, y = recovery_spots(p)[0, p.own_index(0, number)]
    return float(x), float(y)


@criterion
def gets_goal_side(stand: Stand, number: str) -> Finding:
    """He is nearer the own goal than the ball."""
    ahead_m = stand.goal_m(stand.own(number)) - stand.goal_m(stand.situation.ball_xy)
    where = f"{ahead_m:.1f} m further from your goal than" if ahead_m > LEVEL_M else "goal-side of"
    return Finding(ahead_m <= LEVEL_M, f"{number} is {where} the ball.")


@criterion
def on_inside_line(stand: Stand, number: str) -> Finding:
    """He has run towards the goal, not towards the touchline or past where he can help."""
    start, end = stand.plan.situation.player("pressing", number).xy, end_of_run(stand.plan, number)
    line = LineString([start, towards(start, end, 1.5 * dist(start, end))])
    beside_m = line.distance(Point(stand.own(number)))
    return Finding(beside_m <= INSIDE_M, f"{number} is on the inside line." if beside_m <= INSIDE_M else
                   f"{number} is {beside_m:.1f} m off the inside line; {INSIDE_M:g} m is near enough.")


beaten = ask("beaten", late_press(2.6).situations[-1], Choose, "answer", past_half("yes", "no"), far=gone_past,
    others=(scene("worked scene"),), names_players=False)

who_goes = ask("who_goes", drawn("through midfield"), WhoPresses())

runs_back = ask("runs_back", drawn("through midfield"), Choose, "player", who_is_beaten)

run_home = ask("run_home", drawn("through midfield"), PlacePlayers, ("11",),
    (gets_goal_side("11"), on_inside_line("11")), places=lambda plan: {"11": end_of_run(plan, "11")})

which_side = ask("which_side", drawn("through midfield"), Choose, "side", to_which_side, far=crowd, names_players=False)

how_long = ask("how_long", drawn("through midfield"), SetNumber, "s", stopped, names_players=False, slider=(0.0, 8.0),
    others=(placed(drawn("through midfield"), {"6": (8, 22), "8": (5, -16)}),
            placed(drawn("through midfield"), {"6": (3, 13)})))

full_back = ask("full_back", scene("press broken"), Choose, "answer", go_or_stay, far=both_times,
    others=(drawn("winger back"),))

and_now = ask("and_now", drawn("winger back"), Choose, "answer", go_or_stay, far=both_times,
    others=(scene("press broken"),))

def both_rules() -> Table:
    """Midfield first, and whoever is first, on one picture."""
    anyone = plan_press(and_now.situation, Rulebook(Settings(pressers="anyone")))
    return side_by_side({"midfield first": and_now.plan, "first to the ball": anyone})
