"""Lesson 05: who balances: the gaps, the man in the gap, and the far side.

All scenes are invented. The gap rule and the limit of the far side are own arithmetic, named in
`pressinglib.physics.lanes` and `pressinglib.roles.far_side`.
"""

from __future__ import annotations

from pressinglib import Plan, Situation, plan_press, scene
from pressinglib.teach import Band, Choose, Exercise, MarkGaps, MovePlayers, PlacePlayers, SetNumber, Stand
from pressinglib.teach.choices import NO_BAND, off_him, who_takes
from pressinglib.teach.criteria import closes_gap, leaves_ball, no_new_fault, stays_taken, taken
from pressinglib.teach.gap_questions import Gap, gaps_of, standing_gaps
from pressinglib.teach.lessons import lesson_02, lesson_04
from pressinglib.teach.pictures import NOBODY, Places, in_tenths, other_side, placed

PAIR = ("10", "11")  # the gap that is measured
MAN_IN_THE_GAP = "8"
STRICT_M, WIDE_M = 1.5, 4.0  # so much less than the limit is still called right (own choice)
LEFT_OVER = ("6", "7", "8", "11")  # neither presser nor cover
OUTFIELD = ("2", "3", "4", "5", "6", "7", "8", "9", "10", "11")
THREE, THREE_MEN = ("6", "9", "11"), ("2", "7", "8")


def _arrived(theirs: Places = NOBODY) -> Situation:
    """The worked scene with presser and covers in their places."""
    picture = placed(scene("worked scene"), {}, theirs)
    jobs = plan_press(picture).assignments
    return placed(picture, {number: in_tenths(jobs[number].anchor_xy) for number in ("9", "10", "11")})


def _midfield_stayed() -> Situation:
    """9 is on the ball, 10 and 7 cover, 11 guards the far side; 6 and 8 have stayed with the back line."""
    ours = {"1": (-33, -2), "3": (-9, 13), "4": (-11, 2), "5": (-11, -9), "2": (-9, -21), "6": (-2, -8), "8": (-2, 5),
            "11": (23, 17.5), "10": (19.5, -2), "7": (25, -27), "9": (34.6, -7.8)}
    theirs = {"8": (13, -16), "10": (14, 9), "9": (-9, -2), "11": (-5, -27), "7": (-6, 27)}
    return placed(other_side(scene("worked scene")), ours, theirs)


def _three_passes() -> Situation:
    """10 is on the ball alone: three short passes forward are open, and 6, 9 and 11 look on."""
    ours = {"1": (-33, 3), "2": (-7, -13), "5": (-9, -2), "4": (-9, 9), "3": (-7, 20), "6": (3, 8), "8": (6, -8),
            "7": (12, -17), "11": (24, 22), "9": (29, 1), "10": (33.1, 17.0)}
    theirs = {"2": (18, 31), "7": (14, 18), "8": (21, 6), "9": (-6, 1), "10": (16, -8)}
    return placed(scene("against a back three"), ours, theirs)


def _measured(plan: Plan) -> Gap | None:
    """The gap that is asked about, if a man is behind it."""
    return next((gap for gap in gaps_of(plan) if gap.pair == PAIR and gap.man == MAN_IN_THE_GAP), None)


def widest_gap(plan: Plan) -> Band:
    """How wide the gap may be: the rule, and a little less for who is careful."""
    gap = _measured(plan)
    return NO_BAND if gap is None else Band(gap.limit_m - STRICT_M, gap.limit_m, gap.limit_m + 0.5)


def onto_the_free_men(plan: Plan) -> Places:
    """Those whom the plan sends onto the men behind the gaps, and where to."""
    men = {gap.man for gap in standing_gaps(Stand(plan, plan.situation)) if gap.open}
    return {n: (float(x), float(y)) for n, job in plan.assignments.items() if job.mark in men
            for x, y in [job.anchor_xy]}


def tucked_in(plan: Plan) -> Band:
    """How far from the far-side man his guard may stand: the limit, and a little wider."""
    limit_m = plan.far_side_limit_m
    return NO_BAND if limit_m is None else Band(limit_m - WIDE_M, limit_m - 1.0, limit_m)


EARLIER = (lesson_02.nearest, lesson_04.who_next)  # asked again, on fresh pictures

gap = Exercise(
    "Which gap is open?", "Click the gap that a team-mate must close: 7-8, 8-9, or both.",
    placed(scene("build-up right"), {}, {"8": (15, 10)}), MarkGaps(), "Look behind the gaps, not at them.")

wide = Exercise(
    "How wide may it be?", "Move the slider: how wide may the gap between 10 and 11 be, for the two to close it?",
    _arrived(), SetNumber(
        "m", widest_gap, "Closed, but narrower than it need be: something else stays empty.",
        "The pass is through before either of them is there.",
        "Half-way between 10 and 11: in the time the ball needs to get there, either of the two makes a few steps."),
    "Look for the point half-way between 10 and 11: how far is it from the ball?",
    others=(_arrived({"6": (28, 3), "2": (34, 25)}), _arrived({"6": (27, 1), "2": (33, 27)})))

who_drops = Exercise(
    "Who drops onto him?", "Click the one of 6, 7, 8 and 11 who takes their 8, behind the gap between 9 and 10.",
    placed(scene("build-up middle"), {}, {"6": (24, 9)}), Choose(
        "player", who_takes(MAN_IN_THE_GAP, LEFT_OVER), "Cross out who has a man that nobody else can reach.",
        off_him(MAN_IN_THE_GAP, LEFT_OVER), names_players=True),
    "Ask of each: whom would he leave?",
    others=(placed(scene("build-up middle"), {"6": (1, -11), "8": (11, 5)}, {"6": (24, 9)}),))

hunt = Exercise(
    "Which gaps are open now?", "Click all gaps that are open, or choose none.",
    _midfield_stayed(), MarkGaps(standing=True), "Look who of theirs stands alone, and between whom the ball sees him.")

repair = Exercise(
    "Who moves, and where to?", "Move two of yours, so that no gap is open and nothing opens elsewhere.",
    _midfield_stayed(), MovePlayers(
        OUTFIELD, (closes_gap("9", "10"), closes_gap("7", "10"), stays_taken(), no_new_fault()),
        "Onto the free man: goal-side, on the ball side, with him by his first touch. Whom does he leave?",
        onto_the_free_men),
    "Look who of yours has nobody.")

lanes = Exercise(
    "Where do the three stand?", "Move 6, 9 and 11 so that none of the three short passes is on: to 2, to 7, to 8.",
    _three_passes(), PlacePlayers(
        THREE, (*map(taken, THREE_MEN), *map(leaves_ball, THREE), stays_taken()),
        "One man each: in the lane, or goal-side and with him by his first touch."),
    "Look along the three lanes: who is nearest to each, and on which side of the man?")

far_side = Exercise(
    "How far may he tuck in?", "Move the slider: how far from their 3 may 7 stand, and still be there with a switch?",
    scene("worked scene"), SetNumber(
        "m", tucked_in, "He is safe, but so wide that the middle lacks a man.", "The switch is there before him.",
        "He has the time of the flight and of the first touch, less his reaction, to run from a stand."),
    "Look how far the ball has to fly.",
    others=(scene("worked scene").moved("possession", "3", (30, -14)),
            scene("worked scene").moved("possession", "3", (33, -17))))
