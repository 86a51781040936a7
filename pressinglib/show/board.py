"""The board: a picture to drag, its plan in words beside it, and the few controls a lesson needs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from typing import Any

import anywidget
import ipywidgets as w
import traitlets

from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.bokeh_view import BokehView, canvas
from pressinglib.show.drawing import LAYERS, USUAL_LAYERS, Drawing, draw_plan, draw_situation, known_layers
from pressinglib.show.duties import duties_html
from pressinglib.show.ink import landscape_xy
from pressinglib.show.marks import XY, Token
from pressinglib.show.round import BALL, Round
from pressinglib.show.wishes import APPROACH_DEG
from pressinglib.show.words import situation_title

STEPS = {"\N{LEFTWARDS ARROW}": (-1, 0), "\N{RIGHTWARDS ARROW}": (1, 0),
         "\N{UPWARDS ARROW}": (0, 1), "\N{DOWNWARDS ARROW}": (0, -1)}
BUTTONS = {"Undo": "take the last change back", "Redo": "do it again", "Reset": "back to the first picture",
           "Mirror": "swap left and right"}
NARROW = {"description_width": "45px"}
BY_THE_RULES = "by the rules"
ANGLES = [(f"{deg}\N{DEGREE SIGN}", deg) for deg in APPROACH_DEG]


class Spoken(anywidget.AnyWidget):
    """A line that screen readers read out when it changes; plain text, so that no name can be markup."""

    text = traitlets.Unicode().tag(sync=True)
    _esm = """
    export default { render({ model, el }) {
      const line = document.createElement("p")
      line.className = "pressing-words"
      line.setAttribute("role", "status"); line.setAttribute("aria-live", "polite")
      // Room for two lines, so that the picture keeps still while the words change.
      line.style.cssText = "margin: 0; min-height: 2.8em; font-size: 15px; line-height: 1.4; font-weight: 600"
      const say = () => { line.textContent = model.get("text") }
      model.on("change:text", say); say()
      el.append(line)
    } }"""


class Panel:
    """The controls, and where words, duties and complaints stand; it decides nothing."""

    def __init__(self, situation: Situation, layers: Iterable[str]) -> None:
        def size(width: int) -> w.Layout:
            return w.Layout(width=f"{width}px")

        def metres(name: str, half: float) -> w.BoundedFloatText:
            return w.BoundedFloatText(min=-half - OUTSIDE_M, max=half + OUTSIDE_M, step=0.5, description=f"{name} (m)",
                                      layout=size(130), style=NARROW)

        self.buttons = {word: w.Button(description=word, tooltip=tip, layout=size(80)) for word, tip in BUTTONS.items()}
        self.layers = {name: w.Checkbox(value=name in layers, description=name, indent=False, layout=size(90))
                       for name in LAYERS}
        self.steer = w.SelectionSlider(options=["left", BY_THE_RULES, "right"], value=BY_THE_RULES,
                                       description="Steer", layout=size(300), style=NARROW)
        self.approach = w.SelectionSlider(options=[(BY_THE_RULES, BY_THE_RULES), *ANGLES], value=BY_THE_RULES,
                                          description="Approach", layout=size(330), style={"description_width": "70px"})
        self.who = w.Dropdown(options=_who(situation), description="Move", layout=size(200), style=NARROW)
        self.x, self.y = (metres(name, half) for name, half in zip("xy", situation.pitch.corner_xy, strict=True))
        self.step = w.ToggleButtons(options=[("0.5 m", 0.5), ("5 m", 5.0)], style={"button_width": "62px"})
        self.arrows = {word: w.Button(description=word, tooltip="one step this way", layout=size(40)) for word in STEPS}
        self.words, self.duties, self.complaint = Spoken(), w.HTML(), w.HTML()
        self.complaint.add_class("pressing-complaint")

    def around(self, picture: w.Widget) -> w.VBox:
        """All of it laid out, the picture first."""
        self.duties.layout = w.Layout(flex="1 1 300px", min_width="280px")
        controls = w.VBox([_row([*self.buttons.values(), *self.layers.values()]), _row([self.steer, self.approach]),
                           _row([self.who, self.x, self.y, self.step, *self.arrows.values()])])
        rows = [self.words, self.complaint, _row([w.VBox([picture, controls]), self.duties], "flex-start")]
        return w.VBox(rows).add_class("pressing-board")


def _row(widgets: list[w.Widget], align: str = "center") -> w.Box:
    """Side by side, and below each other where the page is narrow."""
    return w.Box(widgets, layout=w.Layout(flex_flow="row wrap", align_items=align, grid_gap="2px 8px"))


def _who(situation: Situation) -> list[tuple[str, tuple[str, str]]]:
    """Everything that can be moved, by name."""
    names = {"pressing": "pressing", "possession": "in possession"}
    return [("ball", BALL), *((f"{names[team]} {p.number}", (team, p.number))
                              for team in ("pressing", "possession") for p in situation.players(team))]


def _wish(value: Any) -> Any:
    """What a slider says; None leaves it to the rules."""
    return None if value == BY_THE_RULES else value


def _nearest(angle_deg: float) -> int:
    """The angle of the slider that is nearest."""
    return min(APPROACH_DEG, key=lambda angle: abs(angle - angle_deg))


class Board(Round):
    """A picture that can be dragged, with its plan; the last line of a cell shows it.

    Parameters
    ----------
    situation : Situation
    rulebook : Rulebook, optional
    layers : iterable of str
        Shown at first; any of "roles", "shadow", "lanes", "gaps".
    width_px : int
    portrait : bool
        The pressing team attacks upwards.
    with_plan : bool
        False hides all that the plan says until `show_plan` is called: a task that must not give its answer away.

    Raises
    ------
    PressingError
        For a layer that does not exist, or a picture that has no plan.

    Examples
    --------
    >>> board = Board(Situation.line_up(ball_xy=(35, 10)))
    >>> board
    Board of 11 against 11: Their 5 on the ball, attacking third, left half-space
    >>> board.move_ball((0, 0)), board.situation.state, board.undo(), board.undo()
    (True, 'loose', True, False)
    """

    def __init__(self, situation: Situation, rulebook: Rulebook | None = None, layers: Iterable[str] = USUAL_LAYERS,
                 width_px: int = 740, portrait: bool = False, with_plan: bool = True) -> None:
        super().__init__(situation, rulebook)
        self.layers, self.portrait, self.with_plan = known_layers(layers), portrait, with_plan
        self.panel = Panel(situation, self.layers)
        self.view = BokehView(self.drawing, self._dragged, width_px, portrait)
        self.widget = self.panel.around(canvas(self.view))
        self._filling = False
        self._wire()
        self.changed()

    def __repr__(self) -> str:
        s = self.situation
        return f"Board of {len(s.pressing)} against {len(s.possession)}: {situation_title(s)}"

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        # The widget to see, and one steady line of text instead of the widget's long one.
        return {**self.widget._repr_mimebundle_(**how), "text/plain": repr(self)}

    @property
    def drawing(self) -> Drawing:
        """What is drawn, for printing it as it stands."""
        return draw_plan(self.situation, self.plan, self.layers) if self.with_plan else draw_situation(self.situation)

    def show_layers(self, layers: Iterable[str]) -> None:
        """Show these layers and no others."""
        self.layers = known_layers(layers)
        self.changed()

    def show_plan(self, shown: bool = True) -> None:
        """Show or hide all that the plan says."""
        self.with_plan = shown
        self.changed()

    # -- what the board shows ------------------------------------------------------------------------------------

    def changed(self) -> None:
        """Draw anew, then tell those who listen."""
        drawing, panel = self.drawing, self.panel
        self.view.show(drawing)
        panel.words.text = drawing.words
        panel.duties.value = duties_html(self.plan) if self.with_plan else ""
        for control in (*panel.layers.values(), panel.steer, panel.approach):
            control.disabled = not self.with_plan
        self._fill()
        super().changed()
        panel.complaint.value = f'<p role="alert">{escape(self.complaint)}</p>' if self.complaint else ""

    def _fill(self) -> None:
        """Let the controls show what is on the board."""
        self._filling = True
        try:
            self._fill_place()
            self._fill_wishes()
        finally:
            self._filling = False

    def _fill_place(self) -> None:
        panel, names = self.panel, _who(self.situation)
        if names != list(panel.who.options):
            panel.who.options = names
        panel.x.value, panel.y.value = (round(v, 2) for v in self.place_of(*panel.who.value))

    def _fill_wishes(self) -> None:
        panel, wish = self.panel, self.moment
        panel.steer.value = BY_THE_RULES if wish.steer is None else wish.steer
        panel.approach.value = BY_THE_RULES if wish.approach_deg is None else _nearest(wish.approach_deg)
        panel.buttons["Undo"].disabled, panel.buttons["Redo"].disabled = not self.history.past, not self.history.future
        for name, box in panel.layers.items():
            box.value = name in self.layers

    # -- hand and controls ---------------------------------------------------------------------------------------

    def _dragged(self, token: Token, xy: XY, done: bool) -> None:
        who = BALL if token.style == "ball" else (token.style, token.number)
        (self.move if done else self.carry)(*who, xy)

    def _wire(self) -> None:
        panel = self.panel
        for button, act in zip(panel.buttons.values(), (self.undo, self.redo, self.reset, self.mirror), strict=True):
            button.on_click(lambda _, act=act: act())
        for name, arrow in panel.arrows.items():
            arrow.on_click(lambda _, way=STEPS[name]: self._step(way))
        self._on(panel.steer, lambda: self.steer_to(_wish(panel.steer.value)))
        self._on(panel.approach, lambda: self.approach_at(_wish(panel.approach.value)))
        self._on(panel.who, self._fill)
        for field in (panel.x, panel.y):
            self._on(field, lambda: self.move(*panel.who.value, (panel.x.value, panel.y.value)))
        for box in panel.layers.values():
            self._on(box, lambda: self.show_layers([name for name, box in panel.layers.items() if box.value]))

    def _on(self, control: w.Widget, act: Callable[[], Any]) -> None:
        """Answer a person's change of a control, and not the board's own."""
        control.observe(lambda _: None if self._filling else act(), "value")

    def _step(self, way: XY) -> None:
        """One step of the chosen length, as the page shows it."""
        (dx, dy), who = landscape_xy(way) if self.portrait else way, self.panel.who.value
        (x, y), step = self.place_of(*who), self.panel.step.value
        self.move(*who, (x + step * dx, y + step * dy))
