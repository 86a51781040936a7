"""The runs: straight, but the presser's is an arc that brings his shadow onto the denied option."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from pressinglib.roles.plan import Plan

POINTS = 16
LAST_SECOND_M = 6.0  # about the last second of a run (D)
BEND = 0.45


def path_to(plan: Plan, n: int, target: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 2) the run of the n-th player to his target, in the frame of the picture as it came."""
    p, d = plan.picture, plan.decisions
    start = p.turned_back(p.own)[0, n]
    if n != d.presser[0] or d.steer[0] == 0:
        return np.array([start, target])
    focus = p.turned_back(p.focus)[0]
    return arc(start, target, focus)


def arc(start: NDArray[np.float64], end: NDArray[np.float64], ball: NDArray[np.float64]) -> NDArray[np.float64]:
    """(16, 2) a curved run that comes in along the line from the denied option to the ball.

    Examples
    --------
    >>> arc(np.array([10.0, 0]), np.array([20.0, 8]), np.array([20.0, 10]))[[0, -1]].tolist()
    [[10.0, 0.0], [20.0, 8.0]]
    """
    way, run = ball - end, float(np.hypot(*(end - start)))
    length = float(np.hypot(*way))
    if run < 1.0 or length < 1e-6:
        return np.array([start, end])
    bend = end - way / length * min(LAST_SECOND_M, BEND * run)
    t = np.linspace(0, 1, POINTS)[:, None]
    return np.asarray((1 - t) ** 2 * start + 2 * t * (1 - t) * bend + t**2 * end)
