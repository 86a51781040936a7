"""The price of choices: what a press, and what else the same team could do, come to when the game is played on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, as_a, as_number, as_whole
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.play.play_out import LASTS_S, MEASURES, Orders, PlayOut
from pressinglib.roles.compare import block_shift, nearest_presses
from pressinglib.roles.decided import mismeasured
from pressinglib.roles.decisions import frame_rule, least_total
from pressinglib.roles.picture import Floats, Picture, norm, picture_of, sheet_order, unit
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.tables import Table

ERROR_M = 0.5  # places are known so well
DRAWS, Z2 = 1000, 1.959964**2
MAN_M, DROPS_M, NARROW = 1.5, 10.0, 0.7  # goal-side of his man; how far and how narrow a team drops or closes (D)
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
    """

    names: tuple[str, ...]
    values: Floats
    risk: float

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
        words = (*self.words, f"As often: no difference beyond chance in {games} games.")
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
        words = f"\"{self.names[k]}\" wins the ball {often[won]} the plan"
        words += f", lets them into the box {often[box].split()[0]} often" if box else ""
        metres = f"{abs(more[:, 4].mean()):.0f} sprint metres {'more' if sprint > 0 else 'less'}"
        return words + (f" and costs {metres}." if sprint else ".")


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
    close the middle; drop; man for man. All run to their places as fast as they can. The choices are compared with each
    other in this model: it forecasts no match and knows neither shots, names nor fatigue; near our goal its carriers
    dare more than real ones, and lose more balls.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> found = choices(scene("worked scene"), copies=8)
    >>> found.names[0], len(found.names), found.values.shape[1:]
    ('as planned', 7, (8, 5))
    """
    as_a(situation, Situation, "picture", "make one: Situation(...)")
    rules, count = as_rulebook(rulebook), as_whole(copies, "copies", 8, 1000)
    ahead, left = as_whole(lead, "lead", -5, 5), as_number(minutes_left, "minutes_left", low=0, high=120)
    if situation.on_ball is None and situation.receiver is None:
        raise BadInput("picture", expected="one of theirs on the ball, or about to be", got=situation.state,
                       todo="give somebody the ball")
    frames = mismeasured(situation, count, ERROR_M, seed=seed)
    schemes = {PLANNED: planned(rules), **_schemes(situation, rules)}
    games = [PlayOut(frames, orders, seed).end() for orders in schemes.values()]
    return Choices(tuple(schemes), np.stack(games), _risk(ahead, left))


def _risk(lead: int, minutes_left: float) -> float:
    """0.5 at level scores; a goal shifts it by 0.1 early and by 0.3 at the end (D)."""
    return float(np.clip(0.5 - lead * (0.1 + 0.2 * np.exp(-minutes_left / 20.0)), 0.1, 0.9))


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


def _schemes(situation: Situation, rules: Rulebook) -> dict[str, Orders]:
    """What else there is: the sides to which the plan does not steer now, and simpler ways to defend."""
    p = picture_of(Frames.of([situation]), rules.settings)
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
