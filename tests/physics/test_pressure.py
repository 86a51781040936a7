"""Laws of the pressure on the carrier."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.physics import (
    Running,
    chance_to_reach,
    goal_oval,
    joint_chance,
    least_arrival,
    oval_pressure,
    oval_reach,
    total_oval,
    zone_pressure,
)

degrees = st.floats(-360, 360)
metres = st.floats(0, 12)
place = st.tuples(st.floats(-40, 40), st.floats(-30, 30))
pace = st.tuples(st.floats(-7, 7), st.floats(-7, 7))


@given(degrees, degrees, st.floats(0, 1.2))
def test_the_same_share_of_the_reach_is_the_same_pressure(one, other, share):
    pressures = [oval_pressure(share * oval_reach(angle), angle) for angle in (one, other)]
    assert pressures[0] == pytest.approx(pressures[1], abs=1e-6)


@given(degrees, metres, st.floats(0, 3))
def test_nearer_presses_more_and_left_is_like_right(angle, distance, nearer):
    pressure = oval_pressure(distance, angle)
    assert oval_pressure(max(distance - nearer, 0.0), angle) >= pressure
    assert oval_pressure(distance, -angle) == pytest.approx(pressure, abs=1e-9)
    assert 0.0 <= pressure <= 100.0


@given(metres, st.floats(0, 180), st.floats(0, 180))
def test_on_the_way_to_goal_presses_more_than_behind(distance, one, other):
    front, back = sorted((one, other))
    assert oval_pressure(distance, front) >= oval_pressure(distance, back) - 1e-9


def test_a_player_who_is_absent_presses_nobody():
    assert np.isnan(oval_pressure(float("nan"), 0.0))
    assert total_oval([(np.nan, 0), (-3, 0)], (0, 0), (-52.5, 0)) == oval_pressure(3.0, 0.0)
    assert zone_pressure([np.nan, 2.0], [0.0, 0.0]) == zone_pressure([2.0], [0.0])


@given(place, place, st.floats(0, 6.28))
def test_the_oval_turns_with_the_way_to_goal(presser, carrier, turn):
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    total = total_oval([presser], carrier, (-52.5, 0.0))
    turned = [np.atleast_2d(points) @ rotation for points in ([presser], carrier, (-52.5, 0.0))]
    assert total_oval(turned[0], turned[1][0], turned[2][0]) == pytest.approx(total, abs=1e-6)


def test_goal_oval_broadcasts_into_the_pressure():
    front, back = goal_oval([10.0, 10.0, 60.0], [True, False, False])
    assert (np.diff(front) > 0).all()
    pressure = oval_pressure(2.0, 0.0, front, back)
    assert (np.diff(pressure) > 0).all()


@given(st.lists(st.tuples(st.floats(0, 6), st.floats(-180, 180)), min_size=1, max_size=6), st.data())
def test_zones_keep_their_order(pressers, data):
    """More and nearer press more, 0 to 1, whoever comes first in the list: all that is published of them."""
    distance, angle = map(np.array, zip(*pressers, strict=True))
    pressure = zone_pressure(distance, angle)
    assert 0.0 <= pressure <= 1.0
    order = data.draw(st.permutations(range(len(pressers))))
    assert zone_pressure(distance[order], angle[order]) == pytest.approx(pressure, abs=1e-12)
    assert zone_pressure([*distance, 1.0], [*angle, 90.0]) > pressure - 1e-12
    assert zone_pressure(distance * 0.9, angle) >= pressure


@given(st.lists(place, min_size=1, max_size=6), st.data())
def test_the_first_to_arrive_is_the_pressure(players, data):
    paces = [data.draw(pace) for _ in players]
    times = [float(Running().time(xy, v, (0, 0))) for xy, v in zip(players, paces, strict=True)]
    assert least_arrival(players, paces, (0, 0)) == pytest.approx(min(times), abs=1e-6)


def test_slower_players_press_less():
    players, still = [(10, 0), (0, 12)], [(0, 0), (0, 0)]
    assert least_arrival(players, still, (0, 0), Running(top_speed_mps=6.0)) > least_arrival(players, still, (0, 0))
    assert least_arrival([(np.nan, 0)], [(0, 0)], (0, 0)) == np.inf


@given(st.lists(st.floats(0, 1), min_size=1, max_size=5), st.floats(0, 1))
def test_chances_join(chances, more):
    assert max(chances) - 1e-12 <= joint_chance(chances) <= 1.0
    assert joint_chance([*chances, more]) >= joint_chance(chances) - 1e-12


@given(place, place)
def test_running_at_the_target_gives_a_better_chance_than_running_away(start, target):
    way = np.subtract(target, start)
    distance = np.hypot(*way)
    assume(distance > 6.0)
    toward, away = chance_to_reach(start, [5 * way / distance, -5 * way / distance], target)
    assert toward >= away


@pytest.mark.parametrize(
    ("call", "error", "what"),
    [
        (lambda: oval_pressure(-1.0, 0.0), BadInput, "distance_m"),
        (lambda: oval_pressure(1.0, 0.0, front_m=0.0), BadInput, "front_m"),
        (lambda: oval_pressure(1.0, 0.0, q=-1.0), BadInput, "q"),
        (lambda: goal_oval(-3.0), BadInput, "goal_distance_m"),
        (lambda: zone_pressure([1.0], [0.0], reach_m=(4.0, 3.0, 0.0)), BadInput, "reach_m"),
        (lambda: chance_to_reach((0, 0), (0, 0), (1, 0), sigma_s=0.0), BadInput, "sigma_s"),
    ],
)
def test_what_is_wrong_is_named(call, error, what):
    with pytest.raises(error, match=what):
        call()
