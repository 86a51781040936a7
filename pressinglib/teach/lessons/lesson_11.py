"""Lesson 11: a rule of one's own: read one, break one, write two, and see what they change.

All scenes are invented. Rules, scenes and the choice of measures are our own (grade D).
"""

from collections.abc import Mapping, Sequence
from functools import cache
from math import dist

from pressinglib import Plan, Player, Rulebook, Situation, check_rule, compare_rulebooks, picture, plan_press, scene
from pressinglib.roles.compare import Comparison
from pressinglib.show.drawing import draw_compared
from pressinglib.show.export import Picture
from pressinglib.tables import Table
from pressinglib.teach import Choose, Finding, PlacePlayers, Race, Stand, WriteRule, asks_of, criterion, drawn, towards

ask = asks_of("lesson_11.md")
PROMISES = ("kind", "team", "twice", "order", "mirror")  # the contract's lines, each in a word
NOBODY_GOES_S = 10.0
COSTS = ("our corner", "low block", "behind the midfield", "wingers high", "ten men")


def the_nearest(situation: Situation) -> str:
    """The outfield player nearest to the ball goes, whatever his line and whichever side of the ball he is on."""
    return _nearest([p for p in situation.pressing if not p.is_goalkeeper], situation)


def the_nearest_goal_side(situation: Situation) -> str:
    """The nearest of those who are nearer to our goal line than the ball; of all, where nobody is."""
    outfield = [p for p in situation.pressing if not p.is_goalkeeper]
    return _nearest([p for p in outfield if p.xy[0] < situation.ball_xy[0]] or outfield, situation)


def _nearest(players: Sequence[Player], situation: Situation) -> str:
    """Of two who are equally near the one with the lower number, so that the order of the sheet does not matter."""
    return min(players, key=lambda p: (round(dist(p.xy, situation.ball_xy), 6), p.number)).number


NEAREST = Rulebook().with_rules(choose_presser=the_nearest)


def the_last_listed(situation: Situation) -> str:
    """Whoever stands last on the sheet goes: a rule that depends on the order of the sheet, and so on no football."""
    return situation.pressing[-1].number


def always_inside(situation: Situation) -> str:
    """Steer towards the middle of the pitch."""
    return "right" if situation.ball_xy[1] > 0 else "left"


def _by_distance(plan: Plan) -> Mapping[str, Finding]:
    """Each outfield player: whether he is the nearest goal-side man, how far off, and on which side of the ball."""
    s = plan.situation
    first = the_nearest_goal_side(s)
    return {p.number: Finding(p.number == first, f"{p.number} is {dist(p.xy, s.ball_xy):.1f} m from the ball and "
                              f"{'goal-side' if p.xy[0] < s.ball_xy[0] else 'not goal-side: the rule leaves him out'}.")
            for p in s.pressing if not p.is_goalkeeper}


@cache
def _promises() -> Mapping[str, Finding]:
    """Each promise of the contract: whether the rule that goes by the sheet breaks it."""
    return {word: Finding(not p.kept, "That one it keeps, on every named scene." if p.kept else
                          f"On the scene {p.scene!r} {p.cause}: only the order of the sheet was changed.")
            for word, p in zip(PROMISES, check_rule(the_last_listed, mirrors=True).promises, strict=False)}


@cache
def compared() -> Comparison:
    """The stock rule beside the nearest, on all named scenes."""
    return compare_rulebooks(Rulebook(), NEAREST, names=("stock", "the nearest"))


def _dearer(plan: Plan) -> Mapping[str, Finding]:
    """Each of a few scenes: whether sending the nearest leaves more danger than the stock rule."""
    return {row["picture"]: Finding(row["danger2"] > row["danger1"] + 0.001,
                                    f"Danger: stock rule {row['danger1']:.2f}, the nearest {row['danger2']:.2f}.")
            for row in compared().rows if row["picture"] in COSTS}


def compared_table() -> Table:
    """The scenes in which they differ."""
    return compared().table()


def drawn_together() -> Picture:
    """Two plans of one picture: the first in full, dashed where the second sends somebody elsewhere."""
    turned = reading.situation
    return picture(draw_compared(turned, plan_press(turned), plan_press(turned, NEAREST), ("stock", "the nearest")))


def seconds_to_the_ball(plan: Plan) -> float:
    """When the presser could be at the ball, flat out; a long time where nobody goes or the goalkeeper."""
    return NOBODY_GOES_S if plan.presser is None else min(Race(plan).time_s(plan.presser), NOBODY_GOES_S)


@criterion
def both_name(stand: Stand, number: str) -> Finding:
    """The stock rule and the nearest-goes rule name him."""
    stock, nearest = plan_press(stand.situation, stand.plan.rulebook).presser, the_nearest(stand.situation)
    words = f"The stock rule: {stock or 'nobody'}; the nearest is {nearest}, {stand.ball_m(nearest):.1f} m off."
    return Finding(stock == number == nearest, words)


reading = ask("reading", scene("behind the midfield"), Choose, "player", _by_distance,
    far=lambda plan: f"The least distance is {_least_m(plan):.1f} m.")

promise = ask("promise", scene("worked scene"), Choose, "promise", lambda plan: _promises(), turns=False)

agree = ask("agree", scene("wingers high"), PlacePlayers, ("10",), (both_name("10"),),
    places=lambda plan: {"10": towards(plan.situation.ball_xy, plan.situation.pitch.own_goal_xy, 4.0)})

who = ask("who", drawn("full-back first"), WriteRule, "choose_presser", the_nearest,
    measure=seconds_to_the_ball, pictures=8)

cost = ask("cost", scene("behind the midfield"), Choose, "scene", _dearer, turns=False)

side = ask("side", scene("full-back on the ball"), WriteRule, "choose_steer", always_inside, pictures=8)


def _least_m(plan: Plan) -> float:
    """Metres from the ball to the one whom the rule names."""
    s = plan.situation
    return dist(s.player("pressing", the_nearest_goal_side(s)).xy, s.ball_xy)
