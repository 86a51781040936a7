"""Many boards in one notebook, cells that run again, pages that load again, rules that fail or take their time."""

from __future__ import annotations

import json
from math import dist
from pathlib import Path
from typing import Any

import pytest

from tests.browser.open_board import ALL_RUN, DRAWN, SOON_MS, OpenBoard

pytestmark = [pytest.mark.browser, pytest.mark.full]

READY = """
import gc, time
from ipywidgets.widgets.widget import _instances
from pressinglib import Rulebook
from pressinglib.field.scenes import scene
from pressinglib.roles.presser import choose_presser
from pressinglib.show.board import Board
from pressinglib.show.canvas import Canvas
"""
BOARD = "Board(scene('worked scene'))"
COUNTS = """
gc.collect()
canvases = sum(isinstance(thing, Canvas) and thing.comm is not None for thing in gc.get_objects())
print("counted", len(_instances), canvases)
"""
FAILING = """
def choosy(situation):
    return {"5": "9"}[situation.on_ball]

Board(scene("worked scene"), Rulebook().with_rules(choose_presser=choosy))
"""
SLOW_S = 0.06
SLOW = f"""
called = []

def slowly(situation):
    called.append(time.time())
    time.sleep({SLOW_S})
    return "9"

Board(scene("worked scene"), Rulebook().with_rules(choose_presser=slowly))
"""
RUN_CELL = """n => { const notebook = jupyterapp.shell.currentWidget.content
  notebook.activeCellIndex = n; notebook.deselectAll(); return jupyterapp.commands.execute('notebook:run-cell') }"""
SAID = """n => jupyterapp.shell.currentWidget.content.widgets[n].model.toJSON().outputs
  .map(o => o.text ?? '').join('')"""
ON_PAGE = """() => ({documents: Bokeh.documents.length,
  figures: document.querySelectorAll('.pressing-figure').length})"""


def opened(page: Any, lab: Any, *cells: str, boards: int = 1) -> list[OpenBoard]:
    """A notebook of these cells in JupyterLab, run, with its boards drawn."""
    lab.write("boards.ipynb", READY, *cells)
    lab.open(page, "boards.ipynb")
    page.wait_for_function(DRAWN, arg=boards)
    found = [OpenBoard(page, n) for n in range(boards)]
    found[0].into_view()
    return found


def counted(page: Any, cell: int) -> list[int]:
    """What a cell with COUNTS counts now: widgets and canvases of the kernel."""
    page.evaluate(RUN_CELL, cell)
    text = page.evaluate(SAID, cell)
    return [int(word) for word in "".join(text).split()[1:]]


def test_a_cell_that_runs_again_leaves_nothing_behind(page: Any, lab: Any) -> None:
    opened(page, lab, BOARD, "Board(scene('low block'))", COUNTS, boards=2)
    first, on_page = counted(page, 3), page.evaluate(ON_PAGE)
    for _ in range(5):
        page.evaluate(RUN_CELL, 1)
        page.wait_for_function(DRAWN, arg=2)
        page.wait_for_timeout(300)
    assert counted(page, 3) == first
    assert first[1] == 2
    assert page.evaluate(ON_PAGE) == on_page == {"documents": 2, "figures": 2}
    assert page.failures == []


def test_boards_side_by_side_do_not_disturb_each_other(page: Any, lab: Any) -> None:
    page.set_viewport_size({"width": 1280, "height": 2900})
    one, other = opened(page, lab, BOARD, BOARD, boards=2)
    page.wait_for_timeout(1_500)
    before = other.tokens()
    nine = one.token("pressing", "9")
    one.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    page.wait_for_timeout(500)
    assert dist(one.place("pressing", "9"), (nine["x"], nine["y"])) > 5
    assert [(t["x"], t["y"]) for t in other.tokens()] == [(t["x"], t["y"]) for t in before]
    nine = other.token("pressing", "9")
    other.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    page.wait_for_timeout(500)
    assert dist(other.place("pressing", "9"), (nine["x"], nine["y"])) > 5


def test_a_page_that_is_loaded_again_shows_a_living_board(page: Any, lab: Any) -> None:
    from playwright.sync_api import expect

    (board,) = opened(page, lab, BOARD)
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    page.wait_for_timeout(500)
    moved, words = board.place("pressing", "9"), board.words.inner_text()
    page.evaluate("() => jupyterapp.commands.execute('docmanager:save')")
    page.wait_for_timeout(500)
    page.reload()
    page.wait_for_function(DRAWN, arg=1)
    board.into_view()
    assert board.place("pressing", "9") == pytest.approx(moved, abs=0.02)
    assert board.words.inner_text() == words
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] + 60, nine["py"] - 30))
    expect(board.words).not_to_have_text(words, timeout=SOON_MS)


def test_a_rule_that_fails_says_so_in_a_line_and_leaves_the_last_good_picture(page: Any, lab: Any) -> None:
    from playwright.sync_api import expect

    (board,) = opened(page, lab, FAILING)
    words, ball = board.words.inner_text(), board.token("ball", "")
    three = board.token("possession", "3")
    board.drag(ball, (three["px"], three["py"]))
    expect(board.complaint).to_contain_text("choose_presser", timeout=SOON_MS)
    page.wait_for_timeout(300)
    assert board.words.inner_text() == words
    assert board.place("ball", "") == pytest.approx((ball["x"], ball["y"]), abs=0.02)
    assert page.locator(".jp-RenderedText[data-mime-type*=stderr]").count() == 0
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(board.complaint).to_have_text("", timeout=SOON_MS)


def test_a_slow_rule_never_falls_behind_the_hand(page: Any, lab: Any) -> None:
    """A drag of two seconds makes sixty messages: answered one by one, the last would come two seconds late."""
    (board,) = opened(page, lab, SLOW, "print('called', len(called), called[-1])")
    nine = board.token("pressing", "9")
    page.evaluate(RUN_CELL, 2)
    before = int("".join(page.evaluate(SAID, 2)).split()[1])
    board.into_view()
    nine = board.token("pressing", "9")
    board.grip(nine, (nine["px"] - 240, nine["py"] + 40), steps=120)
    now, to = page.evaluate("() => Date.now() / 1000"), (nine["px"] - 240, nine["py"] + 40)
    page.mouse.up()
    page.wait_for_timeout(2_500)
    shown = board.token("pressing", "9")
    assert (shown["px"], shown["py"]) == pytest.approx(to, abs=1.0)
    assert dist(board.known_place(), (shown["x"], shown["y"])) < 0.02
    page.evaluate(RUN_CELL, 2)
    _, calls, last = json.loads("[" + ",".join(["0", *"".join(page.evaluate(SAID, 2)).split()[1:]]) + "]")
    assert calls > before + 5  # while the hand moved, and not only at the end
    assert last - now < 1.0


# -- A board that nobody answers, and a rule of 0.3 s.

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
    expect(notice).to_have_text("Not connected: run the cell again.", timeout=SOON_MS)
    nine = board.token("pressing", "9")
    board.grip(nine, (nine["px"] - 80, nine["py"] + 40))
    assert [(t["x"], t["y"]) for t in board.tokens()] == [(t["x"], t["y"]) for t in before]
    page.mouse.up()
    page.screenshot(path=screenshots / "not_connected.png")
    page.evaluate(RUN_CELL, 0)
    page.evaluate(RUN_CELL, 1)
    page.wait_for_function(DRAWN, arg=1)
    expect(notice).to_be_hidden(timeout=SOON_MS)
    board.into_view()
    words, nine = board.words.inner_text(), board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(board.words).not_to_have_text(words, timeout=SOON_MS)
    assert page.failures == []


def test_a_board_that_gets_no_answer_says_so_until_it_comes(page: Any, lab: Any) -> None:
    from playwright.sync_api import expect

    (board,) = opened(page, lab, BOARD, "time.sleep(9)")
    page.wait_for_function(ALL_RUN)
    page.evaluate("n => { const { content } = jupyterapp.shell.currentWidget; content.activeCellIndex = n;"
                  " jupyterapp.commands.execute('notebook:run-cell') }", 2)
    board.into_view()
    notice, nine = board.box.locator(".pressing-notice"), board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(notice).to_contain_text("No answer yet", timeout=2 * SOON_MS)
    assert board.place("pressing", "9") == pytest.approx((nine["x"], nine["y"]), abs=0.02)
    expect(notice).to_be_hidden(timeout=3 * SOON_MS)
    page.wait_for_timeout(1_500)
    assert dist(board.place("pressing", "9"), (nine["x"], nine["y"])) > 5


def test_twenty_quick_drags_are_answered_within_a_second_and_no_drop_is_lost(page: Any, lab: Any) -> None:
    """Answered one by one they would take 21 s; here the rule is asked so often after the hand has let go."""
    (board,) = opened(page, lab, LATE, PLACES)
    page.wait_for_function(ALL_RUN)
    board.into_view()
    numbers = [str(number) for number in range(2, 12)]
    for turn in range(20):
        token = board.token("pressing", numbers[turn % 10])
        board.drag(token, (token["px"] - 20, token["py"] + 12), steps=4)
    now = page.evaluate("() => Date.now() / 1000")
    shown = {number: board.place("pressing", number) for number in numbers}
    page.wait_for_timeout(2_500)
    page.evaluate(RUN_CELL, 2)
    said = json.loads(page.evaluate(SAID, 2))
    assert LATE_S * sum(time_s > now for time_s in said["called"]) < 1.0
    for number, place in shown.items():
        assert dist(said["known"][number], place) < 0.02
        assert board.place("pressing", number) == pytest.approx(place, abs=0.02)
