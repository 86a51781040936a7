"""What a board says beside its plan; its drawers, folded away until somebody opens them; its table.

How sure the plan is, and what else the team could do, take longer than a hand may wait: they are worked out on another
thread, and shown if the picture is still there.
"""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from dataclasses import fields
from pathlib import Path
from typing import Any

import ipywidgets as w
import numpy as np

from pressinglib.errors import PressingError, as_known
from pressinglib.field.scene_file import KINDS
from pressinglib.play.price import NO_BOX, PLANNED, Choices, choices, dial
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import Settings
from pressinglib.show.controls import ControlGroup, LiveText, button, field, row, size
from pressinglib.show.drawing import LAYERS
from pressinglib.show.labels import NAMES, UNITS, role_rows, situation_title
from pressinglib.show.page import save_sections, scene_section
from pressinglib.show.primitives import CROPS
from pressinglib.show.style import ROLES
from pressinglib.tables import Table


def role_table(plan: Plan) -> str:
    """The table beside the board: who, role, duty and why, presser first."""
    rows = [(number, role, f"{duty}\n{why}") for number, role, duty, why in role_rows(plan)]
    colours = {f"{role.letter} {name}": role.colour for name, role in ROLES.items()}
    table = Table(("No.", "Role", "Duty, why"), rows, colours=colours)
    return f'<div class="pressing-duties" tabindex="0">{table._repr_html_()}</div>'


# -- Beside the plan.

REST_S = 1.0  # a hand that has rested so long
COPIES = 32  # games a choice
ON_TOP = "On top what is worth most at this score. Pick one: its ghosts show where it sends ours."
ASKED = "Playing each choice on from here, {} games a choice. Drag on meanwhile."


class Sure(ControlGroup):
    """How sure the plan is, said when the hand has rested; not of rules that are asked picture by picture."""

    def make(self, board: Any) -> w.Widget:
        self.plan: Plan | None = None
        self.known: tuple[Any, str] = (None, "")  # of which picture and rules
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
        if self.known[0] != (plan.situation, plan.rulebook):
            self.known = (plan.situation, plan.rulebook), (await asyncio.to_thread(plan.confidence)).words
        self.widget.text = f"How sure? {self.known[1]}"


class Instead(ControlGroup):
    """Other choices, as ghosts on the board, with what they come to in this model."""

    def make(self, board: Any) -> w.Widget:
        self.of: Any = None  # the picture and the rules that were asked
        self.found: Choices | None = None
        self.ask = button("What else?", "play other choices on from this picture", lambda: beside(self.work_out()), 110)
        self.which = field(w.Dropdown, "Instead:", 60, 300)
        self.bind(self.which, lambda: self.which.value, self.pick)
        self.words = LiveText().add_class("pressing-quiet")
        self.dial = [field(w.BoundedIntText, words, 90, 150, value=value, min=low, max=high)
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
            self.words.text = self._on_top()
        except PressingError as error:
            self.words.text = str(error)
        self.ask.disabled = False
        self.board._fill()

    def pick(self, name: str | None) -> None:
        """Show one of them."""
        if name is not None and self.found is not None:
            self.board.show_choice(None if name == PLANNED else self.found.spots[self.found.names.index(name)])
            self.words.text = _priced(self.found, name)

    def fill(self) -> None:
        if self.found is not None and self.of[:2] != (now := self._now())[:2]:
            self.found, self.words.text = None, "Another picture: ask again."
        elif self.found is not None and self.of != now:  # the same games, by another dial
            self.of, of = now, self.found
            self.found = Choices.of(of.names, of.values, dial(*now[2:]), of.spots, of.told)
            self.words.text = self._on_top()
        names = () if self.found is None else tuple(row[0] for row in self.found.rows)
        if names != tuple(self.which.options):
            picked = self.which.value if self.which.value in names else PLANNED if names else None
            self.which.options, self.which.value = names, picked
        self.which.disabled = not names

    def _on_top(self) -> str:
        """How the menu is sorted, and whether the score could change that."""
        return f"{ON_TOP} {NO_BOX}" if NO_BOX in self.found.notes else ON_TOP

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


# -- The drawers.

HAND = "move players"
EVERYWHERE = "everywhere"  # a line that is none
NICE, MOST_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.5), 50  # steps of a slider


class Layers(ControlGroup):
    """What of the plan is shown."""

    def make(self, board: Any) -> w.Widget:
        self.boxes = {name: w.Checkbox(value=False, description=name, indent=False, layout=size(110))
                      for name in LAYERS}
        for name, box in self.boxes.items():
            self.bind(box, lambda name=name: name in board.view.layers,
                      lambda _: board.set_view(layers=[name for name, box in self.boxes.items() if box.value]))
            self.follow(box, "disabled", lambda: not board.view.plan)
        return row([*self.boxes.values()])


class View(ControlGroup):
    """Which way round, which part, which names and unit."""

    def make(self, board: Any) -> w.Widget:
        self.portrait = w.Checkbox(description="upright", indent=False, layout=size(90))
        self.part = field(w.Dropdown, "Part", 40, 190, options=CROPS)
        self.names = field(w.Dropdown, "Shirts", 50, 170, options=NAMES)
        self.unit = field(w.Dropdown, "Unit", 40, 150, options=tuple(UNITS))
        self.mirror = button("Mirror", "swap left and right", board.mirror)
        options = {"upright": self.portrait, "names": self.names, "unit": self.unit}
        for name, control in options.items():
            self.bind(control, lambda name=name: getattr(board.view, name),
                      lambda value, name=name: board.set_view(**{name: value}))
        self.bind(self.part, lambda: board.view.part if board.view.part in CROPS else None,
                  lambda part: board.set_view(part=part))
        return row([self.portrait, self.part, self.names, self.unit, self.mirror])


class Draw(ControlGroup):
    """Arrows, zones, notes and rulers of one's own, by hand or by numbers."""

    def make(self, board: Any) -> w.Widget:
        kinds = [(HAND, ""), *((kind, kind) for kind in KINDS)]
        self.tool = w.ToggleButtons(options=kinds, style={"button_width": "auto"})
        self.words = field(w.Text, "Words", 50, 260)
        self.ends = {name: field(w.FloatText, name, 50, 120, step=0.5) for name in ("from x", "from y", "to x", "to y")}
        self.add = button("Add", "draw it from these numbers", self._add, 64)
        self.mine = field(w.Dropdown, "Mine", 45, 220)
        self.remove = button("Remove", "take it away", lambda: board.erase(self.mine.value))
        self.tool.observe(lambda change: setattr(board.canvas, "tool", change["new"]), "value")
        return w.VBox([row([self.tool, self.words]), row([*self.ends.values(), self.add]),
                       row([self.mine, self.remove])])

    def drawn(self, trail: list[tuple[float, float]]) -> None:
        """What a hand has drawn."""
        self.board.draw_freehand(self.tool.value, trail, self.words.value)

    def _add(self) -> None:
        if not self.tool.value:
            return self.board.complain("Choose what to draw: " + ", ".join(KINDS) + ".")
        x0, y0, x1, y1 = (end.value for end in self.ends.values())
        self.drawn([(x0, y0), (x1, y1)])

    def fill(self) -> None:
        marks = self.board.state.marks
        names = [(f"{n + 1}. {mark.kind}" + (f": {mark.words[:20]}" if mark.words else ""), n)
                 for n, mark in enumerate(marks)]
        if names != list(self.mine.options):
            self.mine.options = names
            self.mine.value = len(marks) - 1 if marks else None
        self.mine.disabled = self.remove.disabled = not marks


class Rules(ControlGroup):
    """Settings of the rules, each with its range."""

    def make(self, board: Any) -> w.Widget:
        self.settings = {name: self._control(board, name) for name in board.settings}
        return row([*self.settings.values()])

    def _control(self, board: Any, name: str) -> w.Widget:
        known = {f.name: f.metadata for f in fields(Settings) if "many" not in f.metadata}
        meta = known[as_known(name, known, "setting on a board")]
        room: Any = name.replace("_", " "), 130, 300
        asked: Any = {"read": lambda: getattr(board.rulebook.settings, name),
                      "write": lambda value: board.set(**{name: value})}
        if "choices" in meta:
            words = [(word.replace("_", " "), word) for word in meta["choices"]]
            return self.bind(field(w.Dropdown, *room, options=words), **asked)
        low, high = meta["low"], meta["high"]
        step = next(step for step in NICE if step >= (high - low) / MOST_STEPS)
        if getattr(Settings(), name) is None:
            values = [EVERYWHERE, *np.arange(low, high + step / 2, step).tolist()]
            return self.wish(field(w.SelectionSlider, *room, options=values), EVERYWHERE, **asked)
        return self.bind(field(w.FloatSlider, *room, min=low, max=high, step=step), **asked)


class Scenes(ControlGroup):
    """Earlier, later, new; titles; open and save."""

    def make(self, board: Any) -> w.Widget:
        self.earlier = button("Earlier", "the scene before", lambda: board.turn(-1))
        self.later = button("Later", "the next scene", lambda: board.turn(1))
        self.where, self.said = w.Label(), w.Label()
        self.name = field(w.Text, "Title", 40, 250, continuous_update=False)
        self.new = button("New", "a new scene that begins with this picture", lambda: board.new_scene(""))
        self.remove = button("Remove", "take this scene out", board.remove_scene)
        self.file = field(w.Text, "File", 40, 250, value="my scenes.json")
        self.open = button("Open", "add the scenes of this file", lambda: board.open(self.file.value))
        self.save = button("Save", "save all scenes to this file", self._save)
        self.page = button("Page", "save this scene as an HTML file that opens anywhere; some seconds", self._page)
        self.bind(self.name, lambda: board.state.title, board.entitle)
        self.follow(self.said, "value", str)
        self.follow(self.where, "value", lambda: f"{board.at + 1} of {len(board.scenes)}")
        self.follow(self.earlier, "disabled", lambda: board.at == 0)
        self.follow(self.later, "disabled", lambda: board.at + 1 == len(board.scenes))
        self.follow(self.remove, "disabled", lambda: len(board.scenes) == 1)
        return w.VBox([row([self.earlier, self.where, self.later, self.name, self.new, self.remove]),
                       row([self.file, self.open, self.save, self.page, self.said])])

    def _save(self) -> None:
        if self.board.save(self.file.value):
            self.said.value = f"Saved {len(self.board.scenes)} to {self.file.value}"

    def _page(self) -> None:
        plan, title = self.board.plan, self.board.state.title
        path = Path(self.file.value).with_suffix(".html")
        try:
            scene = scene_section(plan.situation, plan.rulebook, title, self.board.view.layers)
            self.said.value = f"Saved as {save_sections(path, title or situation_title(plan.situation), [scene])}"
        except PressingError as error:
            self.board.complain(str(error))


DRAWERS = {"layers": Layers, "view": View, "draw": Draw, "rules": Rules, "scenes": Scenes}
