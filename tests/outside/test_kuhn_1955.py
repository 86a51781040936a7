"""Assignment: the worked example whose optimum is 10 and where taking the cheapest first gives 12; more by scipy."""

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from pressinglib.roles.measures import least_total
from tests.outside.check import Check, value_of

SOURCE = (
    "Kuhn 1955, The Hungarian method for the assignment problem, 10.1002/nav.3800020109"
)

WORKED = np.array([[2.0, 3, 7], [3, 6, 9], [8, 7, 4]])
RANDOM = np.random.default_rng(3).uniform(0, 9, (7, 7))


def ours(cost):
    everybody = np.ones((1, len(cost)), bool)
    job = least_total(cost[None], everybody, everybody)[0]
    return cost[np.arange(len(cost)), job].sum()


def cheapest_first(cost):
    left, total = cost.copy(), 0.0
    for _ in range(len(cost)):
        i, j = np.unravel_index(left.argmin(), left.shape)
        total += left[i, j]
        left[i], left[:, j] = np.inf, np.inf
    return total


CHECKS = [
    Check("least total of the worked example", "worked example", "computed", 10.0, lambda: ours(WORKED)),
    Check("least total of seven by seven by scipy", "linear_sum_assignment", "computed",
          float(RANDOM[linear_sum_assignment(RANDOM)].sum()), lambda: ours(RANDOM), 1e-12),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected


def test_taking_the_cheapest_first_is_worse():
    assert cheapest_first(WORKED) == 12.0
