"""The price of choices: what a press, and what else the same team could do, come to when the game is played on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, as_a, as_number, as_whole
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.play.play_out import LASTS_S, MEASURES, Orders, PlayOut
from pressinglib.play.tactics import closing_down, leaving_free
from pressinglib.roles.compare import block_shift, nearest_presses
from pressinglib.roles.decided import mismeasured
from pressinglib.roles.decisions import frame_rule, least_total
from pressinglib.roles.picture import Floats, Picture, norm, picture_of, sheet_order, unit
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.settings import COVER, GUARD_INSIDE, NOBODY
from pressinglib.tables import Table

ERROR_M = 0.5  # places are known so well
DRAWS, Z2 = 1000, 1.959964**2
MAN_M, DROPS_M, NARROW = 1.5, 10.0, 0.7  # goal-side of his man; how far and how narrow a team drops or closes (D)
MOST_TRAPS, JUMPS = 5, ("jumps", "goes with them")
PLANNED, SIDES = "as planned", {1: "steer outside", -1: "steer inside", 0: "straight at him"}


@dataclass(frozen=True, repr=False, eq=False)
class Choices:
    """What each choice came to; `repr` and notebooks show `table()`.

    Attributes
    ----------
    names : tuple of str
        The choices, the plan first.
    values : ndarray, (choices, copies, 5)
        Of each game: ball won within 5 s and 8 s, ball in our penalty area (1 or 0), metres the ball came nearer to our
        goal, metres that ours ran at 7 m/s or faster, together.
    risk : float
        How much winning the ball counts, 0 to 1; what is left of 1 counts the box.
    spots : ndarray, (choices, players, 2)
        Where each choice sends ours at first, in the order of the picture.
    told : dict of str
        A sentence more on some of them: a trap's bait, cue, and who jumps.
    """

    names: tuple[str, ...]
    values: Floats
    risk: float
    spots: Floats = field(default_factory=lambda: np.zeros((0, 0, 2)))
    told: dict[str, str] = field(default_factory=dict)

    @property
    def worth(self) -> Floats:
        """(choices,) risk * share won in 8 s - (1 - risk) * share in the box."""
        share = self.values.mean(1)
        return np.asarray(self.risk * share[:, 1] - (1 - self.risk) * share[:, 2])

    def table(self) -> Table:
        """The choices by worth, each value with its interval, and what sets them apart from the plan in words."""
        rows = [(self.names[k], *self._cells(k), round(float(self.worth[k]), 3)) for k in self._order()]
        games = self.values.shape[1]
        title = f"In this model, {games} games a choice played on for {LASTS_S:g} s, with 95 % intervals"
        words = (*self.words, f"As often: nothing beyond chance in {games} games; of twenty differences one is chance.")
        return Table(("choice", *MEASURES, "worth"), rows, {"worth": ".2f"}, title, words)

    def to_frame(self) -> Any:
        """Numbers as a pandas DataFrame: every mean with its `_low` and `_high`."""
        head = [name + end for name in MEASURES for end in ("", "_low", "_high")]
        rows = [(self.names[k], *self._ranges(k).T.ravel(), self.worth[k]) for k in self._order()]
        return Table(("choice", *head, "worth"), rows).to_frame()

    @property
    def words(self) -> tuple[str, ...]:
        """Each other choice beside the plan, in a coach's words; what lies within chance is said to be as often."""
        return tuple(self._beside_plan(k) for k in self._order() if k)

    def __repr__(self) -> str:
        return repr(self.table())

    def _repr_html_(self) -> str:
        return self.table()._repr_html_()

    def _order(self) -> list[int]:
        return np.argsort(-self.worth, kind="stable").tolist()

    def _ranges(self, k: int) -> Floats:
        """(3, 5) mean and 95 %: of shares by Wilson 1927, 10.1080/01621459.1927.10502953, of metres by drawing anew."""
        mean, more = self.values[k].mean(0), Z2 / self.values.shape[1]
        share = mean[:3]
        half = np.sqrt(more * (share * (1 - share) + more / 4))
        shares = (share + more / 2 + np.stack([-half, half])) / (1 + more)
        return np.vstack([mean, np.concatenate([shares, interval(self.values[k, :, 3:])], axis=1)])

    def _cells(self, k: int) -> Iterator[str]:
        for name, (mean, low, high) in zip(MEASURES, self._ranges(k).T, strict=True):
            form = ".0f" if name.endswith("_m") else ".0%"
            yield f"{mean:{form}} ({low:{form}} to {high:{form}})"

    def _beside_plan(self, k: int) -> str:
        more = self.values[k] - self.values[0]
        low, high = interval(more)
        won, box, sprint = (low > 0).astype(int)[[1, 2, 4]] - (high < 0)[[1, 2, 4]]  # 0: within chance
        often = ("as often as", "more often than", "less often than")
        first = "the plan" if self.names[0] == PLANNED else f'"{self.names[0]}"'
        words = f'"{self.names[k]}" wins the ball {often[won]} {first}'
        words += f", lets them into the box {often[box].split()[0]} often" if box else ""
        metres = f"{abs(more[:, 4].mean()):.0f} sprint metres {'more' if sprint > 0 else 'less'}"
        words += f" and costs {metres}." if sprint else "."
        return " ".join(filter(None, [words, self.told.get(self.names[k])]))


def interval(values: Floats) -> Floats:
    """(2, ...) 95 % of means over copies (copies, ...), by drawing copies anew (Efron 1979, bootstrap)."""
    drawn = np.random.default_rng(0).integers(0, len(values), (DRAWS, len(values)))
    return np.asarray(np.percentile(values[drawn].mean(1), (2.5, 97.5), axis=0))


def choices(situation: Situation, rulebook: Rulebook | None = None, *, lead: int = 0, minutes_left: float = 45.0,
            copies: int = 64, seed: int = 0) -> Choices:
    """What the plan and what else the team could do come to: games played on from copies of one picture.

    Parameters
    ----------
    situation : Situation
        Open play: one of theirs has the ball, or it travels to him.
    rulebook : Rulebook, optional
    lead : int
        Goals that we are ahead, -5 to 5; behind, winning the ball counts more, ahead the box does.
    minutes_left : float
        0 to 120; the less is left, the more the lead counts.
    copies : int
        Games a choice, 8 to 1000: the picture with errors of 0.5 m, the same for all.
    seed : int
        The same seed gives the same games.

    Returns
    -------
    Choices
        By worth: a table, data frame and words.

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
    trap, told = _traps(p, rules, "a trap for their {}", 1)
    return _played(situation, {PLANNED: planned(rules), **_schemes(p, rules), **trap}, told, copies, seed,
                   dial(lead, minutes_left))


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


def prices(situation: Situation, rulebooks: Mapping[str, Rulebook], *, lead: int = 0, minutes_left: float = 45.0,
           copies: int = 64, seed: int = 0) -> Choices:
    """The plans of several rulebooks, by name, the first the one that the others are compared with; as `choices`."""
    held(situation, None)
    if not rulebooks:
        raise BadInput("rulebooks", expected="one or more, by name", got="none", todo='give {"ours": Rulebook()}')
    schemes = {name: planned(as_rulebook(rules)) for name, rules in rulebooks.items()}
    return _played(situation, schemes, {}, copies, seed, dial(lead, minutes_left))


def held(situation: Situation, rulebook: Rulebook | None) -> Picture:
    """The picture as arrays, if one of theirs has the ball or gets it."""
    as_a(situation, Situation, "picture", "make one: Situation(...)")
    if situation.on_ball is None and situation.receiver is None:
        raise BadInput("picture", expected="one of theirs on the ball, or about to be", got=situation.state,
                       todo="give somebody the ball")
    return picture_of(Frames.of([situation]), as_rulebook(rulebook).settings)


def _played(situation: Situation, schemes: dict[str, Orders], told: dict[str, str], copies: int, seed: int,
            risk: float) -> Choices:
    """The same games for every scheme."""
    frames = mismeasured(situation, as_whole(copies, "copies", 8, 1000), ERROR_M, seed=seed)
    games = [PlayOut(frames, orders, seed).end() for orders in schemes.values()]
    spots = [orders(Frames.of([situation]))[0] for orders in schemes.values()]
    return Choices(tuple(schemes), np.stack(games), risk, np.stack(spots), told)


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
        p = picture_of(frames, rules.settings)
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
        d = decide(replace(p, carrier=np.array([NOBODY]), receiver=np.array([m])), closing_down(rules))
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
