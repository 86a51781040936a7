"""The same board in JupyterLab, Notebook 7 and Voila: drag, refuse, undo, keys, run, pause."""

from __future__ import annotations

import random
from math import dist
from pathlib import Path
from typing import Any

import pytest

from tests.browser.open_board import DRAWN, OpenBoard

pytestmark = pytest.mark.browser

HOSTS = ("lab", *(pytest.param(host, marks=pytest.mark.full) for host in ("notebook", "voila")))
CELL = """
from pressinglib.field.scene_file import scene
from pressinglib.show.board import Board
Board(scene("worked scene"))
"""
FAST_DRAGS, FAST_STEPS, FREE_PX = 12, 4, 40
CENTIMETRES = 0.02


@pytest.fixture(params=HOSTS)
def board(request: pytest.FixtureRequest, page: Any, lab: Any) -> OpenBoard:
    lab.write("a_board.ipynb", CELL)
    lab.open(page, "a_board.ipynb", request.param)
    board = OpenBoard(page)
    board.box.wait_for()
    page.wait_for_function(DRAWN, arg=1)
    board.into_view()
    board.host = request.param
    return board


def test_the_board_works_alike_in_every_host(board: OpenBoard, page: Any, screenshots: Path) -> None:
    page.screenshot(path=screenshots / f"board_{board.host}.png")
    fast_drags_end_where_the_hand_let_go(board, page)
    an_impossible_place_is_refused(board)
    keys_and_buttons_step(board, page)
    a_run_can_be_paused_and_leaves_a_living_board(board, page)
    assert page.strangers == []


def fast_drags_end_where_the_hand_let_go(board: OpenBoard, page: Any) -> None:
    # To and fro where nobody has to make room for him: who is refused goes back while the next drag begins.
    chance, first = random.Random(1), board.token("pressing", "9")
    others = [(t["px"], t["py"]) for t in board.tokens() if t != first and t["team"] != "ball"]
    places = [(first["px"] + chance.uniform(-150, 60), first["py"] + chance.uniform(-60, 60)) for _ in range(200)]
    free = [place for place in places if min(dist(place, other) for other in others) > FREE_PX]
    for to in free[:FAST_DRAGS]:
        board.drag(board.token("pressing", "9"), to, FAST_STEPS)
    board.wait_until_known(board.place("pressing", "9"), CENTIMETRES)
    shown = board.token("pressing", "9")
    assert (shown["px"], shown["py"]) == pytest.approx(to, abs=1.0)


def an_impossible_place_is_refused(board: OpenBoard) -> None:
    from playwright.sync_api import expect

    before, other = board.token("pressing", "9"), board.token("pressing", "10")
    board.drag(before, (other["px"], other["py"]))
    expect(board.complaint).to_contain_text("pressing 10 stands")
    board.wait_until_at("pressing", "9", (before["x"], before["y"]))
    board.drag(before, (before["px"], before["py"] - 2_000))
    expect(board.complaint).to_contain_text("off the pitch")
    board.wait_until_at("pressing", "9", (before["x"], before["y"]))


def keys_and_buttons_step(board: OpenBoard, page: Any) -> None:
    x, y = board.place("pressing", "9")
    board.box.get_by_role("button", name="\N{UPWARDS ARROW}", exact=True).click()
    board.wait_until_at("pressing", "9", (x, y + 0.5))
    board.picture.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowDown")
    board.wait_until_at("pressing", "9", (x - 0.5, y - 4.5))


def a_run_can_be_paused_and_leaves_a_living_board(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    start = board.place("pressing", board.presser())
    presser = board.presser()
    board.box.get_by_role("button", name="Run to the plan", exact=True).click()
    board.wait_until(lambda: dist(start, board.place("pressing", presser)) > 0.5)
    board.press("Pause")
    board.box.get_by_role("button", name="Run on", exact=True).wait_for()  # said after the last step
    half_way = board.place("pressing", presser)
    assert dist(start, half_way) > 0.5
    page.wait_for_timeout(500)  # time for what must not happen
    assert board.place("pressing", presser) == half_way
    board.press("Run on")
    expect(board.box.get_by_role("button", name="Run to the plan")).to_be_visible(timeout=15_000)
    assert dist(board.place("pressing", presser), half_way) > 0.5
    board.press("Undo")
    board.wait_until_at("pressing", presser, start)
    board.into_view()
    words, ball, keeper = board.words.inner_text(), board.token("ball", ""), board.token("possession", "1")
    board.drag(ball, (keeper["px"] + 5, keeper["py"]))
    expect(board.words).not_to_have_text(words)
    board.wait_until(lambda: dist(board.place("ball", ""), board.place("possession", "1")) < 2.1)
