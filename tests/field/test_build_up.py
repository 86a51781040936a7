"""The team in possession: on the ball, apart, onside, wide."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.build_up import build_up_xy
from pressinglib.field.formations import KNOWN, formation_slots
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import SLOTS, mirrored_slot
from pressinglib.field.zonal_block import lined_up_xy

FORMATION = st.sampled_from([*KNOWN, "2-3-1", "3-2-1", "4-4-1", "3-4-2-1", "1-8-1", "1-1-8", "6-3-1"])
SHAPE = st.none() | st.sampled_from([f"{a}+{b}" for a in (2, 3, 4) for b in (1, 2, 3)])
PITCH = st.sampled_from([Pitch(), Pitch(90, 45), Pitch(120, 90), Pitch.youth("7v7"), Pitch.youth("9v9")])
SPOT = st.tuples(st.floats(-1, 1), st.floats(-1, 1))


@given(FORMATION, SHAPE, PITCH, SPOT, st.floats(0, 3))
def test_one_on_the_ball_the_others_apart_inside_and_onside(formation, shape, pitch, spot, outside):
    ball = np.array(spot) * np.add(pitch.corner_xy, outside)
    xy = np.array(build_up_xy(formation_slots(formation), tuple(ball), pitch, shape))
    carrier = np.flatnonzero(np.isclose(xy, ball, atol=1e-9).all(axis=1))
    assert len(carrier) == 1
    others = np.delete(xy, carrier, axis=0)
    apart = np.linalg.norm(xy[:, None] - xy[None], axis=-1) + 99 * np.eye(len(xy))
    assert apart.min() >= 2.0
    assert apart[carrier].min() >= 4.0
    assert pitch.holds(others).all()
    line = min(np.median(np.array(lined_up_xy(formation_slots("4-4-2"), tuple(ball), pitch))[1:5, 0]), ball[0], 0.0)
    assert (others[:, 0] >= line - 1e-6).all()


@given(FORMATION, SHAPE, SPOT)
def test_the_own_goalkeeper_is_at_the_far_end_with_the_left_at_minus_y(formation, shape, spot):
    slots = formation_slots(formation)
    xy = np.array(build_up_xy(slots, (spot[0] * 30, spot[1] * 34), Pitch(), shape))
    assert xy[0, 0] == xy[:, 0].max()
    ends = {"left": [], "right": []}
    for slot, (_, y) in zip(slots, xy, strict=True):
        if slot.endswith((" back", "wing-back", "winger", "wide midfielder")):
            ends[slot.split()[0]].append(y)
    assert np.mean(ends["left"] or [-1.0]) < np.mean(ends["right"] or [1.0])


@given(st.sampled_from(["4-2-3-1", "4-4-2", "4-3-3", "4-1-4-1"]), st.floats(32, 40), st.floats(-14, 14))
def test_two_and_three_is_two_centre_backs_and_the_full_backs_beside_one_midfielder(formation, x, y):
    slots = formation_slots(formation)
    xy = dict(zip(slots, np.array(build_up_xy(slots, (x, y), Pitch(), "2+3")), strict=True))
    backs = [xy[s][0] for s in ("left centre-back", "right centre-back")]
    full = [xy[s] for s in ("left back", "right back")]
    between = [p for s, p in xy.items() if 15 < p[0] < min(backs) and "back" not in s]
    assert min(backs) > max(p[0] for p in full) > 15
    assert full[0][1] < -25 and full[1][1] > 25
    assert len(between) == 1


@given(st.sampled_from(["4-2-3-1", "4-3-3"]), st.floats(-14, 14))
def test_full_backs_go_high_where_the_second_line_does_without_them(formation, y):
    slots = formation_slots(formation)
    low = dict(zip(slots, build_up_xy(slots, (34.0, y), Pitch(), "2+3"), strict=True))
    high = dict(zip(slots, build_up_xy(slots, (34.0, y), Pitch(), "2+1"), strict=True))
    for full_back in ("left back", "right back"):
        assert high[full_back][0] < low[full_back][0] - 8


@given(st.sampled_from(list(KNOWN)), st.floats(-30, 40), st.floats(-8, 8))
def test_somebody_holds_the_width_on_both_sides(formation, x, y):
    across = np.array(build_up_xy(formation_slots(formation), (x, y), Pitch()))[:, 1]
    assert across.min() < -26 and across.max() > 26


@given(st.sampled_from(list(KNOWN)), SHAPE, st.floats(-50, 50), st.floats(3, 30))
def test_mirrored_ball_mirrored_team(formation, shape, x, y):
    slots = formation_slots(formation)
    here = np.array(build_up_xy(slots, (x, y), Pitch(), shape))
    there = np.array(build_up_xy(tuple(map(mirrored_slot, slots)), (x, -y), Pitch(), shape)) * [1, -1]
    apart = np.linalg.norm(here[:, None] - there[None], axis=-1)
    assert max(apart.min(axis=0).max(), apart.min(axis=1).max()) < 1e-6


@pytest.mark.parametrize("ball", [(45.0, 3.0), (50.0, -3.0)])
def test_the_goalkeeper_may_have_the_ball_in_his_area_only(ball):
    slots = formation_slots("4-3-3")
    assert build_up_xy(slots, ball, Pitch())[0] == pytest.approx(ball)
    assert build_up_xy(slots, (30.0, 0.0), Pitch())[0][0] > 40
    assert build_up_xy(["goalkeeper"], (0.0, 0.0), Pitch()) == [(0.0, 0.0)]


@given(st.lists(st.sampled_from(SLOTS[1:]), max_size=11), SPOT)
def test_any_slots_will_do(slots, spot):
    xy = build_up_xy(slots, (spot[0] * 52, spot[1] * 34), Pitch())
    assert len(xy) == len(slots)
    assert np.isfinite(np.array(xy)).all()


@pytest.mark.parametrize("shape", ["", "2", "2+", "+3", "1+3", "5+1", "2+4", "2+0", "2-3", "2+3+5", " 2+3", 23, ["2"]])
def test_what_is_no_shape_is_told(shape):
    with pytest.raises(BadInput, match="two counts such as '2\\+3'"):
        build_up_xy(formation_slots("4-3-3"), (30.0, 0.0), Pitch(), shape)
