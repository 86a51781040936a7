"""A board that nobody answers says so and lets nobody be dragged; a rule of 0.3 s keeps up with a quick hand."""

from __future__ import annotations

import json
from math import dist
from pathlib import Path
from typing import Any

import pytest

from tests.browser.open_board import ALL_RUN, DRAWN
from tests.browser.test_many_boards import BOARD, RUN_CELL, SAID, opened

pytestmark = pytest.mark.browser

LATE_S = 0.3
LATE = f"""
called = []

def lately(situation):
    called.append(time.time())
    time.sleep({LATE_S})
    return "9"

board = Board(scene("worked scene"), Rulebook().with_rules(choose_presser=lately))
board
"""
PLACES = """
import json
print(json.dumps({"called": called, "known": {p.number: p.xy for p in board.situation.pressing}}))
"""
BUSY = """from pathlib import Path
while not Path("go").exists():
    time.sleep(0.05)
"""
END_KERNEL = """async () => {
  const { kernel } = jupyterapp.shell.currentWidget.context.sessionContext.session
  await kernel.restart()
}"""


def test_a_board_whose_kernel_is_gone_says_so_and_lets_nobody_be_dragged(page: Any, lab: Any, screenshots: Path
                                                                        ) -> None:
    from playwright.sync_api import expect

    (board,) = opened(page, lab, BOARD)
    notice, before = board.box.locator(".pressing-notice"), board.tokens()
    expect(notice).to_be_hidden()
    page.evaluate(END_KERNEL)
    expect(notice).to_have_text("Not connected any more: menu Run, then Run All Cells.")
    nine = board.token("pressing", "9")
    board.grip(nine, (nine["px"] - 80, nine["py"] + 40))
    assert [(t["x"], t["y"]) for t in board.tokens()] == [(t["x"], t["y"]) for t in before]
    page.mouse.up()
    page.screenshot(path=screenshots / "not_connected.png")
    page.evaluate(RUN_CELL, 0)
    page.evaluate(RUN_CELL, 1)
    page.wait_for_function(DRAWN, arg=1)
    expect(notice).to_be_hidden()
    board.into_view()
    words, nine = board.words.inner_text(), board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(board.words).not_to_have_text(words)
    assert page.failures == []


@pytest.mark.full
def test_a_board_that_gets_no_answer_says_so_until_it_comes(page: Any, lab: Any) -> None:
    from playwright.sync_api import expect

    go = lab.folder / "go"
    go.touch()
    (board,) = opened(page, lab, BOARD, BUSY)
    page.wait_for_function(ALL_RUN)
    go.unlink()
    page.evaluate("n => { const { content } = jupyterapp.shell.currentWidget; content.activeCellIndex = n;"
                  " jupyterapp.commands.execute('notebook:run-cell') }", 2)
    board.into_view()
    notice, nine = board.box.locator(".pressing-notice"), board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(notice).to_contain_text("No answer yet")
    assert board.place("pressing", "9") == pytest.approx((nine["x"], nine["y"]), abs=0.02)
    go.touch()
    expect(notice).to_be_hidden()
    board.wait_until(lambda: dist(board.place("pressing", "9"), (nine["x"], nine["y"])) > 5)


def test_twenty_quick_drags_are_answered_within_a_second_and_no_drop_is_lost(page: Any, lab: Any) -> None:
    """Answered one by one they would take 21 s; here the rule is asked so often after the hand has let go."""
    (board,) = opened(page, lab, LATE, PLACES)
    page.wait_for_function(ALL_RUN)
    board.into_view()
    numbers, shown = [str(number) for number in range(2, 12)], {}
    for turn in range(20):
        token = board.token("pressing", numbers[turn % 10])
        board.drag(token, (token["px"] - 20, token["py"] + 12), steps=4)
        shown[numbers[turn % 10]] = board.place("pressing", numbers[turn % 10])  # in the hand: others make room
    now = page.evaluate("() => Date.now() / 1000")
    said = {}

    def all_known() -> bool:
        page.evaluate(RUN_CELL, 2)
        said.update(json.loads(page.evaluate(SAID, 2)))
        return all(dist(said["known"][number], place) < 0.02 for number, place in shown.items())

    board.wait_until(all_known)
    assert LATE_S * sum(time_s > now for time_s in said["called"]) < 1.0
    for number, place in shown.items():
        assert dist(board.place("pressing", number), place) < 1.7  # aside at most, where it was let go close to another
