"""Laws of the measures of a team's shape."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.roles.measures import shape_measures, short_in_front

place = st.tuples(st.floats(-50, 50), st.floats(-34, 34))
team = st.lists(place, min_size=2, max_size=11).map(np.array)
angle = st.floats(0, 2 * np.pi)


@given(team, place)
def test_moving_a_team_changes_where_it_is_and_nothing_else(xy, shift):
    before, after = shape_measures(xy), shape_measures(xy + shift)
    np.testing.assert_allclose(after.centroid_xy, before.centroid_xy + shift, atol=1e-9)
    np.testing.assert_allclose(after[1:], before[1:], atol=1e-9)


@given(team, angle)
def test_turning_a_team_keeps_hull_stretch_and_spacing(xy, turn):
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    np.testing.assert_allclose(shape_measures(xy @ rotation)[3:], shape_measures(xy)[3:], atol=1e-9)


@given(team)
def test_order_means_nothing_and_a_player_inside_adds_no_hull(xy):
    here = shape_measures(xy)
    np.testing.assert_allclose(shape_measures(xy[::-1])[1:], here[1:], atol=1e-9)
    assert shape_measures(np.vstack([xy, here.centroid_xy])).hull_m2 == pytest.approx(here.hull_m2, abs=1e-6)


@given(team)
def test_the_hull_fits_into_length_times_width(xy):
    here = shape_measures(xy)
    assert here.hull_m2 <= here.length_m * here.width_m + 1e-9
    assert here.stretch_m <= here.spacing_m + 1e-9 <= np.hypot(here.length_m, here.width_m) + 2e-9


def test_frames_are_measured_one_by_one_and_the_absent_do_not_count():
    random = np.random.default_rng(0)
    many = random.uniform(-30, 30, (3, 4, 10, 2))
    many[1, 2, 7:] = np.nan
    many[2, 3] = np.nan
    together = shape_measures(many)
    assert together.centroid_xy.shape == (3, 4, 2)
    for i, j in np.ndindex(2, 4):
        xy = many[i, j][np.isfinite(many[i, j, :, 0])]
        for ours, alone in zip(together, shape_measures(xy), strict=True):
            np.testing.assert_allclose(ours[i, j], alone, atol=1e-9)
    assert all(np.isnan(measure[2, 3]).all() for measure in together)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: shape_measures([1.0, 2.0]), "players"),
        (lambda: shape_measures(np.zeros((0, 2))), "players"),
        (lambda: shape_measures([(1.0, 2.0, 3.0)]), "players"),
    ],
)
def test_what_cannot_be_measured_is_said(call, what):
    with pytest.raises(BadInput, match=what):
        call()


def test_every_man_to_spare_at_the_back_is_missing_in_front():
    """Own arithmetic: ten outfield players against ten and a goalkeeper."""
    assert [short_in_front(spare) for spare in (-1, 0, 1, 2)] == [0, 1, 2, 3]
    assert short_in_front(1, own=9, opponents=10) == 2
