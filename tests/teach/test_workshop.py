"""The workshop and the form under the board: whatever a tutor types, words come back and never an error."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from pressinglib.field.scenes import scene
from pressinglib.show.board import Board
from pressinglib.teach.class_desk import Desk, Workshop
from pressinglib.teach.lessons.lesson_10 import team
from pressinglib.teach.own_exercise import load_exercise
from tests.teach.test_exercise_file import as_made

GOOD = ("Who goes, 9 or 10?", "Write his number.", "who goes")


@pytest.fixture
def shop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "mine")


def test_made_saved_and_printed(shop: Workshop) -> None:
    assert shop.make(scene("worked scene"), *GOOD).words == "It can be solved. Right: 9 and nothing else."
    for act in (shop.save, shop.print_handout, shop.save_slides, shop.save_page):
        assert act().words.startswith("Saved as ")
    assert shop.save().words.startswith("Saved anew as ")
    names = [f"who_goes_9_or_10.{ending}" for ending in ("gif", "html", "json", "pdf")]
    assert sorted(path.name for path in shop.folder.iterdir()) == names
    assert as_made(load_exercise(shop.folder / "who_goes_9_or_10.json")) == shop.exercise


@pytest.mark.parametrize("fields", [("", "", ""), ("Who?", "", "who goes"), ("Who?", "Name him.", "who gose"),
                                    ("Where?", "Drag.", "deny a pass", "99, 6"),
                                    ("Where?", "Drag.", "deny a pass", "8"),
                                    ("Where?", "Drag.", "deny a pass", "1, 6"), ("x" * 500, "y", "who goes"),
                                    (None, 3, []), ("Who?", "Drag {0}.", "who goes")])
def test_a_typo_is_answered_in_words_and_the_last_good_one_stays(shop: Workshop, fields: tuple[Any, ...]) -> None:
    shop.make(scene("worked scene"), *GOOD)
    before = shop.exercise
    card = shop.make(scene("worked scene"), *fields)
    assert card.words and "It can be solved" not in card.words
    assert shop.exercise is before


def test_nothing_made_nothing_saved(shop: Workshop) -> None:
    assert {act().words for act in (shop.save, shop.print_handout, shop.save_slides, shop.save_page)} == {
        "Make an exercise first: fill in the fields."}
    assert not shop.folder.exists()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("a file")
    shop = Workshop(tmp_path / "mine")
    shop.make(scene("worked scene"), *GOOD)
    assert "exists" in shop.save().words or "folder" in shop.save().words


@pytest.mark.parametrize("title", ["../../etc/x", "a/b\\c", "<script>", "con", "...", "\u202egnp"])
def test_no_title_leads_out_of_the_folder(shop: Workshop, title: str) -> None:
    shop.make(scene("worked scene"), title if title.isprintable() else "Who?", *GOOD[1:])
    shop.save()
    assert [path.parent for path in shop.folder.rglob("*")] == [shop.folder]


# -- the form ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(Board(team()), str(tmp_path / "mine"))


def press(desk: Desk, name: str) -> str:
    desk.buttons[name].click()
    return desk.words.text


def fill(desk: Desk, *values: str) -> None:
    for field, value in zip(desk.fields.values(), values, strict=False):
        field.value = value


def test_filled_in_it_makes_an_exercise_of_what_is_on_the_board(desk: Desk) -> None:
    desk.board.move_ball((20, -20))
    fill(desk, "Who goes?", "Write his number.", "who goes")
    assert press(desk, "Try").startswith("Note: It can be solved. Right: ")
    assert desk.exercise.situation == desk.board.situation
    assert press(desk, "Save").startswith("Note: Saved as ")


def test_left_empty_it_says_what_to_write(desk: Desk) -> None:
    assert "the title: expected 1-120" in press(desk, "Try")
    for name in ("Save", "Handout", "Slides"):
        assert press(desk, name) == "Note: Make an exercise first: fill in the fields."


def test_the_last_field_says_what_the_kind_asks_for(desk: Desk) -> None:
    assert desk.fields["Asked"].disabled
    desk.fields["Kind"].value = "deny a pass"
    assert not desk.fields["Asked"].disabled
    assert desk.fields["Asked"].placeholder == "the number of the cover and the number of the option"


def test_shown_again_after_it_was_closed_it_stands_as_it_was(desk: Desk) -> None:
    fill(desk, *GOOD)
    press(desk, "Try")
    made, situation = desk.exercise, desk.board.situation
    desk.close()
    desk._repr_mimebundle_()
    assert (desk.exercise, desk.board.situation, desk.fields["Title"].value) == (made, situation, GOOD[0])
    assert press(desk, "Try").startswith("Note: It can be solved.")


def test_its_text_is_steady(desk: Desk) -> None:
    assert repr(desk) == f"A form for an exercise, under a {desk.board!r}"
    assert desk._repr_mimebundle_()["text/plain"] == repr(desk)
