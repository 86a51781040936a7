"""Lesson 05: who balances: the gaps, the man in the gap, and the far side.

All scenes are invented. The gap rule and the limit of the far side are own arithmetic, named in
`pressinglib.physics.lanes` and `pressinglib.roles.far_side`.
"""

from __future__ import annotations

from pressinglib.field.scenes import scene
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.choose import Choose
from pressinglib.teach.criteria import denies, goal_side
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.mark_gaps import Gap, MarkGaps, gaps_of
from pressinglib.teach.place_players import PlacePlayers
from pressinglib.teach.set_number import Band, SetNumber
from pressinglib.teach.verdict import Finding

PAIR = ("10", "11")  # the gap that is measured
MAN_IN_THE_GAP = "8"
STRICT_M, WIDE_M = 1.5, 4.0  # so much less than the limit is still called right (own choice)
LEFT_OVER = ("6", "7", "8", "11")  # neither presser nor cover


def _arrived(name: str, *numbers: str) -> Situation:
    """A named scene with presser and covers in their places."""
    picture = scene(name)
    for number, job in plan_press(picture).assignments.items():
        if number in numbers:
            x, y = (round(float(v), 1) for v in job.anchor_xy)
            picture = picture.moved("pressing", number, (x, y))
    return picture


def _measured(plan: Plan) -> Gap | None:
    """The gap that is asked about, if a man is behind it."""
    return next((gap for gap in gaps_of(plan) if gap.pair == PAIR and gap.man == MAN_IN_THE_GAP), None)


# -- what the engine is asked --------------------------------------------------------------------------------------


def limits() -> str:
    """How wide a gap may be, by its distance from the ball."""
    return "\n".join(f"{away_m:2d} m from the ball: {float(gap_limit(away_m)):.1f} m" for away_m in (5, 10, 15, 20))


def widest_gap(plan: Plan) -> Band:
    """How wide the gap may be: the rule, and a little less for who is careful."""
    gap = _measured(plan)
    return Band(1.0, 0.0, 0.0) if gap is None else Band(gap.limit_m - STRICT_M, gap.limit_m, gap.limit_m + 0.5)


def takers(plan: Plan) -> dict[str, Finding]:
    """Each who is left over, whether he is the one who drops onto the man in the gap."""
    jobs = plan.assignments
    return {number: Finding(jobs[number].mark == MAN_IN_THE_GAP, f"{number}: {jobs[number].duty}.")
            for number in LEFT_OVER}


def in_metres(plan: Plan) -> str:
    """How far each of those left over is from the man in the gap."""
    s = plan.situation
    x, y = s.player("possession", MAN_IN_THE_GAP).xy
    away = {n: s.player("pressing", n).xy for n in LEFT_OVER}
    return ", ".join(f"{n} is {((a - x) ** 2 + (b - y) ** 2) ** 0.5:.0f} m off" for n, (a, b) in away.items()) + "."


def tucked_in(plan: Plan) -> Band:
    """How far from the far-side man his guard may stand: the limit, and a little wider."""
    limit_m = plan.far_side_limit_m
    return Band(1.0, 0.0, 0.0) if limit_m is None else Band(limit_m - WIDE_M, limit_m - 1.0, limit_m)


def by_switch(situation: Situation) -> str:
    """The limit of the far side for a hard and a soft switch."""
    plans = {mps: plan_press(situation, Rulebook(Settings(switch_mps=mps))) for mps in (28.0, 24.0)}
    return "\n".join(f"struck at {mps:.0f} m/s: {plan.far_side_limit_m or 0.0:.1f} m" for mps, plan in plans.items())


# -- the exercises -------------------------------------------------------------------------------------------------

which_gap = Exercise(
    "Which gap is open?", "Write the open gap as a pair, such as 4-5.",
    scene("build-up right"), MarkGaps(), "Look behind the gaps, not at them.")

how_wide = Exercise(
    "How wide may it be?", "Write metres: as wide as the gap between 10 and 11 may be, so that the two close it alone.",
    _arrived("worked scene", "9", "10", "11"), SetNumber(
        "m", widest_gap, "Closed, but narrower than it need be: something else stays empty.",
        "The pass is through before either of them is there.",
        "Half-way between 10 and 11: how far is that from the ball? The table above tells the rest."),
    "Look for the point half-way between 10 and 11.")

who_drops = Exercise(
    "Who drops onto him?", "Write 6, 7, 8 or 11: who takes their 8, behind the gap between 9 and 10.",
    scene("build-up middle"), Choose(
        "player", takers, "Cross out who has a man that nobody else can reach.", in_metres, players=True),
    "Ask of each: whom would he leave?")

drop_spot = Exercise(
    "Where does 6 stand?", "Drag 6: in time at their 8, and on the right side of him.",
    scene("worked scene").moved("pressing", "6", (15, 4)), PlacePlayers(
        ("6",), (denies("6", MAN_IN_THE_GAP), goal_side("6", MAN_IN_THE_GAP)),
        "Goal-side of the man, shaded to the ball, and near enough to be there by his first touch."),
    "Draw the line from their 8 to your goal.")

how_far_in = Exercise(
    "How far may he tuck in?", "Write metres: how far from their 2 may 7 stand, and still be there with a switch?",
    scene("worked scene"), SetNumber(
        "m", tucked_in, "He is safe, but so wide that the middle lacks a man.", "The switch is there before him.",
        "He has the time of the flight and of the first touch, less his reaction, to run from a stand."),
    "Look how far the ball has to fly.")
