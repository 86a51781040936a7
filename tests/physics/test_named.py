"""Every result that rests on a law of running says which; apart from that it is a plain number or array."""

import copy

import numpy as np
import pytest

from pressinglib.physics import (
    arrival_time,
    braked_arrival_time,
    chance_to_reach,
    lane_margins,
    reached_xy,
    rest_arrival_time,
    rest_lane_margins,
    speed_on_arrival,
    time_to_reach,
)
from pressinglib.physics.motion import named

LAW = "drive minus drag, 1.2 /s, 7 m/s"
HERE, THERE, STILL = (0, 0), [(10, 0), (0, 20)], (0, 0)
DRAG = dict(alpha_per_s=1.2, top_speed_mps=7.0)


@pytest.mark.parametrize(
    ("result", "model"),
    [
        (arrival_time(HERE, STILL, THERE, **DRAG), LAW),
        (arrival_time(HERE, STILL, THERE[0], **DRAG), LAW),
        (arrival_time(HERE, STILL, THERE, 1.2, np.array([6.0, 7.5]), np.array([0.0, 0.3]), 0.9),
         "drive minus drag, 1.2 /s, 6 to 7.5 m/s, reaction 0 to 0.3 s, reach 0.9 m"),
        (rest_arrival_time([5, 10], **DRAG), LAW),
        (rest_arrival_time(5, **DRAG), LAW),
        (reached_xy(HERE, STILL, THERE, 1.0, **DRAG), LAW),
        (speed_on_arrival(HERE, STILL, THERE, **DRAG), LAW),
        (braked_arrival_time(HERE, STILL, THERE, **DRAG), LAW + ", braking 6 m/s2"),
        (lane_margins(HERE, THERE, [(5, 5)], [STILL], **DRAG), LAW + ", reaction 0.3 s, reach 0.9 m"),
        (rest_lane_margins(HERE, THERE, [(5, 5)], **DRAG), LAW + ", reaction 0.3 s, reach 0.9 m"),
        (time_to_reach(HERE, STILL, THERE), "turn, react, run (Bekkers 2024), 0.7 s, 12 m/s"),
        (chance_to_reach(HERE, STILL, THERE), "turn, react, run (Bekkers 2024), 0.7 s, 12 m/s"),
    ],
)
def test_results_name_their_law(result, model):
    assert result.model == model


@pytest.mark.parametrize("values", [np.arange(6.0).reshape(2, 3), 1.5])
def test_a_copy_of_any_kind_keeps_the_name(values):
    result = named(values, "a law")
    for again in (result, copy.copy(result), copy.deepcopy(result)):
        assert again.model == "a law"
        np.testing.assert_array_equal(again, values)


def test_parts_keep_the_name_and_what_is_worked_out_is_plain():
    times = named([[1.0, 2.0], [3.0, 4.0]], "a law")
    assert times[0].model == times[:, 1:].model == times[times > 1.5].model == "a law"
    for plain in (times - 1.0, -times, times.min(-1), times.sum(0), np.where(times > 2, times, 0), times @ times):
        assert type(plain) is np.ndarray
    assert type(named(1.0, "a law") + 1.0) is np.float64
    assert repr(times) == repr(np.array([[1.0, 2.0], [3.0, 4.0]]))


def test_two_results_do_not_share_a_name():
    first, second = named([1.0], "one law"), named([1.0], "another")
    assert (first.model, second.model) == ("one law", "another")
    values = np.ones(2)
    named(values, "a law")
    assert type(values) is np.ndarray
