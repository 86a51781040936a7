"""The offside line of Law 11, for the team that attacks the goal at x = -length / 2."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from pressinglib.field.situation import Situation


def offside_line_m(situation: Situation) -> float:
    """Where the offside line of the team in possession runs.

    Parameters
    ----------
    situation : Situation
        The picture.

    Returns
    -------
    float
        x in metres. An attacker is in an offside position if he is beyond it, at a smaller x; level is onside.

    Notes
    -----
    IFAB Laws of the Game, Law 11 (grade A), judged by the points where players stand. There is no offside offence
    straight from a goal kick, a throw-in or a corner kick; the line is given all the same.

    Examples
    --------
    >>> offside_line_m(Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(-50.0, 30.0)))
    -50.0
    """
    own_x = [player.xy[0] for player in situation.pressing]
    return float(offside_line_x(own_x, situation.ball_xy[0], -situation.pitch.length_m / 2.0))


def offside_line_x(own_x: ArrayLike, ball_x: ArrayLike, goal_line_x: ArrayLike = -52.5) -> Any:
    """`offside_line_m` on arrays.

    Parameters
    ----------
    own_x : array_like, shape (..., N)
        x of the team that defends the goal at negative x, goalkeeper included; NaN where absent.
    ball_x, goal_line_x : array_like, shape (...)
        x of the ball and of that goal line.

    Returns
    -------
    ndarray, shape (...)
        The nearest to the goal of second-last defender, ball and halfway line. A defender behind the goal line counts
        as on it (Law 11). With fewer than two defenders there is no second-last one and only ball and halfway line
        are left (own reading of the law).

    Examples
    --------
    >>> offside_line_x([-50, -20, -18, 5], [10, -30])
    array([-20., -30.])
    >>> offside_line_x([-50, float("nan")], -10.0)
    np.float64(-10.0)
    """
    own = np.asarray(own_x, dtype=float)
    ball = np.asarray(ball_x, dtype=float)
    if own.shape[-1] >= 2:
        # NaN sorts last in both steps, so a missing second-last defender stays NaN and fmin passes it over.
        ball = np.where(np.isnan(ball), ball, np.fmin(ball, np.partition(own, 1, axis=-1)[..., 1]))
    return np.maximum(np.minimum(ball, 0.0), goal_line_x)
