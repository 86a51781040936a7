"""Laws of lanes, shadows and gaps."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.physics import (
    Running,
    ball_time,
    gap_limit,
    lane_margins,
    lane_state,
    rest_lane_margins,
    shadow_half_angle,
    shadowed,
)

place = st.tuples(st.floats(-40, 40), st.floats(-40, 40))
pace = st.tuples(st.floats(-7, 7), st.floats(-7, 7))
angle = st.floats(0, 2 * np.pi)


def finest_margin(origin, receiver, defender, velocity):
    """Over 1,500 points, with nothing but the public clocks."""
    length = np.hypot(*np.subtract(receiver, origin))
    along = np.linspace(min(1.0, length), length, 1500)
    points = origin + np.multiply.outer(along / max(length, 1e-12), np.subtract(receiver, origin))
    return np.min(Running().time(defender, velocity, points, reaction_s=0.3, reach_m=0.9) - ball_time(along))


@given(place, place, place, pace)
def test_no_margin_is_below_the_one_of_a_fine_lane(origin, receiver, defender, velocity):
    margin = lane_margins(origin, [receiver], [defender], [velocity])[0, 0]
    assert margin > finest_margin(origin, receiver, defender, velocity) - 2e-3


@given(place, place, place, pace)
def test_many_points_find_the_margin(origin, receiver, defender, velocity):
    margin = lane_margins(origin, [receiver], [defender], [velocity], points=1501)[0, 0]
    assert margin == pytest.approx(finest_margin(origin, receiver, defender, velocity), abs=0.02)


def test_twelve_points_are_close_in_nearly_all_lanes():
    """Of the lanes that a defender has to do with; the figures stand in the docstring."""
    random = np.random.default_rng(7)
    receivers = random.uniform(-30, 30, (20, 2))
    defenders, velocities = random.uniform(-30, 30, (600, 2)), random.normal(0, 4, (600, 2))
    few = lane_margins((0, 0), receivers, defenders, velocities)
    many = lane_margins((0, 0), receivers, defenders, velocities, points=400)
    late = (few - many)[(many < 1.0) & (many > -0.5)]
    assert late.mean() < 0.01
    assert np.quantile(late, 0.99) < 0.08
    assert (late > 0.25).mean() < 2e-3
    assert (few[many < -0.5] < -0.2).mean() > 0.998


@given(place, place, place, pace, angle)
def test_no_direction_is_special(origin, receiver, defender, velocity, turn):
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    mirror = np.array([1.0, -1.0])
    assume(np.hypot(*np.subtract(receiver, origin)) > 1e-6)
    margin = lane_margins(origin, [receiver], [defender], [velocity])
    turned = [np.atleast_2d(v) @ rotation for v in (receiver, defender, velocity)]
    np.testing.assert_allclose(lane_margins(origin @ rotation, *turned), margin, atol=1e-4)
    flipped = [np.atleast_2d(v) * mirror for v in (receiver, defender, velocity)]
    np.testing.assert_allclose(lane_margins(origin * mirror, *flipped), margin, atol=1e-6)


@given(place, st.lists(place, min_size=1, max_size=4), st.lists(place, min_size=1, max_size=4))
def test_at_rest_both_ways_agree(origin, receivers, defenders):
    still = np.zeros((len(defenders), 2))
    one = lane_margins(origin, receivers, defenders, still)
    np.testing.assert_allclose(rest_lane_margins(origin, receivers, defenders), one, atol=2e-5)


@pytest.mark.parametrize("length_m", [0.5, 4.0, 12.0, 40.0])
@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.77, 1.0])
def test_a_man_standing_in_the_lane_closes_it(length_m, share):
    """Wherever on the line of the pass, between the points too: he has the ball before it has passed him."""
    spot = max(share * length_m, min(1.0, length_m))
    margin = rest_lane_margins((0, 0), [(length_m, 0)], [(spot, 0)])[0, 0]
    assert margin <= -ball_time(spot) + 1e-12


def test_a_man_behind_the_passer_or_far_off_leaves_it_open():
    margins = rest_lane_margins((0, 0), [(15, 0)], [(-8, 0), (7, 20)])
    assert (margins > 1.0).all()


def test_running_across_the_lane_closes_it_and_running_away_opens_it():
    toward, away = lane_margins((0, 0), [(20, 0)], [(12, 5), (12, 5)], [(0, -6), (0, 6)])[0]
    still = rest_lane_margins((0, 0), [(20, 0)], [(12, 5)])[0, 0]
    assert toward < still < away


def test_crossing_a_lane_while_reacting_closes_it():
    """At 8 m/s he is 1 m short of the line now and far beyond it when he could act; the ball would hit him."""
    margin = lane_margins((0, 0), [(30, 0)], [(6.2, 1.0)], [(0.0, -8.0)])[0, 0]
    assert margin < -0.2


def test_absent_players():
    nan = (np.nan, np.nan)
    margins = lane_margins((0, 0), [(20, 0), nan], [(10, 0), nan], [(0, 0), (0, 0)])
    assert margins[0, 1] == np.inf
    assert margins[0, 0] < 0.0
    assert np.isnan(margins[1, 0])
    np.testing.assert_array_equal(np.isnan(rest_lane_margins((0, 0), [(20, 0), nan], [(10, 0)])), [[False], [True]])


def test_a_receiver_on_the_ball():
    assert lane_margins((3, 3), [(3, 3)], [(3, 3)], [(0, 0)])[0, 0] == 0.0


def test_frames_broadcast():
    random = np.random.default_rng(3)
    origin, receivers = random.uniform(-20, 20, (5, 2)), random.uniform(-30, 30, (5, 4, 2))
    defenders, velocities = random.uniform(-30, 30, (5, 6, 2)), random.normal(0, 3, (5, 6, 2))
    together = lane_margins(origin, receivers, defenders, velocities)
    alone = [lane_margins(*frame) for frame in zip(origin, receivers, defenders, velocities, strict=True)]
    np.testing.assert_allclose(together, alone, atol=1e-7)
    assert rest_lane_margins(origin, receivers, defenders).shape == (5, 4, 6)


def test_words_for_margins():
    assert lane_state([0.21, 0.2, 0.0, -0.2, -0.21, np.inf, np.nan]).tolist() == [
        "open",
        "contested",
        "contested",
        "contested",
        "closed",
        "open",
        "",
    ]
    assert lane_state(0.5, open_s=0.6) == "contested"


@given(st.floats(0.05, 0.95), angle)
def test_shadow_edge_is_a_tangent_to_the_reach(share, direction):
    """The line at the half-angle passes the player at exactly his reach."""
    distance, reach = 10.0, 10.0 * share
    half = np.radians(shadow_half_angle(distance, reach))
    assert distance * np.sin(half) == pytest.approx(reach, rel=1e-12)


@given(place, place, angle, st.floats(0, 40), st.floats(5, 60))
def test_shadow_turns_with_the_picture(presser, point, turn, half, shift):
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    bearing = np.degrees(abs(np.angle(complex(*point) * complex(*presser).conjugate())))
    # Not on the very edge, where rounding decides.
    assume(abs(bearing - half) > 1e-3 and abs(np.hypot(*point) - np.hypot(*presser)) > 1e-3)
    assume(np.hypot(*presser) > 1e-3)
    seen = shadowed(presser, (0, 0), [point], half)[0]
    assert seen == (bearing < half and np.hypot(*point) > np.hypot(*presser))
    turned = [np.asarray(v) @ rotation + shift for v in (presser, (0, 0), [point])]
    assert shadowed(*turned, half)[0] == seen


def test_nobody_absent_is_in_a_shadow():
    assert not shadowed((np.nan, 0), (0, 0), [(10, 0)], 20.0).any()
    assert not shadowed((2, 0), (0, 0), [(np.nan, 0)], 20.0).any()


@pytest.mark.parametrize(
    ("distance_m", "limit_m"), [(5, 2.3), (8, 4.3), (10, 5.7), (12, 7.0), (15, 9.0), (20, 12.3), (25, 15.7)]
)
def test_gap_limits(distance_m, limit_m):
    """Own arithmetic: 2 (1 + (L / 15 - 0.3) 5), rounded to 0.1 m."""
    assert gap_limit(distance_m) == pytest.approx(limit_m, abs=0.051)


@given(st.floats(0, 60), st.floats(0, 10))
def test_a_farther_gap_may_be_wider(distance, more):
    assert gap_limit(distance) <= gap_limit(distance + more)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: lane_margins((0, 0), [(1, 0)], [(1, 0)], [(0, 0)], points=2), "points"),
        (lambda: rest_lane_margins((0, 0), [(1, 0)], [(1, 0)], ball_mps=0.0), "speed_mps"),
        (lambda: gap_limit(5.0, player_mps=-1.0), "player_mps"),
        (lambda: shadow_half_angle(5.0, 0.0), "reach_m"),
    ],
)
def test_a_wrong_parameter_is_named(call, what):
    with pytest.raises(BadInput, match=what):
        call()
