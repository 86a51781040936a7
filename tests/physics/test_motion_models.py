"""Three laws of running that can stand for each other."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pressinglib.errors import BadInput
from pressinglib.physics import accelerate_then_cruise, arrival_time, drive_minus_drag, react_then_run

place = st.tuples(st.floats(-40, 40), st.floats(-40, 40))
MODELS = [drive_minus_drag(), drive_minus_drag(reaction_s=0.3), accelerate_then_cruise(), react_then_run()]


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

    def test_players_and_places_broadcast_and_the_absent_stay_away(self, model):
        times = model.clock(np.zeros((3, 1, 2)), np.zeros((3, 1, 2)), [(5, 0), (np.nan, 0)])
        assert times.shape == (3, 2)
        assert np.isnan(times[:, 1]).all()
        assert np.isfinite(times[:, 0]).all()


def test_names_tell_the_parameters():
    assert drive_minus_drag(1.0, 10.0, 0.3, 0.9).name == "drive minus drag, 1 /s, 10 m/s, reaction 0.3 s, reach 0.9 m"
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
