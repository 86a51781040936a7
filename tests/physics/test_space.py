"""Laws of dominant regions, control field and influence."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.situation import Situation
from pressinglib.physics import (
    Running,
    ball_time,
    control_at,
    control_field,
    control_shares,
    first_there,
    grid,
    influence,
    influence_share,
)

PICTURE = Situation.line_up(ball_xy=(20.0, 10.0))


@pytest.mark.parametrize("pitch", [Pitch(), Pitch(100, 64), Pitch.youth("9v9")])
@pytest.mark.parametrize("step_m", [1.0, 2.5, 3.0, 7.0, 40.0])
def test_cells_cover_the_pitch(pitch, step_m):
    for middles, size in zip(grid(pitch, step_m), (pitch.length_m, pitch.width_m), strict=True):
        cell = size / len(middles)
        assert middles[0] - cell / 2 == pytest.approx(-size / 2)
        assert middles[-1] + cell / 2 == pytest.approx(size / 2)
        assert 0.5 * step_m < cell < 2.0 * step_m
        assert np.allclose(np.diff(middles), cell)


@given(st.integers(0, 1000))
def test_the_first_is_first_by_the_clock(seed):
    random = np.random.default_rng(seed)
    players, places = random.uniform(-30, 30, (6, 2)), random.uniform(-30, 30, (9, 2))
    paces = random.normal(0, 3, (6, 2))
    for law in (Running(), Running(1.0, 10.0)):
        first = first_there(players, paces, places, law)
        for place, index in zip(places, first, strict=True):
            times = [law.time(*player, place) for player in zip(players, paces, strict=True)]
            assert times[index] == pytest.approx(min(times), abs=1e-6)


def test_a_runner_owns_more_ground_ahead():
    x = np.arange(-20.0, 21.0)
    first = first_there([(-5, 0), (5, 0)], [(5, 0), (0, 0)], np.stack([x, 0 * x], -1))
    assert (first == 0).sum() > (first == 1).sum()


def test_nobody_is_first_where_nobody_is():
    nan = np.full((2, 2), np.nan)
    assert first_there(nan, nan, [(0, 0)]).tolist() == [-1]


def test_the_field_is_the_race_at_each_place():
    field = control_field(PICTURE, step_m=8.0)
    for row, column in [(0, 0), (4, 6), (7, 12)]:
        place = (field.x[column], field.y[row])
        attack, defence = ([Running().time(p.xy, p.velocity, place, 0.3) for p in team]
                           for team in (PICTURE.possession, PICTURE.pressing))
        ball = ball_time(np.hypot(*np.subtract(place, PICTURE.ball_xy)))
        assert field.share[row, column] == pytest.approx(control_shares(attack, defence, ball)[1], abs=1e-9)


def test_a_mirrored_picture_has_the_mirrored_field():
    field, mirrored = control_field(PICTURE, 4.0), control_field(PICTURE.mirrored(), 4.0)
    np.testing.assert_allclose(mirrored.share, field.share[::-1], atol=1e-6)


def test_both_teams_share_all_of_it_and_players_own_their_own_ground():
    x, y, share = control_field(PICTURE, 2.0)
    assert share.shape == (len(y), len(x)) == (34, 52)
    assert share.min() >= 0.0 and share.max() <= 1.0
    for team, more in (("pressing", True), ("possession", False)):
        keeper = next(p for p in PICTURE.players(team) if p.is_goalkeeper)
        row, column = np.abs(y - keeper.xy[1]).argmin(), np.abs(x - keeper.xy[0]).argmin()
        assert (share[row, column] > 0.5) == more


def test_other_numbers_of_running_give_another_field():
    field = control_field(PICTURE, 6.0, Running(1.0, 10.0))
    assert np.abs(field.share - control_field(PICTURE, 6.0).share).max() > 0.01


def test_an_offside_opponent_takes_no_part_and_from_a_throw_in_he_does():
    forward = next(p for p in PICTURE.possession if p.slot == "centre-forward")
    behind = PICTURE.moved("possession", forward.number, (-44.0, 5.0))
    others = tuple(p for p in behind.possession if p.number != forward.number)
    without = Situation(behind.pitch, behind.pressing, others, behind.ball_xy)
    np.testing.assert_array_equal(control_field(behind, 6.0).share, control_field(without, 6.0).share)
    throw_in = Situation(behind.pitch, behind.pressing, behind.possession, behind.ball_xy, restart="throw-in")
    with_him, without_him = control_field(throw_in, 6.0).share, control_field(behind, 6.0).share
    assert (with_him <= without_him + 1e-9).all()
    assert (with_him < without_him - 0.02).any()


def test_frames_broadcast():
    random = np.random.default_rng(4)
    shapes = (7, 2), (5, 2), (5, 2), (6, 2), (6, 2), (2,)
    frames = [random.uniform(-30, 30, (3, *shape)) for shape in shapes]
    frames[2], frames[4] = frames[2] / 10, frames[4] / 10
    together = control_at(*frames)
    np.testing.assert_allclose(together, [control_at(*one) for one in zip(*frames, strict=True)], atol=1e-6)
    assert together.shape == (3, 7)


@given(st.integers(0, 1000), st.floats(0, 6.28))
def test_influence_turns_with_the_picture(seed, turn):
    random = np.random.default_rng(seed)
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    xy, ball, places = (random.uniform(-20, 20, shape) for shape in ((4, 2), (2,), (8, 2)))
    pace = random.normal(0, 4, (4, 2))
    turned = influence(xy @ rotation, pace @ rotation, ball @ rotation, places @ rotation)
    np.testing.assert_allclose(turned, influence(xy, pace, ball, places), atol=1e-9)


def test_influence_is_a_hill_that_leans_with_speed():
    along, aside = influence([(0, 0)], [(6, 0)], (0, 0), [(6, 0), (3, 3)])[:, 0]
    assert aside < along < 1.0
    assert influence_share([0.5], [0.5]) == 0.5


def test_a_wrong_step_is_named():
    with pytest.raises(BadInput, match="step_m"):
        control_field(PICTURE, 0.0)
