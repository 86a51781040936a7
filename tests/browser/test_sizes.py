"""Every exercise fits: task, picture, answer and verdict in view together, on a laptop and on a narrow page."""

from __future__ import annotations

from typing import Any

import pytest

from tests.browser.conftest import IDLE, PROJECTOR
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
SHOWN = """n => { const { content } = jupyterapp.shell.currentWidget
  content.scrollToItem(n, 'start')
  return content.widgets[n].node.querySelector('.pressing-task-grid .pressing-figure')?.offsetHeight > 100 }"""
HEIGHT = """n => jupyterapp.shell.currentWidget.content.widgets[n].node.querySelector('.pressing-task-grid')
  .getBoundingClientRect().height"""


def steady(page: Any, cell: int) -> float:
    """The height of a block once it stays the same."""
    heights = [0.0]
    while heights[-3:] != heights[-1:] * 3 and len(heights) < MOST_LOOKS:
        page.wait_for_timeout(LOOK_MS)
        heights.append(page.evaluate(HEIGHT, cell))
    return heights[-1]


@pytest.mark.parametrize("lesson", lesson_modules())
def test_every_exercise_of_a_lesson_fits(lesson: str, page: Any, lab: Any) -> None:
    exercises = exercises_of(lesson_modules()[lesson])
    names = [name for name, e in exercises.items() if e.form.placed or e.form.options or e.form.slider]
    lab.write("sizes.ipynb", TRIED, *(f"tried({lesson!r}, {name!r})" for name in names))
    lab.open(page, "sizes.ipynb")
    page.wait_for_function(ALL_RUN)
    page.wait_for_function(IDLE)
    for size, most_px in ((PROJECTOR, WIDE_PX), (NARROW, NARROW_PX)):
        page.set_viewport_size(size)
        heights = {}
        for n, name in enumerate(names, start=1):
            page.wait_for_function(SHOWN, arg=n)
            heights[name] = steady(page, n)
        assert {name: height for name, height in heights.items() if not 200 < height <= most_px} == {}
        page.keyboard.press("Control+b")  # the list of files shuts
