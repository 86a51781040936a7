"""Lesson 07: the press is broken, and who does what at once.

All scenes are invented. Who steps out and who runs where is common practice; seconds are worked out.
"""

from __future__ import annotations

import numpy as np

from pressinglib import Plan, Situation, scene
from pressinglib.field.player import XY
from pressinglib.roles.balance import recovery_spots
from pressinglib.teach import Choose, Exercise, Finding, PlacePlayers, Race, Stand, WhoPresses, criterion
from pressinglib.teach.pictures import placed, running
from pressinglib.teach.stand import LEVEL_M

FULL_BACK, WINGER = "2", "7"
GO, STAY = "go", "stay"
INSIDE_M = 3.0  # so far beside the inside line is still on it (own choice)
RUNS_BACK = "run back"


def _through_midfield() -> Situation:
    """Their 8 has received between the lines and turned: 9, 10 and 11 are behind the ball."""
    before = placed(scene("worked scene"), {
        "9": (29.0, 4.0), "10": (20.5, -1.5), "11": (13.5, 19.5), "7": (15.0, -21.0), "8": (4.0, -7.0), "6": (3.0, 8.5),
        "3": (-3.0, 24.5), "4": (-6.0, 13.5), "5": (-8.0, 3.0), "2": (-5.0, -8.0)})
    return before.moved("possession", "8", (9.0, 14.0)).with_ball((8.3, 14.0), carrier="8")


def _winger_back() -> Situation:
    """Their left back runs with the ball, and our 7 is goal-side of it already, inside."""
    return running(scene("press broken").moved("pressing", WINGER, (1.5, -10.0)), {WINGER: (0.0, 0.0)})


def go_or_stay(plan: Plan) -> dict[str, Finding]:
    """Whether the full-back goes to the ball, with both times and where the winger is."""
    goes, words = plan.presser == FULL_BACK, both_times(plan)
    his = plan.assignments[FULL_BACK].mark
    stays = f"{FULL_BACK} leaves the ball to {plan.presser}" + (f" and takes their {his}." if his else ".")
    words += f" {FULL_BACK} goes to meet it, the others drop." if goes else f" {stays}"
    return {GO: Finding(goes, words), STAY: Finding(not goes, words)}


def both_times(plan: Plan) -> str:
    """Full-back and winger to the ball, and whether the winger is between ball and goal."""
    race = Race(plan)
    side = "goal-side" if race.goal_side(WINGER) else "not goal-side"
    return (f"Flat out {FULL_BACK} is there in {race.time_s(FULL_BACK):.1f} s, {WINGER} in "
            f"{race.time_s(WINGER):.1f} s; {WINGER} is {side}.")


def who_is_beaten(plan: Plan) -> dict[str, Finding]:
    """Each of midfield and attack, whether he runs back; else what he does."""
    p, found = plan.picture, {}
    for n in np.flatnonzero(p.front[0]):
        number, ahead_m = p.own_number(0, int(n)), float(p.own_goal_m[0, n] - p.ball_goal_m[0])
        job = plan.assignments[number]
        where = f"{abs(ahead_m):.0f} m {'further from' if ahead_m > 0 else 'nearer to'} your goal than the ball"
        found[number] = Finding(job.duty.startswith(RUNS_BACK), f"{number} is {where}. {job.reason}")
    return found


def to_which_side(plan: Plan) -> dict[str, Finding]:
    """Left and right: how many are beaten, how far the touchline is, where ours are."""
    p, words = plan.picture, crowd(plan)
    beaten = int((p.front & ~p.goal_side).sum())
    words = f"{beaten} of the {int(p.front.sum())} in midfield and attack are beaten. {words}"
    return {side: Finding(plan.steer == side, words) for side in ("left", "right")}


def crowd(plan: Plan) -> str:
    """Distance to the nearer touchline, and how many of ours are on either side of the ball."""
    p, s = plan.picture, plan.situation
    higher = p.own[0, p.outfield[0], 1] > s.ball_xy[1]
    line_m = s.pitch.width_m / 2 - abs(s.ball_xy[1])
    return (f"The nearer touchline is {line_m:.0f} m off. Of yours {int(higher.sum())} are to the left of the ball, "
            f"{int((~higher).sum())} to the right.")


def _numbers_back(plan: Plan) -> str:
    return f"{sum(f.holds for f in who_is_beaten(plan).values())} of the {len(who_is_beaten(plan))} run back."


def end_of_run(plan: Plan, number: str) -> XY:
    """On the inside line, just goal-side of the ball."""
    p = plan.picture
    x, y = recovery_spots(p)[0, p.own_index(0, number)]
    return float(x), float(y)


@criterion
def gets_goal_side(stand: Stand, number: str) -> Finding:
    """He is nearer the own goal than the ball."""
    ahead_m = stand.goal_m(stand.own(number)) - stand.goal_m(stand.situation.ball_xy)
    return Finding(ahead_m <= LEVEL_M, f"{number} is goal-side of the ball." if ahead_m <= LEVEL_M else
                   f"{number} is {ahead_m:.1f} m further from your goal than the ball: run on.")


@criterion
def on_inside_line(stand: Stand, number: str) -> Finding:
    """He has run towards the goal, not towards the touchline or past where he can help."""
    start, end = np.array(stand.plan.situation.player("pressing", number).xy), end_of_run(stand.plan, number)
    way, off = np.array(end) - start, np.array(stand.own(number)) - start
    share = float(np.clip(off @ way / max(float(way @ way), 1e-9), 0.0, 1.3))
    beside_m = float(np.hypot(*(off - share * way)))
    return Finding(beside_m <= INSIDE_M, f"{number} is {beside_m:.1f} m beside the inside line" + (
        "." if beside_m <= INSIDE_M else f": {INSIDE_M:g} m at most."))


who_goes = Exercise(
    "Who goes now?", "Write the number of the one who goes to the ball.",
    _through_midfield(), WhoPresses(), "Who is between the ball and your goal?")

runs_back = Exercise(
    "Who runs back?", "Write the number of one of midfield and attack who only runs back.",
    _through_midfield(), Choose(
        "player", who_is_beaten, "Whom the ball has passed runs back; only the last on the far side guards it.",
        _numbers_back, names_players=True),
    "Draw a line across the pitch through the ball.")

run_home = Exercise(
    "Where does 11 run?", "Drag 11 to where his run back ends.", _through_midfield(), PlacePlayers(
        ("11",), (gets_goal_side("11"), on_inside_line("11")),
        "Run towards your goal on the inside, until you are goal-side of the ball.",
        lambda plan: {"11": end_of_run(plan, "11")}),
    "Look from 11 to your own penalty spot.")

which_side = Exercise(
    "Steer him where?", "Write left or right.",
    _through_midfield(), Choose(
        "side", to_which_side, "Press broken, touchline more than 14 m off: steer him back into the crowd.", crowd,
        turns=False),
    "Where are most of your players, and how far is the touchline?")

full_back = Exercise(
    "The full-back: go or stay?", "Write go or stay: does 2 go to the ball?",
    scene("press broken"), Choose(
        "answer", go_or_stay, "A winger whom the ball has passed goes only if he is there as soon, within 0.3 s.",
        both_times, names_players=True),
    "Look at 7: which side of the ball is he?")

and_now = Exercise(
    "And now?", "Write go or stay: does 2 go to the ball?",
    _winger_back(), Choose(
        "answer", go_or_stay, "Whoever in front is goal-side goes, unless the full-back is there more than 1 s before.",
        both_times, names_players=True),
    "Look at 7 again, and at their 11.")
