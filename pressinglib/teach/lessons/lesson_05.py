"""Lesson 05: who balances: the gaps, the man in the gap, and the far side.

All scenes are invented. The gap rule and the limit of the far side are own arithmetic, named in
`pressinglib.physics.lanes` and `pressinglib.roles.far_side`.
"""

from math import dist, floor

from pressinglib import Plan, Situation, scene
from pressinglib.teach import Band, Choose, MarkGaps, PlacePlayers, SetNumber, Stand, asks_of
from pressinglib.teach.choices import NO_BAND, apart, off_him
from pressinglib.teach.criteria import closes_gap, few_moves, guards_far_side, leaves_ball, no_fault, stays_taken, taken
from pressinglib.teach.lessons.lesson_04 import first_goal_side
from pressinglib.teach.pictures import Places, drawn, in_tenths, placed, towards
from pressinglib.teach.stand import gaps_of, standing_gaps

ask = asks_of("lesson_05.md")
PAIR = ("10", "11")  # the gap that is measured
MAN_IN_THE_GAP = "8"
STRICT_M, WIDE_M = 1.5, 4.0  # so much less than the limit is still called right (own choice)
LEFT_OVER = ("6", "7", "8", "11")  # neither presser nor cover
OUTFIELD = ("2", "3", "4", "5", "6", "7", "8", "9", "10", "11")
THREE, THREE_MEN = ("6", "9", "11"), ("2", "7", "8")


def widest_gap(plan: Plan) -> Band:
    """How wide the gap may be, if a man is behind it: the rule, and a little less for who is careful."""
    limits = [gap.limit_m for gap in gaps_of(plan) if gap.pair == PAIR and gap.man == MAN_IN_THE_GAP]
    return Band(limits[0] - STRICT_M, limits[0], limits[0] + 0.5) if limits else NO_BAND


def so_wide(situation: Situation, metres: float) -> Situation:
    """10 and 11 so far apart, round the middle between them."""
    first, second = (situation.player("pressing", number).xy for number in PAIR)
    middle, half_m = towards(first, second, dist(first, second) / 2), max(metres, 1.0) / 2
    return placed(situation, {"10": towards(middle, first, half_m), "11": towards(middle, second, half_m)})


def onto_the_free_men(plan: Plan) -> Places:
    """Those whom the plan sends onto the men behind the gaps, and where to."""
    men = {gap.man for gap in standing_gaps(Stand(plan, plan.situation)) if gap.open}
    return {n: in_tenths(job.anchor_xy) for n, job in plan.assignments.items() if job.mark in men}


def tucked_in(plan: Plan) -> Band:
    """How far from the far-side man his guard may stand: the limit, as an eye can tell it, and a little wider."""
    limit_m = plan.far_side_limit_m
    return NO_BAND if limit_m is None else Band(limit_m - WIDE_M, floor(2 * limit_m) / 2, limit_m)

gap = ask("gap", placed(scene("build-up right"), {}, {"8": (15, 10)}), MarkGaps())

wide = ask("wide", drawn("presser and covers there"), SetNumber, "m", widest_gap, moved=so_wide,
    seen=lambda plan, s: apart(s, *PAIR),
    others=(drawn("presser and covers there, their 2 inside"), drawn("presser and covers there, their 6 near")))

who_drops = ask("who_drops", placed(scene("build-up middle"), {}, {"6": (24, 9)}), Choose, "player",
    first_goal_side(MAN_IN_THE_GAP, LEFT_OVER), far=off_him(MAN_IN_THE_GAP, LEFT_OVER),
    others=(placed(scene("build-up middle"), {"6": (1, -11), "8": (11, 5)}, {"6": (24, 9)}),))

hunt = ask("hunt", drawn("midfield stayed"), MarkGaps(standing=True))

repair = ask("repair", drawn("midfield stayed"), PlacePlayers, OUTFIELD,
    (few_moves(2), closes_gap("9", "10"), closes_gap("7", "10"), stays_taken(), no_fault()),
    places=onto_the_free_men)

lanes = ask("lanes", drawn("three passes"), PlacePlayers, THREE,
    (*map(taken, THREE_MEN), *map(leaves_ball, THREE), stays_taken()))

far_side = ask("far_side", scene("worked scene"), SetNumber, "m", tucked_in,
    moved=lambda s, m: placed(s, {"7": towards(s.player("possession", "3").xy, s.player("pressing", "7").xy, m)}),
    seen=lambda plan, s: [guards_far_side("7", "3")(Stand(plan, s))],
    others=(scene("worked scene").moved("possession", "3", (30, -14)),
            scene("worked scene").moved("possession", "3", (33, -17))))
