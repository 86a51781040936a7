"""Every lesson is walked once in JupyterLab: it runs, its boards draw, what is to be dragged is dragged and judged."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from pressinglib.teach.criteria import DenyOption, PlacePlayers
from pressinglib.teach.exercise import Exercise
from tests.browser.conftest import IDLE
from tests.browser.open_board import ALL_RUN, GO_TO, OpenBoard
from tests.teach.lessons import exercises_of, lesson_modules

pytestmark = [pytest.mark.browser, pytest.mark.full]

NOTEBOOKS = {path.stem[:2]: path for path in sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))}


def dragged(number: str) -> list[str]:
    """The exercises of a lesson that are answered on a board."""
    module, text = lesson_modules().get(f"lesson_{number}"), NOTEBOOKS[number].read_text("utf-8")
    return [name for name, e in (exercises_of(module) if module else {}).items()
            if isinstance(e.judge, DenyOption | PlacePlayers) and re.search(rf"TryIt\(lesson\.{name}\b", text)]


def test_some_are_dragged_in_most_lessons() -> None:
    assert sum(bool(dragged(number)) for number in NOTEBOOKS) > len(NOTEBOOKS) / 2


@pytest.mark.parametrize("number", NOTEBOOKS)
def test_a_lesson_runs_and_what_is_dragged_into_place_is_right(
        number: str, lab: Any, page: Any, screenshots: Path) -> None:
    lab.open(page, NOTEBOOKS[number].name)
    page.wait_for_function(ALL_RUN)
    page.wait_for_function(IDLE)
    page.screenshot(path=screenshots / f"lesson_{number}_run.png")
    assert page.get_by_text("Traceback (most recent call last)").count() == 0
    for name in dragged(number):
        drag_into_place(number, name, page, screenshots)
    assert page.failures == [] and page.strangers == []


def solution_of(number: str, name: str) -> tuple[Exercise, dict[str, tuple[float, float]]]:
    """An exercise and where its players stand in the solution."""
    exercise = exercises_of(lesson_modules()[f"lesson_{number}"])[name]
    places = exercise.solution().answer
    return exercise, places if isinstance(places, dict) else {exercise.judge.cover: places}  # type: ignore[attr-defined]


def drag_into_place(number: str, name: str, page: Any, screenshots: Path) -> None:
    from playwright.sync_api import expect

    exercise, places = solution_of(number, name)
    assert page.evaluate(GO_TO, f"On the board: {exercise.title}"), name
    block = page.locator(".pressing-task").filter(has_text=exercise.asks)
    board = OpenBoard(page, block.locator(".pressing-board").first)
    board.into_view()
    for player, place in places.items():
        board.drag_to(player, place)
    block.get_by_role("button", name="Check", exact=True).click()
    said = block.locator(".pressing-words").filter(has_text="Right:")
    expect(said.first).to_be_visible()
    page.screenshot(path=screenshots / f"lesson_{number}_{name}.png")
