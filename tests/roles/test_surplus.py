"""Laws of counting who outnumbers whom."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.roles.measures import area_surplus, short_in_front, side_surplus

place = st.tuples(st.floats(-52, 52), st.floats(-33, 33))
team = st.lists(place, min_size=1, max_size=11).map(np.array)
MIRROR = np.array([1.0, -1.0])


@given(team, team, place)
def test_a_mirrored_picture_swaps_the_sides(own, other, ball):
    left, right = side_surplus(own, other, ball)
    assert side_surplus(own * MIRROR, other * MIRROR, ball * MIRROR) == (right, left)
    assert side_surplus(other, own, ball) == (-left, -right)


@given(team, team, place)
def test_with_a_wide_look_both_sides_hold_everybody_off_the_level_of_the_ball(own, other, ball):
    level = (own[:, 1] == ball[1]).sum() - (other[:, 1] == ball[1]).sum()
    assert sum(side_surplus(own, other, ball, 200.0)) == len(own) - len(other) - level


@given(team, team)
def test_areas_hold_everybody(own, other):
    areas = area_surplus(own, other)
    assert areas.shape == (3, 5)
    assert areas.sum() == len(own) - len(other)
    np.testing.assert_array_equal(area_surplus(own, own), np.zeros((3, 5), int))


def test_frames_and_absent_players():
    own = np.array([[(0.0, 20.0), (np.nan, np.nan)], [(0.0, 20.0), (0.0, -20.0)]])
    other = np.array([[(-40.0, 0.0)], [(0.0, -20.0)]])
    left, right = side_surplus(own, other, [(0.0, 0.0), (0.0, 0.0)])
    assert (left.tolist(), right.tolist()) == ([1, 1], [0, 0])
    assert area_surplus(own, other, Pitch(100, 64)).sum((1, 2)).tolist() == [0, 1]


def test_every_man_to_spare_at_the_back_is_missing_in_front():
    """Own arithmetic: ten outfield players against ten and a goalkeeper."""
    assert [short_in_front(spare) for spare in (-1, 0, 1, 2)] == [0, 1, 2, 3]
    assert short_in_front(1, own=9, opponents=10) == 2


def test_a_wrong_radius_is_named():
    with pytest.raises(BadInput, match="radius_m"):
        side_surplus([(0, 0)], [(0, 0)], (0, 0), radius_m=0.0)
