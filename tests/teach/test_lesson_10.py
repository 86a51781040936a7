"""Lesson 10: what the prose says is what the engine and the kit do."""

from __future__ import annotations

from io import BytesIO

import numpy as np
from matplotlib.image import imread

from pressinglib import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.choices import SAME_S
from pressinglib.teach.explanation import sections
from pressinglib.teach.lessons import lesson_10
from pressinglib.teach.press_questions import Race
from tests.teach.kept import kept, prose

NOTEBOOK, WHY = kept("10"), sections(lesson_10)


def test_nine_and_ten_are_level_and_both_right() -> None:
    race = Race(plan_press(lesson_10.one_answer.situation))
    assert abs(race.time_s("9") - race.time_s("10")) <= SAME_S
    assert sorted(lesson_10.who_is_right(lesson_10.one_answer.plan)) == ["10", "9"]
    assert f"within {SAME_S} s" in WHY["one_answer"]


def test_eight_have_handed_in_one_file_is_broken_and_one_claims_too_much() -> None:
    results, files = lesson_10.class_results(), list(lesson_10.CLASS_FOLDER.glob("*.json"))
    assert "Eight learners have handed in" in prose(NOTEBOOK, "class") and len(files) == 8
    assert [name for name, _ in results.skipped] == ["hanna.json"]
    told = lesson_10.what_files_say().rows
    assert [row[0] for row, judged in zip(told, results.table().rows, strict=True) if row != judged] == ["Gus"]


def test_one_of_three_answers_is_wrong_and_one_of_three_pictures_a_counter_case() -> None:
    for exercise in (lesson_10.mark_three, lesson_10.counter_case):
        assert sum(exercise.check(name).outcome == "right" for name in exercise.form.options) == 1


def test_a_question_must_have_one_answer_and_be_worth_asking() -> None:
    """Level, a step behind, and so far behind that nobody has to look."""
    verdicts = [lesson_10.one_answer.check(xy) for xy in ((25, 5.1), (20, 6), (5, 5))]
    assert [verdict.outcome for verdict in verdicts] == ["wrong", "right", "wrong"]
    assert "anybody sees it" in verdicts[2].words and "9 and 10 are right" in verdicts[0].words


def test_in_the_counter_case_the_winger_is_goal_side_and_less_than_a_second_later() -> None:
    plan = plan_press(lesson_10.CASES["B"])
    race = Race(plan)
    assert (race.first(1)[0], plan.presser, race.goal_side("7")) == ("2", "7", True)
    assert 0.1 < race.time_s("7") - race.time_s("2") < plan.rulebook.settings.step_out_s


def test_the_board_shows_every_drawer_and_the_rules_that_are_spoken_of() -> None:
    source = next(cell.source for cell in NOTEBOOK.cells if cell.id == "team-board")
    board = eval(source.removeprefix("pl."), {"Board": Board, "lesson": lesson_10})  # noqa: S307  (the lesson's own cell)
    assert set(board.panel.toggles) == {"Layers", "View", "Draw", "Rules", "Scenes"}
    assert set(board.panel["rules"].settings) == {"pressers", "steering", "lateral_shift"}


def test_pages_show_themselves_and_the_strip_for_the_copier_has_no_colour() -> None:
    pages = (lesson_10.moments(), lesson_10.three_cases())
    pixels = [imread(BytesIO(page._repr_png_()))[..., :3] for page in pages]
    assert [len(page) for page in pages] == [1, 1]
    assert [bool(np.ptp(each, axis=-1).max() > 0.02) for each in pixels] == [False, True]


def test_nothing_is_written_by_the_lesson_as_it_comes() -> None:
    code = " ".join(cell.source for cell in NOTEBOOK.cells if cell.cell_type == "code")
    assert not [word for word in ("save", "film(", "write") if word in code]
