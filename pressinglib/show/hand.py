"""The hand: what the browser tells of a drag, turned into calls of Python, the latest word first.

The browser moves the token itself and sends a small message now and then. Python answers when it has a moment; of
messages that arrived meanwhile only the last counts, so a slow plan never falls behind the hand.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any, NamedTuple

PAUSE_S = 0.005


class Word(NamedTuple):
    """One message: who, where, whether the hand has let go, and which turn of the page this is."""

    team: str
    number: str
    x: float
    y: float
    done: bool
    turn: str

    @classmethod
    def of(cls, said: dict[str, Any]) -> Word:
        """A message as the page sends it."""
        return cls(str(said["team"]), str(said["number"]), float(said["x"]), float(said["y"]), bool(said["done"]),
                   str(said["turn"]))


class Hand:
    """Hears the browser's messages and calls `carry(word)`.

    Parameters
    ----------
    carry : callable
        Called with the latest `Word`.

    Examples
    --------
    >>> hand = Hand(print)
    >>> hand.hear(Word("pressing", "9", 1.0, 2.0, True, "1.1"))
    Word(team='pressing', number='9', x=1.0, y=2.0, done=True, turn='1.1')
    >>> hand.work()  # nothing waits any more
    """

    def __init__(self, carry: Callable[[Word], None]) -> None:
        self._carry = carry
        self._word: Word | None = None

    def hear(self, word: Word) -> None:
        """A message of the browser."""
        waits = self._word
        if waits is not None and (waits.done or waits[:2] != word[:2]):
            self.work()  # the end of one drag is never lost to the start of the next
        started, self._word = self._word is not None, word
        if not started:
            self._soon()

    def _soon(self) -> None:
        try:
            asyncio.get_running_loop().call_later(PAUSE_S, self.work)
        except RuntimeError:  # no loop: plain Python, where nothing else can arrive meanwhile
            self.work()

    def work(self) -> None:
        """Answer the latest word now."""
        word, self._word = self._word, None
        if word is not None:
            self._carry(word)
