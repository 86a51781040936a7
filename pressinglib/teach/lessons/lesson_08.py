"""Lesson 08: other shapes against build-up shapes, and the arithmetic of a press.

All scenes are invented and lined up by formation. That one spare man costs one man in front is counting.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import dist

import numpy as np

from pressinglib import Plan, Situation, plan_press
from pressinglib.field.player import BACK, XY
from pressinglib.roles.measures import short_in_front
from pressinglib.tables import listed
from pressinglib.teach import Choose, Exercise, Finding, PlacePlayers
from pressinglib.teach.criteria import denies, goal_side
from pressinglib.teach.pictures import towards

BALL: XY = (33.0, 12.0)
SHAPES = ("4-4-2", "4-3-3", "3-5-2")
NEAR_LINE_M = 8.0  # whoever is nearer than this to the back line, or beyond it, is one it must watch (D)
MEN = 6
BODY_M = 1.5  # who is lined up nearer than this to one of ours is put so far behind him (own choice)


def duel(shape: str, build_up: str, ball_xy: XY = BALL) -> Situation:
    """A shape against a build-up shape of a 4-3-3."""
    picture = Situation.line_up(pressing=shape, possession="4-3-3", build_up=build_up, ball_xy=ball_xy)
    for man in picture.possession:
        near = min(picture.pressing, key=lambda own: dist(own.xy, man.xy))
        if dist(near.xy, man.xy) < BODY_M:  # no two in one place: he stands behind him, on the way to our goal
            picture = picture.moved("possession", man.number, (near.xy[0] - BODY_M, near.xy[1]))
    return picture


def at_the_back(plan: Plan) -> tuple[int, int]:
    """How many of ours are lined up at the back, how many of theirs are near them."""
    s = plan.situation
    ours = [p.xy[0] for p in s.pressing if p.line == BACK]
    return len(ours), sum(man.xy[0] <= float(np.mean(ours)) + NEAR_LINE_M for man in s.possession)


def spare_men(plan: Plan) -> dict[str, Finding]:
    """So many to spare at the back, or not."""
    ours, theirs = at_the_back(plan)
    words = f"{ours} of yours in the back line, {theirs} of theirs near it."
    return {str(n): Finding(n == ours - theirs, words) for n in range(MEN)}


def men_short(plan: Plan) -> dict[str, Finding]:
    """So many short in front, or not; their goalkeeper counts."""
    (ours, theirs), s = at_the_back(plan), plan.situation
    own, opponents = len(s.pressing) - 1, len(s.possession)
    words = f"In front {own - ours} of yours meet {opponents - theirs} of theirs, with their goalkeeper."
    short = short_in_front(ours - theirs, own, opponents)
    return {str(n): Finding(n == short, words) for n in range(MEN)}


def left_over(plan: Plan) -> dict[str, Finding]:
    """Each opponent but the goalkeeper: whether nobody has him unless one of the back line goes, or who has him."""
    s, found = plan.situation, {}
    has = {a.mark: s.player("pressing", a.number) for a in plan.assignments.values() if a.mark}
    for man in s.possession:
        own, word = has.get(man.number), plan.account[man.number]
        who = f"{own.number} {'leaves the line for him' if own.line == BACK else 'has him'}" if own else word
        left = word == "free" or (own is not None and own.line == BACK)
        if not man.is_goalkeeper:
            found[man.number] = Finding(left, f"Their {man.number}: {who}.")
    return found


def what_keeps_out(plan: Plan) -> dict[str, Finding]:
    """What the account says of their 4."""
    word = plan.account["4"]
    hidden = sum(each == "shadow" for each in plan.account.values())
    words = f"The account says of their 4: {word}. {plan.presser} has {hidden} in his shadow."
    return {each: Finding(each == word, words) for each in ("denied", "shadow", "free")}


@lru_cache(maxsize=64)
def open_by_shape(ball_xy: XY) -> Mapping[str, list[str]]:
    """Whom each shape leaves open against 2+3, with the ball there."""
    duels = {shape: plan_press(duel(shape, "2+3", ball_xy)).account for shape in SHAPES}
    return {shape: [man for man, word in account.items() if word == "free"] for shape, account in duels.items()}


def best_shapes(plan: Plan) -> dict[str, Finding]:
    """The shapes that leave the fewest open."""
    left = open_by_shape(plan.situation.ball_xy)
    fewest = min(map(len, left.values()))
    return {shape: Finding(len(men) == fewest, f"{shape} leaves {listed(men)} open.")
            for shape, men in left.items()}


def _wing_back_spot(plan: Plan) -> dict[str, XY]:
    """Two metres from their 2, on the way to the own goal."""
    s = plan.situation
    return {"3": towards(s.player("possession", "2").xy, s.pitch.own_goal_xy, 2.0)}


def _counted(plan: Plan) -> str:
    return "{} of yours at the back, {} of theirs near them.".format(*at_the_back(plan))


to_spare = Exercise(
    "How many to spare?", "Write how many more of yours than of theirs are at the back.", duel("4-4-2", "3+2"),
    Choose("number", spare_men, "Yours in the back line, minus theirs near it.", _counted),
    "Look at the halfway line only.")

short = Exercise(
    "How many short in front?", "Write how many fewer you are in front, their goalkeeper counted.",
    duel("4-4-2", "3+2"),
    Choose("number", men_short, "Ten of yours against eleven of theirs; whoever is spare at the back is missing.",
           _counted),
    "Leave out your goalkeeper and everybody near the halfway line.")

who_keeps_four = Exercise(
    "What keeps their 4 out?", "Write denied, shadow or free.", duel("4-4-2", "3+2"),
    Choose("word", what_keeps_out, "Denied: somebody stands with him. Shadow: the presser hides him. Else he is free.",
           lambda plan: f"{plan.presser} comes in {plan.assignments[plan.presser or ''].arrival_s:.1f} s, "
           f"steering {plan.steer}.", names_players=True),
    "Look from the ball along the line of three.")

way_out = Exercise(
    "Who is left over?", "Write the number of one of theirs whom nobody has if all five stay at the back, "
    "their goalkeeper apart.", duel("3-5-2", "3+2"),
    Choose("opponent", left_over, "Give each of your midfield and attack his man, first near the ball; who has none?",
           lambda plan: f"Of ten, {sum(f.holds for f in left_over(plan).values())} left over.", names_players=True),
    "Look along the touchline on the side of the ball.")

wing_back = Exercise(
    "Where does the wing-back go?", "Drag 3: goal-side of their 2, and with him in time.",
    duel("3-5-2", "3+2"), PlacePlayers(
        ("3",), (denies("3", "2"), goal_side("3", "2")),
        "Near enough to be with him at his first touch, and between him and your goal.", _wing_back_spot),
    "Look along the touchline.")

best_shape = Exercise(
    "Which shape?", "Write 4-4-2, 4-3-3 or 3-5-2: the one that leaves the fewest open against 2+3.",
    duel("4-4-2", "2+3"),
    Choose("shape", best_shapes, "Who in your shape already stands near their full-backs?",
           lambda plan: f"Open, at least: {min(map(len, open_by_shape(plan.situation.ball_xy).values()))}.",
           names_players=True),
    "Look at their full-backs.")
