"""A sequence played, wound and taken up anew by hand; own marks drawn by hand; a second view of one board."""

from __future__ import annotations

import re
from math import dist
from pathlib import Path
from typing import Any

import pytest

from tests.browser.open_board import DRAWN, SOON_MS, OpenBoard

pytestmark = [pytest.mark.browser, pytest.mark.full]

READY = """
from pressinglib import simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Pass
from pressinglib.show.board import Board
from pressinglib.show.sequence_board import SequenceBoard
"""
SEQUENCE = "SequenceBoard(simulate(scene('worked scene'), [Pass('4', at_s=0.5), Pass('2', at_s=2.0)], duration_s=3.0))"
FILM = SEQUENCE.replace("at_s=0.5", "at_s=0.0")[:-1] + ", width_px=540)"  # an event at its very start
DRAWING = "Board(scene('worked scene'), controls=('steps', 'draw'))"
NEW_VIEW = """() => { const notebook = jupyterapp.shell.currentWidget.content
  notebook.activeCellIndex = 1; return jupyterapp.commands.execute('notebook:create-output-view') }"""


@pytest.fixture
def board(request: pytest.FixtureRequest, page: Any, lab: Any) -> OpenBoard:
    lab.write("a_board.ipynb", READY, request.param)
    lab.open(page, "a_board.ipynb")
    page.wait_for_function(DRAWN, arg=1)
    board = OpenBoard(page)
    board.into_view()
    return board


@pytest.mark.parametrize("board", [SEQUENCE], indirect=True)
def test_a_sequence_is_played_wound_and_taken_up_anew(board: OpenBoard, page: Any, screenshots: Path) -> None:
    from playwright.sync_api import expect

    start, events = board.place("pressing", "9"), board.box.locator(".pressing-events")
    board.box.get_by_label("Speed").select_option("quarter")  # a busy machine may take a second for a click
    board.box.get_by_role("button", name="Play", exact=True).click()
    expect(board.words).to_have_text(re.compile(r"^(1\.[2-9]|2)"), timeout=4 * SOON_MS)
    page.screenshot(path=screenshots / "sequence_playing.png")
    board.box.get_by_role("button", name="Pause", exact=True).click()
    board.box.get_by_role("button", name="Play", exact=True).wait_for()
    page.wait_for_timeout(200)
    paused = board.place("pressing", "9")
    assert dist(start, paused) > 0.5
    page.wait_for_timeout(500)
    assert board.place("pressing", "9") == paused
    board.box.locator(".pressing-bar input").focus()
    page.keyboard.press("Home")
    expect(board.words).to_contain_text("0.0 s.", timeout=SOON_MS)
    assert board.place("pressing", "9") == pytest.approx(start, abs=0.02)
    board.box.locator(".pressing-bar-marks button").first.click()
    expect(board.words).not_to_contain_text("0.0 s.", timeout=SOON_MS)
    told, nine = events.inner_text(), board.token("pressing", "9")
    board.into_view()
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 150, nine["py"] + 60))
    expect(events).not_to_have_text(told, timeout=2 * SOON_MS)
    assert dist(board.place("pressing", "9"), (nine["x"], nine["y"])) > 5
    board.press("Undo")
    expect(events).to_have_text(told, use_inner_text=True, timeout=SOON_MS)
    assert page.failures == []


@pytest.mark.parametrize("board", [FILM], indirect=True)
def test_a_film_is_seen_as_a_whole_and_no_mark_lies_on_another(board: OpenBoard, page: Any) -> None:
    """Limits of our own: 560 px on a screen of 720, and every mark inside the bar."""
    from playwright.sync_api import expect

    board.box.locator(".pressing-bar input").focus()
    page.keyboard.press("End")
    expect(board.box.get_by_role("button", name="On", exact=True)).to_be_disabled(timeout=SOON_MS)
    whole, bar = board.box.bounding_box(), board.box.locator(".pressing-bar").bounding_box()
    marks = [mark.bounding_box() for mark in board.box.locator(".pressing-bar-marks button").all()]
    ends = [end for box in marks for end in (box["x"], box["x"] + box["width"])]
    ends = [bar["x"], *ends, bar["x"] + bar["width"]]
    assert len(marks) > 1 and ends == sorted(ends) and whole["height"] <= 560


@pytest.mark.parametrize("board", [SEQUENCE], indirect=True)
def test_a_film_goes_by_key_and_says_so_when_its_kernel_is_shut_down(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    board.box.locator(".pressing-bar input").focus()
    page.keyboard.press("ArrowRight")
    expect(board.words).to_contain_text("0.1 s.", timeout=SOON_MS)  # and the notebook has not taken the key
    board.box.get_by_label("Speed").focus()
    page.keyboard.press("ArrowDown")
    expect(board.box.get_by_label("Speed")).to_have_value("double")
    expect(board.box.locator(".pressing-notice")).to_be_hidden()
    page.evaluate("() => jupyterapp.shell.currentWidget.context.sessionContext.shutdown()")
    expect(board.box.locator(".pressing-notice")).to_contain_text("Not connected any more", timeout=SOON_MS)


@pytest.mark.parametrize("board", [DRAWING], indirect=True)
def test_an_arrow_is_drawn_by_hand_and_players_stay(board: OpenBoard, page: Any, screenshots: Path) -> None:
    from playwright.sync_api import expect

    board.box.get_by_role("button", name="Draw", exact=True).click()
    board.box.get_by_role("button", name="arrow", exact=True).click()
    board.box.get_by_label("Words").fill("<b>through here</b>")
    board.box.get_by_label("Words").press("Tab")
    board.into_view()
    before, nine = board.tokens(), board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 200, nine["py"] + 30))
    expect(board.box.get_by_label("Mine")).to_contain_text("arrow: <b>through here", timeout=SOON_MS)
    assert [(t["x"], t["y"]) for t in board.tokens()] == [(t["x"], t["y"]) for t in before]
    page.screenshot(path=screenshots / "arrow_drawn.png")
    board.box.get_by_role("button", name="Remove", exact=True).click()
    expect(board.box.get_by_label("Mine")).not_to_contain_text("arrow", timeout=SOON_MS)


@pytest.mark.parametrize("board", [DRAWING], indirect=True)
def test_a_second_view_shows_the_same_and_can_be_closed(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    page.evaluate(NEW_VIEW)
    page.wait_for_function(DRAWN, arg=2)
    assert page.locator(".pressing-figure svg").count() == 2
    page.evaluate("() => { const view = jupyterapp.shell.currentWidget; view.close() }")
    expect(page.locator(".pressing-figure svg")).to_have_count(1)
    board.into_view()
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    page.wait_for_timeout(800)
    assert dist(board.place("pressing", "9"), (nine["x"], nine["y"])) > 5
    assert page.failures == []
