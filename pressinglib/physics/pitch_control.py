"""Space on the pitch: who is first at each place, how soon at the ball, which team would get control of a ball there.

Control of the ball is a race of both teams once it is there: Spearman, Basye, Dick, Hotovy and Pop 2017, Physics-based
modeling of pass probabilities in soccer (grade A), sigma 0.45 s and rate 4.30 /s; Spearman 2018, Beyond expected goals
(grade A), sigma 0.54 s, rate 3.99 /s, defenders 1.72 times as quick to control. NaN and inf stand for players who never
come. Places form a grid of cells: x and y hold the middles of columns and rows, values have shape (rows, columns).
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import above_zero, as_known, not_negative
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import Pitch
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import offside_line_m
from pressinglib.physics.motion import RUNNING, Running
from pressinglib.physics.published import total_oval

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

REACTION_S = 0.3
FREE_OF_OFFSIDE = ("throw-in", "goal kick")  # Law 11

# Nodes and weights of Gauss and Legendre on 0 to 1, and the ends of the stretches of time that they are laid on: after
# the ball where somebody waits for it already, around the first arrival where the ball is there first. Stretches before
# the first arrival count in widths of the logistic (earlier the chance is below 4e-4), those after it in mean times of
# control or widths, whichever is longer (later all is decided).
NODES, WEIGHTS = (part / 2.0 for part in np.polynomial.legendre.leggauss(4))
AFTER_BALL = np.array([0.0, 0.05, 0.2, 0.5, 1.1, 2.2, 4.0, 7.0, 12.0])
AROUND_FIRST = np.array([-8.0, -4.0, -2.0, -0.5, 1.0, 2.5, 4.5, 7.0, 12.0])
SURE = 40.0
NARROWEST = 0.04  # width of the logistic in mean times of control: a narrower one is taken to be as wide as this


def control_shares(attack_s: ArrayLike, defence_s: ArrayLike, ball_s: ArrayLike, rate_per_s: float = 3.99,
                   sigma_s: float = 0.54, defence_factor: float = 1.72) -> tuple[Any, Any]:
    """Chance (...) that the team in possession, and that the other team, gets control at a place.

    Of their arrival times (..., A) and (..., D), NaN or inf for absent and offside players, and of the ball's (...):
    nobody controls it earlier. The rate of control, the spread of arrival, and how much quicker a defender settles it
    are those of Spearman 2018; 4.30, 0.45 and 1 those of Spearman et al. 2017. They add up to 1 where anybody comes at
    all, else both are 0.

    Solves dP_j/dT = (1 - sum of P) rate_j f_j(T), f_j the logistic of `interception_probability`, P = 0 until the ball
    arrives: the part still open is known exactly, what each team takes of it is an integral by 32 nodes of Gauss and
    Legendre. Within 1e-4 of a general solver; a spread below 1/14 of the mean time of control counts as that much.

    >>> attack, defence = control_shares([1.0], [1.0], 1.0)
    >>> print(f"{attack:.4f} {defence:.4f}")
    0.3676 0.6324
    """
    above_zero(rate_per_s=rate_per_s, sigma_s=sigma_s)
    not_negative(defence_factor=defence_factor)
    attack, defence, ball = (np.asarray(times, dtype=float) for times in (attack_s, defence_s, ball_s))
    shape = np.broadcast_shapes(attack.shape[:-1], defence.shape[:-1], ball.shape)
    sides = [_flat(side, shape) for side in (attack, defence)]
    weights = rate_per_s, rate_per_s * defence_factor
    width = max(sigma_s * np.sqrt(3.0) / np.pi, NARROWEST / rate_per_s)
    taken = _race(sides, weights, np.broadcast_to(ball, shape).ravel(), width)
    whole = taken[0] + taken[1]
    shares = taken / np.where(whole > 0.0, whole, 1.0)
    return shares[0].reshape(shape)[()], shares[1].reshape(shape)[()]


def _flat(side: Array, shape: tuple[int, ...]) -> Array:
    """Arrival times (places, players); who is absent never comes."""
    never = np.where(np.isnan(side), np.inf, side)
    return np.broadcast_to(never, (*shape, side.shape[-1])).reshape(-1, side.shape[-1])


def _race(sides: list[Array], weights: tuple[float, float], ball: Array, width: float) -> Array:
    """What each side takes in all, (2, places)."""
    start, ends = _stretches(sides, ball, width, 1.0 / weights[0])
    # exp of lateness, at the start; later it only grows by one factor for all. Whoever is long there is just there.
    begun = [np.exp(np.minimum((start[:, None] - side) / width, SURE)) for side in sides]
    taken, spent = np.zeros((2, len(start))), _hazard(begun, weights, width)[1]
    for first, last in zip(ends[:-1], ends[1:], strict=True):
        for node, weight in zip(NODES + 0.5, WEIGHTS, strict=True):
            growth = np.exp((first + (last - first) * node) / width)[:, None]
            rates, hazard = _hazard([side * growth for side in begun], weights, width)
            taken += rates * (np.exp(spent - hazard) * (last - first) * weight)
    return taken


def _stretches(sides: list[Array], ball: Array, width: float, mean_s: float) -> tuple[Array, Array]:
    """When the race starts (places,), and the ends of the stretches of time after it (stretches + 1, places)."""
    soonest = np.minimum(*(side.min(axis=-1, initial=np.inf) for side in sides))
    first = np.where(np.isfinite(soonest), soonest, ball)
    start = np.maximum(ball, first + AROUND_FIRST[0] * width)
    early = np.maximum(first - start, 0.0) / (-AROUND_FIRST[0] * width)
    around = np.where(AROUND_FIRST < 0.0, width, max(width, mean_s)) * AROUND_FIRST - AROUND_FIRST[0] * width
    ends = early * _split(around, width, mean_s) + (1.0 - early) * _split(AFTER_BALL * mean_s, width, mean_s)
    return start, ends


def _split(ends: Array, width: float, mean_s: float) -> Array:
    """Each stretch in parts, (stretches + 1, 1): a narrow logistic of a late player must not slip between the nodes."""
    parts = int(np.ceil(max(mean_s / width, 1.0)))
    place = np.arange(parts * (len(ends) - 1) + 1) / parts
    return np.interp(place, np.arange(len(ends)), ends)[:, None]


def _hazard(grown: list[Array], weights: tuple[float, float], width: float) -> tuple[Array, Array]:
    """Rates of both sides (2, places) and the integral of their sum so far (places,), from the exp of lateness."""
    plus = [side + 1.0 for side in grown]
    rates = np.stack([weight * (side / more).sum(-1) for side, more, weight in zip(grown, plus, weights, strict=True)])
    logs = [weight * np.log(more).sum(-1) for more, weight in zip(plus, weights, strict=True)]
    return rates, width * (logs[0] + logs[1])


class ControlField(NamedTuple):
    """x (columns,), y (rows,), share (rows, columns) of the pressing team, 0 to 1."""

    x: Array
    y: Array
    share: Array


def grid(pitch: Pitch, step_m: float = 1.0) -> tuple[Array, Array]:
    """Middles of the cells of a grid that covers the pitch.

    x (columns,) and y (rows,); cells are stretched or shrunk a little so that whole ones fit.

    >>> x, y = grid(Pitch())
    >>> len(x), len(y), float(x[0]), float(y[-1])
    (105, 68, -52.0, 33.5)
    """
    above_zero(step_m=step_m)
    return _middles(pitch.length_m, step_m), _middles(pitch.width_m, step_m)


def _middles(size_m: float, step_m: float) -> Array:
    count = max(round(size_m / step_m), 1)
    return np.asarray((np.arange(count) + 0.5) * (size_m / count) - size_m / 2.0)


def first_there(xy: ArrayLike, velocity: ArrayLike, places_xy: ArrayLike, running: Running = RUNNING) -> Ints:
    """Dominant regions: which player (..., N, 2) is first at each place (..., P, 2), by index; -1 for nobody.

    Of equals the first. Taki and Hasegawa 2000, Visualization of dominant region in team games (grade A; formula from
    memory). For equal players at rest these are the cells of Voronoi.

    >>> first_there([(0, 0), (10, 0)], [(0, 0), (0, 0)], [(4, 0), (6, 0)])
    array([0, 1])
    """
    places = np.asarray(places_xy, dtype=float)[..., :, None, :]
    players, paces = (np.asarray(points, dtype=float)[..., None, :, :] for points in (xy, velocity))
    time = running.time(players, paces, places)
    time = np.where(np.isnan(time), np.inf, time)
    return np.where(np.isfinite(time.min(axis=-1)), time.argmin(axis=-1), -1)


def least_arrival(presser_xy: ArrayLike, presser_velocity: ArrayLike, carrier_xy: ArrayLike,
                  running: Running = RUNNING) -> Any:
    """Pressure in seconds (...): the least arrival time of any of (..., N, 2) at the carrier, without reaction.

    Less is more pressure; inf where nobody is there. Narizuka et al. 2026, arXiv 2606.09452 (grade B, a preprint), with
    the library's own pair of parameters.

    >>> least_arrival([(5, 0), (0, 10)], [(0, 0), (0, 0)], (0, 0)).round(3)
    np.float64(1.261)
    """
    time = running.time(presser_xy, presser_velocity, np.asarray(carrier_xy, dtype=float)[..., None, :])
    return np.where(np.isnan(time), np.inf, time).min(axis=-1, initial=np.inf)


def total_pressure(situation: Situation, model: str = "arrival", running: Running = RUNNING) -> float:
    """Pressure on whoever has the ball: the receiver while a pass travels, else the carrier, else its place.

    "arrival": seconds until the first is there by the law of running, without reaction; less is more pressure. "oval":
    percent, the sum of the directional ovals. UnknownName for any other model.

    >>> picture = Situation.line_up(ball_xy=(30.0, 10.0)).moved("pressing", "9", (27.0, 10.0))
    >>> print(f"{total_pressure(picture):.2f} s, {total_pressure(picture, 'oval'):.1f} %")
    0.92 s, 48.9 %
    """
    as_known(model, ("arrival", "oval"), "model of pressure")
    pressed = situation.receiver or situation.on_ball
    place = situation.ball_xy if pressed is None else situation.player("possession", pressed).xy
    frames = Frames.of([situation])
    if model == "oval":
        return float(total_oval(frames.pressing_xy[0], place, situation.pitch.own_goal_xy))
    law = running.of(frames.pressing_top_mps[0])
    return float(least_arrival(frames.pressing_xy[0], frames.pressing_velocity[0], place, law))


def control_at(places_xy: ArrayLike, own_xy: ArrayLike, own_velocity: ArrayLike, opponent_xy: ArrayLike,
               opponent_velocity: ArrayLike, ball_xy: ArrayLike, running: Running = RUNNING,
               their_running: Running | None = None) -> Any:
    """Chance (..., P), 0 to 1, that the pressing team gets control of a ball along the ground to places (..., P, 2).

    Of the pressing team (..., N, 2) and the team in possession (..., M, 2), NaN for who is absent or offside, and the
    ball. Everybody reacts for 0.3 s. Spearman 2018, Beyond expected goals (grade A): the race of `control_shares` at
    each place, from the moment the ball is there (15 m/s with drag).

    >>> control_at([(10, 0)], [(20, 0)], [(0, 0)], [(0, 0)], [(0, 0)], (0, 0)).round(3)
    array([0.632])
    """
    places = np.asarray(places_xy, dtype=float)
    own, own_pace, opponents, opponent_pace = (
        np.asarray(points, dtype=float)[..., None, :, :]
        for points in (own_xy, own_velocity, opponent_xy, opponent_velocity)
    )
    way = places - np.asarray(ball_xy, dtype=float)[..., None, :]
    attack = (their_running or running).time(opponents, opponent_pace, places[..., :, None, :], REACTION_S)
    defence = running.time(own, own_pace, places[..., :, None, :], REACTION_S)
    return control_shares(attack, defence, ball_time(np.hypot(way[..., 0], way[..., 1])))[1]


def control_field(situation: Situation, step_m: float = 1.0, running: Running = RUNNING) -> ControlField:
    """`control_at` for every cell of a grid.

    Opponents in an offside position take no part, except from a throw-in or goal kick (Law 11).

    >>> x, y, share = control_field(Situation.line_up(ball_xy=(30.0, 10.0)), step_m=5.0)
    >>> share.shape
    (14, 21)
    """
    x, y = grid(situation.pitch, step_m)
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    f, free = Frames.of([situation]), situation.restart in FREE_OF_OFFSIDE
    onside = (f.possession_xy[0, :, 0] >= offside_line_m(situation) - 1e-9) | free
    onside |= np.array(f.possession_numbers) == situation.on_ball
    theirs = np.where(onside[:, None], f.possession_xy[0], np.nan)
    share = control_at(places, f.pressing_xy[0], f.pressing_velocity[0], theirs, f.possession_velocity[0],
                       situation.ball_xy, running.of(f.pressing_top_mps[0]), running.of(f.possession_top_mps[0]))
    return ControlField(x, y, share.reshape(len(y), len(x)))
