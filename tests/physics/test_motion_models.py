"""Laws of running that can stand for each other: ours, and two that are published."""

from functools import partial

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pressinglib.errors import BadInput
from pressinglib.physics import Running, accelerate_then_cruise, react_then_run

place = st.tuples(st.floats(-40, 40), st.floats(-40, 40))
BARE = {"drive minus drag": partial(Running().time, reaction_s=0.3), "cruise": accelerate_then_cruise,
        "react": react_then_run}
REACHING = {name: partial(law, reach_m=0.9) for name, law in BARE.items()}
LAWS = [Running().time, *BARE.values(), *REACHING.values()]


@pytest.mark.parametrize("law", LAWS)
class TestEveryLaw:
    @given(start=place, target=place, share=st.floats(0, 1))
    def test_nearer_is_sooner_from_rest(self, law, start, target, share):
        nearer = np.add(start, share * np.subtract(target, start))
        far, near = law(start, (0, 0), [target, nearer])
        assert near <= far + 1e-6

    @given(start=place, target=place, turn=st.floats(0, 6.28), speed=st.floats(0, 7))
    def test_no_direction_is_special(self, law, start, target, turn, speed):
        rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        assume(np.hypot(*np.subtract(start, target)) > 1e-3)
        time = law(start, (speed, 0), target)
        turned = law(start @ rotation, (speed, 0) @ rotation, target @ rotation)
        assert turned == pytest.approx(time, abs=1e-4)

    def test_running_there_is_sooner_than_running_away(self, law):
        toward, still, away = law((0, 0), [(4, 0), (0, 0), (-4, 0)], (15, 0))
        assert toward < still < away

    def test_players_and_places_broadcast_and_the_absent_stay_away(self, law):
        times = law(np.zeros((3, 1, 2)), np.zeros((3, 1, 2)), [(5, 0), (np.nan, 0)])
        assert times.shape == (3, 2)
        assert np.isnan(times[:, 1]).all()
        assert np.isfinite(times[:, 0]).all()


@pytest.mark.parametrize("name", BARE)
class TestEveryLawWithReach:
    def test_within_reach_he_is_there(self, name):
        assert REACHING[name]((0, 0), (3, 4), (0.5, 0.5)) == 0.0

    @given(target=place)
    def test_reach_is_as_far_as_a_place_that_much_nearer(self, name, target):
        """From rest: within reach of a place, or on the place 0.9 m before it."""
        away = np.hypot(*target)
        assume(away > 0.9 + 1e-6)
        nearer = np.multiply(target, 1.0 - 0.9 / away)
        time = REACHING[name]((0, 0), (0, 0), target)
        assert time == pytest.approx(BARE[name]((0, 0), (0, 0), nearer), abs=1e-6)


@pytest.mark.parametrize("start_mps", [-6.0, -2.0, 0.0, 3.0, 5.0])
@pytest.mark.parametrize("distance_m", [0.5, 2.0, 10.0])
def test_accelerating_against_a_general_solver(start_mps, distance_m):
    """scipy's integrator on the same run in a straight line, from going away to top speed."""

    def there(_, state):
        return state[0] - distance_m

    there.terminal = True
    run = solve_ivp(lambda _, s: [s[1], 7.0 * (s[1] < 5.0)], (0, 20), [0.0, start_mps], events=there, max_step=1e-3)
    time = accelerate_then_cruise((0, 0), (start_mps, 0), (distance_m, 0))
    assert time == pytest.approx(run.t_events[0][0], abs=2e-3)


def test_what_points_elsewhere_is_left_out():
    assert accelerate_then_cruise((0, 0), (0, 6), (10, 0)) == accelerate_then_cruise((0, 0), (0, 0), (10, 0))
    assert accelerate_then_cruise((0, 0), (9, 0), (10, 0)) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: accelerate_then_cruise((0, 0), (0, 0), (1, 0), 0.0), "acceleration_mps2"),
        (lambda: react_then_run((0, 0), (0, 0), (1, 0), -0.1), "reaction_s"),
        (lambda: react_then_run((0, 0), (0, 0), (1, 0), 0.7, 0.0), "speed_mps"),
        (lambda: Running(-1.0), "alpha_per_s"),
        (lambda: Running(deceleration_mps2=0.0), "deceleration_mps2"),
    ],
)
def test_what_is_wrong_is_named(call, what):
    with pytest.raises(BadInput, match=what):
        call()
