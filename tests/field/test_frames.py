"""Many pictures as arrays."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import Pitch
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation


@given(st.data())
def test_a_picture_comes_back(situations, data):
    """All of it but where pressers face, which no rule asks for."""
    s = data.draw(situations)
    blind = replace(s, pressing=tuple(replace(p, facing_deg=None) for p in s.pressing))
    assert Frames.of([s]).situation(0) == blind


@pytest.mark.parametrize("name", scene_names())
def test_a_scene_comes_back_from_the_middle(name):
    s = scene(name)
    frames = Frames.of([s.with_ball((0, 0)), s, s])
    assert frames.situation(1) == s
    assert frames.take([2, 0]).situation(1) == s.with_ball((0, 0))
    assert len(frames.take(slice(1, None))) == 2


def test_arrays_are_copies_that_nobody_can_write_to():
    ball = np.zeros((1, 2))
    sheet = (("9",), ("outfield",))
    frames = Frames(Pitch(), *sheet, *sheet, np.zeros((1, 1, 2)), np.ones((1, 1, 2)), ball)
    ball[:] = 5
    assert frames.ball_xy.tolist() == [[0, 0]]
    with pytest.raises(ValueError, match="read-only"):
        frames.ball_xy[0] = 1


def test_to_a_carrier_who_is_not_there_yet_the_ball_is_on_its_way():
    s = scene("worked scene")
    frames = Frames.of([s])
    away = replace(frames, ball_xy=frames.ball_xy - 4.0).situation(0)
    assert s.carrier and (away.carrier, away.receiver, away.on_ball, away.state) == (None, s.carrier, None, "open play")


def test_absent_players_are_left_out():
    s = scene("low block")
    frames = Frames.of([s])
    away = frames.pressing_xy.copy()
    away[0, 3] = np.nan
    assert replace(frames, pressing_xy=away).situation(0) == replace(s, pressing=s.pressing[:3] + s.pressing[4:])


@pytest.mark.parametrize(("name", "shape"), [
    ("pressing_xy", (1, 2, 2)), ("possession_velocity", (1, 11)), ("ball_xy", (1, 3)), ("carrier", (2,)),
    ("time_s", ()),
])
def test_shapes_that_do_not_fit_are_told(name, shape):
    with pytest.raises(BadInput, match=name):
        replace(Frames.of([scene("low block")]), **{name: np.zeros(shape)})


def test_pictures_of_different_teams_do_not_make_frames():
    with pytest.raises(BadInput, match="team sheets"):
        Frames.of([scene("low block"), scene("ten men")])
    with pytest.raises(BadInput, match="pitch"):
        Frames.of([Situation.line_up(), Situation.line_up(pitch=Pitch(100, 64))])


def test_no_pictures_make_no_frames():
    with pytest.raises(BadInput, match="at least one"):
        Frames.of([])
