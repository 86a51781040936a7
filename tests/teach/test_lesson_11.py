"""Lesson 11: what its prose says is what the engine says; and it keeps the form of a lesson."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
import pytest

from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.lessons import lesson_11
from pressinglib.teach.press_questions import Race

NOTEBOOK = Path(__file__).parents[2] / "notebooks" / "11_what_would_a_rule_of_your_own_change.ipynb"


@pytest.fixture(scope="module")
def lesson() -> nbformat.NotebookNode:
    return nbformat.read(NOTEBOOK, as_version=4)


@pytest.mark.parametrize("name", ["the_nearest", "the_nearest_goal_side"])
def test_the_rules_that_are_read_are_those_that_are_judged(lesson: nbformat.NotebookNode, name: str) -> None:
    source = next(cell.source for cell in lesson.cells if f"def {name}(" in cell.source and cell.cell_type == "code")
    space: dict[str, Any] = {"lesson": lesson_11}
    exec(source, space)  # noqa: S102  (the lesson's own cell)
    for title in scene_names():
        assert space[name](scene(title)) == getattr(lesson_11, name)(scene(title))


def test_eight_is_nearest_and_beaten_and_four_is_sooner() -> None:
    turned = scene("behind the midfield")
    stock = plan_press(turned)
    own = plan_press(turned, Rulebook().with_rules(choose_presser=lesson_11.the_nearest))
    assert (stock.presser, own.presser, own.timing) == ("4", "8", "late")
    assert turned.player("pressing", "8").xy[0] > turned.ball_xy[0] > turned.player("pressing", "4").xy[0]
    assert stock.assignments["4"].arrival_s < own.assignments["8"].arrival_s


def test_three_of_seventeen_scenes_differ(lesson: nbformat.NotebookNode) -> None:
    assert (len(lesson_11.compared().differing), len(lesson_11.compared().rows)) == (3, 17)
    assert "of the 17" in "".join(cell.source for cell in lesson.cells)


def test_in_wingers_high_nine_is_nearest_and_the_stock_rule_sends_ten() -> None:
    picture = lesson_11.agree.situation
    assert (lesson_11.the_nearest(picture), plan_press(picture).presser) == ("9", "10")


def test_the_nearest_is_sooner_where_the_stock_rule_keeps_the_full_back_in_his_line() -> None:
    stock = lesson_11.who.plan
    assert (lesson_11.the_nearest(stock.situation), stock.presser) == ("2", "7")
    assert stock.assignments["2"].role == "back line"
    assert Race(stock).time_s("2") < Race(stock).time_s("7")


def test_the_goalkeeper_fools_the_measure_and_is_seconds_later() -> None:
    broken = scene("press broken")
    stock = plan_press(broken)
    keeper = plan_press(broken, Rulebook().with_rules(choose_presser=lambda situation: "1"))
    assert keeper.presser == "1"
    assert keeper.danger[1] == pytest.approx(stock.danger[1], abs=0.01)
    assert keeper.assignments["1"].arrival_s - Race(stock).time_s("2") == pytest.approx(4.5, abs=0.5)
