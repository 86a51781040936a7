"""The pitch: where things are on it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch, corridor, third

COORDINATE = st.floats(-200, 200)
WRONG = [float("nan"), float("inf"), 10**400, "105", None, True, -105.0, [105]]


@pytest.mark.parametrize("size", WRONG)
def test_a_wrong_size_is_told(size):
    for make in (lambda: Pitch(size, 68), lambda: Pitch(105, size), lambda: Pitch.youth(60, size)):
        with pytest.raises(BadInput):
            make()


@pytest.mark.parametrize("given_sizes", [("5v5",), (60,), (40, 60), (30, 19), (130, 80)])
def test_a_wrong_youth_pitch_is_told(given_sizes):
    with pytest.raises(BadInput):
        Pitch.youth(*given_sizes)


def test_by_law_is_true_or_false():
    with pytest.raises(BadInput, match="by_law"):
        Pitch(60, 40, by_law="no")


@given(COORDINATE, COORDINATE, st.floats(0, 5))
def test_inside_moves_to_the_nearest_place(x, y, margin):
    pitch = Pitch()
    moved = pitch.inside((x, y), margin)
    assert pitch.holds(moved, -margin)
    assert (moved == (x, y)).all() == bool(pitch.holds((x, y), -margin)) or np.abs(moved - (x, y)).max() < 1e-8
    assert moved.tolist() == pitch.inside(moved, margin).tolist()


def test_holds_counts_the_lines_and_refuses_what_is_no_place():
    assert Pitch().holds([(52.5, 34), (52.6, 0), (0, -34.1), (float("nan"), 0), (float("inf"), 0)]).tolist() \
        == [True, False, False, False, False]
    assert Pitch().holds((55.5, 37), outside_m=3)


@given(st.floats(-60, 60), st.floats(0, 30))
def test_thirds_rise_along_the_pitch(x, further):
    assert third(Pitch(), x + further) >= third(Pitch(), x)


@given(st.floats(-34, 34).filter(lambda y: min(abs(abs(y) - 20.16), abs(abs(y) - 9.16)) > 1e-9))
def test_corridors_mirror(y):
    assert corridor(Pitch(), -y) == 4 - corridor(Pitch(), y)
