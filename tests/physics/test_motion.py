"""Laws of running: exact least times, no place or direction is special, nearer is sooner."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pressinglib.errors import BadInput
from pressinglib.physics import Running

ALPHA, TOP = 1.3, 7.8
LAW = Running(ALPHA, TOP)
place = st.tuples(st.floats(-40, 40), st.floats(-40, 40))
near = st.tuples(st.floats(-4, 4), st.floats(-4, 4))
pace = st.tuples(st.floats(-8, 8), st.floats(-8, 8))
reaction = st.sampled_from([0.0, 0.3, 0.7])
reach = st.sampled_from([0.0, 0.9])
angle = st.floats(0, 2 * np.pi)


def outside_disc(time, xy, velocity, target, reaction_s=0.0, reach_m=0.0):
    """How far the target is outside the widened disc, written down from the law once more."""
    running = np.maximum(time - reaction_s, 0.0)
    drift = (1.0 - np.exp(-ALPHA * running)) / ALPHA
    centre = np.asarray(xy) + np.multiply.outer(np.minimum(time, reaction_s) + drift, np.asarray(velocity))
    return np.linalg.norm(np.asarray(target) - centre, axis=-1) - TOP * (running - drift) - reach_m


def check_least_root(xy, velocity, target, reaction_s=0.0, reach_m=0.0):
    """The time is a root, nothing before it is, and it is the first that a fine bracket and brentq find."""
    data = (xy, velocity, target, reaction_s, reach_m)
    time = LAW.time(xy, velocity, target, reaction_s, reach_m)
    grid = np.linspace(0.0, 20.0, 20001)
    outside = outside_disc(grid, *data)
    assert outside_disc(time, *data) < 1e-8
    assert not np.any(outside[grid < time - 1e-6] < -1e-8)
    assert outside[-1] < 0.0
    if outside[0] <= 0.0:
        assert time == 0.0
        return
    # A mere touch, zero but for rounding, does not count: the bracket looks for a real crossing.
    first = int(np.argmax(outside < -1e-9))
    expected = brentq(lambda t: outside_disc(t, *data) + 1e-9, grid[first - 1], grid[first], xtol=1e-12)
    # Where the disc only grazes the target, the bracket may miss what lies between two of its points.
    assert time == pytest.approx(expected, abs=1e-6) or (time < expected and abs(outside_disc(time, *data)) < 1e-8)


@given(place, pace, place, reaction, reach)
def test_exact_for_players_on_a_pitch(xy, velocity, target, reaction_s, reach_m):
    assume(xy == target or np.hypot(*np.subtract(target, xy)) > 1e-4)
    check_least_root(xy, velocity, target, reaction_s, reach_m)


@given(near, st.floats(5, 25), angle, reaction, reach)
def test_exact_for_fast_players_past_near_targets(target, speed, direction, reaction_s, reach_m):
    assume(np.hypot(*target) > 1e-4)
    check_least_root((0, 0), (speed * np.cos(direction), speed * np.sin(direction)), target, reaction_s, reach_m)


def test_the_least_of_several_times():
    """A player at 12 m/s past a target 0.3 m off his line could be there three times; the first one counts."""
    data = ((0.0, 0.0), (12.0, 0.0), (3.0, 0.3))
    grid = np.linspace(0.0, 5.0, 50001)
    assert np.count_nonzero(np.diff(np.sign(outside_disc(grid, *data)))) == 3
    assert LAW.time(*data) < 0.5
    check_least_root(*data)


def test_running_straight_through_the_target_and_away_from_it():
    for speed in (0.1, 5.0, 7.8, 12.0):
        check_least_root((0, 0), (speed, 0), (6, 0))
        check_least_root((0, 0), (-speed, 0), (6, 0))


def test_too_fast_to_be_quicker_than_his_own_velocity():
    """At 8.5 m/s the drag slows him on the way: the straight line of the reaction may not be drawn out beyond it."""
    check_least_root((0, 0), (6, 6), (6, 6), reaction_s=0.3, reach_m=0.9)


def test_within_reach_at_the_start_is_no_time():
    assert LAW.time((0, 0), (0, 0), (0.5, 0), reaction_s=0.3, reach_m=0.9) == 0.0
    assert LAW.time((0, 0), (3, 0), (0, 0), reaction_s=0.3) == 0.0


def test_carried_within_reach_while_reacting():
    """At 5 m/s straight at a place 1.9 m off with a reach of 0.9 m he is there after 0.2 s."""
    assert LAW.time((0, 0), (5, 0), (1.9, 0), reaction_s=0.3, reach_m=0.9) == pytest.approx(0.2, abs=1e-12)


@given(place, pace, place, angle, place)
def test_no_place_or_direction_is_special(xy, velocity, target, turn, shift):
    time = LAW.time(xy, velocity, target)
    # Where the disc only grazes a target, the least time jumps with the last digit of the picture.
    assume(abs(LAW.time(xy, velocity, target, reach_m=1e-5) - time) < 1e-3)
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    mirror = np.array([1.0, -1.0])
    assert LAW.time(xy @ rotation, velocity @ rotation, target @ rotation) == pytest.approx(time, abs=1e-5)
    assert LAW.time(xy * mirror, velocity * mirror, target * mirror) == pytest.approx(time, abs=1e-9)
    assert LAW.time(np.add(xy, shift), velocity, np.add(target, shift)) == pytest.approx(time, abs=1e-5)


@given(st.floats(0, 60), st.floats(0, 60), angle)
def test_farther_takes_longer_from_rest(one, other, direction):
    way = np.array([np.cos(direction), np.sin(direction)])
    times = LAW.time((0, 0), (0, 0), np.sort([one, other])[:, None] * way)
    assert times[0] <= times[1]


@given(st.floats(0.5, 50), st.floats(0, 7))
def test_own_velocity_toward_a_place_helps_and_away_hurts(distance, speed):
    target = (distance, 0)
    toward, rest, away = (LAW.time((0, 0), (v, 0), target) for v in (speed, 0.0, -speed))
    assert toward <= rest + 1e-9
    assert rest <= away + 1e-9


@given(place, pace, place, st.floats(0.01, 2.0))
def test_a_longer_reach_is_never_later(xy, velocity, target, reach_m):
    assert LAW.time(xy, velocity, target, reach_m=reach_m) <= LAW.time(xy, velocity, target) + 1e-9


@given(st.lists(st.floats(0, 120), min_size=1, max_size=20))
def test_table_from_rest(distances):
    places = np.stack([distances, np.zeros(len(distances))], axis=-1)
    np.testing.assert_allclose(LAW.rest_time(distances), LAW.time((0, 0), (0, 0), places), atol=1e-5)


def test_far_and_absent_from_rest():
    assert LAW.rest_time(1e6) == pytest.approx(1e6 / TOP + 1 / ALPHA)
    assert np.isnan(LAW.rest_time([np.nan, 5.0])).tolist() == [True, False]
    assert LAW.rest_time(np.inf) == np.inf


@given(place, pace, place, st.floats(0, 6), reaction)
def test_reached_place_is_inside_the_disc_and_nearest(xy, velocity, target, time, reaction_s):
    reached = LAW.reached_xy(xy, velocity, target, time, reaction_s=reaction_s)
    arrival = LAW.time(xy, velocity, target, reaction_s=reaction_s)
    if arrival <= time:
        np.testing.assert_allclose(reached, target, atol=1e-9)
    else:
        gap = outside_disc(time, xy, velocity, target, reaction_s)
        assert np.linalg.norm(np.subtract(target, reached)) == pytest.approx(gap, abs=1e-6)
        assert outside_disc(time, xy, velocity, reached, reaction_s) == pytest.approx(0.0, abs=1e-6)


def test_a_target_passed_on_the_way_counts_as_reached():
    """At 12 m/s the disc is over the target for a moment only; he has been there."""
    data = ((0.0, 0.0), (12.0, 0.0), (3.0, 0.3))
    assert outside_disc(0.6, *data) > 0.0
    np.testing.assert_allclose(LAW.reached_xy(*data, 0.6), (3.0, 0.3))


def test_shapes_broadcast_and_absent_players_stay_absent():
    players = np.array([(0.0, 0.0), (np.nan, np.nan), (5.0, 5.0)])
    targets = np.array([(10.0, 0.0), (0.0, 10.0)])
    times = LAW.time(players[:, None], np.zeros((3, 1, 2)), targets)
    assert times.shape == (3, 2)
    assert np.isnan(times[1]).all()
    assert np.isfinite(times[[0, 2]]).all()
    alone = [[LAW.time(p, (0, 0), t) for t in targets] for p in players]
    np.testing.assert_allclose(times, alone, equal_nan=True, atol=1e-7)
    assert LAW.reached_xy(players[:, None], np.zeros(2), targets, 1.0).shape == (3, 2, 2)
    assert LAW.time(np.empty((0, 2)), np.empty((0, 2)), (1, 1)).shape == (0,)


@given(st.floats(0, 40))
def test_the_way_covered_from_rest_takes_so_long(distance):
    assert LAW.covered_m(LAW.time((0, 0), (0, 0), (distance, 0))) == pytest.approx(distance, abs=1e-5)


def test_the_reaction_is_for_those_who_have_to_move():
    assert LAW.rest_time([0.0, -1.0, 5.0], 0.3) == pytest.approx([0.0, 0.0, 0.3 + LAW.rest_time(5.0)])


@pytest.mark.parametrize(
    ("parameter", "value"),
    [("reaction_s", -0.1), ("reach_m", np.nan), ("reach_m", "near")],
)
def test_a_wrong_parameter_is_named(parameter, value):
    with pytest.raises(BadInput, match=parameter):
        LAW.time((0, 0), (0, 0), (1, 0), **{parameter: value})
