"""The price of choices: what a press, and what else the same team could do, come to when the game is played on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Self

import numpy as np

from pressinglib.errors import BadInput, as_a, as_number, as_whole
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import PENALTY_AREA_M
from pressinglib.field.situation import Situation
from pressinglib.play.play_out import FIRST_S, LASTS_S, SOON_S, Orders, PlayOut
from pressinglib.play.tactics import closing_down, leaving_free
from pressinglib.roles.compare import Rate, block_shift, nearest_presses, rate
from pressinglib.roles.decided import mismeasured
from pressinglib.roles.decisions import frame_rule, sheet_order
from pressinglib.roles.measures import least_total
from pressinglib.roles.picture import Floats, Picture, norm, toward, unit
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.settings import COVER, GUARD_INSIDE, NOBODY
from pressinglib.tables import Table

ERROR_M = 0.5  # places are known so well
MAN_M, DROPS_M, NARROW = 1.5, 10.0, 0.7  # goal-side of his man; how far and how narrow a team drops or closes (D)
MOST_TRAPS, JUMPS = 5, ("jumps", "goes with them")
PLANNED, SIDES = "as planned", {1: "steer outside", -1: "steer inside", 0: "straight at him"}
WON = f"won in {LASTS_S:g} s, %"
HEAD = ("choice", f"won in {SOON_S:g} s, %", WON, "in our box, %", "ground given, m", "sprints, m", "worth")
NO_BOX = "Nobody came into our box in these games: score and minutes left change no order here."
OFTEN = ("as often as", "more often than", "less often than")


@dataclass(frozen=True, repr=False, eq=False)
class Choices(Table):
    """The choices by worth, each value with its 95 % interval, and in words what sets them apart from the plan.

    `names` has the plan first, `values` (choices, copies, 5) what came of each game, as `PlayOut.end` has it, `spots`
    (choices, players, 2) where each choice sends ours at first; `told` has a sentence more on some: a trap's bait, cue,
    and who jumps. Worth is risk * share won in 8 s - (1 - risk) * share in the box.
    """

    names: tuple[str, ...] = ()
    values: Floats = None  # type: ignore[assignment]
    risk: float = 0.5
    spots: Floats = None  # type: ignore[assignment]
    told: Mapping[str, str] = None  # type: ignore[assignment]

    @classmethod
    def of(cls, names: tuple[str, ...], values: Floats, risk: float, spots: Any = None,
           told: Mapping[str, str] | None = None) -> Self:
        """What came of the games of each choice."""
        share, games = values.mean(1), values.shape[1]
        worth = risk * share[:, 1] - (1 - risk) * share[:, 2]
        order = np.argsort(-worth, kind="stable").tolist()
        rows = [(names[k], *map(_share, values[k, :, :3].T), *map(rate, values[k, :, 3:].T), float(worth[k]))
                for k in order]
        words = [" ".join(filter(None, [_beside(names, values, k), (told or {}).get(names[k])])) for k in order if k]
        words += [NO_BOX] * (not share[:, 2].any())
        words.append(f"As often: nothing beyond chance in {games} games; of twenty differences one is chance.")
        title = f"In this model, {games} games a choice played on for {LASTS_S:g} s, with 95 % intervals"
        return cls(HEAD, rows, {"worth": ".2f"}, title, words, names=names, values=values, risk=risk, spots=spots,
                   told=told or {})


def _share(hits: Floats) -> Rate:
    """A share in percent with the interval of Wilson 1927, 10.1080/01621459.1927.10502953."""
    from scipy.stats import binomtest

    low, high = binomtest(int(hits.sum()), len(hits)).proportion_ci(method="wilson")
    return Rate(100 * float(hits.mean()), 100 * float(low), 100 * float(high))


def _beside(names: tuple[str, ...], values: Floats, k: int) -> str:
    """A choice beside the plan, in a coach's words; what lies within chance is said to be as often."""
    won, box, sprint = (rate(more) for more in (values[k] - values[0])[:, [1, 2, 4]].T)
    first = "the plan" if names[0] == PLANNED else f'"{names[0]}"'
    words = f'"{names[k]}" wins the ball {OFTEN[won.sign]} {first}'
    words += f", lets them into the box {OFTEN[box.sign].split()[0]} often" if box.sign else ""
    metres = f"{abs(sprint.value):.0f} sprint metres {'more' if sprint.sign > 0 else 'less'}"
    return f"{words} and costs {metres}." if sprint.sign else f"{words}."


def choices(situation: Situation, rulebook: Rulebook | None = None, rulebooks: Mapping[str, Rulebook] | None = None, *,
            lead: int = 0, minutes_left: float = 45.0, copies: int = 64, seed: int = 0) -> Choices:
    """What the plan and what else the team could do come to: games played on from copies of one picture.

    Parameters
    ----------
    situation : Situation
        Open play: one of theirs has the ball, or it travels to him.
    rulebooks : dict of Rulebook, optional
        Their plans, by name, instead of the usual other ways: so own rules are priced.
    lead : int
        Goals that we are ahead, -5 to 5; behind, winning the ball counts more, ahead the box does.
    minutes_left : float
        0 to 120; the less is left, the more the lead counts.
    copies : int
        Games a choice, 8 to 1000: the picture with errors of 0.5 m, the same, with the same luck, for all.
    seed : int
        The same seed gives the same games.

    Notes
    -----
    Games follow laws of their own (`pressinglib.play.play_out`), for 8 s, or until the ball is won or in our penalty
    area. The choices: as planned; the plan with the carrier steered to the other sides; the nearest presses; hold and
    close the middle; drop; man for man; a trap for the widest short option on the ball's side (others: `traps`). All
    run to their places as fast as they can. The choices are compared with each other in this model: it forecasts no
    match and knows neither shots, names nor fatigue; near our goal its carriers dare more than real ones, and lose more
    balls.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> found = choices(scene("worked scene"), copies=8)
    >>> found.names[0], len(found.names), found.values.shape[1:]
    ('as planned', 8, (8, 5))
    """
    rules, p = as_rulebook(rulebook), held(situation, rulebook)
    if rulebooks is not None:
        ways, told = {name: planned(as_rulebook(other)) for name, other in rulebooks.items()}, dict[str, str]()
    else:
        trap, told = _traps(p, rules, "a trap for their {}", 1)
        ways = _schemes(p, rules) | trap
    return _played(situation, {PLANNED: planned(rules), **ways}, told, copies, seed, dial(lead, minutes_left))


def traps(situation: Situation, rulebook: Rulebook | None = None, *, lead: int = 0, minutes_left: float = 45.0,
          copies: int = 64, seed: int = 0) -> Choices:
    """Traps found: each short option of theirs left open on purpose, and closed down by two once the ball goes to him.

    Parameters, games and what they do not know as in `choices`; the plan, which leaves nobody open, is the first of
    them. The words tell the bait, the cue, and who jumps.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> found = traps(scene("worked scene"), copies=8)
    >>> found.names[1], found.told[found.names[1]]
    ('leave their 2 open', 'Steer that way; when the ball goes to their 2, 11 jumps and 6 goes with them.')
    """
    rules = as_rulebook(rulebook)
    found, told = _traps(held(situation, rules), rules, "leave their {} open", MOST_TRAPS)
    return _played(situation, {PLANNED: planned(rules), **found}, told, copies, seed, dial(lead, minutes_left))


def held(situation: Situation, rulebook: Rulebook | None) -> Picture:
    """The picture as arrays, if one of theirs has the ball or gets it."""
    as_a(situation, Situation, "picture", "make one: Situation(...)")
    if situation.on_ball is None and situation.receiver is None:
        raise BadInput("picture", expected="one of theirs on the ball, or about to be", got=situation.state,
                       todo="give somebody the ball")
    return Picture(Frames.of([situation]), as_rulebook(rulebook).settings)


def _played(situation: Situation, ways: dict[str, Orders], told: dict[str, str], copies: int, seed: int,
            risk: float) -> Choices:
    """The same games for every way."""
    frames = mismeasured(situation, as_whole(copies, "copies", 8, 1000), ERROR_M, seed=seed)
    spots = np.stack([orders(Frames.of([situation]))[0] for orders in ways.values()])
    return Choices.of(tuple(ways), PlayOut(frames, [*ways.values()], seed).end(), risk, spots, told)


def dial(lead: int, minutes_left: float) -> float:
    """0.5 at level scores; a goal shifts it by 0.1 early and by 0.3 at the end (D)."""
    ahead, left = as_whole(lead, "lead", -5, 5), as_number(minutes_left, "minutes_left", low=0, high=120)
    return float(np.clip(0.5 - ahead * (0.1 + 0.2 * np.exp(-left / 20.0)), 0.1, 0.9))


# -- Where ours are sent.


def planned(rules: Rulebook) -> Orders:
    """To the spots of the plan."""
    return _sent(lambda p: decide(p, rules).spot, rules)


def _sent(spots: Any, rules: Rulebook) -> Orders:
    """To spots (G, N, 2) for pictures as the plan reads them."""
    def orders(frames: Frames) -> Floats:
        p = Picture(frames, rules.settings)
        return sheet_order(p.own_order, p.turned_back(np.where(p.own_here[..., None], spots(p), p.own)))

    return orders


def trapping(rules: Rulebook, man: int) -> Orders:
    """To the spots of a plan that leaves one of theirs open, until the ball goes to him: then two close him down."""
    def orders(frames: Frames) -> Floats:
        closes = np.where(frames.receiver >= 0, frames.receiver, frames.carrier) == man
        spots = np.empty_like(frames.pressing_xy)
        for rows, book in ((closes, closing_down(rules)), (~closes, leaving_free(rules, man))):
            if rows.any():
                spots[rows] = planned(book)(frames.take(rows))
        return spots

    return orders


def _traps(p: Picture, rules: Rulebook, name: str, most: int) -> tuple[dict[str, Orders], dict[str, str]]:
    """Traps and their words for so many short options, the widest on the ball's side first."""
    short = norm(p.opp - p.origin[:, None]) <= p.settings.short_pass_m
    baits = np.flatnonzero((short & ~p.is_holder & ~p.opp_keeper & ~p.offside)[0])
    found, told = {}, {}
    for m in baits[np.argsort(-p.opp[0, baits, 1])][:most].tolist():
        number = p.opp_number(0, m)
        d = decide(p.but(carrier=np.array([NOBODY]), receiver=np.array([m])), closing_down(rules))
        jump = [*d.presser, *np.flatnonzero((d.role == COVER) & (d.duty == GUARD_INSIDE))]
        who = " and ".join(f"{p.own_number(0, n)} {verb}" for n, verb in zip(jump, JUMPS, strict=False) if n >= 0)
        found[name.format(number)] = trapping(rules, int(p.opp_order[0, m]))
        told[name.format(number)] = f"Steer that way; when the ball goes to their {number}, {who or 'nobody is near'}."
    return found, told


def _schemes(p: Picture, rules: Rulebook) -> dict[str, Orders]:
    """What else there is: the sides to which the plan does not steer now, and simpler ways to defend."""
    now = int(decide(p, rules).steer[0])
    steered = {name: planned(rules.with_rules(choose_steer=_always(side)))
               for side, name in SIDES.items() if side != now}
    return {**steered, "the nearest presses": planned(rules.with_rules(choose_presser=nearest_presses)),
            "hold and close the middle": _sent(lambda p: block_shift(p) * (1.0, NARROW), rules),
            "drop": _sent(lambda p: p.pitch.inside(block_shift(p) - (DROPS_M, 0.0), 2.0), rules),
            "man for man": _sent(_man_for_man, rules)}


def _always(side: int) -> Any:
    return frame_rule(lambda p, d: np.where(d.presser < 0, 0, side))


def _man_for_man(p: Picture) -> Floats:
    """Everybody one man, goal-side of him, all ways together shortest (Kuhn 1955); who is left over keeps the block."""
    places = p.pitch.inside(p.opp + unit(p.goal - p.opp) * MAN_M, 0.5)
    job = least_total(norm(p.own[:, :, None] - places[:, None]), p.outfield, p.opp_here & ~p.opp_keeper)
    spot = np.take_along_axis(places, np.maximum(job, 0)[..., None], 1)
    return np.where((job >= 0)[..., None], spot, block_shift(p))


# -- What is left on the table: the shape that the same team could reach in 2 s.

DUTY_M = np.array([1.0, 4.0, 4.0, 2.0, 2.0])  # how far each role may leave its spot within its duty (D), by role
FREE_M = 6.0  # ... and anybody without a duty
ROUNDS, PAIRS, SHORT_S = 3, 4, 4.0  # of the search: rounds, pairs of games for every copy, how long they last
TELLS = ("within chance: these games cannot tell", "better beyond chance", "worse: chance has misled the search")
SHIFT = 0.25  # in these games, after 2 s, the shape goes along with so much of the ball's way of a second (D)


@dataclass(frozen=True, repr=False, eq=False)
class Improvement(Table):
    """The better shape, and what it is worth: who is furthest from it first.

    `plan_xy` and `better_xy` (players, 2) are where each would be after 2 s; `worth` has what each one's way there is
    worth where all others go by the plan: balls won in 100 games, danger counted as balls lost. `gain` is that of all
    ways together, `duties` what more there is for the same players where nobody has a duty.
    """

    numbers: tuple[str, ...] = ()
    plan_xy: Floats = None  # type: ignore[assignment]
    better_xy: Floats = None  # type: ignore[assignment]
    worth: tuple[Rate, ...] = ()
    gain: Rate = None  # type: ignore[assignment]
    duties: Rate = None  # type: ignore[assignment]


def improve(situation: Situation, rulebook: Rulebook | None = None, *, lead: int = 0, minutes_left: float = 45.0,
            copies: int = 64, seed: int = 0) -> Improvement:
    """The better shape that the same players could reach in 2 s within their duties, by games that are played on.

    Everybody keeps his duty and stays near the spot of the plan: 1 m who presses, 4 m who covers or balances, 2 m the
    back line and the goalkeeper (D). Each game of the search is played twice, with the same errors and the same luck:
    offsets of all players at once, and the opposite ones. A straight line through what sets the two apart says which
    way each should go, and how sure that is; the shape goes that way as far as it is sure. What that is worth is
    measured in games that the search has not seen, in pairs again, each of 4 s. Where an interval holds 0 these games
    cannot tell the plan from the other shape. Parameters, and what such games do not know, as in `choices`.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> found = improve(scene("worked scene"), copies=8)
    >>> len(found.numbers), found.better_xy.shape, len(found.worth)
    (11, (11, 2), 11)
    """
    rules, risk, count = as_rulebook(rulebook), dial(lead, minutes_left), as_whole(copies, "copies", 8, 1000)
    p, one = held(situation, rules), Frames.of([situation])
    d, law = decide(p, rules), rules.settings.running.of(one.pressing_top_mps[0])

    def reached(spots: Floats) -> Floats:
        """Where they are 2 s later."""
        return p.pitch.inside(law.reached_xy(one.pressing_xy[0], one.pressing_velocity[0], spots, FIRST_S,
                                             rules.settings.reaction_s), -1.0)

    def came_of(places: Floats, stream: int) -> Floats:
        """(K, C) balls won in games from places (K, C, N, 2), less danger: 1 where the ball is before our area."""
        series, games = places.shape[:2]
        frames = mismeasured(situation, games, ERROR_M, seed=seed + stream)
        game = PlayOut(frames, [_shifting] * series, seed + stream, places.reshape(-1, *places.shape[2:]))
        won = game.end(SHORT_S)[..., 1]
        danger = np.minimum(game.threat(game.ball) / game.threat(game.goal + (PENALTY_AREA_M, 0.0)), 1.0)
        return won - (1 - won) * danger.reshape(won.shape) * (1 - risk) / risk

    def searched(radius: Floats) -> Floats:
        """The better shape, nobody further from the plan than so much."""
        shape, tried, came = plan, [], []
        for turn in range(ROUNDS):
            drawn = np.random.default_rng((as_whole(seed, "seed"), turn)).normal(0.0, 0.5, (PAIRS * count, *plan.shape))
            off = drawn * (1.0, p.side[0]) * radius[:, None]
            places = reached(toward(plan, np.stack([shape + off, shape - off]), radius))
            tried.append(places[0] - places[1])
            came.append(np.subtract(*came_of(places, turn)))
            x = np.concatenate(tried)
            slope, spread = (part.reshape(plan.shape) for part in _line(x.reshape(len(x), -1), np.concatenate(came)))
            sure = np.maximum(1 - (spread**2).sum(-1) / np.maximum((slope**2).sum(-1), 1e-12), 0.0)  # James, Stein 1961
            way = slope / np.maximum(norm(slope), 1e-12)[:, None]
            shape = reached(toward(plan, shape + way * (sure * radius / 2)[:, None], radius))
        return shape

    plan = reached(sheet_order(p.own_order, p.turned_back(d.spot))[0])
    better = searched(DUTY_M[sheet_order(p.own_order, d.role)[0]])
    he = np.eye(len(plan), dtype=bool)[..., None]
    shapes = np.stack([plan, better, searched(np.full(len(plan), FREE_M)), *np.where(he, better, plan)])
    came = 100 * came_of(np.repeat(shapes[:, None], 2 * count, axis=1), ROUNDS)
    gain, duties, worth = rate(came[1] - came[0]), rate(came[2] - came[1]), tuple(map(rate, came[3:] - came[0]))
    away = norm(better - plan)
    rows = [(one.pressing_numbers[k], round(float(away[k]), 1), worth[k]) for k in np.argsort(-away).tolist()]
    words = (f"All together {gain}: {TELLS[gain.sign]}.",
             f"Without duties, beside that, {duties}: " + ("they cost something here." if duties.sign > 0 else
                                                           "these games do not show that they cost anything."))
    title = "In this model, balls won in 100 games by a better shape, with 95 % intervals"
    return Improvement(("player", "off_m", "worth"), rows, {}, title, words, numbers=one.pressing_numbers, plan_xy=plan,
                       better_xy=better, worth=worth, gain=gain, duties=duties)


def _line(x: Floats, came: Floats) -> tuple[Floats, Floats]:
    """Slopes (K,) of what came of x (G, K), by least squares, and their standard errors."""
    off = x - x.mean(0)
    inverse = np.linalg.pinv(off.T @ off)
    slope = inverse @ (off.T @ (came - came.mean()))
    left = came - came.mean() - off @ slope
    return slope, np.sqrt(np.diag(inverse) * (left @ left) / max(len(x) - x.shape[1] - 1, 1))


def _shifting(frames: Frames) -> Floats:
    """Everybody goes along with the ball; the nearest outfield player goes to it."""
    spots = frames.pressing_xy + SHIFT * frames.ball_velocity[:, None]
    keeper = np.array(frames.pressing_slots) == "goalkeeper"
    away = np.where(keeper, np.inf, np.nan_to_num(norm(frames.pressing_xy - frames.ball_xy[:, None]), nan=np.inf))
    spots[np.arange(len(frames)), away.argmin(1)] = frames.ball_xy
    return spots
