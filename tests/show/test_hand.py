"""The hand: messages of the browser, the latest word first."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable

from pressinglib import Rulebook, Situation
from pressinglib.show.board import Board
from pressinglib.show.canvas import PAUSE_S, DragMessage, DragQueue
from tests.show.conftest import clocked


def message(turn: int, number: str = "9", x: float = 1.0, done: bool = False) -> DragMessage:
    return DragMessage("pressing", number, x, 2.0, done, ("1", turn))


def said(messages: list[DragMessage]) -> list[list[DragMessage]]:
    """What a hand carries out of messages that arrive faster than it works, at one go each."""
    words: list[list[DragMessage]] = []

    async def talk() -> None:
        hand = DragQueue(words.append)
        for each in messages:
            hand.hear(each)
        await asyncio.sleep(PAUSE_S * 8)

    clocked(talk())
    return words


def test_of_many_messages_the_last_counts() -> None:
    assert [[word.x for word in words] for words in said([message(turn, x=turn) for turn in range(50)])] == [[49.0]]


def test_the_end_of_a_drag_is_never_lost_to_the_next() -> None:
    first, then = said([message(1, x=1), message(2, x=2, done=True), message(3, number="5", x=7)])
    assert first == [message(2, x=2, done=True)] and then == [message(3, number="5", x=7)]


def test_of_several_drags_each_keeps_its_last_place_and_all_are_answered_at_once() -> None:
    drops = [message(turn, number=str(turn % 4), x=turn, done=True) for turn in range(20)]
    (words,) = said(drops)
    assert [(word.number, word.x) for word in words] == [("0", 16.0), ("1", 17.0), ("2", 18.0), ("3", 19.0)]


def test_who_is_taken_again_is_let_go_first() -> None:
    again = [message(1, x=1, done=True), message(2, x=2), message(3, x=3)]
    assert said(again) == [[again[0]], [again[2]]]


def test_a_slow_answer_leaves_words_out_and_never_the_last() -> None:
    async def talk() -> list[float]:
        answered: list[float] = []

        def slowly(words: list[DragMessage]) -> None:
            time.sleep(0.02)
            answered.extend(word.x for word in words)

        hand = DragQueue(slowly)
        for turn in range(20):
            hand.hear(message(turn, x=turn))
            await asyncio.sleep(0.002)
        await asyncio.sleep(60)
        return answered

    answered = clocked(talk())
    assert answered == sorted(set(answered)) and len(answered) < 20
    assert answered[-1] == 19.0


def test_a_message_is_read_as_what_it_should_be() -> None:
    said = {"kind": "carry", "team": "ball", "number": "", "x": 1, "y": "2", "done": 1, "turn": ["a", 7]}
    assert DragMessage.of(said) == DragMessage("ball", "", 1.0, 2.0, True, ("a", 7))


# -- On a board, with a rule that takes its time.

def dropped(board: Board, places: list[tuple[str, float, float]]) -> None:
    """Quick drags of the pressing team, one after the other, heard while the first is still answered."""
    async def talk() -> None:
        for turn, (number, x, y) in enumerate(places):
            for done in (False, True):
                board.canvas._handle_custom_msg({"kind": "carry", "team": "pressing", "number": number, "x": x, "y": y,
                                                 "done": done, "turn": ["1", 2 * turn + done]}, [])
        await asyncio.sleep(0.2)

    clocked(talk())


def counting(called: list[Situation]) -> Callable[[Situation], str]:
    def choose_presser(situation: Situation) -> str:
        called.append(situation)
        return {0: "9"}[any(player.number == "8" and player.xy[0] > 40 for player in situation.pressing)]

    return choose_presser


def test_twenty_quick_drags_are_planned_together_and_no_drop_is_lost(worked: Situation) -> None:
    called: list[Situation] = []
    board = Board(worked, Rulebook().with_rules(choose_presser=counting(called)))
    called.clear()
    dropped(board, [(str(2 + turn % 10), -20.0 + turn, 3.0 * (turn % 10) - 15) for turn in range(20)])
    assert len(called) == 1
    for turn in range(10, 20):
        assert board.situation.player("pressing", str(2 + turn % 10)).xy == (-20.0 + turn, 3.0 * (turn % 10) - 15)
    assert board.undo() and board.situation == worked


def test_one_drop_that_cannot_be_costs_the_others_nothing(worked: Situation) -> None:
    board = Board(worked)
    dropped(board, [("9", 10.0, 0.0), ("7", 99.0, 0.0), ("6", -3.0, 1.0)])
    assert board.situation == worked.moved("pressing", "9", (10.0, 0.0)).moved("pressing", "6", (-3.0, 1.0))
    assert "pressing 7 would be off the pitch" in board.panel.complaint.text
    assert '"answers": {"1": 5}' in board.canvas.picture


def test_one_drop_that_a_rule_cannot_bear_costs_the_others_nothing(worked: Situation) -> None:
    board = Board(worked, Rulebook().with_rules(choose_presser=counting([])))
    dropped(board, [("9", 10.0, 0.0), ("8", 45.0, 0.0), ("6", -3.0, 1.0)])
    assert "choose_presser" in board.panel.complaint.text
    assert board.situation == worked.moved("pressing", "9", (10.0, 0.0)).moved("pressing", "6", (-3.0, 1.0))
