"""Lesson 11: a rule of one's own: read one, break one, write two, and see what they change.

All scenes are invented. Rules, scenes and the choice of measures are our own (grade D).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import dist

from pressinglib.field.player import XY
from pressinglib.field.scenes import scene
from pressinglib.roles.compare import Comparison, compare_rulebooks
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rule_contract import check_rule
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.choices import Choose
from pressinglib.teach.criteria import Criterion
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.placing import PlacePlayers
from pressinglib.teach.rule_questions import (
    WriteRule,
    always_inside,
    the_last_listed,
    the_nearest,
    the_nearest_goal_side,
)
from pressinglib.teach.stand import Stand
from pressinglib.teach.verdict import Finding

PROMISES = ("kind", "team", "twice", "order", "mirror")  # the contract's lines, each in a word
NOBODY_GOES_S = 10.0
COSTS = ("our corner", "low block", "behind the midfield", "wingers high", "ten men")


def _by_distance(plan: Plan) -> Mapping[str, Finding]:
    """Each outfield player: whether he is the nearest goal-side man, and how far off."""
    s = plan.situation
    first = the_nearest_goal_side(s)
    return {p.number: Finding(p.number == first, f"{p.number} is {dist(p.xy, s.ball_xy):.1f} m from the ball"
                              + _why(p.number == first, p.xy[0] < s.ball_xy[0]))
            for p in s.pressing if not p.is_goalkeeper}


def _why(first: bool, goal_side: bool) -> str:
    if not goal_side:
        return ", and the ball is between him and our goal: the rule leaves him out."
    return ", the least of those behind it." if first else ": somebody behind it is nearer."


def _promises(plan: Plan) -> Mapping[str, Finding]:
    """Each promise of the contract: whether the rule that goes by the sheet breaks it."""
    found = _broken()
    return {word: Finding(bool(found.get(word)), found.get(word) or "That one it keeps, on every named scene.")
            for word in PROMISES}


@cache
def _broken() -> Mapping[str, str]:
    promises = check_rule(the_last_listed, mirrors=True).promises
    return {word: f"On the scene {p.scene!r} {p.cause}: only the order of the sheet was changed."
            for word, p in zip(PROMISES, promises, strict=False) if not p.kept}


def _dearer(plan: Plan) -> Mapping[str, Finding]:
    """Each of a few scenes: whether sending the nearest leaves more danger than the stock rule."""
    return {row["picture"]: Finding(row["danger2"] > row["danger1"] + 0.001,
                                    f"Danger {row['danger1']:.2f} by the stock rule, {row['danger2']:.2f} by yours.")
            for row in _nearest_on_scenes().rows}


@cache
def _nearest_on_scenes() -> Comparison:
    rules = Rulebook().with_rules(choose_presser=the_nearest)
    return compare_rulebooks(Rulebook(), rules, {name: scene(name) for name in COSTS}, with_faults=False)


def seconds_to_the_ball(plan: Plan) -> float:
    """When the presser ends his run; a long time where nobody goes."""
    return NOBODY_GOES_S if plan.presser is None else plan.assignments[plan.presser].arrival_s


def both_name(number: str) -> Criterion:
    """The stock rule and the nearest-goes rule name him."""
    def criterion(stand: Stand) -> Finding:
        stock, nearest = plan_press(stand.situation, stand.plan.rulebook).presser, the_nearest(stand.situation)
        words = f"The stock rule: {stock or 'nobody'}; the nearest is {nearest}, {stand.ball_m(nearest):.1f} m off."
        return Finding(stock == number == nearest, words)

    return criterion


def _in_the_way(plan: Plan) -> Mapping[str, XY]:
    """10 between ball and goal, 4 m off the ball."""
    ball, goal = plan.situation.ball_xy, plan.situation.pitch.own_goal_xy
    share = 4.0 / dist(ball, goal)
    return {"10": (ball[0] + share * (goal[0] - ball[0]), ball[1] + share * (goal[1] - ball[1]))}


reading = Exercise(
    "Whom does the rule name?",
    "Be the computer: write the number that the_nearest_goal_side gives for this picture.",
    scene("behind the midfield"),
    Choose("player", _by_distance, "First it leaves out who is not behind the ball, then it asks for metres.",
           lambda plan: f"The least distance is {_least_m(plan):.1f} m.", players=True),
    "Look at the line across the pitch through the ball: your goal is on the left of it.")

promise = Exercise(
    "Which promise does it break?",
    "Write one word: kind, team, twice, order or mirror.",
    scene("worked scene"),
    Choose("promise", _promises, "Ask what the rule reads: places, or something that is no football.",
           lambda plan: f"Swap two of the {len(plan.situation.pressing)} players on the sheet, and nobody has moved.",
           turns=False),
    "Look at what the rule takes from the picture: the last one of a list.")

agree = Exercise(
    "Where do both rules agree?",
    "Drag 10 so that both rules send him.",
    scene("wingers high"), PlacePlayers(("10",), (both_name("10"),), "Be nearer than everybody else, and goal-side.",
                                        _in_the_way),
    "Look at 9: he is nearer to the ball, and on the wrong side of it.")

who = Exercise(
    "Your rule: who goes?",
    "Write a rule that names the presser. Near our own corner he must be there sooner than the stock rule's.",
    scene("our corner"),
    WriteRule("choose_presser", the_nearest, "The stock rule keeps the full-back in his line. The nearest is sooner.",
              measure=seconds_to_the_ball, pictures=8),
    "Look at who could be there first.")

cost = Exercise(
    "Where does it cost?",
    f"Write one scene in which the_nearest leaves more danger than the stock rule: {', '.join(COSTS)}.",
    scene("behind the midfield"),
    Choose("scene", _dearer, "A man beaten by the ball may be near it and still come too late.",
           lambda plan: f"It is so in {sum(f.holds for f in _dearer(plan).values())} of these {len(COSTS)}.",
           turns=False),
    "Look for scenes in which the nearest man has the ball between him and our goal.")

side = Exercise(
    "Your rule: which side?",
    "Write a rule that gives left or right. With their full-back on the ball it must leave less danger than the stock.",
    scene("full-back on the ball"),
    WriteRule("choose_steer", always_inside, "The stock rule uses the touchline. Try the other side.", pictures=8),
    "Look at where the ball is, and where your men are.")


def _least_m(plan: Plan) -> float:
    """Metres from the ball to the one whom the rule names."""
    s = plan.situation
    return dist(s.player("pressing", the_nearest_goal_side(s)).xy, s.ball_xy)
