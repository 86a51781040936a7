"""The drawers of a board, folded away until somebody opens them: layers, view, drawing, rules, scenes; its table."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

import ipywidgets as w
import numpy as np

from pressinglib.errors import PressingError
from pressinglib.field.scene_file import KINDS
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import Settings
from pressinglib.show.controls import ControlGroup, button, label, row, size
from pressinglib.show.drawing import LAYERS
from pressinglib.show.labels import NAMES, UNITS, role_rows, situation_title
from pressinglib.show.page import save_sections, scene_section
from pressinglib.show.primitives import CROPS
from pressinglib.show.style import ROLES
from pressinglib.tables import Table

HAND = "move players"
EVERYWHERE = "everywhere"  # the line of confrontation that is none


def role_table(plan: Plan) -> str:
    """The table beside the board: who, role, duty and why, presser first."""
    rows = [(number, role, f"{duty}\n{why}") for number, role, duty, why in role_rows(plan)]
    colours = {f"{role.letter} {name}": role.colour for name, role in ROLES.items()}
    table = Table(("No.", "Role", "Duty, why"), rows, colours=colours)
    return f'<div class="pressing-duties">{table._repr_html_()}</div>'


class Layers(ControlGroup):
    """What of the plan is shown."""

    title = "Layers"

    def make(self, board: Any) -> None:
        self.boxes = {name: w.Checkbox(value=False, description=name, indent=False, layout=size(110))
                      for name in LAYERS}
        self.widget = row([*self.boxes.values()])
        for box in self.boxes.values():
            self.on(box, lambda: board.show_layers([name for name, box in self.boxes.items() if box.value]))

    def fill(self) -> None:
        for name, box in self.boxes.items():
            box.value, box.disabled = name in self.board.view.layers, not self.board.view.plan


class View(ControlGroup):
    """Which way round, which part, which names and unit."""

    title = "View"

    def make(self, board: Any) -> None:
        self.portrait = w.Checkbox(description="upright", indent=False, layout=size(90))
        self.start = w.Checkbox(description="ghosts of the start", indent=False, layout=size(160))
        self.part = w.Dropdown(options=CROPS, description="Part", layout=size(190), style=label(40))
        self.names = w.Dropdown(options=NAMES, description="Shirts", layout=size(170), style=label(50))
        self.unit = w.Dropdown(options=tuple(UNITS), description="Unit", layout=size(150), style=label(40))
        self.mirror = button("Mirror", "swap left and right", board.mirror)
        self.widget = row([self.portrait, self.start, self.part, self.names, self.unit, self.mirror])
        for control in (self.portrait, self.start, self.part, self.names, self.unit):
            self.on(control, self._set_view)

    def _set_view(self) -> None:
        part = self.part.value if self.part.value in CROPS else self.board.view.part
        self.board.set_view(portrait=self.portrait.value, start=self.start.value, part=part, names=self.names.value,
                            unit=self.unit.value)

    def fill(self) -> None:
        shown = self.board.view
        self.portrait.value, self.start.value = shown.portrait, shown.start
        self.part.value = shown.part if shown.part in CROPS else None
        self.names.value, self.unit.value = shown.labels.names, shown.labels.unit


class Draw(ControlGroup):
    """Arrows, zones, notes and rulers of one's own, by hand or by numbers."""

    title = "Draw"

    def make(self, board: Any) -> None:
        self.tool = w.ToggleButtons(options=[HAND, *KINDS], style={"button_width": "auto"})
        self.words = w.Text(description="Words", layout=size(260), style=label(50))
        self.ends = {name: w.FloatText(value=0.0, step=0.5, description=name, layout=size(120), style=label(50))
                     for name in ("from x", "from y", "to x", "to y")}
        self.add = button("Add", "draw it from these numbers", self._add, 64)
        self.mine = w.Dropdown(options=[], description="Mine", layout=size(220), style=label(45))
        self.remove = button("Remove", "take it away", lambda: board.erase(self.mine.value))
        self.widget = w.VBox([row([self.tool, self.words]), row([*self.ends.values(), self.add]),
                              row([self.mine, self.remove])])
        self.on(self.tool, lambda: setattr(board.canvas, "tool", self.kind))

    @property
    def kind(self) -> str:
        """What the hand draws; empty while it moves players."""
        return "" if self.tool.value == HAND else self.tool.value

    def drawn(self, trail: list[tuple[float, float]]) -> None:
        """What a hand has drawn."""
        self.board.draw_freehand(self.kind, trail, self.words.value)

    def _add(self) -> None:
        if not self.kind:
            return self.board.complain("Choose what to draw: " + ", ".join(KINDS) + ".")
        x0, y0, x1, y1 = (field.value for field in self.ends.values())
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
    """Settings of the rules."""

    title = "Rules"

    def make(self, board: Any) -> None:
        self.settings = {name: control_of(name) for name in board.settings}
        self.widget = row([*self.settings.values()])
        for name, control in self.settings.items():
            self.on(control, lambda name=name, control=control: board.set(
                **{name: None if control.value == EVERYWHERE else control.value}))

    def fill(self) -> None:
        for name, control in self.settings.items():
            asked = getattr(self.board.rulebook.settings, name)
            if isinstance(control, w.SelectionSlider):  # the nearest that it has
                asked = EVERYWHERE if asked is None else min(control.options[1:], key=lambda x_m: abs(x_m - asked))
            control.value = asked


class Scenes(ControlGroup):
    """Earlier, later, new; titles; open and save."""

    title = "Scenes"

    def make(self, board: Any) -> None:
        self.earlier = button("Earlier", "the scene before", lambda: board.turn(-1))
        self.later = button("Later", "the next scene", lambda: board.turn(1))
        self.where = w.Label()
        self.name = w.Text(description="Title", layout=size(250), style=label(40), continuous_update=False)
        self.new = button("New", "a new scene that begins with this picture", lambda: board.new_scene(""))
        self.remove = button("Remove", "take this scene out", board.remove_scene)
        self.file = w.Text(value="my scenes.json", description="File", layout=size(250), style=label(40))
        self.open = button("Open", "add the scenes of this file", lambda: board.open(self.file.value))
        self.save = button("Save", "save all scenes to this file", self._save)
        self.page = button("Page", "save this scene as an HTML file that opens anywhere; some seconds", self._page)
        self.said = w.Label()
        self.widget = w.VBox([row([self.earlier, self.where, self.later, self.name, self.new, self.remove]),
                              row([self.file, self.open, self.save, self.page, self.said])])
        self.on(self.name, lambda: setattr(board.session.scene, "title", self.name.value))

    def _save(self) -> None:
        if self.board.save(self.file.value):
            self.said.value = f"Saved {len(self.board.session.scenes)} to {self.file.value}"

    def _page(self) -> None:
        plan, title = self.board.plan, self.board.session.scene.title
        path = Path(self.file.value).with_suffix(".html")
        try:
            scene = scene_section(plan.situation, plan.rulebook, title, self.board.view.layers)
            self.said.value = f"Saved as {save_sections(path, title or situation_title(plan.situation), [scene])}"
        except PressingError as error:
            self.board.complain(str(error))

    def fill(self) -> None:
        session, self.said.value = self.board.session, ""
        self.where.value = f"{session.at + 1} of {len(session.scenes)}"
        self.name.value = session.scene.title
        self.earlier.disabled, self.later.disabled = session.at == 0, session.at + 1 == len(session.scenes)
        self.remove.disabled = len(session.scenes) == 1


def control_of(name: str) -> w.Widget:
    """A control for one setting, with its range."""
    known = {f.name: f.metadata for f in fields(Settings)}
    if name not in known or not {"choices", "low"} & set(known[name]) or "many" in known[name]:
        one = [n for n, meta in known.items() if "many" not in meta]
        raise PressingError("setting on a board", expected="one of " + ", ".join(one), got=repr(name))
    how: dict[str, Any] = {"description": name.replace("_", " "), "style": label(130), "layout": size(300)}
    if "choices" in known[name]:
        return w.Dropdown(options=[(word.replace("_", " "), word) for word in known[name]["choices"]], **how)
    low, high = known[name]["low"], known[name]["high"]
    if name == "confrontation_x_m":
        return w.SelectionSlider(options=[EVERYWHERE, *np.arange(low, high + 0.1, 2.5).tolist()], **how)
    return w.FloatSlider(min=low, max=high, step=round((high - low) / 50, 2), **how)


DRAWERS = {"layers": Layers, "view": View, "draw": Draw, "rules": Rules, "scenes": Scenes}
