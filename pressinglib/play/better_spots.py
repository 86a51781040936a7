"""What is left on the table: the shape that the same team could reach in 2 s, by the games that are played on from it.

Offsets of all players are drawn at once, one set a game; a straight line through what came of the games says which way
each should go, and how sure that is. The shape goes that way as far as it is sure, and once more. What that is worth is
then measured in games that the search has not seen, so that no luck of the search is taken for gain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pressinglib.errors import as_whole
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import PENALTY_AREA_M
from pressinglib.field.situation import Situation
from pressinglib.play.play_out import FIRST_S, LASTS_S, Orders, PlayOut
from pressinglib.play.price import ERROR_M, dial, held, interval, planned
from pressinglib.roles.decided import mismeasured
from pressinglib.roles.decisions import toward
from pressinglib.roles.picture import Floats, norm, sheet_order
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.tables import Table

DUTY_M = np.array([1.0, 4.0, 4.0, 2.0, 2.0])  # how far each role may leave its spot within its duty (D), by role
FREE_M = 6.0  # ... and anybody without a duty
ROUNDS, GAMES, SOON_S = 3, 8, 4.0  # of the search: rounds, games for every copy, how long they last
SHIFT = 0.25  # in these games, after 2 s, the shape goes along with so much of the ball's way of a second (D)


@dataclass(frozen=True, repr=False, eq=False)
class Improvement:
    """The better shape, and what it is worth; `repr` and notebooks show `table()`.

    Attributes
    ----------
    numbers : tuple of str
    plan_xy, better_xy : ndarray, (players, 2)
        Where each would be after 2 s by the plan, and in the better shape.
    worth : ndarray, (players, 3)
        What each one's way there is worth, and its 95 % interval: balls won a game, danger counted as balls lost.
    gain, duties : ndarray, (3,)
        The same of all ways together; and what more there is for the same players where nobody has a duty.
    """

    numbers: tuple[str, ...]
    plan_xy: Floats
    better_xy: Floats
    worth: Floats
    gain: Floats
    duties: Floats

    @property
    def words(self) -> tuple[str, ...]:
        """What the shape is worth, and whether duties cost, in a coach's words."""
        found = "beyond chance" if self.gain[1] > 0 else "within chance: no better, as far as these games can tell"
        cost = "the duties themselves cost something here" if self.duties[1] > 0 else "within chance"
        return (f"All together {_said(self.gain)}: {found}.",
                f"Without duties, beside that, {_said(self.duties)}: {cost}.")

    def table(self) -> Table:
        """Who is furthest from the better shape first: metres, and what they are worth."""
        away = norm(self.better_xy - self.plan_xy)
        rows = [(self.numbers[k], round(float(away[k]), 1), _said(self.worth[k])) for k in np.argsort(-away).tolist()]
        title = "In this model, balls won in 100 games by a better shape, with 95 % intervals"
        return Table(("player", "off_m", "worth"), rows, {}, title, self.words)

    def __repr__(self) -> str:
        return repr(self.table())

    def _repr_html_(self) -> str:
        return self.table()._repr_html_()


def _said(value: Floats) -> str:
    mean, low, high = 100 * value
    return f"{mean:+.1f} ({low:+.1f} to {high:+.1f})"


def improve(situation: Situation, rulebook: Rulebook | None = None, *, lead: int = 0, minutes_left: float = 45.0,
            copies: int = 64, seed: int = 0) -> Improvement:
    """The better shape that the same players could reach in 2 s within their duties, by games that are played on.

    Everybody keeps his duty and stays near the spot of the plan: 1 m who presses, 4 m who covers or balances, 2 m the
    back line and the goalkeeper (D). Parameters, and what such games do not know, as in `choices`; the search plays 24
    shorter games a copy. Where intervals hold 0 the plan is as good as what was found.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> found = improve(scene("worked scene"), copies=8)
    >>> len(found.numbers), found.better_xy.shape, found.worth.shape
    (11, (11, 2), (11, 3))
    """
    rules, risk, count = as_rulebook(rulebook), dial(lead, minutes_left), as_whole(copies, "copies", 8, 1000)
    p, one = held(situation, rules), Frames.of([situation])
    d, law = decide(p, rules), rules.settings.running.of(one.pressing_top_mps[0])

    def reached(spots: Floats) -> Floats:
        """Where they are 2 s later."""
        return p.pitch.inside(law.reached_xy(one.pressing_xy[0], one.pressing_velocity[0], spots, FIRST_S,
                                             rules.settings.reaction_s), -1.0)

    def came_of(places: Floats, orders: Orders, stream: int, lasts_s: float) -> Floats:
        """(G,) balls won in games from places (G, N, 2), less danger: 1 where the ball is before our penalty area."""
        frames = mismeasured(situation, len(places), ERROR_M, seed=seed + stream)
        game = PlayOut(frames, orders, seed + stream, places)
        won = game.end(lasts_s)[:, 1]
        danger = np.minimum(game.threat(game.ball) / game.threat(game.goal + (PENALTY_AREA_M, 0.0)), 1.0)
        return won - (1 - won) * danger * (1 - risk) / risk

    def searched(radius: Floats) -> Floats:
        """The better shape, nobody further from the plan than so much."""
        shape, tried, came = plan, [], []
        for turn in range(ROUNDS):
            drawn = np.random.default_rng((as_whole(seed, "seed"), turn)).normal(0.0, 0.5, (GAMES * count, *plan.shape))
            tried.append(reached(toward(plan, shape + drawn * (1.0, p.side[0]) * radius[:, None], radius)))
            came.append(came_of(tried[-1], _shifting, turn, SOON_S))
            x = np.concatenate(tried)
            slope, spread = (part.reshape(plan.shape) for part in _line(x.reshape(len(x), -1), np.concatenate(came)))
            sure = np.maximum(1 - (spread**2).sum(-1) / np.maximum((slope**2).sum(-1), 1e-12), 0.0)  # James, Stein 1961
            way = slope / np.maximum(norm(slope), 1e-12)[:, None]
            shape = reached(toward(plan, shape + way * (sure * radius / 2)[:, None], radius))
        return shape

    plan = reached(sheet_order(p.own_order, p.turned_back(d.spot))[0])
    better = searched(DUTY_M[sheet_order(p.own_order, d.role)[0]])
    free = searched(np.full(len(plan), FREE_M))
    fresh, there = np.random.default_rng((seed, ROUNDS)), np.ones((count, 1, 1))
    goes = fresh.random((GAMES * count, len(plan), 1)) < 0.5  # in each game half go there, the others by the plan
    came = came_of(np.where(goes, better, plan), _shifting, ROUNDS, SOON_S)
    mean, spread = _line(goes[..., 0].astype(float), came)
    worth = np.stack([mean, mean - 1.96 * spread, mean + 1.96 * spread], axis=-1)
    worth[norm(better - plan) < 0.05] = 0.0  # who stays: nothing
    ends = [came_of(there * shape, planned(rules), ROUNDS + 1, LASTS_S) for shape in (plan, better, free)]
    gain, duties = (np.array([more.mean(), *interval(more)]) for more in np.diff(ends, axis=0))
    return Improvement(one.pressing_numbers, plan, better, worth, gain, duties)


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
