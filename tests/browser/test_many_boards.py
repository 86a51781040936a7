"""Many boards in one notebook, cells that run again, pages that load again, rules that fail or take their time."""

from __future__ import annotations

from math import dist
from typing import Any

import pytest

from tests.browser.open_board import DRAWN, OpenBoard, wait_until

pytestmark = [pytest.mark.browser, pytest.mark.full]

READY = """
import gc, time
from ipywidgets.widgets.widget import _instances
from pressinglib import Rulebook
from pressinglib.field.scene_file import scene
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
SAVE = "() => jupyterapp.commands.execute('docmanager:save')"
SAVED = "() => !jupyterapp.shell.currentWidget.context.model.dirty"
ON_PAGE = "() => document.querySelectorAll('.pressing-figure svg').length"


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


def called(page: Any) -> list[float]:
    """When the slow rule was asked, as cell 2 prints it."""
    page.evaluate(RUN_CELL, 2)
    return [float(time_s) for time_s in page.evaluate(SAID, 2).split()]


def test_a_cell_that_runs_again_leaves_nothing_behind(page: Any, lab: Any) -> None:
    opened(page, lab, BOARD, "Board(scene('low block'))", COUNTS, boards=2)
    first, on_page = counted(page, 3), page.evaluate(ON_PAGE)
    for _ in range(5):
        page.evaluate(RUN_CELL, 1)
        page.wait_for_function(DRAWN, arg=2)
    assert counted(page, 3) == first
    assert first[1] == 2 == on_page
    wait_until(page, lambda: page.evaluate(ON_PAGE) == 2)
    assert page.failures == []


def test_boards_side_by_side_do_not_disturb_each_other(page: Any, lab: Any) -> None:
    page.set_viewport_size({"width": 1280, "height": 2900})
    one, other = opened(page, lab, BOARD, BOARD, boards=2)
    other.into_view()
    one.into_view()
    before = other.tokens()
    nine = one.token("pressing", "9")
    one.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    one.wait_until_known(one.place("pressing", "9"), 0.02)
    assert dist(one.place("pressing", "9"), (nine["x"], nine["y"])) > 5
    assert [(t["x"], t["y"]) for t in other.tokens()] == [(t["x"], t["y"]) for t in before]
    nine = other.token("pressing", "9")
    other.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    other.wait_until_known(other.place("pressing", "9"), 0.02)
    assert dist(other.place("pressing", "9"), (nine["x"], nine["y"])) > 5


def test_a_page_that_is_loaded_again_shows_a_living_board(page: Any, lab: Any) -> None:
    from playwright.sync_api import expect

    (board,) = opened(page, lab, BOARD)
    nine, first = board.token("pressing", "9"), board.words.inner_text()
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(board.words).not_to_have_text(first)
    moved = board.place("pressing", "9")
    board.wait_until_known(moved, 0.02)
    words = board.words.inner_text()
    page.evaluate(SAVE)
    page.wait_for_function(SAVED)
    page.reload()
    page.wait_for_function(DRAWN, arg=1)
    board.into_view()
    assert board.place("pressing", "9") == pytest.approx(moved, abs=0.02)
    assert board.words.inner_text() == words
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] + 60, nine["py"] - 30))
    expect(board.words).not_to_have_text(words)


def test_a_rule_that_fails_says_so_in_a_line_and_leaves_the_last_good_picture(page: Any, lab: Any) -> None:
    from playwright.sync_api import expect

    (board,) = opened(page, lab, FAILING)
    words, ball = board.words.inner_text(), board.token("ball", "")
    three = board.token("possession", "3")
    board.drag(ball, (three["px"], three["py"]))
    expect(board.complaint).to_contain_text("choose_presser")

    def covers_nobody() -> bool:
        said, picture = board.complaint.bounding_box(), board.picture.bounding_box()
        above, beside = said["y"] + said["height"] <= picture["y"] + 1, said["x"] >= picture["x"] + picture["width"]
        return bool(said["height"] > 30 and (above or beside))

    board.wait_until(covers_nobody)
    board.wait_until(lambda: dist(board.place("ball", ""), (ball["x"], ball["y"])) < 0.02)
    assert board.words.inner_text() == words
    assert page.locator(".jp-RenderedText[data-mime-type*=stderr]").count() == 0
    nine = board.token("pressing", "9")
    board.drag(nine, (nine["px"] - 80, nine["py"] + 40))
    expect(board.complaint).to_have_text("")


def test_a_slow_rule_never_falls_behind_the_hand(page: Any, lab: Any) -> None:
    """A drag of two seconds makes sixty messages: answered one by one, the last would come two seconds late."""
    (board,) = opened(page, lab, SLOW, "print(*called)")
    before = len(called(page))
    board.into_view()
    nine = board.token("pressing", "9")
    board.grip(nine, (nine["px"] - 240, nine["py"] + 40), steps=120)
    now, to = page.evaluate("() => Date.now() / 1000"), (nine["px"] - 240, nine["py"] + 40)
    page.mouse.up()
    board.wait_until_known(board.place("pressing", "9"), 0.02)
    shown = board.token("pressing", "9")
    assert (shown["px"], shown["py"]) == pytest.approx(to, abs=1.0)
    calls = called(page)
    assert len(calls) > before + 5  # while the hand moved, and not only at the end
    assert SLOW_S * sum(time_s > now for time_s in calls) < 1.0
