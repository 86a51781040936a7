"""Something that plays over time: shown about 25 times a second in true time, to pause, to wind and to play on."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

FRAME_S = 0.04
REST_S = 0.02  # between two pictures, for the hand that wants to pause


class Playing:
    """Calls `show(time_s)` while it plays, and `ended()` once at its end.

    Parameters
    ----------
    lasts_s : float
    show : callable
    ended : callable
    speed : float
        1 is true time.

    Notes
    -----
    Where no event loop runs nobody could watch: there it is at its end at once.

    Examples
    --------
    >>> playing = Playing(2.0, print, lambda: print("over"))
    >>> playing.wind(1.5)
    1.5
    >>> playing.play()
    2.0
    over
    >>> playing.playing, playing.time_s
    (False, 2.0)
    """

    def __init__(self, lasts_s: float, show: Callable[[float], None], ended: Callable[[], None],
                 speed: float = 1.0) -> None:
        self.lasts_s, self.speed, self.time_s, self.playing = lasts_s, speed, 0.0, False
        self._show, self._ended = show, ended
        self._next: asyncio.TimerHandle | None = None
        self._at_s = 0.0

    def play(self) -> None:
        """Play on from where it is; from the start if it is at its end."""
        if self.playing:
            return
        if self.time_s >= self.lasts_s:
            self.time_s = 0.0
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return self._to(self.lasts_s)
        self.playing, self._at_s = True, loop.time()
        self._next = loop.call_later(FRAME_S, self._tick, loop)

    def pause(self) -> None:
        """Stop where it is."""
        self.playing = False
        if self._next is not None:
            self._next.cancel()
            self._next = None

    def wind(self, time_s: float) -> None:
        """Go to a time; one that plays goes on from there."""
        self.time_s = min(max(time_s, 0.0), self.lasts_s)
        self._show(self.time_s)

    def _tick(self, loop: asyncio.AbstractEventLoop) -> None:
        """By the clock and not by counting: a busy moment costs pictures, no time."""
        now = loop.time()
        gone, self._at_s = now - self._at_s, now
        self._to(self.time_s + gone * self.speed)
        if self.playing:
            self._next = loop.call_later(max(FRAME_S - (loop.time() - now), REST_S), self._tick, loop)

    def _to(self, time_s: float) -> None:
        self.wind(time_s)
        if self.time_s >= self.lasts_s:
            self.pause()
            self._ended()
