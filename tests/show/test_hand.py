"""The hand: messages of the browser, the latest word first."""

from __future__ import annotations

import asyncio
import time
from typing import Any

from pressinglib.show.hand import PAUSE_S, Hand, Word


def message(turn: int, row: int = 3, x: float = 1.0, done: bool = False, at: float = 9.0) -> dict[str, list[Any]]:
    return {"row": [row], "x": [x], "y": [2.0], "done": [done], "turn": [turn], "at": [at]}


def said(messages: list[dict[str, list[Any]]]) -> list[Word]:
    """What a hand carries out of messages that arrive faster than it works."""
    words: list[Word] = []

    async def talk() -> None:
        hand = Hand(words.append)
        for each in messages:
            hand.hear("data", None, each)
            hand.hear("data", None, each)  # as jupyter_bokeh does
        await asyncio.sleep(PAUSE_S * 4)

    asyncio.run(talk())
    return words


def test_of_many_messages_the_last_counts() -> None:
    assert [word.x for word in said([message(turn, x=turn) for turn in range(50)])] == [49.0]


def test_the_end_of_a_drag_is_never_lost_to_the_next() -> None:
    words = said([message(1, x=1), message(2, x=2, done=True), message(1, row=5, x=7, at=10.0)])
    assert [(word.row, word.x, word.done) for word in words] == [(3, 2.0, True), (5, 7.0, False)]


def test_a_slow_answer_leaves_words_out_and_never_the_last() -> None:
    async def talk() -> list[float]:
        answered: list[float] = []

        def slowly(word: Word) -> None:
            time.sleep(0.02)
            answered.append(word.x)

        hand = Hand(slowly)
        for turn in range(20):
            hand.hear("data", None, message(turn, x=turn))
            await asyncio.sleep(0.002)
        await asyncio.sleep(PAUSE_S * 4)
        return answered

    answered = asyncio.run(talk())
    assert answered == sorted(set(answered)) and len(answered) < 20
    assert answered[-1] == 19.0


def test_an_empty_message_says_nothing() -> None:
    words: list[Word] = []
    Hand(words.append).hear("data", None, {"row": []})
    assert words == []
