"""Lesson 04: who covers: the short options, one man each, how near, and who takes over when the presser is beaten.

All scenes are invented. How far off a man a cover may stand is own arithmetic, named in `pressinglib.teach.stand`; how
far covers stay behind the presser is common practice, in the numbers of `cover_distances_m`.
"""

from __future__ import annotations

from math import dist

from pressinglib import Pitch, Plan, Player, Situation, scene
from pressinglib.roles.balance import cover_distance_m
from pressinglib.teach import Band, Choose, Denial, Exercise, Finding, PlacePlayers, SetNumber
from pressinglib.teach.choices import off_him, who_takes
from pressinglib.teach.criteria import denies, leaves_ball
from pressinglib.teach.lessons import lesson_01, lesson_03
from pressinglib.teach.pictures import NOBODY, Places, placed, towards

THEIR_8 = "8"
NEAR_BY = ("6", "8", "9", "11")  # those who could go to their 8
NEAREST = 5  # so many of theirs are asked about
THEIR_6 = "6"
WIDE_M, ABOUT_M = 3.0, 1.5  # still right: so much less than the limit; so far off the usual distance (own choice)
HIGH_X, HOME_X = 26.0, -29.0  # where the ball of the same picture lies
STRAIGHT, HELD_BY_LINE = 1, "held by line"  # of the ways out
BEHIND = ("6", "7", "8", "9")
SAME_S = 0.1  # no eye can tell less


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


def _near_the_ball(situation: Situation) -> list[Player]:
    """Their five nearest to the ball, without the man on it."""
    away = sorted(situation.possession, key=lambda man: dist(man.xy, situation.ball_xy))
    return [man for man in away if man.number != situation.on_ball][:NEAREST]


def left_alone(plan: Plan) -> dict[str, Finding]:
    """Each of their nearest, whether nobody is spent on him, neither a cover nor the back line."""
    by = {job.mark: f"{number} has him" for number, job in plan.assignments.items() if job.mark is not None}
    by |= {man: "the back line has him" for man, word in plan.account.items() if word == HELD_BY_LINE}
    near = [man.number for man in _near_the_ball(plan.situation)]
    return {man: Finding(man not in by, f"Their {man}: {by.get(man, 'nobody goes to him')}.") for man in near}


def passes(plan: Plan) -> str:
    """How long the passes to them are, and which of them go back."""
    x = plan.situation.ball_xy[0]
    said = (f"{dist(man.xy, plan.situation.ball_xy):.0f} m {'back' if man.xy[0] > x + 4 else 'on'} to {man.number}"
            for man in _near_the_ball(plan.situation))
    return f"The passes: {', '.join(said)}."


def off_their_6(plan: Plan) -> Band:
    """How far off their 6 a cover may stand: the limit, and a little tighter."""
    slack_m = Denial(plan, THEIR_6, (0.0, 0.0)).slack_m
    return Band(max(slack_m - WIDE_M, 0.5), slack_m - 0.5, slack_m)


def cover_band(plan: Plan) -> Band:
    """How far behind the presser the cover stands who guards the straight way."""
    distance_m = float(cover_distance_m(plan.picture)[0])
    return Band(distance_m - ABOUT_M, distance_m, distance_m + ABOUT_M)


def behind_him(situation: Situation, metres: float) -> Situation:
    """6 so far behind 10, on the line to our goal."""
    presser = situation.player("pressing", "10").xy
    return situation.moved("pressing", "6", towards(presser, situation.pitch.own_goal_xy, metres))


def _beaten(ours: Places = NOBODY) -> Situation:
    """Their 6 has gone past 10, straight at our goal."""
    return placed(scene("wingers high"), {"10": (20.5, 3.5), **ours})


def first_there(plan: Plan) -> dict[str, Finding]:
    """Each of those behind, whether he is the first in the carrier's straight way."""
    p = plan.picture
    times = {n: round(float(plan.decisions.way_s[0, p.own_index(0, n), STRAIGHT]), 1) for n in BEHIND}
    return {n: Finding(t <= min(times.values()) + SAME_S, f"{n} could be in his way after {t:.1f} s."
                       if t < float("inf") else f"{n} only chases: he never gets in front of him.")
            for n, t in times.items()}


def to_the_ball(plan: Plan) -> str:
    """How far those behind are from the ball."""
    s = plan.situation
    away_m = {n: dist(s.player("pressing", n).xy, s.ball_xy) for n in BEHIND}
    return "From the ball: " + ", ".join(f"{n} {m:.0f} m" for n, m in away_m.items()) + ". Who is in front of it?"


EARLIER = (lesson_01.whose_ball, lesson_03.other_side)  # asked again, on fresh pictures

covers = Exercise(
    "Who covers?", "Click the one of 6, 8, 9 and 11 who takes the pass to their 8 away.",
    scene("against a back three"), Choose(
        "player", who_takes(THEIR_8, NEAR_BY), "All together in time where it hurts, nobody past a nearer team-mate.",
        off_him(THEIR_8, NEAR_BY), names_players=True),
    "Look who is goal-side of their 8 and has nobody else.")

no_cover = Exercise(
    "Whom do you leave alone?", "Click one of their five near the ball to whom nobody of yours goes.",
    scene("worked scene"), Choose(
        "opponent", left_alone, "Nobody is spent on a man in the shadow, nor on a pass back that hurts nobody.",
        passes, names_players=True),
    "Ask of each pass: does it bring them forward? And who hides him already?",
    others=(scene("low block"), scene("back five")))

two_covers = Exercise(
    "Where do the two stand?", "Move 10 and 11 so that neither short pass is on.",
    _drifted_to_the_ball(), PlacePlayers(
        ("10", "11"), (denies("10", "6"), denies("11", "2"), leaves_ball("11")),
        "One short pass each: in its way, or goal-side and with the man by his first touch."),
    "Look along the lines from the ball to their 6 and to their 2.")

how_near = Exercise(
    "How far off may 10 be?",
    "Move the slider: how far from their 6 may 10 stand at most, and still be with him at his first touch?",
    _an_easy_pass(), SetNumber(
        "m", off_their_6, "He is in time there, but he could be looser, and a looser cover helps 9 as well.",
        "Their 6 has turned before he is there.",
        "He has the time of the pass and of the first touch, less his reaction, to run from a stand."),
    "Look how long the pass to their 6 is: the longer, the looser.",
    others=(_an_easy_pass().moved("possession", "6", (29, 7)), _an_easy_pass().moved("possession", "6", (14, -5))))

BEHIND_HIM = SetNumber(
    "m", cover_band, "So near, one turn beats both of them, and there is grass behind.",
    "Past 10 the man has room and time before he meets 6.",
    "High up the cover is loose, before your own box he is tight.", slider=(0.0, 16.0), moved=behind_him)

high_up = Exercise(
    "How far behind him?", "Move the slider: how far behind 10 does 6 stand, on the line to your goal?",
    _two_behind_each_other(HIGH_X), BEHIND_HIM, "Look how much grass there is behind 6, and how far a shot would be.",
    others=(_two_behind_each_other(HOME_X),))

home = Exercise(
    "And here?", "Move the slider: how far behind 10 does 6 stand, on the line to your goal?",
    _two_behind_each_other(HOME_X), BEHIND_HIM, "Look how far their 6 is from a shot.",
    others=(_two_behind_each_other(HIGH_X),))

who_next = Exercise(
    "Who takes over?", "Click the one of 6, 7, 8 and 9 who is first in his way.",
    _beaten(), Choose(
        "player", first_there,
        "First to the carrier's path from where he stands, and not first to where the ball is now.",
        to_the_ball, names_players=True),
    "Draw the line from the ball to your goal.", others=(_beaten({"6": (1, -15), "8": (7, 2)}),))
