"""Answers are read kindly, and what makes no sense is refused in words that help."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from pressinglib.errors import BadInput
from pressinglib.field.scene_file import scene
from pressinglib.field.situation import Situation
from pressinglib.teach.answers import number_of, one_of, places_of, several_of


@pytest.fixture
def picture() -> Situation:
    return scene("worked scene")


@pytest.mark.parametrize("answer", ["left", "LEFT", " Left\n", "I think left."])
def test_a_side_is_read_however_it_is_written(answer: str) -> None:
    assert one_of(answer, ["left", "right"], "side") == "left"


@pytest.mark.parametrize("answer", [9, "9", " 9 "])
def test_a_number_needs_no_quotes(answer: Any) -> None:
    assert one_of(answer, ["7", "9"], "player") == "9"


@pytest.mark.parametrize("answer", ["99", "", None, 9.5, [9], {"9"}, object(), True, "9" * 5000])
def test_what_is_no_player_is_refused_with_the_choices(answer: Any) -> None:
    with pytest.raises(BadInput, match=r"Choose 7 or 9\.") as refused:
        one_of(answer, ["7", "9"], "player")
    assert len(str(refused.value)) < 100


@pytest.mark.parametrize("answer", [(20, 3), [20, 3], np.array([20.0, 3.0]), {"9": (20, 3)}, {9: (20, 3)}])
def test_a_place_may_be_typed(answer: Any, picture: Situation) -> None:
    assert places_of(answer, picture, ["9"]) == {"9": (20.0, 3.0)}


def test_a_place_may_be_dragged_and_nobody_else_counts(picture: Situation) -> None:
    dragged = picture.moved("pressing", "9", (20, 3)).moved("pressing", "7", (0, 0))
    assert places_of(dragged, picture, ["9"]) == {"9": (20.0, 3.0)}


def test_who_has_not_moved_has_not_answered(picture: Situation) -> None:
    assert places_of(picture.moved("pressing", "7", (0, 0)), picture, ["9"]) is None
    assert places_of(picture.player("pressing", "9").xy, picture, ["9"]) is None


@pytest.mark.parametrize("answer", ["here", None, (1,), (1, 2, 3), (float("nan"), 0), (500, 0), {"7": (1, 2)}, 5])
def test_what_is_no_place_is_refused(answer: Any, picture: Situation) -> None:
    with pytest.raises(BadInput, match="place (of|for)"):
        places_of(answer, picture, ["9"])


def test_another_picture_is_refused_and_says_what_to_do(picture: Situation) -> None:
    for other in (picture.mirrored(), picture.with_ball((0, 0)), picture.moved("possession", "4", (30, 0))):
        with pytest.raises(BadInput, match="Press Reset"):
            places_of(other, picture, ["9"])


@pytest.mark.parametrize("answer", [4.5, "4.5", "4,5", " 4.5 m", "4.5m"])
def test_a_number_may_come_with_comma_and_unit(answer: Any) -> None:
    assert number_of(answer, "m") == 4.5


@pytest.mark.parametrize("answer", [None, "", "m", "four", True, [4], float("nan"), float("inf"), "1e999", "9" * 5000])
def test_what_is_no_number_is_refused(answer: Any) -> None:
    with pytest.raises(BadInput, match="not a number of m"):
        number_of(answer, "m")


@pytest.mark.parametrize("answer", ["9, 10", "9 10", "9;10", "9 and 10", "9, and 10", ["9", "10"], (9, 10), [9, "10"]])
def test_several_are_read_in_their_order(answer: Any) -> None:
    assert several_of(answer, ["10", "9", "7"], "player") == ["9", "10"]


@pytest.mark.parametrize("answer", [None, "", [], {}, "9, 12", "9, 9", ["9", None], 3.7, object(), "9 " * 500])
def test_what_is_no_list_of_them_is_refused(answer: Any) -> None:
    with pytest.raises(BadInput):
        several_of(answer, ["9", "10"], "player")


def test_of_several_places_those_count_who_were_moved(picture: Situation) -> None:
    ten = picture.player("pressing", "10").xy
    assert places_of({"9": (20, 3), "10": ten}, picture, ["9", "10"]) == {"9": (20.0, 3.0)}
    dragged = picture.moved("pressing", "9", (20, 3)).moved("pressing", "7", (0, 0))
    assert places_of(dragged, picture, ["9", "10"]) == {"9": (20.0, 3.0)}
    assert places_of(picture.moved("pressing", "7", (0, 0)), picture, ["9", "10"]) is None


@pytest.mark.parametrize("answer", [(20, 3), {}, {"7": (1, 1)}, {"9": "there"}, {"9": (500, 0)}, "9", None])
def test_what_gives_no_places_is_refused(answer: Any, picture: Situation) -> None:
    with pytest.raises(BadInput):
        places_of(answer, picture, ["9", "10"])
