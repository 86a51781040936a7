"""The canvas: a picture on the page, and the hand that moves what is on it.

Every picture comes as SVG in metres: the page (`canvas.js`) sizes it to its room. It carries a drag itself and sends a
small message now and then; of those that arrive while Python is busy only the last place of each counts, so a slow plan
never falls behind the hand.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import monotonic
from typing import Any, NamedTuple

import anywidget
import traitlets

from pressinglib.show.drawing import Drawing
from pressinglib.show.primitives import Crop, primitives_of, put_legend, svg

LABEL = "the picture: arrow keys take whoever is chosen 0.5 m further, with Shift 5 m"
PICK_LABEL = "the picture: arrow keys go from one to the next, Enter picks"
PAUSE_S, SHARE = 0.005, 0.3  # how long more is waited for: at least, and as a share of what an answer takes


# -- The hand.

class DragMessage(NamedTuple):
    """What the page says of a drag: who, where, whether the hand has let go, and which turn of which page this is."""

    team: str
    number: str
    x: float
    y: float
    done: bool
    turn: tuple[str, int]

    @classmethod
    def of(cls, message: dict[str, Any]) -> DragMessage:
        """A message as the page sends it."""
        return cls(str(message["team"]), str(message["number"]), float(message["x"]), float(message["y"]),
                   bool(message["done"]), turn_of(message))


def turn_of(message: dict[str, Any]) -> tuple[str, int]:
    """Page and turn of a message."""
    page, turn = message["turn"]
    return str(page), int(turn)


class DragQueue:
    """What the hand has said and nobody has answered: the last place of each that it let go, and whom it carries.

    `answer` gets all that was let go together, or the one that is carried: it has to plan once.
    """

    def __init__(self, answer: Callable[[list[DragMessage]], None]) -> None:
        self._answer = answer
        self._dropped: dict[tuple[str, ...], DragMessage] = {}
        self._carried: DragMessage | None = None
        self._asked, self._took_s = False, 0.0

    def hear(self, message: DragMessage) -> None:
        """A message of the page."""
        who = message[:2]
        if message.done:
            self._dropped.pop(who, None)  # the last word is the last to be carried out
            self._dropped[who] = message
        if not message.done or (self._carried is not None and self._carried[:2] == who):
            self._carried = None if message.done else message
        if not self._asked:
            self._ask()

    def _ask(self) -> None:
        """Answer in a moment: the longer an answer takes, the more has been said while the last one was made."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # no loop: plain Python, where nothing else can arrive meanwhile
            return self.work()
        self._asked = True
        loop.call_later(max(PAUSE_S, SHARE * self._took_s), self.work)

    def work(self) -> None:
        """Answer now what was let go, or else whoever is carried."""
        self._asked, began = False, monotonic()
        words = list(self._dropped.values())
        if not words and self._carried is not None:
            words, self._carried = [self._carried], None
        self._dropped = {}
        if words:
            self._answer(words)
            self._took_s = monotonic() - began
        if self._carried is not None and not self._asked:
            self._ask()


# -- The canvas.

class Canvas(anywidget.AnyWidget):
    """A picture on the page; every page that shows it draws all of it from these values.

    `carry` is called with the latest messages of the hand, `answer` with every other message, a dict with its `kind`:
    "choose", "step", "pick" or "drawn".

    `pick` says what the hand picks in place of moving anything: `{"team": ..., "ids": [...]}` players of a team, or
    `{"gaps": {id: (end, end)}}` in metres; empty, it moves what it takes. `picked` are the ids that are picked.
    """

    ground = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    tool = traitlets.Unicode().tag(sync=True)
    pick = traitlets.Dict().tag(sync=True)
    picked = traitlets.List().tag(sync=True)
    label = traitlets.Unicode(LABEL).tag(sync=True)
    width_px = traitlets.Int(740).tag(sync=True)
    _esm = Path(__file__).with_name("canvas.js")
    _css = Path(__file__).with_name("canvas.css")

    def __init__(self, carry: Callable[[list[DragMessage]], None], answer: Callable[[dict[str, Any]], None],
                 **how: Any) -> None:
        self.drags, self._carry, self._answer = DragQueue(self._carried), carry, answer
        self._turns: dict[str, int] = {}
        self.low = 0.0  # of the page so far, metres
        super().__init__(**how)
        self.on_msg(self._heard)

    def show(self, drawing: Drawing, part: Crop = "whole", unlisted: tuple[str, ...] = ()) -> None:
        """Show another drawing, and say which turns of the hand it answers.

        Styles that are `unlisted` stand in no legend: what comes and goes with a hand must not change the room under a
        picture.
        """
        self.shapes = shapes = primitives_of(drawing, part)
        left, right, low, high = shapes.frame
        low -= put_legend(shapes, [line for line in drawing.legend() if line[0] not in unlisted])
        self.low = low = min(low, self.low)  # what is under the picture keeps its place when the legend gets shorter
        groups = {name: svg(some) for name, some in shapes.groups.items()}
        with self.hold_sync():
            self.ground = json.dumps({name: groups.pop(name) for name in ("grounds", "markings")})
            self.picture = json.dumps({"frame": (left, right, low, high), "groups": groups, "answers": self._turns})

    def show_players(self, drawing: Drawing, part: Crop = "whole") -> None:
        """Move the players of the picture that is shown, and nothing else."""
        alone = replace(drawing, marks=tuple(mark for mark in drawing.marks if mark.layer == "players"))
        groups = primitives_of(alone, part).groups
        self.send({name: svg(groups[name]) for name in ("leaders", "tokens")})

    def _carried(self, words: list[DragMessage]) -> None:
        self._turns.update(word.turn for word in words)
        self._carry(words)

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        """A message of the page, in the order in which the hand made them."""
        if message.get("kind") == "carry":
            self.drags.hear(DragMessage.of(message))
            return
        self.drags.work()
        if "turn" in message:
            self._turns.update([turn_of(message)])
        self._answer(message)
