"""A person opens the first lesson in JupyterLab, drags the ball and a player, reads the plan, and takes it back."""

from __future__ import annotations

from math import dist
from pathlib import Path
from typing import Any

import pytest

from tests.browser.open_board import ALL_RUN, GO_TO, OpenBoard

pytestmark = pytest.mark.browser

LESSON = "00_a_full_press_in_five_minutes.ipynb"


@pytest.fixture(scope="module")
def lesson(desk: Any, lab: Any) -> Any:
    """The page with the lesson on it, opened once, with all its cells run."""
    desk.failures, desk.strangers = [], []
    lab.open(desk, LESSON)
    desk.wait_for_function(ALL_RUN)  # a page goes to the cell that it runs, and may hide the others
    assert desk.failures == [] and desk.strangers == []
    return desk


@pytest.fixture
def board(lesson: Any, page: Any) -> OpenBoard:
    """Its board, as it was first."""
    page.wait_for_function(GO_TO, arg="Board of")
    with_duties = page.locator(".pressing-board", has=page.locator(".pressing-duties"))  # those of questions have none
    board = OpenBoard(page, with_duties.first)
    board.box.wait_for()
    board.into_view()
    if board.box.get_by_role("button", name="Reset", exact=True).is_enabled():
        board.press("Reset")
    board.into_view()
    return board


def test_a_lesson_board_follows_the_hand_and_takes_it_back(board: OpenBoard, page: Any, screenshots: Path) -> None:
    from playwright.sync_api import expect

    first_words, first_duties = board.words.inner_text(), board.duties.inner_text()
    page.screenshot(path=screenshots / "lesson_00_first.png")

    ball = board.token("ball", "")
    opponents = [token for token in board.tokens() if token["team"] == "possession"]
    far = max(opponents, key=lambda token: dist((token["x"], token["y"]), (ball["x"], ball["y"])))
    board.drag(ball, (far["px"] + 2, far["py"] + 2))
    expect(board.words).not_to_have_text(first_words)
    expect(board.duties).not_to_have_text(first_duties, use_inner_text=True)
    page.screenshot(path=screenshots / "lesson_00_ball_dragged.png")
    board.press("Undo")
    expect(board.words).to_have_text(first_words)
    expect(board.duties).to_have_text(first_duties, use_inner_text=True)
    assert board.token("ball", "") | {"px": 0, "py": 0} == ball | {"px": 0, "py": 0}

    presser = board.token("pressing", board.presser())
    keeper_side = min(board.tokens(), key=lambda t: t["x"])
    board.drag(presser, (keeper_side["px"], keeper_side["py"] + 60))
    board.wait_until(lambda: board.presser() != presser["number"])
    page.screenshot(path=screenshots / "lesson_00_presser_dragged.png")
    board.press("Undo")
    expect(board.words).to_have_text(first_words)
    board.wait_until(lambda: board.presser() == presser["number"])
    assert page.failures == [] and page.strangers == []


def test_a_token_stays_in_the_hand_while_the_plan_follows(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    duties = board.duties.inner_text()
    presser = board.token("pressing", board.presser())
    there = (presser["px"] - 200, presser["py"] + 80)
    board.grip(presser, there)
    expect(board.duties).not_to_have_text(duties, use_inner_text=True)
    page.wait_for_timeout(300)  # every answer to the way has arrived
    held = board.token("pressing", presser["number"])
    page.mouse.up()
    assert (held["px"], held["py"]) == pytest.approx(there, abs=1.0)


def test_a_player_can_be_moved_without_a_mouse(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    number = board.presser()
    before = board.token("pressing", number)
    board.box.get_by_label("Move", exact=True).select_option(label=f"pressing {number}")
    field = board.box.get_by_label("x (m)")
    expect(field).to_have_value(f"{round(before['x'], 2):g}")  # the fields are his now
    field.fill(str(round(before["x"] - 12.0, 2)))
    field.press("Enter")
    board.wait_until(lambda: abs(board.token("pressing", number)["x"] - (before["x"] - 12.0)) < 0.01)
    board.box.get_by_role("button", name="\N{UPWARDS ARROW}", exact=True).press("Enter")
    board.wait_until(lambda: abs(board.token("pressing", number)["y"] - (before["y"] + 0.5)) < 0.01)
