"""Three laws of running that can stand for each other."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.physics import (
    accelerate_then_cruise,
    arrival_time,
    ball_time,
    control_at,
    control_field,
    drive_minus_drag,
    first_there,
    lane_margins,
    least_arrival,
    react_then_run,
    total_pressure,
)

place = st.tuples(st.floats(-40, 40), st.floats(-40, 40))
pace = st.tuples(st.floats(-7, 7), st.floats(-7, 7))
BARE = {  # laws with a reach, and the same without
    drive_minus_drag(reaction_s=0.3, reach_m=0.9): drive_minus_drag(reaction_s=0.3),
    accelerate_then_cruise(reach_m=0.9): accelerate_then_cruise(),
    react_then_run(reach_m=0.9): react_then_run(),
}
MODELS = [drive_minus_drag(), *BARE, *BARE.values()]


def one_lane(model, defender, velocity=(0, 0), origin=(0, 0), receiver=(20, 0), points=12):
    return lane_margins(origin, [receiver], [defender], [velocity], points=points, motion=model)[0, 0]


def off_the_edge(origin, receiver, defender, edge_m=1e-6):
    """Whether rounding does not decide if he is on a point of the lane or within 0.9 m of it: there clocks may jump."""
    way = np.subtract(receiver, origin)
    length = np.hypot(*way)
    if length < 1e-6:
        return False
    along = np.append(np.linspace(min(1.0, length), length, 11), np.dot(np.subtract(defender, origin), way) / length)
    off = np.hypot(*(np.multiply.outer(along / length, way) + np.subtract(origin, defender)).T)
    return off.min() > 1e-6 and np.abs(off - 0.9).min() > edge_m


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.name)
class TestEveryLaw:
    @given(start=place, target=place, share=st.floats(0, 1))
    def test_nearer_is_sooner_from_rest(self, model, start, target, share):
        nearer = np.add(start, share * np.subtract(target, start))
        far, near = model.clock(start, (0, 0), [target, nearer])
        assert near <= far + 1e-6

    @given(start=place, target=place, turn=st.floats(0, 6.28), speed=st.floats(0, 7))
    def test_no_direction_is_special(self, model, start, target, turn, speed):
        rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        assume(np.hypot(*np.subtract(start, target)) > 1e-3)
        time = model.clock(start, (speed, 0), target)
        turned = model.clock(start @ rotation, (speed, 0) @ rotation, target @ rotation)
        assert turned == pytest.approx(time, abs=1e-4)

    def test_running_there_is_sooner_than_running_away(self, model):
        toward, still, away = model.clock((0, 0), [(4, 0), (0, 0), (-4, 0)], (15, 0))
        assert toward < still < away

    @given(origin=place, receiver=place, defender=place, velocity=pace)
    def test_no_lane_margin_is_below_the_one_of_a_fine_lane(self, model, origin, receiver, defender, velocity):
        """Over 1,500 points with nothing but the clock, which may miss the least by the way between two of them.

        They lie up to 0.08 m apart, so his reach must not cut the lane in a shorter stretch: 1 mm off the edge.
        """
        assume(off_the_edge(origin, receiver, defender, 1e-3))
        way = np.subtract(receiver, origin)
        along = np.linspace(min(1.0, np.hypot(*way)), np.hypot(*way), 1500)
        spots = origin + np.multiply.outer(along / max(np.hypot(*way), 1e-12), way)
        finest = np.min(model.clock(defender, velocity, spots) - ball_time(along))
        assert one_lane(model, defender, velocity, origin, receiver) > finest - 0.03
        assert one_lane(model, defender, velocity, origin, receiver, 1501) == pytest.approx(finest, abs=0.03)

    @given(origin=place, receiver=place, defender=place, velocity=pace, turn=st.floats(0, 6.28))
    def test_no_direction_is_special_for_a_lane(self, model, origin, receiver, defender, velocity, turn):
        rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        assume(off_the_edge(origin, receiver, defender))
        margin = one_lane(model, defender, velocity, origin, receiver)
        turned = [np.asarray(v) @ rotation for v in (defender, velocity, origin, receiver)]
        assert one_lane(model, *turned) == pytest.approx(margin, abs=1e-4)

    @given(spot=st.floats(0, 20), near=st.floats(0, 15), more=st.floats(0, 15))
    def test_farther_aside_of_a_lane_is_later_from_rest(self, model, spot, near, more):
        assert one_lane(model, (spot, near)) <= one_lane(model, (spot, near + more)) + 1e-6

    def test_running_to_the_lane_is_sooner_than_running_away(self, model):
        toward, still, away = (one_lane(model, (15, 12), (0, speed)) for speed in (-4, 0, 4))
        assert toward < still < away

    def test_absent_from_a_lane(self, model):
        nan = (np.nan, np.nan)
        margins = lane_margins((0, 0), [(20, 0), nan], [(10, 5), nan], [(0, 0), (0, 0)], motion=model)
        assert np.isfinite(margins[0, 0])
        assert margins[0, 1] == np.inf
        assert np.isnan(margins[1, 0])

    def test_lanes_of_many_frames_are_those_of_each(self, model):
        random = np.random.default_rng(3)
        data = [random.uniform(-30, 30, shape) for shape in ((5, 2), (5, 4, 2), (5, 6, 2))]
        data.append(random.normal(0, 3, (5, 6, 2)))
        alone = [lane_margins(*frame, motion=model) for frame in zip(*data, strict=True)]
        np.testing.assert_allclose(lane_margins(*data, motion=model), alone, atol=1e-7)

    def test_every_result_names_it(self, model):
        still = np.zeros((2, 2))
        players, ball = np.array([(5.0, 3.0), (-8.0, 1.0)]), np.zeros(2)
        picture = Situation.line_up(ball_xy=(30.0, 10.0))
        results = [
            model(players, still, ball),
            first_there(players, still, [ball], model),
            control_at([ball], players, still, players, still, ball, model),
            control_field(picture, 20.0, model),
            lane_margins(ball, players, players, still, motion=model),
            least_arrival(players, still, ball, model),
            total_pressure(picture, motion=model),
        ]
        assert [result.model for result in results] == [model.name] * 7

    def test_players_and_places_broadcast_and_the_absent_stay_away(self, model):
        times = model.clock(np.zeros((3, 1, 2)), np.zeros((3, 1, 2)), [(5, 0), (np.nan, 0)])
        assert times.shape == (3, 2)
        assert np.isnan(times[:, 1]).all()
        assert np.isfinite(times[:, 0]).all()


@pytest.mark.parametrize("model", BARE, ids=lambda model: model.name)
class TestEveryLawWithReach:
    def test_within_reach_he_is_there(self, model):
        assert model.clock((0, 0), (3, 4), (0.5, 0.5)) == 0.0

    @given(target=place)
    def test_reach_is_as_far_as_a_place_that_much_nearer(self, model, target):
        """From rest: within reach of a place, or on the place 0.9 m before it."""
        away = np.hypot(*target)
        assume(away > 0.9 + 1e-6)
        nearer = np.multiply(target, 1.0 - 0.9 / away)
        assert model.clock((0, 0), (0, 0), target) == pytest.approx(BARE[model].clock((0, 0), (0, 0), nearer), abs=1e-6)

    @given(share=st.floats(0.05, 1.0))
    def test_a_man_standing_in_the_lane_closes_it(self, model, share):
        assert one_lane(model, (20 * share, 0)) <= -ball_time(max(20 * share, 1.0)) + 1e-9


@given(place, st.lists(place, min_size=1, max_size=4), st.lists(st.tuples(place, pace), min_size=1, max_size=4))
def test_lanes_by_the_law_handed_in_are_those_of_the_fast_way(origin, receivers, defenders):
    """The same law by two ways, on the pitch and in the frame of the lane, which round differently: within 1e-5 s.
    """
    assume(all(off_the_edge(origin, receiver, spot) for receiver in receivers for spot, _ in defenders))
    spots, paces = (np.array(part, float) for part in zip(*defenders, strict=True))
    fast = lane_margins(origin, receivers, spots, paces)
    any_law = lane_margins(origin, receivers, spots, paces, motion=drive_minus_drag(reaction_s=0.3, reach_m=0.9))
    np.testing.assert_allclose(any_law, fast, atol=1e-5)
    assert any_law.model == fast.model


def test_names_tell_the_parameters():
    assert drive_minus_drag(1.0, 10.0, 0.3, 0.9).name == "drive minus drag, 1 /s, 10 m/s, reaction 0.3 s, reach 0.9 m"
    assert accelerate_then_cruise(reach_m=0.9).name == "accelerate, then cruise, 7 m/s2, 5 m/s, reach 0.9 m"
    assert react_then_run(reach_m=0.9).name == "react, then run, 0.7 s, 5 m/s, reach 0.9 m"
    assert accelerate_then_cruise(7.0, 5.0).name == "accelerate, then cruise, 7 m/s2, 5 m/s"
    assert react_then_run(0.7, 5.0).name == "react, then run, 0.7 s, 5 m/s"


def test_the_default_law_is_arrival_time():
    args = (1.0, 2.0), (3.0, -1.0), (12.0, 5.0)
    habits = dict(reaction_s=0.3, reach_m=0.9)
    assert drive_minus_drag(**habits).clock(*args) == arrival_time(*args, **habits)


@pytest.mark.parametrize("start_mps", [-6.0, -2.0, 0.0, 3.0, 5.0])
@pytest.mark.parametrize("distance_m", [0.5, 2.0, 10.0])
def test_accelerating_against_a_general_solver(start_mps, distance_m):
    """scipy's integrator on the same run in a straight line, from going away to top speed."""

    def there(_, state):
        return state[0] - distance_m

    there.terminal = True
    run = solve_ivp(lambda _, s: [s[1], 7.0 * (s[1] < 5.0)], (0, 20), [0.0, start_mps], events=there, max_step=1e-3)
    time = accelerate_then_cruise().clock((0, 0), (start_mps, 0), (distance_m, 0))
    assert time == pytest.approx(run.t_events[0][0], abs=2e-3)


def test_what_points_elsewhere_is_left_out():
    clock = accelerate_then_cruise().clock
    assert clock((0, 0), (0, 6), (10, 0)) == clock((0, 0), (0, 0), (10, 0))
    assert clock((0, 0), (9, 0), (10, 0)) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: accelerate_then_cruise(0.0), "acceleration_mps2"),
        (lambda: react_then_run(-0.1), "reaction_s"),
        (lambda: react_then_run(0.7, 0.0), "speed_mps"),
        (lambda: drive_minus_drag(-1.0).clock((0, 0), (0, 0), (1, 0)), "alpha_per_s"),
    ],
)
def test_what_is_wrong_is_named(call, what):
    with pytest.raises(BadInput, match=what):
        call()
