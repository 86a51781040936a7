"""How sure a board is of its plan, and what else it offers: beside the hand, never in its way."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest

from pressinglib import Plan, Rulebook, Situation, scene
from pressinglib.play.price import NO_BOX, choices
from pressinglib.show import drawers
from pressinglib.show.board import Board
from pressinglib.show.marks import Token

FEW = 8  # games a choice


@pytest.fixture(autouse=True)
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawers, "REST_S", 0.01)
    monkeypatch.setattr(drawers, "COPIES", FEW)


def played(board: Board, *acts: Any) -> str:
    """What the board says of its plan, once a hand has done all that and rested."""
    async def hand() -> str:
        for act in acts:
            act()
            await asyncio.sleep(0)
        line = board.panel["sure"]
        if line.task is not None and not line.task.done():
            await asyncio.wait([line.task])
        return str(line.widget.text)

    return asyncio.run(hand())


def test_a_rested_hand_is_told_how_sure_the_plan_is(worked: Situation) -> None:
    board = Board(worked)
    said = played(board, lambda: board.move("pressing", "9", (22, 0)))
    assert said == f"How sure? {board.plan.confidence().words}"
    assert played(board, lambda: board.choose("pressing", "9")) == said


def test_a_picture_that_comes_back_is_not_asked_again(worked: Situation, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Situation] = []
    board, real = Board(worked), Plan.confidence
    monkeypatch.setattr(Plan, "confidence", lambda plan: asked.append(plan.situation) or real(plan))
    said = played(board, lambda: board.move("pressing", "9", (22, 0)))
    assert played(board, lambda: board.draw_freehand("cone", [(0, 0)])) == said and asked == [board.situation]
    assert played(board, lambda: board.steer_to("right")) and len(asked) == 2


def test_a_hand_that_carries_is_not_kept_waiting(worked: Situation, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []
    board = Board(worked)
    monkeypatch.setattr(type(board.plan), "confidence", lambda plan: asked.append(plan) or plan.confidence)
    steps = [lambda x=x: board.carry("pressing", "9", (x, 0)) for x in (22, 23)]
    assert played(board, *steps) == "" and asked == []


def test_neither_a_hidden_plan_nor_rules_asked_one_by_one_are_tried_on_copies(worked: Situation) -> None:
    hidden = Board(worked, with_plan=False)
    own = Board(worked, Rulebook().with_rules(choose_presser=lambda situation: "9"))
    for board in (hidden, own):
        assert played(board, lambda board=board: board.move("pressing", "7", (10, -20))) == ""


def test_a_choice_is_picked_from_the_menu_and_said_in_words(worked: Situation) -> None:
    board = Board(worked, controls=["choices"])
    menu = board.panel["choices"]
    assert menu.which.disabled and "choices" not in Board(worked).panel.groups
    asyncio.run(menu.work_out())
    found = choices(worked, copies=FEW)
    assert menu.which.options == tuple(row[0] for row in found.rows) and menu.which.value == "as planned"
    assert not menu.ask.disabled
    menu.which.value = "drop"
    assert menu.words.text.startswith('In this model "drop" wins the ball')
    ghosts = [mark for mark in board.drawing.marks if mark.layer == "choice" and isinstance(mark, Token)]
    assert {mark.xy for mark in ghosts} == set(map(tuple, found.spots[found.names.index("drop")].tolist()))
    assert board.move("pressing", "9", (10, 10)) and menu.which.options == () and "ask again" in menu.words.text


def test_the_score_and_the_minutes_left_turn_what_choices_are_worth(worked: Situation) -> None:
    """The same games, sorted anew at once; where nobody came into the box it is said that this changes nothing."""
    for situation, nobody in ((worked, True), (scene("counter-attack 4 v 3"), False)):
        menu = Board(situation, controls=["choices"]).panel["choices"]
        asyncio.run(menu.work_out())
        values = menu.found.values
        menu.dial[0].value, menu.dial[1].value = -2, 3
        asked = choices(situation, lead=-2, minutes_left=3, copies=FEW)
        assert menu.found.values is values and menu.found.risk == asked.risk > 0.5
        assert menu.which.options == tuple(row[0] for row in asked.rows)
        assert (NO_BOX in menu.words.text) == (NO_BOX in asked.notes) == nobody


def test_where_there_is_no_choice_it_says_why(worked: Situation) -> None:
    board = Board(worked.with_ball((0, 0)), controls=["choices"])
    asyncio.run(board.panel["choices"].work_out())
    assert board.panel["choices"].which.disabled and board.panel["choices"].words.text
    assert not board.panel["choices"].ask.disabled
