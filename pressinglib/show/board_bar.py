"""The bar under a sequence: play, pause, step, speed, wind; events marked and told."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as w
import traitlets

from pressinglib.errors import PressingError
from pressinglib.show.board_part import Part, button, label, row, size

SPEEDS = [("quarter", 0.25), ("half", 0.5), ("true time", 1.0), ("double", 2.0)]
PLAY, PAUSE = "Play", "Pause"


class Bar(anywidget.AnyWidget):
    """A slider over the time of a sequence, with its events marked."""

    lasts_s = traitlets.Float(0.0).tag(sync=True)
    time_s = traitlets.Float(0.0).tag(sync=True)
    events = traitlets.List().tag(sync=True)
    asked = traitlets.List().tag(sync=True)
    _esm = Path(__file__).with_name("bar.js")


class PlayBar(Part):
    """What plays a sequence."""

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        if not hasattr(board, "press_play"):
            raise PressingError("The control \"play\" needs a sequence", todo="make a SequenceBoard of it")
        self.play = button(PLAY, "play or pause", board.press_play)
        self.back = button("Back", "one moment back", lambda: board.step_time(-1))
        self.on_ = button("On", "one moment on", lambda: board.step_time(1))
        self.speed = w.Dropdown(options=SPEEDS, value=1.0, description="Speed", layout=size(170), style=label(50))
        self.bar, self.told = Bar(layout=w.Layout(width="100%")), w.HTML()
        self.widget = w.VBox([row([self.play, self.back, self.on_, self.speed]), self.bar, self.told])
        self.on(self.speed, lambda: board.at_speed(self.speed.value))
        self.bar.observe(lambda change: board.wind(change["new"][1]), "asked")

    def fill(self) -> None:
        take, playing = self.board.moment.take, self.board.playing.playing
        events = [[event.time_s, event.words] for event in take.sequence.events]
        if events != self.bar.events or take.lasts_s != self.bar.lasts_s:
            self.bar.lasts_s, self.bar.events = take.lasts_s, events
            self.told.value = told_html(events, take.from_s)
        self.bar.time_s, self.play.description = take.time_s, PAUSE if playing else PLAY
        self.back.disabled, self.on_.disabled = take.index == 0, take.index + 1 == len(take.sequence)


def told_html(events: list[list[Any]], from_s: float) -> str:
    """The events as a list, numbered as on the bar.

    Examples
    --------
    >>> told_html([[0.5, "<b>5</b> passes"]], 1.0)
    '<ol class="pressing-events"><li>1.5 s: &lt;b&gt;5&lt;/b&gt; passes</li></ol>'
    """
    lines = "".join(f"<li>{from_s + time_s:.1f} s: {escape(words)}</li>" for time_s, words in events)
    return f'<ol class="pressing-events">{lines}</ol>'
