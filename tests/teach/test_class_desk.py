"""A tutor's file opened by a learner, and the learner's file marked by the tutor: no code, no browser needed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pressinglib.teach.desk import Homework, MarkClass
from pressinglib.teach.lessons.lesson_00 import place_the_cover, who_goes
from pressinglib.teach.own_exercise import save_exercise

GOES, COVER = who_goes.title, place_the_cover.title


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    given = tmp_path / "my-exercises"
    given.mkdir()
    for name, exercise in (("cover", place_the_cover), ("goes", who_goes)):
        save_exercise(exercise, given / f"{name}.json")
    return given


def opened(folder: Path, name: str, title: str) -> Homework:
    desk = Homework(str(folder), str(folder.parent / "answers"))
    desk.fields["Your name"].value, desk.fields["Exercise"].value = name, title
    desk.buttons["Open"].click()
    return desk


def answered(desk: Homework, answer: str) -> str:
    assert desk.task is not None
    desk.task.typed.value = answer
    desk.task.buttons["Check"].click()
    return desk.task.words.text


def marked(folder: Path) -> MarkClass:
    desk = MarkClass(str(folder.parent / "answers"), str(folder))
    desk.buttons["Mark"].click()
    return desk


def test_without_a_file_it_says_where_to_lay_one(tmp_path: Path) -> None:
    desk = Homework(str(tmp_path))
    assert desk.buttons["Open"].disabled
    assert "Lay the file of your tutor into the folder" in desk.words.text


def test_without_a_name_nothing_opens(folder: Path) -> None:
    desk = opened(folder, "  ", GOES)
    assert (desk.task, desk.words.text[:21]) == (None, "Write your name first")


def test_a_try_is_kept_and_marked_by_the_tutor(folder: Path) -> None:
    desk = opened(folder, "Kim", GOES)
    assert re.search(r"kim_[0-9a-f]{8}\.json: hand that file in", desk.words.text)
    assert answered(desk, "3").startswith("Not yet: ")
    assert answered(desk, "11").startswith("Right: ")
    other = opened(folder, "Lee", COVER)
    assert other.task is not None
    other.task.board.move("pressing", "8", (20, -9))
    other.task.buttons["Check"].click()
    tutor = marked(folder)
    assert tutor.words.text == "Answer files: 2. Exercises: 2. Skipped: 0."
    assert "right, try 2" in tutor.table.value
    assert "Who goes? right at once 0, right later 1, not yet 0, not tried 1" in tutor.table.value
    assert 'alt="Where does the cover stand?' in tutor.table.value  # the places of all
    tutor.buttons["Spreadsheet"].click()
    assert (folder.parent / "answers" / "class.xlsx").exists() and "Saved as" in tutor.words.text


def test_another_exercise_takes_the_place_of_the_first(folder: Path) -> None:
    desk = opened(folder, "Kim", GOES)
    first = desk.task
    desk.fields["Exercise"].value = COVER
    desk.buttons["Open"].click()
    assert desk.task is not first
    assert [repr(child) for child in desk.place.children] == [repr(desk.task and desk.task.widget)]


def test_a_damaged_file_is_named_and_opens_nothing(folder: Path) -> None:
    (folder / "broken.json").write_text("{")
    assert "broken.json" in Homework(str(folder)).words.text
    marked = marked_with_answers(folder)
    assert "Skipped broken.json: not JSON" in marked.table.value and marked.words.text.endswith("Skipped: 1.")


def marked_with_answers(folder: Path) -> MarkClass:
    answered(opened(folder, "Kim", GOES), "3")
    return marked(folder)


def test_names_of_learners_are_never_markup(folder: Path) -> None:
    answered(opened(folder, "<b>Kim</b>", GOES), "3")
    tutor = marked(folder)
    assert "<b>Kim" not in tutor.table.value
    assert "&lt;b&gt;Kim" in tutor.table.value


def test_missing_folders_are_said_in_words(tmp_path: Path) -> None:
    desk = marked(tmp_path / "nowhere")
    assert "expected a folder of exercise files" in desk.words.text
    assert desk.table.value == ""


def test_shown_again_after_it_was_closed_it_comes_back(folder: Path) -> None:
    desk, tutor = opened(folder, "Kim", GOES), marked(folder)
    for one in (desk, tutor):
        one.close()
        assert one._repr_mimebundle_()["text/plain"] == repr(one)
    assert tutor.fields["Exercises"].value == str(folder)
