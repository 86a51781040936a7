"""Laws of lanes as plain shapes."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from pressinglib.errors import BadInput
from pressinglib.physics import in_cone, in_corridor, lane_coverage, pass_coverage, reception_index

place = st.tuples(st.floats(-40, 40), st.floats(-40, 40))


@given(place, place, place, st.floats(0.5, 6))
def test_corridor_against_shapely(origin, receiver, defender, width):
    assume(np.hypot(*np.subtract(origin, receiver)) > 0.1)
    strip = LineString([origin, receiver]).buffer(width / 2, cap_style="flat")
    assume(strip.boundary.distance(Point(defender)) > 1e-6)
    assert in_corridor(origin, [receiver], [defender], width)[0, 0] == strip.contains(Point(defender))


@given(place, place, place, st.floats(2, 60))
def test_cone_against_shapely(origin, receiver, defender, half):
    way = np.subtract(receiver, origin)
    assume(np.hypot(*way) > 0.1)
    aside = np.array([-way[1], way[0]]) * np.tan(np.radians(half))
    cone = Polygon([origin, receiver + aside, receiver - aside])
    assume(cone.boundary.distance(Point(defender)) > 1e-6)
    assert in_cone(origin, [receiver], [defender], half)[0, 0] == cone.contains(Point(defender))


@given(st.floats(0.1, 40), st.floats(0, 10), st.floats(0, 5))
def test_farther_off_the_lane_covers_less_and_farther_down_it_more(along, off, more):
    cover = pass_coverage(along, off)
    assert 0.0 <= cover <= 100.0
    assert pass_coverage(along, off + more) <= cover
    assert pass_coverage(along + more, off) >= cover


@given(place, place, place)
def test_coverage_of_a_lane_is_that_beside_it(origin, receiver, defender):
    way, off = np.subtract(receiver, origin), np.subtract(defender, origin)
    length = np.hypot(*way)
    assume(length > 0.1)
    along, aside = way @ off / length, abs(way[0] * off[1] - way[1] * off[0]) / length
    assume(min(abs(along), abs(along - length)) > 1e-6)
    expected = pass_coverage(along, aside) if 0 < along < length else 0.0
    assert lane_coverage(origin, [receiver], [defender])[0, 0] == pytest.approx(expected, abs=1e-6)


def test_frames_broadcast_and_the_absent_cover_nothing():
    random = np.random.default_rng(2)
    origin, receivers, defenders = (random.uniform(-20, 20, shape) for shape in ((5, 2), (5, 4, 2), (5, 6, 2)))
    defenders[:, 0] = np.nan
    receivers[0, 0] = np.nan
    for shape in (in_corridor, in_cone, lane_coverage):
        together = shape(origin, receivers, defenders)
        alone = [shape(*frame) for frame in zip(origin, receivers, defenders, strict=True)]
        np.testing.assert_array_equal(together, alone)
        assert together.shape == (5, 4, 6)
        assert not np.nan_to_num(together[:, 1:, 0]).any()


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: in_corridor((0, 0), [(1, 0)], [(1, 0)], width_m=0.0), "width_m"),
        (lambda: in_cone((0, 0), [(1, 0)], [(1, 0)], half_angle_deg=-1.0), "half_angle_deg"),
        (lambda: pass_coverage(-1.0, 0.0), "distance_m"),
        (lambda: pass_coverage(1.0, -0.1), "offset_m"),
    ],
)
def test_what_is_wrong_is_named(call, what):
    with pytest.raises(BadInput, match=what):
        call()


def test_a_free_receiver_has_the_whole_index():
    assert reception_index(0.0, 0.0) == 100.0
    assert reception_index(100.0, 100.0) == 0.0
