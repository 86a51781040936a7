"""Stopping: the price of braking against the exact run on a line."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pressinglib.physics import Running

ALPHA, TOP, BRAKE = 1.3, 7.8, 6.0
LAW = Running(ALPHA, TOP, BRAKE)


def exact_run(distance_m, start_mps):
    """On a line: drive until the way left is the way to stop, then brake."""

    def speed(time):
        return TOP - (TOP - start_mps) * np.exp(-ALPHA * time)

    def missing(time):
        covered = TOP * time - (TOP - start_mps) * (1.0 - np.exp(-ALPHA * time)) / ALPHA
        return distance_m - covered - speed(time) ** 2 / (2.0 * BRAKE)

    turn = brentq(missing, 0.0, 60.0)
    return turn + speed(turn) / BRAKE


RUNS = [
    (way, start)
    for way in (0.5, 1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0, 40.0)
    for start in (0.0, 2.0, 4.0, 6.0)
    if start**2 / (2.0 * BRAKE) <= way  # else he cannot stop in time, and there is no such run
]


@pytest.mark.parametrize(("distance_m", "start_mps"), RUNS)
def test_close_to_the_exact_run(distance_m, start_mps):
    braked = LAW.braked_time((0, 0), (start_mps, 0), (distance_m, 0))
    assert braked == pytest.approx(exact_run(distance_m, start_mps), abs=0.04)


@given(st.tuples(st.floats(-30, 30), st.floats(-30, 30)), st.tuples(st.floats(-7, 7), st.floats(-7, 7)))
def test_stopping_never_saves_time(target, velocity):
    running = LAW.time((0, 0), velocity, target, reaction_s=0.3)
    braked = LAW.braked_time((0, 0), velocity, target, reaction_s=0.3)
    assert running <= braked <= running + np.hypot(*velocity) / (2 * BRAKE) + TOP / (2 * BRAKE)


@given(st.tuples(st.floats(-30, 30), st.floats(-30, 30)), st.tuples(st.floats(-5, 5), st.floats(-5, 5)))
def test_speed_on_arrival_is_the_speed_of_the_path(target, velocity):
    """Against the difference of two points of the optimal path, driven in one direction."""
    target, velocity = np.array(target), np.array(velocity)
    time = float(LAW.time((0, 0), velocity, target))
    way = target - velocity * (1 - np.exp(-ALPHA * time)) / ALPHA
    assume(np.hypot(*way) > 1e-3)

    def path(t):
        drift = (1 - np.exp(-ALPHA * t)) / ALPHA
        return velocity * drift + way / np.hypot(*way) * TOP * (t - drift)

    by_difference = np.hypot(*(path(time) - path(time - 1e-6))) / 1e-6
    assert LAW._speed_at(np.array(time), (0, 0), velocity, target, 0.0) == pytest.approx(by_difference, abs=1e-3)


def test_already_there():
    assert LAW.braked_time((3, 3), (0, 0), (3, 3)) == 0.0


def test_absent_players_stay_absent():
    assert np.isnan(LAW.braked_time([(np.nan, 0), (0, 0)], (0, 0), (5, 0))).tolist() == [True, False]
