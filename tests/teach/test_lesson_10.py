"""Lesson 10: what the prose says is what the engine and the kit do."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest

from pressinglib import plan_press
from pressinglib.teach.handout import Handout
from pressinglib.teach.lessons import lesson_10
from pressinglib.teach.lessons.lesson_00 import who_goes
from pressinglib.teach.press_questions import SAME_S, Race

NOTEBOOK = Path(__file__).parents[2] / "notebooks" / "10_how_do_you_teach_with_scenes_of_your_own.ipynb"


@pytest.fixture(scope="module")
def lesson() -> nbformat.NotebookNode:
    return nbformat.read(NOTEBOOK, as_version=4)


def cell(lesson: nbformat.NotebookNode, cell_id: str) -> nbformat.NotebookNode:
    return next(cell for cell in lesson.cells if cell.id == cell_id)


# -- what it says ------------------------------------------------------------------------------------------------------


def test_nine_and_ten_are_level_and_both_right(lesson: nbformat.NotebookNode) -> None:
    race = Race(plan_press(lesson_10.one_answer.situation))
    assert abs(race.time_s("9") - race.time_s("10")) <= SAME_S
    assert lesson_10.who_is_right(lesson_10.one_answer.situation) == ["9", "10"]
    assert f"within {SAME_S} s" in cell(lesson, "clear-rule").source


def test_eight_have_handed_in_one_file_is_broken_and_one_claims_too_much(lesson: nbformat.NotebookNode) -> None:
    results, files = lesson_10.class_results(), list(lesson_10.CLASS_FOLDER.glob("*.json"))
    assert "Eight have handed in" in cell(lesson, "class").source and len(files) == 8
    assert [name for name, _ in results.skipped] == ["hanna.json"]
    told = lesson_10.what_files_say().table().rows
    assert [row[0] for row, judged in zip(told, results.table().rows, strict=True) if row != judged] == ["Gus"]


def test_one_of_three_answers_is_wrong_and_one_of_three_pictures_a_counter_case() -> None:
    for exercise in (lesson_10.mark_three, lesson_10.counter_case):
        assert sum(exercise.check(letter).outcome == "right" for letter in "ABC") == 1


def test_the_pictures_are_those_of_the_question(lesson: nbformat.NotebookNode) -> None:
    for letter in lesson_10.CASES:
        assert cell(lesson, f"case-{letter.lower()}").source == f'pl.picture(lesson.CASES["{letter}"])'


def test_in_the_counter_case_the_winger_is_goal_side_and_less_than_a_second_later() -> None:
    plan = plan_press(lesson_10.CASES["B"])
    race = Race(plan)
    assert (race.first(1)[0], plan.presser, race.goal_side("7")) == ("2", "7", True)
    assert 0.1 < race.time_s("7") - race.time_s("2") < plan.rulebook.settings.step_out_s


def test_the_handout_is_as_it_is_described(lesson: nbformat.NotebookNode) -> None:
    assert "Page one is a worked example with two counter-cases" in cell(lesson, "pdf").source
    handout = Handout(who_goes)
    assert (len(handout.pages()), len(handout.counter_cases)) == (3, 2)


def test_nothing_is_written_by_the_lesson_as_it_comes(lesson: nbformat.NotebookNode) -> None:
    for cell_id in ("pdf-handout", "pdf-slide", "grass-pdf"):
        assert cell(lesson, cell_id).outputs[-1].data["text/plain"].startswith("Note: Nothing is saved yet")
    assert cell(lesson, "keep-file").outputs[-1].data["text/plain"] == "Kim: nothing answered yet"
