"""Lesson 00 as a learner takes it: every answer cell wrong and right, from top to bottom in one kernel."""

from __future__ import annotations

import re
import statistics
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from pressinglib.field.scenes import scene
from pressinglib.roles.plan import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.lessons import lesson_00

NOTEBOOK = Path(__file__).parents[2] / "notebooks" / "00_a_full_press_in_five_minutes.ipynb"
ANSWERS = {"who-answer": ("3", "11"), "side-answer": ("left", '"right"'), "cover-answer": ("(12, -9)", "(20, -9)")}
OUTCOMES = ["Not attempted", "Not yet", "Right"]


@pytest.fixture(scope="module")
def lesson() -> nbformat.NotebookNode:
    return nbformat.read(NOTEBOOK, as_version=4)


@pytest.fixture(scope="module")
def solved(lesson: nbformat.NotebookNode) -> Iterator[nbformat.NotebookNode]:
    """Every answer cell three times: as it comes, with a wrong answer, with a right one; every hint asked for."""
    notebook = nbformat.from_dict(lesson)
    notebook.cells = [copy for cell in lesson.cells for copy in tried(cell)]
    settings = {"timeout": 120, "kernel_name": "python3", "resources": {"metadata": {"path": str(NOTEBOOK.parent)}}}
    yield NotebookClient(notebook, **settings).execute()


def tried(cell: nbformat.NotebookNode) -> list[nbformat.NotebookNode]:
    values = ANSWERS.get(cell.id, ("4",) if cell.id.endswith("-hint") else ())
    assert not values or cell.source.count("...") == 1
    return [cell] + [nbformat.v4.new_code_cell(cell.source.replace("...", value), metadata={"of": cell.id})
                     for value in values]


def texts(notebook: nbformat.NotebookNode, cell_id: str) -> list[str]:
    """What the cell and its copies say."""
    cells = [c for c in notebook.cells if cell_id in (c.id, c.metadata.get("of"))]
    return [c.outputs[-1].data["text/plain"] for c in cells]


@pytest.mark.parametrize("cell_id", ANSWERS)
def test_each_exercise_shows_all_three_outcomes(solved: nbformat.NotebookNode, cell_id: str) -> None:
    assert [text.partition(":")[0] for text in texts(solved, cell_id)] == OUTCOMES


@pytest.mark.parametrize("cell_id", ["who-hint", "side-hint", "cover-hint"])
def test_each_exercise_shows_its_answer_when_asked(solved: nbformat.NotebookNode, cell_id: str) -> None:
    assert [text.partition(":")[0] for text in texts(solved, cell_id)] == ["Stuck", "Hint 4 of 4"]


def test_solved_it_runs_without_a_complaint(solved: nbformat.NotebookNode) -> None:
    said = [output for cell in solved.cells for output in cell.get("outputs", [])]
    assert [output for output in said if output.output_type == "error" or output.get("name") == "stderr"] == []


def test_as_kept_it_is_unsolved(lesson: nbformat.NotebookNode) -> None:
    assert [text.partition(":")[0] for cell_id in ANSWERS for text in texts(lesson, cell_id)] == ["Not attempted"] * 3


# -- what the prose says must be what the engine says -------------------------------------------------------------


def test_the_nearest_stays_and_would_leave_his_man_open(lesson: nbformat.NotebookNode) -> None:
    assert lesson_00.who_goes.plan.assignments["3"].mark == "11"
    first, nearest = texts(lesson, "contested-both")[0].splitlines()
    assert re.fullmatch(r"midfield and attack first: 11 goes.*open 5", first)
    assert re.fullmatch(r"the nearest: 3 goes.*open 5 and 11", nearest)


def test_seven_alone_runs_away_from_the_ball_and_goes_first_after_the_switch(lesson: nbformat.NotebookNode) -> None:
    picture, plan = scene("worked scene"), plan_press(scene("worked scene"))
    away = {p.number: plan.assignments[p.number].target_xy[1] - p.xy[1] for p in picture.pressing}  # ball side is +y
    assert [number for number, dy in away.items() if dy < -0.5] == ["7"]
    assert re.match(r"before the switch: 9 goes[^\n]*\nafter it: 7 goes", texts(lesson, "free-words")[0])


def test_the_straight_run_leaves_four_open_and_the_arc_does_not(lesson: nbformat.NotebookNode) -> None:
    straight, arc = texts(lesson, "angle-arc")[0].splitlines()
    assert straight.endswith("open 1 and 4")
    assert arc.endswith("open 1")
    board = Board(scene("worked scene"))
    seen = {angle: board.approach_at(angle) and board.plan.account["4"] for angle in range(0, 80, 5)}
    assert [angle for angle, word in seen.items() if word == "shadow"] == [70, 75]


# -- its form -----------------------------------------------------------------------------------------------------


def prose(notebook: nbformat.NotebookNode) -> list[str]:
    return [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]


def test_it_is_short(lesson: nbformat.NotebookNode) -> None:
    assert sum(len(re.findall(r"\w[\w'.-]*", text)) for text in prose(lesson)) <= 1500
    assert statistics.median(len(c.source.splitlines()) for c in lesson.cells if c.cell_type == "code") <= 4


def test_one_sentence_a_line(lesson: nbformat.NotebookNode) -> None:
    lines = [line for text in prose(lesson) for line in text.splitlines() if not line.startswith("#")]
    said = [re.sub(r"^\d\. ", "", line) for line in lines]
    assert [line for line in said if re.search(r"[.?!]\*{0,2} +\*{0,2}[A-Z]", line)] == []


def test_three_goals_and_a_prediction_before_every_widget(lesson: nbformat.NotebookNode) -> None:
    assert re.findall(r"^\d\.", lesson.cells[0].source, re.MULTILINE) == ["1.", "2.", "3."]
    cells = lesson.cells
    widgets = [n for n, cell in enumerate(cells) if cell.id.endswith("-board")]
    assert len(widgets) == 3
    assert [cells[n].id for n in widgets if not re.search(r"\*\*[^*]+\*\*", cells[n - 1].source)] == []


def test_it_defers_to_those_who_decide(lesson: nbformat.NotebookNode) -> None:
    grass = next(cell.source for cell in lesson.cells if cell.id == "grass")
    for word in ("Warm-up", "heat", "concussion", "heading", "tackling", "safeguarding", "local rules",
                 "national federation", "medical staff", "licensed practice"):
        assert word in grass
