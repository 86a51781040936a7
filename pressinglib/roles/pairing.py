"""Players paired with jobs so that the total is least (Kuhn 1955, 10.1002/nav.3800020109)."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.picture import Bools, Floats, Ints
from pressinglib.roles.vocabulary import NOBODY

FORBIDDEN = 1e6


def least_total(cost: Floats, players: Bools, jobs: Bools) -> Ints:
    """(F, N) job of each player, -1 for none: as many pairs as possible at the least total cost.

    Parameters
    ----------
    cost : (F, N, J) float
    players : (F, N) bool
    jobs : (F, J) bool

    Examples
    --------
    The worked example of the Hungarian method: the optimum is 10, taking the cheapest first gives 12.

    >>> cost = np.array([[[2., 3, 7], [3, 6, 9], [8, 7, 4]]])
    >>> job = least_total(cost, np.ones((1, 3), bool), np.ones((1, 3), bool))
    >>> job.tolist(), float(cost[0, [0, 1, 2], job[0]].sum())
    ([[1, 0, 2]], 10.0)
    """
    from scipy.optimize import linear_sum_assignment

    out = np.full(players.shape, NOBODY)
    for f in np.flatnonzero(players.any(1) & jobs.any(1)):
        rows, columns = np.flatnonzero(players[f]), np.flatnonzero(jobs[f])
        table = np.minimum(np.nan_to_num(cost[f][np.ix_(rows, columns)], nan=FORBIDDEN, posinf=FORBIDDEN), FORBIDDEN)
        chosen, job = linear_sum_assignment(table)
        out[f, rows[chosen]] = np.where(table[chosen, job] < FORBIDDEN, columns[job], NOBODY)
    return out
