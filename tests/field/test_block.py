"""The zonal block: inside the pitch, follows the ball without a jump, mirrors."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pressinglib.field.formations import KNOWN, formation_slots
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import BACK, FORWARD, GOALKEEPER, LINE_OF_SLOT, SLOTS, mirrored_slot
from pressinglib.field.zonal_block import back_line_x, block_xy, keeper_xy, lined_up_xy, side_hint

BALL = st.tuples(st.floats(-55.5, 55.5), st.floats(-37, 37))
FORMATION = st.sampled_from([*KNOWN, "2-3-1", "3-2-1", "4-4-1", "3-4-2-1", "1-8-1"])
FREE_LINES = st.lists(st.integers(-1, 5), min_size=1, max_size=11)


def block(formation, ball, **settings):
    """Places and lines of a formation, right to left in each line."""
    slots = formation_slots(formation)
    lines = np.array([LINE_OF_SLOT[s] for s in slots])
    return block_xy([lines], [np.arange(len(slots), dtype=float)], [ball], 105.0, 68.0, **settings)[0], lines


def heights(formation, ball, **settings):
    xy, lines = block(formation, ball, **settings)
    return [xy[lines == line, 0].mean() for line in np.unique(lines) if line]


@given(FREE_LINES, BALL, st.sampled_from([Pitch(), Pitch(90, 45), Pitch.youth("7v7")]), st.data())
def test_everyone_stands_inside_the_pitch(lines, ball, pitch, data):
    y = data.draw(st.lists(st.floats(-40, 40), min_size=len(lines), max_size=len(lines)))
    xy = block_xy([lines], [y], [ball], pitch.length_m, pitch.width_m)[0]
    present = np.array(lines) >= 0
    assert np.isnan(xy[~present]).all()
    assert pitch.holds(xy[present]).all()


@given(FREE_LINES, BALL, BALL, st.permutations(range(11)), st.data())
def test_frames_and_players_are_worked_out_each_on_its_own(lines, ball, other, order, data):
    count = len(lines)
    y = data.draw(st.lists(st.integers(-40, 40), min_size=count, max_size=count, unique=True))
    order = [i for i in order if i < count]
    xy = block_xy([lines], [y], [ball], 105, 68)[0]
    many = block_xy([lines, lines], [y, y], [other, ball], 105, 68)[1]
    turned = block_xy([np.array(lines)[order]], [np.array(y)[order]], [ball], 105, 68)[0]
    np.testing.assert_array_equal(many, xy)
    np.testing.assert_allclose(turned, xy[order], atol=1e-9)


@given(FREE_LINES, BALL, st.data())
def test_mirrored_ball_mirrored_block(lines, ball, data):
    y = data.draw(st.lists(st.integers(-40, 40), min_size=len(lines), max_size=len(lines), unique=True))
    xy = block_xy([lines], [y], [ball], 105, 68)[0]
    mirrored = block_xy([lines], [np.negative(y)], [(ball[0], -ball[1])], 105, 68)[0]
    np.testing.assert_allclose(mirrored, xy * [1, -1], atol=1e-9)


@given(FORMATION, BALL, st.tuples(st.floats(-1, 1), st.floats(-1, 1)))
def test_no_jump_when_the_ball_moves(formation, ball, step):
    """A ball that moves by a metre moves nobody by more (the goalkeeper included)."""
    xy, _ = block(formation, ball)
    after, _ = block(formation, np.add(ball, step))
    assert np.linalg.norm(after - xy, axis=1).max() <= 1.2 * np.hypot(*step) + 1e-9


@given(FORMATION, st.floats(-52.5, 52), st.floats(0, 5), st.floats(-34, 34))
def test_every_line_rises_with_the_ball(formation, x, further, y):
    before, after = heights(formation, (x, y)), heights(formation, (x + further, y))
    assert (np.subtract(after, before) >= -1e-9).all()


@given(FORMATION, BALL)
def test_lines_stand_in_order_and_apart(formation, ball):
    xy, lines = block(formation, ball)
    assert (np.diff(heights(formation, ball)) > 3).all()
    assert np.diff(xy[lines == BACK, 1], prepend=-99).min() > 0  # the order from right to left is kept
    apart = np.linalg.norm(xy[:, None] - xy[None], axis=-1)[~np.eye(len(xy), dtype=bool)]
    assert apart.min() >= 2.0 or len(xy) != 11


@given(FORMATION, BALL)
@example("2-3-1", (54.0, 0.0))
def test_the_back_line_is_a_line_between_goal_and_halfway(formation, ball):
    xy, lines = block(formation, ball)
    back = xy[lines == BACK, 0]
    assert np.ptp(back) <= 2.0
    assert -52.5 + 6.0 <= back.mean() <= 0.5


@given(st.sampled_from(list(KNOWN)), st.floats(-10, 52.5))
def test_forwards_are_not_far_ahead_of_a_ball_in_midfield_or_beyond(formation, x):
    xy, lines = block(formation, (x, 0.0))
    assert xy[lines == FORWARD, 0].max() <= x + 8


@given(st.sampled_from(list(KNOWN)))
def test_the_block_is_short_and_narrow_near_its_goal(formation):
    (high, _), (low, _) = block(formation, (40.0, 0.0)), block(formation, (-40.0, 0.0))
    assert (np.ptp(low[1:], axis=0) < 0.9 * np.ptp(high[1:], axis=0)).all()


@given(st.floats(-30, 30))
def test_the_block_shifts_by_its_share_of_the_ball(y):
    centre = [block("4-2-3-1", (20.0, ball_y))[0][1:, 1].mean() for ball_y in (0.0, y)]
    assert centre[1] - centre[0] == pytest.approx(0.5 * y, abs=1e-9) or abs(y) > 20  # there the touchline is near
    wide = block("4-2-3-1", (20.0, y), shift=0.0)[0][1:, 1].mean()
    assert wide == pytest.approx(centre[0])


@given(st.floats(-20, 17), st.floats(0, 35), st.floats(-34, 34))
def test_beyond_the_line_of_confrontation_the_block_waits(line_x, further, y):
    at, _ = block("4-4-2", (line_x, y), confrontation_x=line_x)
    beyond, _ = block("4-4-2", (line_x + further, y), confrontation_x=line_x)
    np.testing.assert_allclose(beyond[1:], at[1:], atol=1e-9)
    np.testing.assert_allclose(at, block("4-4-2", (line_x, y))[0])


def test_settings_move_what_they_name():
    usual = heights("4-2-3-1", (60.0, 0.0))
    longer = heights("4-2-3-1", (60.0, 0.0), block_length_m=40.0)
    assert longer[-1] - longer[0] == pytest.approx((usual[-1] - usual[0]) * 40 / 32, rel=0.01)
    wider = np.diff(heights("4-2-3-1", (60.0, 0.0), back_gap_m=14.0))
    assert wider[0] / np.diff(usual)[0] == pytest.approx(1.4, abs=0.05)
    wide = [np.ptp(block("4-4-2", (30.0, 0.0), block_width_m=w)[0][1:, 1]) for w in (30.0, 45.0)]
    assert wide[1] == pytest.approx(1.5 * wide[0])


def test_three_lines_keep_their_gaps():
    """10 and 13 m, opened by 15 % where the block would be longer: not stretched to the length of four lines."""
    gaps = np.diff(heights("4-4-2", (60.0, 0.0)))
    assert gaps[1] / gaps[0] == pytest.approx(1.3, abs=0.02)
    assert sum(gaps) == pytest.approx(1.15 * 23, rel=0.02)


@given(BALL)
def test_the_goalkeeper_stands_on_the_line_from_ball_to_goal(ball):
    """At most half-way out; at the line he stays half a metre in front of it, so up to that much beside the ray."""
    spot, goal = keeper_xy(ball, 105.0), np.array([-52.5, 0.0])
    along = (np.array(ball) - goal) / max(np.hypot(*(np.array(ball) - goal)), 1e-9)
    out = (spot - goal) @ along
    assert spot[0] >= -52.0
    assert np.hypot(*(spot - goal - out * along)) <= (1e-9 if spot[0] > -52.0 else 1.5)
    assert out <= max(0.5 * np.hypot(*(np.array(ball) - goal)), 0.5) + 1e-9


@given(st.floats(-52.5, 52), st.floats(0.01, 5))
def test_depth_of_the_back_line_rises_strictly(x, further):
    assert back_line_x(x + further, 105.0) > back_line_x(x, 105.0)


@given(FORMATION, BALL, st.sampled_from([Pitch(), Pitch(100, 64), Pitch.youth("9v9")]))
def test_a_team_lines_up_with_left_slots_on_the_left(formation, ball, pitch):
    slots = formation_slots(formation)
    xy = lined_up_xy(slots, ball, pitch)
    assert len(xy) == len(slots)
    for line in range(BACK, FORWARD + 1):
        row = [(side_hint(s), y) for s, (_, y) in zip(slots, xy, strict=True) if LINE_OF_SLOT[s] == line]
        assert [y for _, y in row] == sorted(y for _, y in row)
        assert [hint for hint, _ in row] == sorted(hint for hint, _ in row)
    assert xy[0] == pytest.approx(tuple(keeper_xy(ball, pitch.length_m)))


@pytest.mark.parametrize("slot", SLOTS)
def test_side_of_a_slot_mirrors(slot):
    assert side_hint(mirrored_slot(slot)) == -side_hint(slot)


def test_a_team_of_unknown_slots_lines_up_in_midfield():
    xy = np.array(lined_up_xy(["outfield"] * 4, (0.0, 0.0), Pitch()))
    assert len(np.unique(xy[:, 0])) == 1
    assert GOALKEEPER not in [LINE_OF_SLOT.get(s) for s in ["outfield"]]
