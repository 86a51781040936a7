"""Who gets control of the ball at a place: the race of both teams once the ball is there.

Sources: Spearman, Basye, Dick, Hotovy and Pop 2017, Physics-based modeling of pass probabilities in soccer (grade A),
sigma 0.45 s and rate 4.30 /s; Spearman 2018, Beyond expected goals (grade A), sigma 0.54 s, rate 3.99 /s, defenders
1.72 times as quick to control. Arrival times in seconds; NaN and inf stand for players who never come.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.physics.parameters import above_zero, not_negative

Array = NDArray[np.float64]

# Nodes and weights of Gauss and Legendre on 0 to 1, and the ends of the stretches of time that they are laid on: after
# the ball where somebody waits for it already, around the first arrival where the ball is there first. Stretches before
# the first arrival count in widths of the logistic (earlier the chance is below 4e-4), those after it in mean times of
# control or widths, whichever is longer (later all is decided).
_NODES, _WEIGHTS = (part / 2.0 for part in np.polynomial.legendre.leggauss(4))
_AFTER_BALL = np.array([0.0, 0.05, 0.2, 0.5, 1.1, 2.2, 4.0, 7.0, 12.0])
_AROUND_FIRST = np.array([-8.0, -4.0, -2.0, -0.5, 1.0, 2.5, 4.5, 7.0, 12.0])
_SURE = 40.0
_NARROWEST = 0.04  # width of the logistic in mean times of control: a narrower one is taken to be as wide as this


def interception_probability(time_s: ArrayLike, arrival_s: ArrayLike, sigma_s: float = 0.45) -> Any:
    """Chance that a player is at a place by some time, when he is expected there at another.

    Parameters
    ----------
    time_s, arrival_s : array_like
        The time asked about, and his expected arrival time.
    sigma_s : float
        Standard deviation of the logistic law (Spearman et al. 2017, grade A).

    Returns
    -------
    ndarray
        0 to 1.

    Examples
    --------
    >>> interception_probability([0.0, 1.0], 0.0).round(5)
    array([0.5    , 0.98255])
    >>> interception_probability(1.0, float("inf"))
    np.float64(0.0)
    """
    above_zero(sigma_s=sigma_s)
    late = np.asarray(time_s, dtype=float) - np.asarray(arrival_s, dtype=float)
    return 0.5 + 0.5 * np.tanh(late * (np.pi / (2.0 * np.sqrt(3.0) * sigma_s)))


def control_probability(time_s: ArrayLike, rate_per_s: float = 4.30) -> Any:
    """Chance that a player alone with the ball has it under control after some time: 1 - exp(-rate time).

    Parameters
    ----------
    time_s : array_like
        Seconds beside the ball; below zero counts as zero.
    rate_per_s : float
        4.30 /s (Spearman et al. 2017, grade A).

    Returns
    -------
    ndarray
        0 to 1.

    Examples
    --------
    >>> control_probability([0.0, 1.0]).round(5)
    array([0.     , 0.98643])
    """
    above_zero(rate_per_s=rate_per_s)
    return -np.expm1(-rate_per_s * np.maximum(np.asarray(time_s, dtype=float), 0.0))


def control_shares(
    attack_s: ArrayLike,
    defence_s: ArrayLike,
    ball_s: ArrayLike,
    rate_per_s: float = 3.99,
    sigma_s: float = 0.54,
    defence_factor: float = 1.72,
) -> tuple[Any, Any]:
    """Chance that each team gets control at a place.

    Parameters
    ----------
    attack_s : array_like, shape (..., A)
        Arrival times of the team in possession; NaN or inf for absent and offside players.
    defence_s : array_like, shape (..., D)
        Arrival times of the other team.
    ball_s : array_like, shape (...)
        When the ball is there; nobody controls it earlier.
    rate_per_s, sigma_s, defence_factor : float
        Rate of control, spread of arrival, how much quicker a defender settles it. The defaults are those of
        Spearman 2018; 4.30, 0.45 and 1 those of Spearman et al. 2017.

    Returns
    -------
    attack, defence : ndarray, shape (...)
        They add up to 1 where anybody comes at all, else both are 0.

    Notes
    -----
    Solves dP_j/dT = (1 - sum of P) rate_j f_j(T), f_j the logistic of `interception_probability`, P = 0 until the ball
    arrives. The part still open is known exactly, as the integral of a logistic is; what each team takes of it is one
    integral over time, by 32 nodes of Gauss and Legendre. Within 1e-4 of a general solver of differential equations;
    a spread of less than about 1/14 of the mean time of control counts as that much.

    Examples
    --------
    >>> attack, defence = control_shares([1.0], [1.0], 1.0)
    >>> print(f"{attack:.4f} {defence:.4f}")
    0.3676 0.6324
    >>> control_shares([float("nan")], [2.0], 1.0)[0].round(3)
    np.float64(0.0)
    """
    above_zero(rate_per_s=rate_per_s, sigma_s=sigma_s)
    not_negative(defence_factor=defence_factor)
    attack, defence, ball = (np.asarray(times, dtype=float) for times in (attack_s, defence_s, ball_s))
    shape = np.broadcast_shapes(attack.shape[:-1], defence.shape[:-1], ball.shape)
    sides = [_flat(side, shape) for side in (attack, defence)]
    weights = rate_per_s, rate_per_s * defence_factor
    width = max(sigma_s * np.sqrt(3.0) / np.pi, _NARROWEST / rate_per_s)
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
    begun = [np.exp(np.minimum((start[:, None] - side) / width, _SURE)) for side in sides]
    taken, spent = np.zeros((2, len(start))), _hazard(begun, weights, width)[1]
    for first, last in zip(ends[:-1], ends[1:], strict=True):
        for node, weight in zip(_NODES + 0.5, _WEIGHTS, strict=True):
            growth = np.exp((first + (last - first) * node) / width)[:, None]
            rates, hazard = _hazard([side * growth for side in begun], weights, width)
            taken += rates * (np.exp(spent - hazard) * (last - first) * weight)
    return taken


def _stretches(sides: list[Array], ball: Array, width: float, mean_s: float) -> tuple[Array, Array]:
    """When the race starts (places,), and the ends of the stretches of time after it (stretches + 1, places)."""
    soonest = np.minimum(*(side.min(axis=-1, initial=np.inf) for side in sides))
    first = np.where(np.isfinite(soonest), soonest, ball)
    start = np.maximum(ball, first + _AROUND_FIRST[0] * width)
    early = np.maximum(first - start, 0.0) / (-_AROUND_FIRST[0] * width)
    around = np.where(_AROUND_FIRST < 0.0, width, max(width, mean_s)) * _AROUND_FIRST - _AROUND_FIRST[0] * width
    ends = early * _split(around, width, mean_s) + (1.0 - early) * _split(_AFTER_BALL * mean_s, width, mean_s)
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
