"""Formations: slots, numbers, lines found from places."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.formations import KNOWN, formation_slots, infer_lines, slot_numbers
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import LINE_OF_SLOT, SLOTS, mirrored_slot
from pressinglib.field.zonal_block import lined_up_xy

COUNTS = st.lists(st.integers(1, 8), min_size=3, max_size=4).filter(lambda counts: 6 <= sum(counts) <= 10)
known = pytest.mark.parametrize("formation", KNOWN)


@given(COUNTS)
def test_any_line_counts_give_a_goalkeeper_and_lines_in_order(counts):
    slots = formation_slots("-".join(map(str, counts)))
    lines = [LINE_OF_SLOT[s] for s in slots]
    assert len(slots) == 1 + sum(counts)
    assert lines.count(0) == 1
    assert lines[0] == 0
    assert lines.count(1) >= counts[0]
    assert lines == sorted(lines) or "right winger" in slots  # wingers stand either side of their centre-forward


@given(COUNTS)
def test_counts_are_kept_line_by_line(counts):
    """Wing-backs belong to the back line, so 3-5-2 and 3-4-3 are spelt with five in it."""
    formation = "-".join(map(str, counts))
    if formation not in KNOWN:
        lines = [LINE_OF_SLOT[s] for s in formation_slots(formation)[1:]]
        assert [lines.count(line) for line in sorted(set(lines))] == counts


@known
def test_every_known_formation_is_its_own_mirror(formation):
    slots = formation_slots(formation)
    assert sorted(map(mirrored_slot, slots)) == sorted(slots)
    assert len(set(slots)) == len(slots) == 11


@pytest.mark.parametrize("formation", [
    "", "4", "4-4", "4-4-4", "0-5-5", "4-2-2-1-1", "5-0-5", "1-1-1", "-4-4-2", "4-4-2-", "4-4-b", "4--4", "4_4_2",
    "٤-٤-٢", "4-4-2 ", 442, None, ["4", "4", "2"]])
def test_what_is_no_formation_is_told(formation):
    with pytest.raises(BadInput, match="three or four line counts"):
        formation_slots(formation)


@given(st.lists(st.sampled_from(SLOTS), max_size=11))
def test_numbers_are_unique_whatever_the_slots(slots):
    numbers = slot_numbers(slots)
    assert len(set(numbers)) == len(numbers) == len(slots)
    assert all(1 <= int(n) <= 12 for n in numbers)
    assert all(n != "1" or s == "goalkeeper" for n, s in zip(numbers, slots, strict=True))


@known
def test_known_formations_use_one_to_eleven_with_the_keeper_first(formation):
    numbers = slot_numbers(formation_slots(formation))
    assert sorted(map(int, numbers)) == list(range(1, 12))
    assert numbers[0] == "1"


def test_default_number_map():
    """US Soccer 2012 numbers, as far as they are published; 6 left and 8 right as in the worked scene (our choice)."""
    slots = formation_slots("4-2-3-1")
    assert dict(zip(slots, slot_numbers(slots), strict=True)) == {
        "goalkeeper": "1", "right back": "2", "left back": "3", "left centre-back": "4", "right centre-back": "5",
        "left holding midfielder": "6", "right holding midfielder": "8", "attacking midfielder": "10",
        "right winger": "7", "left winger": "11", "centre-forward": "9"}
    slots = formation_slots("4-3-3")
    assert dict(zip(slots, slot_numbers(slots), strict=True)).items() >= {
        "central holding midfielder": "6", "right midfielder": "8", "left midfielder": "10"}.items()


@known
@given(ball=st.tuples(st.floats(-50, 50), st.floats(-30, 30)))
def test_lines_of_a_block_are_found_again(formation, ball):
    slots = formation_slots(formation)[1:]
    lines = infer_lines([lined_up_xy(slots, ball, Pitch())], [[True] * 10])[0]
    twins = {"3-5-2", "5-3-2"}  # one block, two names
    wanted = [[LINE_OF_SLOT[s] for s in KNOWN[f]] for f in (twins if formation in twins else [formation])]
    assert lines.tolist() in wanted


@given(st.data())
def test_lines_do_not_depend_on_order_place_or_size(data):
    spread = st.tuples(st.floats(-40, 40), st.floats(-30, 30))
    xy = np.array(data.draw(st.lists(spread, min_size=10, max_size=10, unique_by=lambda p: (round(p[0]), round(p[1])))))
    order = data.draw(st.permutations(range(10)))
    lines = infer_lines([xy], [[True] * 10])[0]
    assert set(lines) <= {1, 2, 3, 4, 5}
    assert infer_lines([xy[order]], [[True] * 10])[0].tolist() == lines[order].tolist()


@given(st.integers(1, 9), st.data())
def test_fewer_players_have_lines_too(count, data):
    present = np.zeros(11, bool)
    present[data.draw(st.permutations(range(11)))[:count]] = True
    xy = np.zeros((1, 11, 2))  # all on one point: no line is better than another
    lines = infer_lines(xy, present[None])[0]
    assert (lines[~present] == -1).all()
    assert ((lines[present] >= 1) & (lines[present] <= 5)).all()


@known
def test_a_team_with_one_man_less_keeps_its_back_line(formation):
    """Whichever midfielder or forward goes, at least four of five in the back line are found."""
    slots = formation_slots(formation)[1:]
    xy = np.array(lined_up_xy(slots, (10.0, 0.0), Pitch()))
    true = np.array([LINE_OF_SLOT[s] for s in slots])
    for gone in np.flatnonzero(true > 1):
        keep = np.delete(np.arange(10), gone)
        found = infer_lines(xy[None, keep], np.ones((1, 9), bool))[0]
        assert (found[true[keep] == 1] == 1).mean() >= 0.8


def test_absent_players_may_be_no_numbers():
    lines = infer_lines([[(0, 0), (np.nan, np.nan), (10, 3)]], [[True, False, True]])
    assert lines[0, 1] == -1


def test_pairs_of_a_free_line_stand_left_and_right():
    for formation in ("2-3-1", "3-4-2-1", "6-3-1", "4-1-3-2", "5-4-1"):
        slots = formation_slots(formation)
        for a, b in combinations(range(len(slots)), 2):
            if slots[a] == mirrored_slot(slots[b]) != slots[b]:
                assert slots[a].startswith("right")
