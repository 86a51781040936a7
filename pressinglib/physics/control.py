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

# Three seconds before the first arrival the logistic is below 1e-4; five seconds after it all is decided.
_BEFORE_S, _AFTER_S, _STEP_S = 3.0, 5.0, 0.02


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
    arrives. In each step of 0.02 s the part still open falls by the exponential of the exact integral of the rates, and
    what falls is shared by the integrals. Within 3e-4 of a general solver of differential equations.

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
    sides = [np.asarray(attack_s, dtype=float), np.asarray(defence_s, dtype=float)]
    attack, defence = (np.where(np.isnan(side), np.inf, side) for side in sides)
    ball = np.asarray(ball_s, dtype=float)
    soonest = np.minimum(attack.min(axis=-1, initial=np.inf), defence.min(axis=-1, initial=np.inf))
    start = np.maximum(ball, np.where(np.isfinite(soonest), soonest - _BEFORE_S, ball))
    weights = rate_per_s, rate_per_s * defence_factor
    shares = _race((attack, defence), weights, start, sigma_s * np.sqrt(3.0) / np.pi)
    whole = shares[0] + shares[1]
    whole = np.where(whole > 0.0, whole, 1.0)
    return (shares[0] / whole)[()], (shares[1] / whole)[()]


def _race(sides: tuple[Array, Array], weights: tuple[float, float], start: Array, width: float) -> list[Array]:
    """What each side has taken at the end."""

    def spent(time: Array) -> list[Any]:
        # The integral of a logistic is log(1 + exp).
        return [
            weight * width * np.logaddexp(0.0, (time[..., None] - side) / width).sum(axis=-1)
            for side, weight in zip(sides, weights, strict=True)
        ]

    taken, open_part = [np.zeros(start.shape), np.zeros(start.shape)], np.ones(start.shape)
    before = spent(start)
    for step in range(1, round((_BEFORE_S + _AFTER_S) / _STEP_S) + 1):
        after = spent(start + step * _STEP_S)
        attack, defence = after[0] - before[0], after[1] - before[1]
        both = np.maximum(attack + defence, 1e-300)
        fallen = open_part * -np.expm1(-both) / both
        taken = [taken[0] + fallen * attack, taken[1] + fallen * defence]
        open_part, before = open_part * np.exp(-both), after
        if np.all(open_part < 1e-6):
            break
    return taken
