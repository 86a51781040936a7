"""Players and slots."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput, UnknownName, as_number, as_xy
from pressinglib.field.player import LINE_OF_SLOT, SLOTS, Player, mirrored_slot

WRONG_POINTS = [None, 3, (1,), (1, 2, 3), "12", ("1", "2"), (True, False), (1, float("nan")), (float("inf"), 0),
                (10**400, 0), {"x": 1, "y": 2}, ([1], [2])]
slots = pytest.mark.parametrize("slot", SLOTS)


@slots
def test_mirror_of_a_slot(slot):
    assert mirrored_slot(slot) in SLOTS
    assert mirrored_slot(mirrored_slot(slot)) == slot
    assert LINE_OF_SLOT.get(mirrored_slot(slot)) == LINE_OF_SLOT.get(slot)


@slots
def test_line_and_keeper_come_from_the_slot(slot):
    player = Player("1", slot, (0, 0))
    assert player.is_goalkeeper == (slot == "goalkeeper")
    assert (player.line is None) == (slot == "outfield")


@pytest.mark.parametrize("slot", ["libero", "", None, 3, ["left back"], "Left back"])
def test_an_unknown_slot_lists_the_known(slot):
    with pytest.raises(UnknownName) as caught:
        Player("1", slot, (0, 0))
    assert caught.value.known == SLOTS
    assert isinstance(caught.value, ValueError)


@pytest.mark.parametrize("number", ["", "  ", "123456789", 9, None, "a\nb", "\x00", "\ud800"])
def test_a_wrong_number_is_told(number):
    with pytest.raises(BadInput, match="player number"):
        Player(number, "outfield", (0, 0))


@pytest.mark.parametrize("point", WRONG_POINTS)
def test_a_wrong_point_is_told(point):
    with pytest.raises(BadInput, match="two finite numbers"):
        as_xy(point, "ball")
    with pytest.raises(BadInput, match="velocity of player 9"):
        Player("9", "outfield", (0, 0), velocity=point)


@pytest.mark.parametrize("value", [None, "1", True, float("nan"), float("inf"), 10**400, [1], 1j, 11, -0.1,
                                   np.array("a"), np.array([1.0, 2.0])])
def test_a_wrong_number_value_is_told(value):
    with pytest.raises(BadInput, match="from 0 to 10"):
        as_number(value, "height", low=0, high=10)


def test_numbers_of_arrays_are_numbers():
    assert as_xy(np.array([1, 2]), "ball") == (1.0, 2.0)
    assert as_number(np.float32(0.5), "height") == 0.5
    assert type(as_xy(np.array([1.5, 2]), "ball")[0]) is float


def test_nobody_runs_faster_than_a_unit_mistake():
    with pytest.raises(BadInput, match="speed of player 9"):
        Player("9", "outfield", (0, 0), velocity=(0, -28))


@given(st.data())
def test_mirror_twice_and_plain_values_give_the_player_back(situations, data):
    player = data.draw(situations).pressing[0]
    assert player.mirrored().mirrored() == player
    assert Player(**player.to_dict()) == player


@pytest.mark.parametrize("velocity", [(15, 15), (12, -12), (0, 15.01)])
def test_the_limit_is_on_the_length_of_the_velocity(velocity):
    with pytest.raises(BadInput, match="speed of player 9 in m/s"):
        Player("9", "outfield", (0, 0), velocity=velocity)
    assert Player("9", "outfield", (0, 0), velocity=(9, -12)).velocity == (9.0, -12.0)
