"""A finger drags a player, does not scroll the page for it, and answers every kind of exercise."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist
from pathlib import Path
from typing import Any

import pytest

from tests.browser.open_board import DRAWN, SOON_MS, OpenBoard
from tests.browser.test_block import CELL as EXERCISE
from tests.browser.test_block import FIRST, OTHERS, Block
from tests.teach.lessons import exercises_of, keys_of, lesson_modules

pytestmark = [pytest.mark.browser, pytest.mark.full]

CELL = """
from pressinglib.field.scene_file import scene
from pressinglib.show.board import Board
Board(scene("worked scene"))
"""
TABLET = {"width": 1024, "height": 768}
STEPS = 15


@pytest.fixture(scope="module")
def desk(chromium: Any) -> Iterator[Any]:
    """A page under a finger, opened once."""
    context = chromium.new_context(viewport=TABLET, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(SOON_MS)
    page.fingers = context.new_cdp_session(page)
    yield page
    context.close()


@pytest.fixture
def page(desk: Any) -> Any:
    return desk


def drag(page: Any, token: dict[str, Any], to: tuple[float, float]) -> None:
    """Put a finger on a token, move it and lift it."""
    for step in range(STEPS + 1):
        share = step / STEPS
        at = {"x": token["px"] + share * (to[0] - token["px"]), "y": token["py"] + share * (to[1] - token["py"])}
        page.fingers.send("Input.dispatchTouchEvent", {"type": "touchMove" if step else "touchStart",
                                                       "touchPoints": [at]})
    page.fingers.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


class Touched(Block):
    """A block that is answered with a finger."""

    def drag(self, token: dict[str, Any], to: tuple[float, float]) -> None:
        drag(self.page, token, to)

    def point(self, x: float, y: float) -> None:
        self.page.touchscreen.tap(x, y)

    def press(self, name: str) -> None:
        self.button(name).tap()


def test_a_finger_drags_a_player(lab: Any, page: Any) -> None:
    lab.write("touched.ipynb", CELL)
    lab.open(page, "touched.ipynb", "voila")
    page.wait_for_function(DRAWN, arg=1)
    board = OpenBoard(page)
    board.into_view()
    nine = board.token("pressing", "9")
    to = nine["px"] - 90, nine["py"] + 75
    drag(page, nine, to)
    place = board.place("pressing", "9")
    board.wait_until_known(place, 0.02)
    shown = board.token("pressing", "9")
    assert (shown["px"], shown["py"]) == pytest.approx(to, abs=1.0)
    assert dist(place, (shown["x"], shown["y"])) < 0.02


@pytest.mark.parametrize(("lesson", "name"), FIRST + OTHERS, ids=map("-".join, FIRST + OTHERS))
def test_every_kind_is_answered_with_a_finger(lesson: str, name: str, lab: Any, page: Any, screenshots: Path) -> None:
    lab.write("touched.ipynb", EXERCISE.format(lesson, name))
    lab.open(page, "touched.ipynb")
    page.wait_for_function(DRAWN, arg=1)
    block = Touched(page, exercises_of(lesson_modules()[lesson])[name])
    block.board.into_view()
    block.by_hand(keys_of(lesson)[name].right[0])
    block.press("Check")
    block.says("Right", "right")
    page.screenshot(path=screenshots / f"touched_{lesson}_{name}.png")
