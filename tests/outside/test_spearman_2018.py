"""Control of a place: sigma 0.54 s, lambda 3.99 /s, kappa 1.72 are published. For players who all arrive at once the
equation has the exact limit n_att / (n_att + kappa n_def); other values are computed by scipy's solver.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pressinglib.physics import (
    accelerate_then_cruise,
    control_at,
    control_shares,
    interception_probability,
)
from tests.outside.check import Check, value_of

SOURCE = (
    "Spearman 2018, Beyond expected goals, MIT Sloan Sports Analytics Conference"
)

ATTACK, DEFENCE, BALL_S = np.array([1.2, 2.0, 4.0]), np.array([1.5, 1.7, 6.0]), 1.4


def together(attackers, defenders, ball_s):
    return lambda: control_shares([1.5] * attackers, [1.5] * defenders, ball_s)[0]


def solved():
    arrival, rate = np.concatenate([ATTACK, DEFENCE]), 3.99 * np.repeat([1.0, 1.72], 3)

    def motion(time, shares):
        return (1.0 - shares.sum()) * rate * interception_probability(time, arrival, 0.54)

    race = solve_ivp(motion, (BALL_S, BALL_S + 20.0), np.zeros(6), rtol=1e-9, atol=1e-12, max_step=0.1)
    return float(race.y[:3, -1].sum())


def cruise(distance_m):
    return lambda: accelerate_then_cruise((0, 0), (0, 0), (distance_m, 0), 7.0, 5.0)


def duel_at_a_place():
    """One against one, both 10 m from the place, which the ball reaches first."""
    return 1.0 - control_at([(0, 10)], [(10, 10)], [(0, 0)], [(-10, 10)], [(0, 0)], (0, 5))[0]


CHECKS = [
    Check("one against one, ball first, attackers' share", "exact limit", "computed", 0.367647,
          together(1, 1, 0.0), 5e-7),
    Check("one against one, ball last, attackers' share", "exact limit", "computed", 0.367647,
          together(1, 1, 4.0), 5e-7),
    Check("two against one, attackers' share", "exact limit", "computed", 0.537634, together(2, 1, 1.0), 5e-7),
    Check("one against one on the pitch, attackers' share", "exact limit", "computed", 0.367647, duel_at_a_place, 5e-7),
    Check("three against three one after another, attackers' share", "equation of the race", "computed", solved(),
          lambda: control_shares(ATTACK, DEFENCE, BALL_S)[0], 1e-4),
    Check("an offside attacker alone, share", "offside rule", "published", 0.0,
          lambda: control_shares([float("nan")], [9.0], 0.8)[0]),
    Check("accelerate, then cruise: 2 m from rest, s", "motion, 7 m/s2 and 5 m/s", "computed", 0.7571, cruise(2), 5e-5),
    Check("accelerate, then cruise: 10 m from rest, s", "motion, 7 m/s2 and 5 m/s", "computed", 2.3571,
          cruise(10), 5e-5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
