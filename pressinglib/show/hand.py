"""The hand: what the browser tells of a drag, turned into calls of Python, the latest word first.

The browser moves the token itself and sends a small message now and then (row, place, done). Python answers when it
has a moment; of messages that arrived meanwhile only the last counts, so a slow plan never falls behind the hand.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any, NamedTuple

PAUSE_S = 0.005
PAUSE_MS = 33  # between two messages of one drag: thirty pictures a second are enough

# Absolute places, the nearest token, within the clamp: no drag can tear a token from the pointer or lose it outside.
# `src` is changed in place, which redraws and sends nothing; `word` carries the row that moved.
GRAB = """
  const d = src.data, q = word._q ??= {}
  q.row = -1
  let best = reach * reach
  const kx = fig.inner_width / (fig.x_range.end - fig.x_range.start)
  const ky = fig.inner_height / (fig.y_range.end - fig.y_range.start)
  for (let j = d.x.length - 1; j >= 0; j--) {
    if (d.team[j].startsWith("ghost")) continue
    const away = ((d.x[j] - cb_obj.x) * kx) ** 2 + ((d.y[j] - cb_obj.y) * ky) ** 2
    if (away < best) { best = away; q.row = j; q.dx = d.x[j] - cb_obj.x; q.dy = d.y[j] - cb_obj.y }
  }"""
CARRY = """
  const q = word._q
  if (!q || q.row < 0) return
  const within = (v, most) => Math.min(most, Math.max(-most, v))
  const x = within(cb_obj.x + q.dx, most_x), y = within(cb_obj.y + q.dy, most_y)
  const done = cb_obj.event_name == "panend"
  src.data.x[q.row] = x; src.data.y[q.row] = y; src.change.emit()
  q.say = {row: [q.row], x: [x], y: [y], done: [done]}
  const say = () => {
    clearTimeout(q.later); q.later = null
    word.data = {...q.say, turn: [q.turn = (q.turn ?? 0) + 1], at: [q.said = Date.now()]}
  }
  if (done || !(Date.now() - q.said < pause_ms)) say()
  else q.later ??= setTimeout(say, pause_ms)
  if (done) q.row = -1"""

# A whole picture comes as one text. Columns are changed in place, so that none of it is sent back; a token in the hand
# stays where the hand has it.
REDRAW = """
  for (const [name, columns] of Object.entries(JSON.parse(ink.data.text[0]))) {
    const src = sources[name], held = name == "tokens" ? word._q?.row ?? -1 : -1
    if (held >= 0 && held < columns.x.length) { columns.x[held] = src.data.x[held]; columns.y[held] = src.data.y[held] }
    Object.assign(src.data, columns)
    src.change.emit()
  }"""


class Word(NamedTuple):
    """One message: which row, where, whether the hand has let go."""

    row: int
    x: float
    y: float
    done: bool


class Hand:
    """Hears the browser's messages and calls `carry(word)`.

    Parameters
    ----------
    carry : callable
        Called with the latest `Word`.

    Examples
    --------
    >>> hand = Hand(print)
    >>> message = {"row": [3], "x": [1.0], "y": [2.0], "done": [True], "turn": [1], "at": [9.0]}
    >>> hand.hear("data", None, message)
    Word(row=3, x=1.0, y=2.0, done=True)
    >>> hand.hear("data", None, message)  # every message arrives twice
    """

    def __init__(self, carry: Callable[[Word], None]) -> None:
        self._carry = carry
        self._heard: tuple[float, float] | None = None
        self._word: Word | None = None
        self._waiting = False

    def hear(self, attr: str, old: Any, new: Any) -> None:
        """A message of the browser, as Bokeh's property callbacks give it."""
        if not len(new["row"]):
            return
        turn = (new["turn"][0], new["at"][0])
        if turn == self._heard:
            return
        word = Word(int(new["row"][0]), float(new["x"][0]), float(new["y"][0]), bool(new["done"][0]))
        if self._waiting and self._word is not None and (self._word.done or self._word.row != word.row):
            self.work()  # the end of one drag is never lost to the start of the next
        self._heard, self._word = turn, word
        self._soon()

    def _soon(self) -> None:
        if self._waiting:
            return
        self._waiting = True
        try:
            asyncio.get_running_loop().call_later(PAUSE_S, self.work)
        except RuntimeError:  # no loop: plain Python, where nothing else can arrive meanwhile
            self.work()

    def work(self) -> None:
        """Answer the latest word now."""
        if self._waiting and self._word is not None:
            self._waiting = False
            self._carry(self._word)
