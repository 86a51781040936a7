"""A finger on a token drags it and does not scroll the page."""

from __future__ import annotations

from math import dist
from typing import Any

import pytest

from tests.browser.open_board import DRAWN, OpenBoard

pytestmark = [pytest.mark.browser, pytest.mark.full]

CELL = """
from pressinglib.field.scene_file import scene
from pressinglib.show.board import Board
Board(scene("worked scene"))
"""
TABLET = {"width": 900, "height": 700}


def test_a_finger_drags_a_player(chromium: Any, lab: Any) -> None:
    context = chromium.new_context(viewport=TABLET, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(60_000)
    lab.write("touched.ipynb", CELL)
    lab.open(page, "touched.ipynb", "voila")
    page.wait_for_function(DRAWN, arg=1)
    page.wait_for_timeout(1_000)
    board, fingers = OpenBoard(page), context.new_cdp_session(page)
    nine = board.token("pressing", "9")
    for step in range(16):
        at = {"x": nine["px"] - 6 * step, "y": nine["py"] + 5 * step}
        fingers.send("Input.dispatchTouchEvent", {"type": "touchMove" if step else "touchStart", "touchPoints": [at]})
    fingers.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_timeout(1_500)
    shown = board.token("pressing", "9")
    assert (shown["px"], shown["py"]) == pytest.approx((at["x"], at["y"]), abs=1.0)
    assert dist(board.known_place(), (shown["x"], shown["y"])) < 0.02
    context.close()
