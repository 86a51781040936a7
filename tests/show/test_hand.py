"""The hand: messages of the browser, the latest word first."""

from __future__ import annotations

import asyncio
import time

from pressinglib.show.canvas import PAUSE_S, DragMessage, DragQueue


def message(turn: int, number: str = "9", x: float = 1.0, done: bool = False) -> DragMessage:
    return DragMessage("pressing", number, x, 2.0, done, f"1.{turn}")


def said(messages: list[DragMessage]) -> list[DragMessage]:
    """What a hand carries out of messages that arrive faster than it works."""
    words: list[DragMessage] = []

    async def talk() -> None:
        hand = DragQueue(words.append)
        for each in messages:
            hand.hear(each)
        await asyncio.sleep(PAUSE_S * 4)

    asyncio.run(talk())
    return words


def test_of_many_messages_the_last_counts() -> None:
    assert [word.x for word in said([message(turn, x=turn) for turn in range(50)])] == [49.0]


def test_the_end_of_a_drag_is_never_lost_to_the_next() -> None:
    words = said([message(1, x=1), message(2, x=2, done=True), message(3, number="5", x=7)])
    assert [(word.number, word.x, word.done) for word in words] == [("9", 2.0, True), ("5", 7.0, False)]


def test_a_slow_answer_leaves_words_out_and_never_the_last() -> None:
    async def talk() -> list[float]:
        answered: list[float] = []

        def slowly(word: DragMessage) -> None:
            time.sleep(0.02)
            answered.append(word.x)

        hand = DragQueue(slowly)
        for turn in range(20):
            hand.hear(message(turn, x=turn))
            await asyncio.sleep(0.002)
        await asyncio.sleep(PAUSE_S * 4)
        return answered

    answered = asyncio.run(talk())
    assert answered == sorted(set(answered)) and len(answered) < 20
    assert answered[-1] == 19.0


def test_a_message_is_read_as_what_it_should_be() -> None:
    said = {"kind": "carry", "team": "ball", "number": "", "x": 1, "y": "2", "done": 1, "turn": 7}
    assert DragMessage.of(said) == DragMessage("ball", "", 1.0, 2.0, True, "7")
