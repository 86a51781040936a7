"""The counter-press: for some seconds after the ball is lost everybody near it goes, wherever it is."""

from __future__ import annotations

from dataclasses import dataclass

from pressinglib.play.events import Log
from pressinglib.play.moment import Moment


@dataclass(eq=False)
class CounterPress:
    """A window of `window_s` after a loss (5 s by convention: Bauer and Anzer 2021, 10.1007/s10618-021-00763-7)."""

    window_s: float
    on: bool = False
    begun_s: float = 0.0

    def start(self, now: Moment, log: Log) -> None:
        """The ball is lost: go at once."""
        self.on, self.begun_s = True, now.time_s
        log.say(now, "counter-press started", f"The ball is lost: {self.window_s:g} s to win it back.")

    def watch(self, now: Moment, press_broken: bool, log: Log) -> None:
        """It is over when the time is, or when they have played out of it."""
        if not self.on:
            return
        over = now.time_s >= self.begun_s + self.window_s
        if over or press_broken:
            why = "the time is over" if over else "they have played out of it"
            self.on = False
            log.say(now, "counter-press aborted", f"{why.capitalize()}: back into the block.")
