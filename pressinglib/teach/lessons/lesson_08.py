"""Lesson 08: other shapes against build-up shapes, and the arithmetic of a press.

All scenes are invented and lined up by formation. That one spare man costs one man in front is counting.
"""

from collections.abc import Callable, Mapping
from functools import partial
from math import dist

import numpy as np

from pressinglib import Plan, Situation, plan_press
from pressinglib.field.player import BACK, XY, Player
from pressinglib.roles.measures import short_in_front
from pressinglib.tables import Table, by_number, listed
from pressinglib.teach import Choose, Finding, PlacePlayers, asks_of, side_by_side, towards
from pressinglib.teach.choices import Choices, one_holds
from pressinglib.teach.criteria import denies, goal_side

ask = asks_of("lesson_08.md")
BALL, MIDDLE = (33.0, 12.0), (30.0, 0.0)
SHAPES = ("4-4-2", "4-3-3", "3-5-2")
NEAR_LINE_M = 8.0  # whoever is nearer than this to the back line, or beyond it, is one it must watch (D)
MEN = 6
SAID = {"free": "nobody has him", "shadow": "the presser hides him", "denied": "one of yours has him"}
BODY_M = 3.0  # whoever is lined up nearer than this to one of ours is put so far off (own choice)


def duel(shape: str, build_up: str, ball_xy: XY = BALL) -> Situation:
    """A shape against a build-up shape of a 4-3-3."""
    picture = Situation.line_up(pressing=shape, possession="4-3-3", build_up=build_up, ball_xy=ball_xy)
    for man in picture.possession:
        near = min(picture.pressing, key=lambda own: dist(own.xy, man.xy))
        if dist(near.xy, man.xy) < BODY_M:  # no two in one place: behind him, or before the line, so as to be onside
            beside_m = BODY_M if near.line == BACK else -BODY_M
            picture = picture.moved("possession", man.number, (near.xy[0] + beside_m, near.xy[1]))
    return picture


def at_the_back(plan: Plan) -> tuple[int, int]:
    """How many of ours are lined up at the back, how many of theirs are near them."""
    s = plan.situation
    ours = [p.xy[0] for p in s.pressing if p.line == BACK]
    return len(ours), sum(man.xy[0] <= float(np.mean(ours)) + NEAR_LINE_M for man in s.possession)


def spare_men(plan: Plan) -> Mapping[str, Finding]:
    """So many to spare at the back, or not."""
    ours, theirs = at_the_back(plan)
    return one_holds(map(str, range(MEN)), str(ours - theirs), _counted(plan))


def men_short(plan: Plan) -> Mapping[str, Finding]:
    """So many short in front, or not; their goalkeeper counts."""
    (ours, theirs), s = at_the_back(plan), plan.situation
    own, opponents = len(s.pressing) - 1, len(s.possession)
    return one_holds(map(str, range(MEN)), str(short_in_front(ours - theirs, own, opponents)),
                     f"In front {own - ours} of yours meet {opponents - theirs} of theirs, counting their goalkeeper.")


def of_theirs(is_it: Callable[[Player | None, str], bool]) -> Choices:
    """Each opponent but the goalkeeper: whether he is the one, by who of ours goes to him and by the account's word."""
    def choices(plan: Plan) -> dict[str, Finding]:
        s, found = plan.situation, {}
        has = {a.mark: s.player("pressing", a.number) for a in plan.assignments.values() if a.mark}
        for n in (man.number for man in s.possession if not man.is_goalkeeper):
            own, word = has.get(n), plan.account[n]
            goes = f"your {own.number} {'leaves the line for' if own.line == BACK else 'goes to'} him" if own else \
                SAID.get(word, word)
            found[n] = Finding(is_it(own, word), f"Their {n}: {goes}.")
        return found

    return choices


left_over = of_theirs(lambda own, word: word == "free" or (own is not None and own.line == BACK))


def what_keeps_out(plan: Plan) -> Mapping[str, Finding]:
    """What the account says of their 4."""
    word = plan.account["4"]
    return one_holds(("denied", "shadow", "free"), word, _comes(plan), f"Their 4: {SAID.get(word, word)}.")


def open_by_shape(build_up: str, ball_xy: XY) -> Mapping[str, list[str]]:
    """Whom each shape leaves open against a build-up shape, with the ball there."""
    duels = {shape: plan_press(duel(shape, build_up, ball_xy)).account for shape in SHAPES}
    return {shape: sorted((man for man, word in account.items() if word == "free"), key=by_number)
            for shape, account in duels.items()}


def best_against(build_up: str) -> Choices:
    """The shapes that leave the fewest open."""
    def choices(plan: Plan) -> dict[str, Finding]:
        left = open_by_shape(build_up, plan.situation.ball_xy)
        return {shape: Finding(len(men) == min(map(len, left.values())), f"{shape} leaves their {listed(men)} open.")
                for shape, men in left.items()}

    return choices


def _wing_back_spot(plan: Plan) -> dict[str, XY]:
    """Two metres from their 2, on the way to the own goal."""
    return {"3": towards(plan.situation.player("possession", "2").xy, plan.situation.pitch.own_goal_xy, 2.0)}


def _counted(plan: Plan) -> str:
    return "You have {} at the back, and {} of theirs are near them.".format(*at_the_back(plan))


def _comes(plan: Plan) -> str:
    return f"{plan.presser} is there in {plan.assignments[plan.presser or ''].arrival_s:.1f} s, steering {plan.steer}."


TWO_OR_NONE = duel("3-5-2", "3+2"), duel("4-4-2", "3+2").moved("possession", "10", (-2, -6))  # to spare

to_spare = ask("to_spare", duel("4-4-2", "3+2"), Choose, "number", spare_men, far=_counted, others=TWO_OR_NONE)

short = ask("short", duel("4-4-2", "3+2"), Choose, "number", men_short, far=_counted, others=TWO_OR_NONE)

who_keeps_four = ask("who_keeps_four", duel("4-4-2", "3+2"), Choose, "word", what_keeps_out, far=_comes)

way_out = ask("way_out", duel("3-5-2", "3+2"), Choose, "opponent", left_over)

wing_back = ask("wing_back", duel("3-5-2", "3+2"), PlacePlayers, ("3",), (denies("3", "2"), goal_side("3", "2")),
    places=_wing_back_spot)

best_shape = ask("best_shape", duel("4-4-2", "2+3"), Choose, "shape", best_against("2+3"),
    others=(duel("4-4-2", "2+3", (16.0, 22.0)), duel("4-4-2", "2+3", (16.0, -22.0))))

winger_takes = ask("winger_takes", duel("4-3-3", "2+3"), Choose, "opponent",
    of_theirs(lambda own, word: own is not None and own.number == "11"),
    far=lambda plan: f"11 is there in {plan.assignments['11'].arrival_s:.1f} s.")

in_the_middle = ask("in_the_middle", duel("4-4-2", "3+2", MIDDLE), Choose, "shape", best_against("3+2"),
    others=(duel("4-4-2", "3+2", (16.0, 22.0)), duel("4-4-2", "3+2", (16.0, -22.0))))


def account() -> Table:
    """One word for each opponent."""
    return Table(("their", "is"), list(who_keeps_four.plan.account.items()))


def _side_by_side(build_up: str, ball_xy: XY) -> Table:
    return side_by_side({shape: plan_press(duel(shape, build_up, ball_xy)) for shape in SHAPES})


three_shapes, three_in_the_middle = partial(_side_by_side, "2+3", BALL), partial(_side_by_side, "3+2", MIDDLE)
