"""What a board says beside its plan: how sure the plan is, and what else the team could do.

Both take longer than a hand may wait: they are worked out on another thread, and shown if the picture is still there.
"""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from typing import Any

import ipywidgets as w

from pressinglib.errors import PressingError
from pressinglib.play.price import PLANNED, Choices, choices
from pressinglib.roles.plan import Plan
from pressinglib.show.controls import ControlGroup, LiveText, button, label, row, size

REST_S = 1.0  # a hand that has rested so long
COPIES = 32  # games a choice
ASKED = "Playing each choice on from here, {} games a choice. Drag on meanwhile."


class Sure(ControlGroup):
    """How sure the plan is, said when the hand has rested; not of rules that are asked picture by picture."""

    def make(self, board: Any) -> w.Widget:
        self.plan: Plan | None = None
        self.task: asyncio.Task[None] | None = None
        return LiveText().add_class("pressing-quiet")

    def fill(self) -> None:
        plan = self.board.plan if self.board.view.plan else None
        if plan is self.plan and not self.board.held:
            return
        self.plan, self.widget.text = plan, ""
        if self.task is not None:
            self.task.cancel()
        if plan is not None and not self.board.held:
            quick = all(hasattr(rule, "takes_frames") for rule in plan.rulebook.own.values())
            self.task = beside(self._say(plan)) if quick else None

    async def _say(self, plan: Plan) -> None:
        await asyncio.sleep(REST_S)
        self.widget.text = f"How sure? {(await asyncio.to_thread(plan.confidence)).words}"


class Instead(ControlGroup):
    """Other choices, as ghosts on the board, with what they come to in this model."""

    def make(self, board: Any) -> w.Widget:
        self.of: Any = None  # the picture and the rules that were asked
        self.found: Choices | None = None
        self.ask = button("What else?", "play other choices on from this picture", lambda: beside(self.work_out()), 110)
        self.which = w.Dropdown(description="Instead:", layout=size(300), style=label(60))
        self.bind(self.which, lambda: self.which.value, self.pick)
        self.words = LiveText().add_class("pressing-quiet")
        self.dial = [w.BoundedIntText(value, min=low, max=high, description=words, layout=size(150), style=label(90))
                     for words, value, low, high in (("Goals ahead:", 0, -5, 5), ("Minutes left:", 45, 0, 120))]
        for turned in self.dial:
            turned.observe(lambda _: self.fill(), "value")
        return w.VBox([row([self.ask, *self.dial, self.which]), self.words])

    async def work_out(self) -> None:
        """Ask for the choices of this picture, and offer them if it is still there."""
        self.of, self.found = self._now(), None
        self.ask.disabled, self.words.text = True, ASKED.format(COPIES)
        try:
            *of, lead, left = self.of
            self.found = await asyncio.to_thread(choices, *of, lead=lead, minutes_left=left, copies=COPIES)
            self.words.text = "On top what is worth most at this score. Pick one: its ghosts show where it sends ours."
        except PressingError as error:
            self.words.text = str(error)
        self.ask.disabled = False
        self.board._fill()

    def pick(self, name: str | None) -> None:
        """Show one of them."""
        if name is not None and self.found is not None:
            self.board.show_choice(None if name == PLANNED else self.found, name)
            self.words.text = _priced(self.found, name)

    def fill(self) -> None:
        if self.found is not None and self.of != self._now():
            self.found, self.words.text = None, "Another picture or score: ask again."
        names = () if self.found is None else tuple(row[0] for row in self.found.rows)
        if names != tuple(self.which.options):
            self.which.options, self.which.value = names, PLANNED if names else None
        self.which.disabled = not names

    def _now(self) -> tuple[Any, ...]:
        return self.board.situation, self.board.state.wanted, *(turned.value for turned in self.dial)


def beside(work: Coroutine[Any, Any, None]) -> asyncio.Task[None] | None:
    """Let it go on beside the hand; not in plain Python, where nobody watches."""
    try:
        return asyncio.get_running_loop().create_task(work)
    except RuntimeError:
        work.close()
        return None


def _priced(found: Choices, name: str) -> str:
    """What a choice comes to beside the plan."""
    if name == PLANNED:
        return "The plan itself."
    return "In this model " + next(words for words in found.notes if words.startswith(f'"{name}"'))
