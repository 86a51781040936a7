"""Laws of the control race."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pressinglib.errors import BadInput
from pressinglib.physics import control_shares, interception_probability

times = st.lists(st.floats(0, 8), min_size=1, max_size=6)


@given(times, times, st.floats(0, 5))
def test_shares_add_up(attack, defence, ball):
    shares = control_shares(attack, defence, ball)
    assert sum(shares) == pytest.approx(1.0, abs=1e-9)
    assert min(shares) >= 0.0


@given(times, times, st.floats(0, 5), st.floats(0.1, 3))
def test_arriving_sooner_never_costs_control(attack, defence, ball, sooner):
    quicker = [max(t - sooner, 0.0) for t in attack]
    assert control_shares(quicker, defence, ball)[0] >= control_shares(attack, defence, ball)[0] - 1e-6


@given(times, times, st.floats(0, 5), st.floats(0, 6))
def test_one_clock_for_all(attack, defence, ball, shift):
    later = control_shares(np.add(attack, shift), np.add(defence, shift), ball + shift)
    assert later[0] == pytest.approx(control_shares(attack, defence, ball)[0], abs=1e-6)


def test_sides_are_treated_alike_without_a_factor():
    one = control_shares([1.0, 2.0], [1.5], 0.5, defence_factor=1.0)
    other = control_shares([1.5], [1.0, 2.0], 0.5, defence_factor=1.0)
    assert one == pytest.approx(other[::-1], abs=1e-12)


@pytest.mark.parametrize("seed", range(6))
def test_against_a_general_solver(seed):
    random = np.random.default_rng(seed)
    attack, defence, ball = random.uniform(0, 6, 5), random.uniform(0, 6, 5), random.uniform(0, 4)
    arrival, rate = np.concatenate([attack, defence]), 3.99 * np.repeat([1.0, 1.72], 5)

    def motion(time, shares):
        return (1.0 - shares.sum()) * rate * interception_probability(time, arrival, 0.54)

    race = solve_ivp(motion, (ball, ball + 20.0), np.zeros(10), rtol=1e-9, atol=1e-12, max_step=0.2)
    assert control_shares(attack, defence, ball)[0] == pytest.approx(race.y[:5, -1].sum(), abs=1e-4)


@pytest.mark.parametrize(
    ("rate", "sigma", "within"),
    [(4.3, 0.45, 1e-4), (0.5, 0.2, 1e-3), (40.0, 0.5, 1e-4), (3.99, 0.05, 1e-3), (4.0, 3.0, 1e-4), (3.99, 0.01, 0.02)],
)
def test_any_rate_and_spread(rate, sigma, within):
    """From clocks that are sure to clocks that know nothing; the very sure one is blurred a little."""
    random = np.random.default_rng(1)
    for _ in range(5):
        attack, defence, ball = random.uniform(0, 6, 3), random.uniform(0, 6, 3), random.uniform(0, 4)
        arrival, rates = np.concatenate([attack, defence]), rate * np.repeat([1.0, 1.72], 3)

        def motion(time, shares, arrival=arrival, rates=rates):
            return (1.0 - shares.sum()) * rates * interception_probability(time, arrival, sigma)

        race = solve_ivp(motion, (ball, ball + 20.0 + 15.0 / rate), np.zeros(6), rtol=1e-8, atol=1e-11, max_step=0.05)
        share = control_shares(attack, defence, ball, rate, sigma)[0]
        assert share == pytest.approx(race.y[:3, -1].sum() / race.y[:, -1].sum(), abs=within)


def test_places_broadcast_and_nobody_controls_nothing():
    nan = np.nan
    attack = np.array([[1.0, 2.0], [nan, nan], [nan, nan]])
    defence = np.array([[1.0], [2.0], [nan]])
    shares = np.array(control_shares(attack, defence, np.array([0.5, 0.5, 0.5])))
    assert shares.shape == (2, 3)
    np.testing.assert_allclose(shares[:, 1], (0, 1), atol=1e-12)
    np.testing.assert_array_equal(shares[:, 2], (0, 0))
    assert shares[0, 0] == pytest.approx(control_shares([1.0, 2.0], [1.0], 0.5)[0], abs=1e-6)


def test_a_wrong_parameter_is_named():
    with pytest.raises(BadInput, match="sigma_s"):
        control_shares([1.0], [1.0], 0.0, sigma_s=0.0)
