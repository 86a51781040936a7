"""Lesson 04: who covers: the short options, one man each, how near, and who takes over when the presser is beaten.

All scenes are invented. How far off a man a cover may stand is own arithmetic, named in `pressinglib.teach.stand`; how
far covers stay behind the presser is common practice, in the numbers of `cover_distances_m`.
"""

from __future__ import annotations

from math import dist

from pressinglib import Pitch, Plan, Player, Situation, plan_press, scene
from pressinglib.roles.cover import cover_distance_m
from pressinglib.roles.faults_ball import BAND_M, TOO_NEAR
from pressinglib.teach import Band, Choose, Denial, Exercise, Finding, PlacePlayers, SetNumber
from pressinglib.teach.choices import off_him, who_takes
from pressinglib.teach.criteria import denies, leaves_ball
from pressinglib.teach.pictures import placed, towards

THEIR_8 = "8"
NEAR_BY = ("6", "8", "9", "11")  # those who could go to their 8
IN_REACH = ("1", "4", "10", "11")  # their men near the ball
THEIR_6 = "6"
WIDE_M = 3.0  # so much less than the limit still counts as the limit (own choice)
HIGH_X, HOME_X = 26.0, -29.0  # where the ball of the same picture lies
STRAIGHT, HELD_BY_LINE = "straight", "held by line"
BEHIND = ("6", "7", "8", "9")


def _two_behind_each_other(ball_x: float) -> Situation:
    """10 has arrived at their 6, in the middle; 6 is behind him, beside the line to goal. The rest is far."""
    ours = {"1": ("goalkeeper", (max(ball_x - 70, -50.0), 0.0)), "5": ("right centre-back", (ball_x - 18, -6.0)),
            "4": ("left centre-back", (ball_x - 18, 6.0)), "6": ("central holding midfielder", (ball_x - 9, 6.0)),
            "10": ("attacking midfielder", (ball_x - 1.6, -1.2))}
    theirs = {"1": ("goalkeeper", (47.0, 0.0)), "6": ("central holding midfielder", (ball_x + 1.0, -0.9)),
              "8": ("left midfielder", (ball_x + 2, 31.0)), "7": ("right winger", (ball_x - 10, -24.0))}
    pressing, possession = (tuple(Player(n, slot, xy) for n, (slot, xy) in team.items()) for team in (ours, theirs))
    return Situation(Pitch(), pressing, possession, (ball_x, 0.0), carrier="6")


def _an_easy_pass() -> Situation:
    """Their 5 has the ball, their 6 is near; our 8 is goal-side of their 10."""
    return scene("worked scene").moved("pressing", "8", (3, -7))


def _drifted_to_the_ball() -> Situation:
    """10 and 11 have both drifted towards the ball, behind their presser."""
    return placed(_an_easy_pass(), {"10": (18, 10), "11": (20, 15)})


def left_alone(plan: Plan) -> dict[str, Finding]:
    """Each of theirs, whether nobody is spent on him, neither a cover nor the back line."""
    by = {job.mark: f"{number} covers" for number, job in plan.assignments.items() if job.mark is not None}
    by |= {man: "the back line has him" for man, word in plan.account.items() if word == HELD_BY_LINE}
    return {man: Finding(man not in by, f"Their {man}: {by.get(man, 'nobody goes to him')}.") for man in IN_REACH}


def passes(plan: Plan) -> str:
    """How long the passes to them are."""
    s = plan.situation
    long_m = {man: dist(s.player("possession", man).xy, s.ball_xy) for man in IN_REACH}
    return "The passes: " + ", ".join(f"{m:.0f} m to {man}" for man, m in long_m.items()) + "."


def off_their_6(plan: Plan) -> Band:
    """How far off their 6 a cover may stand: the limit, and a little tighter."""
    slack_m = Denial(plan, THEIR_6, (0.0, 0.0)).slack_m
    return Band(max(slack_m - WIDE_M, 0.5), slack_m - 0.5, slack_m)


def cover_band(plan: Plan) -> Band:
    """How far behind the presser the cover stands who guards the straight way: no nearer than half of his distance."""
    distance_m = float(cover_distance_m(plan.picture)[0])
    return Band(TOO_NEAR * distance_m, distance_m, distance_m + BAND_M)


def behind_him(situation: Situation, metres: float) -> Situation:
    """6 so far behind 10, on the line to our goal."""
    presser = situation.player("pressing", "10").xy
    return situation.moved("pressing", "6", towards(presser, situation.pitch.own_goal_xy, metres))


def by_pass(situation: Situation) -> str:
    """How far off a man a cover may stand, by the length of the pass to him."""
    x, y = situation.ball_xy
    rows = []
    for long_m in (6.0, 12.0, 18.0, 24.0):
        plan = plan_press(situation.moved("possession", THEIR_6, (x - long_m, y)))
        rows.append(f"a pass of {long_m:2.0f} m: {Denial(plan, THEIR_6, (0.0, 0.0)).slack_m:.1f} m")
    return "\n".join(rows)


def first_there(plan: Plan) -> dict[str, Finding]:
    """Each of those behind, whether he is the first in the carrier's straight way past the presser."""
    who, there_s = plan.take_over[STRAIGHT]
    return {number: Finding(number == who, f"{number} is there first, in {there_s:.1f} s." if number == who
                            else f"{number}: somebody else is there before him, in {there_s:.1f} s.")
            for number in BEHIND}


def to_the_ball(plan: Plan) -> str:
    """How far those behind are from the ball."""
    s = plan.situation
    away_m = {n: dist(s.player("pressing", n).xy, s.ball_xy) for n in BEHIND}
    return ", ".join(f"{n} is {m:.0f} m from the ball" for n, m in away_m.items()) + ". Who is in front of it?"


covers = Exercise(
    "Who covers?", "Write 6, 8, 9 or 11: who takes the pass to their 8 away.",
    scene("against a back three"), Choose(
        "player", who_takes(THEIR_8, NEAR_BY), "All together in time where it hurts, nobody past a nearer team-mate.",
        off_him(THEIR_8, NEAR_BY), names_players=True),
    "Look who is goal-side of their 8 and has nobody else.")

no_cover = Exercise(
    "Whom do you leave alone?", "Write 1, 4, 10 or 11: the one of theirs to whom nobody goes.",
    scene("full-back on the ball"), Choose(
        "opponent", left_alone, "A cover is for the short pass that hurts. A pass back to the goalkeeper does not.",
        passes, names_players=True, turns=False),
    "Ask of each pass: does it bring them forward?")

two_covers = Exercise(
    "Where do the two stand?", "Drag 10 and 11 so that neither short pass pays.",
    _drifted_to_the_ball(), PlacePlayers(
        ("10", "11"), (denies("10", "6"), denies("11", "3"), leaves_ball("11")),
        "One short pass each: in its way, or goal-side and with the man by his first touch."),
    "Look along the lines from the ball to their 6 and to their 3.")

how_near = Exercise(
    "How far off may 10 be?",
    "Write metres: the furthest from their 6 that 10 may stand, and still be with him at his first touch.",
    _an_easy_pass(), SetNumber(
        "m", off_their_6, "It is not the furthest: he may stand some metres further off, and help more.",
        "Their 6 has turned before he is there.",
        "He has the time of the pass and of the first touch, less his reaction, to run from a stand."),
    "Look how long the pass to their 6 is. The table tells the rest.")

BEHIND_HIM = SetNumber(
    "m", cover_band, "Who beats 10 beats 6 with the same turn.", "Past 10 he has room and time before he meets 6.",
    "High up the cover is loose, before your own box he is tight.", slider=(0.0, 16.0), moved=behind_him)

high_up = Exercise(
    "How far behind him, high up?", "Write metres: how far behind 10 does 6 stand, on the line to your goal?",
    _two_behind_each_other(HIGH_X), BEHIND_HIM, "Look how much grass there is behind 6.")

home = Exercise(
    "And before your own box?", "Write metres: how far behind 10 does 6 stand, on the line to your goal?",
    _two_behind_each_other(HOME_X), BEHIND_HIM, "Look how far their 6 is from a shot.")

who_next = Exercise(
    "Who takes over?", "Write 6, 7, 8 or 9: who is first in the way if their 6 goes straight past 10.",
    scene("wingers high"), Choose(
        "player", first_there,
        "First to the carrier's path from where he stands, and not first to where the ball is now.",
        to_the_ball, names_players=True),
    "Draw the line from the ball to your goal.")
