"""The controls that a lesson may add, folded away until somebody opens their drawer: what is shown, drawing, rules."""

from __future__ import annotations

from dataclasses import fields
from html import escape
from typing import Any

import ipywidgets as w

from pressinglib.errors import PressingError
from pressinglib.field.annotation import KINDS, OwnMark
from pressinglib.roles.plan import Assignment, Plan
from pressinglib.roles.settings import Settings
from pressinglib.show.controls import ControlGroup, button, label, row, size
from pressinglib.show.drawing import LAYERS
from pressinglib.show.labels import NAMES, UNITS
from pressinglib.show.marks import freehand
from pressinglib.show.primitives import CROPS
from pressinglib.show.style import INK, QUIET, ROLES

# -- The table beside the board: who, role, duty, mark and why, as HTML in which every word is escaped.


HEAD = "<tr>{}</tr>".format("".join(f'<th scope="col">{word}</th>' for word in ("No.", "Role", "Duty, why")))
ROW = """<tr><th scope="row">{number}</th><td style="color:{colour};font-weight:bold;white-space:nowrap">{letter}</td>
<td>{duty}<br><span style="color:{quiet};font-size:90%">{why}</span></td></tr>"""
ORDER = tuple(ROLES)


def role_table(plan: Plan) -> str:
    """Rows of the plan, presser first.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.roles.plan import plan_press
    >>> role_table(plan_press(Situation.line_up(ball_xy=(35, 10)))).count('scope="row"')
    11
    """
    jobs = sorted(plan.assignments.values(), key=lambda job: ORDER.index(job.role))
    style = f"color:{INK};text-align:left;line-height:1.3;border-spacing:6px 3px"
    return f'<table class="pressing-duties" style="{style}">{HEAD}{"".join(map(_row, jobs))}</table>'


def _row(job: Assignment) -> str:
    role = ROLES[job.role]
    return ROW.format(number=escape(job.number), letter=f"{role.letter} {role.word}", colour=role.colour, quiet=QUIET,
                      duty=escape(job.duty), why=escape(job.reason))


# -- The controls that a lesson may add, folded away until somebody opens their drawer: what is shown, drawing, rules.


HAND = "move players"


class Layers(ControlGroup):
    """What of the plan is shown."""

    title = "Layers"

    def __init__(self, board: Any) -> None:
        super().__init__(board)
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

    def __init__(self, board: Any) -> None:
        super().__init__(board)
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

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.tool = w.ToggleButtons(options=[HAND, *KINDS], style={"button_width": "auto"})
        self.words = w.Text(description="Words", layout=size(260), style=label(50))
        self.ends = {name: w.FloatText(value=0.0, step=0.5, description=name, layout=size(120), style=label(50))
                     for name in ("from x", "from y", "to x", "to y")}
        self.add = button("Add", "draw it from these numbers", self._add, 64)
        self.mine = w.Dropdown(options=[], description="Mine", layout=size(220), style=label(45))
        self.remove = button("Remove", "take it away", lambda: board.erase(self.mine.value))
        self.widget = w.VBox([row([self.tool, self.words]), row([*self.ends.values(), self.add]),
                              row([self.mine, self.remove])])
        self.on(self.tool, lambda: board.take_tool(self.kind))

    @property
    def kind(self) -> str:
        """What the hand draws; empty while it moves players."""
        return "" if self.tool.value == HAND else self.tool.value

    def drawn(self, trail: list[tuple[float, float]]) -> None:
        """What a hand has drawn."""
        self.board.try_draw(lambda: freehand(self.kind, trail, self.words.value))

    def _add(self) -> None:
        if not self.kind:
            return self.board.complain("Choose what to draw: " + ", ".join(KINDS) + ".")
        x0, y0, x1, y1 = (field.value for field in self.ends.values())
        self.drawn([(x0, y0), (x1, y1)])

    def fill(self) -> None:
        marks = self.board.state.marks
        names = [(named(n, mark), n) for n, mark in enumerate(marks)]
        if names != list(self.mine.options):
            self.mine.options = names
            self.mine.value = len(marks) - 1 if marks else None
        self.mine.disabled = self.remove.disabled = not marks


class Rules(ControlGroup):
    """Settings of the rules, and the same picture by the rules of before."""

    title = "Rules"

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.settings = {name: control_of(name) for name in board.settings}
        self.keep = button("Keep to compare", "show what these rules say while you change them", self._keep, 140)
        self.widget = row([*self.settings.values(), self.keep])
        for name, control in self.settings.items():
            self.on(control, lambda name=name, control=control: board.set(**{name: control.value}))

    def _keep(self) -> None:
        if self.board.state.other is None:
            self.board.compare("the rules before", self.board.state.wanted)
        else:
            self.board.compare()

    def fill(self) -> None:
        for name, control in self.settings.items():
            control.value = getattr(self.board.rulebook.settings, name)
        self.keep.description = "Keep to compare" if self.board.state.other is None else "No comparison"


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
    return w.FloatSlider(min=low, max=high, step=round((high - low) / 50, 2), **how)


def named(index: int, mark: OwnMark) -> str:
    """An own mark in a list."""
    return f"{index + 1}. {mark.kind}" + (f": {mark.words[:20]}" if mark.words else "")
