"""Every exercise and every board fits: all of it in view together, on a laptop and on a narrow page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import nbformat
import pytest

from tests.browser.conftest import IDLE, NOTEBOOKS, PROJECTOR
from tests.browser.open_board import ALL_RUN
from tests.teach.lessons import exercises_of, lesson_modules

pytestmark = [pytest.mark.browser, pytest.mark.full]

TRIED = """import importlib
import pressinglib as pl
from pressinglib.errors import PressingError

def tried(lesson, name):  # wrong for the third time: that has most words
    exercise = getattr(importlib.import_module(f"pressinglib.teach.lessons.{lesson}"), name)
    wrong = importlib.import_module(f"tests.teach.keys.{lesson}").KEYS[name].wrong[0]
    block = pl.TryIt(exercise)
    if exercise.form.placed:
        block.board.show(exercise.judge.shown(exercise.situation, exercise.read(wrong)))
    else:
        try:
            block.give(exercise.judge.written(exercise.read(wrong)))
        except PressingError:
            block.give(str(wrong))
    block.wrong = 2
    block.check()
    return block
"""
LOOK_MS, MOST_LOOKS = 120, 50
NARROW = {"width": 820, "height": 1180}
WIDE_PX, NARROW_PX = 560, 595  # where it is narrow two verdicts of five lines are 580 and 590 px high, all others 560
GRID = ":is(.pressing-task-grid, .pressing-board-grid)"
SHOWN = f"""n => {{ const {{ content }} = jupyterapp.shell.currentWidget
  content.scrollToItem(n, 'start')
  return content.widgets[n].node.querySelector('{GRID} .pressing-figure')?.offsetHeight > 100 }}"""
HEIGHT = f"""n => jupyterapp.shell.currentWidget.content.widgets[n].node.querySelector('{GRID}')
  .getBoundingClientRect().height"""


def steady(page: Any, cell: int) -> float:
    """The height of a block once it stays the same."""
    heights = [0.0]
    while heights[-3:] != heights[-1:] * 3 and len(heights) < MOST_LOOKS:
        page.wait_for_timeout(LOOK_MS)
        heights.append(page.evaluate(HEIGHT, cell))
    return heights[-1]


def heights_of(page: Any, lab: Any, begins: str, cells: dict[str, str]) -> Iterator[tuple[int, dict[str, float]]]:
    """What the cells show, measured on a laptop and on a narrow page: the width of the page, and the heights."""
    lab.write("sizes.ipynb", begins, *cells.values())
    lab.open(page, "sizes.ipynb")
    page.wait_for_function(ALL_RUN)
    page.wait_for_function(IDLE)
    for size in (PROJECTOR, NARROW):
        page.set_viewport_size(size)
        heights = {}
        for n, name in enumerate(cells, start=1):
            page.wait_for_function(SHOWN, arg=n)
            heights[name] = steady(page, n)
        yield size["width"], heights
        page.keyboard.press("Control+b")  # the list of files shuts


def too_high(width: int, heights: dict[str, float]) -> dict[str, float]:
    """Those that do not fit, and those that are hardly there."""
    most_px = WIDE_PX if width == PROJECTOR["width"] else NARROW_PX
    return {name: height for name, height in heights.items() if not 200 < height <= most_px}


@pytest.mark.parametrize("lesson", lesson_modules())
def test_every_exercise_of_a_lesson_fits(lesson: str, page: Any, lab: Any) -> None:
    exercises = exercises_of(lesson_modules()[lesson])
    cells = {name: f"tried({lesson!r}, {name!r})" for name, e in exercises.items()
             if e.form.placed or e.form.options or e.form.slider}
    for width, heights in heights_of(page, lab, TRIED, cells):
        assert too_high(width, heights) == {}


def test_every_board_and_film_of_the_lessons_fits(page: Any, lab: Any) -> None:
    found = {}
    for path in sorted(NOTEBOOKS.glob("*.ipynb")):
        begins = f"from pressinglib.teach.lessons import lesson_{path.name[:2]} as lesson\n"
        cells = [cell.source for cell in nbformat.read(path, 4).cells if cell.cell_type == "code"]
        found |= {f"{path.name[:2]}: {cell}": begins + cell for cell in cells if "Board(" in cell}
    assert len(found) > 20
    for width, heights in heights_of(page, lab, "import pressinglib as pl", found):
        assert too_high(width, heights) == {}
