"""The board: a picture to drag, its plan in words beside it, and the few controls a lesson needs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from html import escape
from typing import Any

import anywidget
import ipywidgets as w
import traitlets

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.bokeh_view import BokehView, canvas
from pressinglib.show.drawing import LAYERS, USUAL_LAYERS, Drawing, draw_plan, known_layers
from pressinglib.show.duties import duties_html
from pressinglib.show.history import History
from pressinglib.show.ink import landscape_xy
from pressinglib.show.marks import XY, Token
from pressinglib.show.wishes import APPROACH_DEG, Moment
from pressinglib.show.words import situation_title

BALL = ("ball", "")
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


class Board:
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

    Raises
    ------
    PressingError
        For a layer that does not exist, or a picture that has no plan.

    Examples
    --------
    >>> board = Board(Situation.line_up(ball_xy=(35, 10)))
    >>> board
    Board of 11 against 11: Their 5 on the ball, attacking third, left half-space
    >>> board.move("pressing", "9", (20, 0)), board.situation.player("pressing", "9").xy
    (True, (20.0, 0.0))
    >>> board.undo(), board.move("pressing", "9", (99, 0)), board.complaint[:19]
    (True, False, 'place of pressing 9')
    """

    def __init__(self, situation: Situation, rulebook: Rulebook | None = None, layers: Iterable[str] = USUAL_LAYERS,
                 width_px: int = 740, portrait: bool = False) -> None:
        self.rulebook = Rulebook() if rulebook is None else rulebook
        self.layers = known_layers(layers)
        self.portrait = portrait
        self.complaint = ""
        self._listeners: list[Callable[[Board], None]] = []
        self._history = History.of(Moment(situation))
        self._moment, self._plan = self._history.now, self._planned(self._history.now)
        self.panel = Panel(situation, self.layers)
        self.view = BokehView(self.drawing, self._dragged, width_px, portrait)
        self.widget = self.panel.around(canvas(self.view))
        self._filling = False
        self._wire()
        self._redraw()

    def __repr__(self) -> str:
        s = self.situation
        return f"Board of {len(s.pressing)} against {len(s.possession)}: {situation_title(s)}"

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        # The widget to see, and one steady line of text instead of the widget's long one.
        return {**self.widget._repr_mimebundle_(**how), "text/plain": repr(self)}

    # -- what is on it -------------------------------------------------------------------------------------------

    @property
    def situation(self) -> Situation:
        """The picture as it is shown now."""
        return self._moment.situation

    @property
    def plan(self) -> Plan:
        """Its plan."""
        return self._plan

    @property
    def drawing(self) -> Drawing:
        """What is drawn, for printing it as it stands."""
        return draw_plan(self.situation, self.plan, self.layers)

    def on_change(self, listener: Callable[[Board], None]) -> None:
        """Call `listener(board)` whenever picture or plan has changed, while a hand moves too."""
        self._listeners.append(listener)

    # -- changes: each is True if it could be done, else the complaint says why ----------------------------------

    def move(self, team: str, number: str, xy: XY) -> bool:
        """Move a player of "pressing" or "possession", or the "ball" (number ""); one step to undo."""
        return self._go(lambda: self._with(team, number, xy))

    def move_ball(self, xy: XY, carrier: str | None = None) -> bool:
        """Put the ball elsewhere; one step to undo."""
        now = self._history.now
        return self._go(lambda: replace(now, situation=now.situation.with_ball(xy, carrier)))

    def show(self, situation: Situation) -> bool:
        """Put another picture on the board; one step to undo."""
        return self._go(lambda: replace(self._history.now, situation=situation))

    def steer_to(self, side: str | None) -> bool:
        """Ask for a steer side, "left" or "right"; None leaves it to the rules."""
        return self._go(lambda: replace(self._history.now, steer=side), kind="steer")

    def approach_at(self, angle_deg: float | None) -> bool:
        """Ask for an approach angle off the ball-goal line; None leaves it to the rules."""
        return self._go(lambda: replace(self._history.now, approach_deg=angle_deg), kind="approach")

    def mirror(self) -> bool:
        """Swap left and right."""
        return self._go(self._history.now.mirrored)

    def undo(self) -> bool:
        """Take the last change back."""
        return self._travel(self._history.undone())

    def redo(self) -> bool:
        """Do it again."""
        return self._travel(self._history.redone())

    def reset(self) -> bool:
        """Back to the first picture; can be undone."""
        return self._travel(self._history.reset())

    def show_layers(self, layers: Iterable[str]) -> None:
        """Show these layers and no others."""
        self.layers = known_layers(layers)
        self._redraw()

    # -- the round: a new moment, its plan, its drawing ----------------------------------------------------------

    def _with(self, team: str, number: str, xy: XY) -> Moment:
        """The last settled moment with one thing elsewhere."""
        now = self._history.now
        if (team, number) == BALL:
            return replace(now, situation=now.situation.with_ball(xy))
        return replace(now, situation=now.situation.moved(team, number, xy))

    def _planned(self, moment: Moment) -> Plan:
        return plan_press(moment.situation, moment.rules(self.rulebook))

    def _go(self, make: Callable[[], Moment], settled: bool = True, kind: str = "") -> bool:
        """Show a new moment; where that cannot be, keep the last good picture and say why."""
        try:
            moment = make()
            if moment.situation.pitch != self.situation.pitch:
                raise BadInput("picture", expected="the same pitch", got="another one", todo="make a new Board for it")
            plan = self._planned(moment)
        except PressingError as error:
            return self._refuse(str(error), settled)
        if settled:
            self._history = self._history.then(moment, kind)
        self._moment, self._plan, self.complaint = moment, plan, ""
        self._redraw()
        return True

    def _refuse(self, why: str, settled: bool) -> bool:
        if settled:
            self._moment, self._plan = self._history.now, self._planned(self._history.now)
        self.complaint = why
        self._redraw()
        return False

    def _travel(self, history: History[Moment]) -> bool:
        """To another place in the history; False at its end."""
        moved = history is not self._history
        self._history = history
        return self._go(lambda: history.now) and moved

    def _redraw(self) -> None:
        drawing = self.drawing
        self.view.show(drawing)
        self.panel.words.text = drawing.words
        self.panel.duties.value = duties_html(self.plan)
        self._fill()
        for listener in self._listeners:
            self._call(listener)
        self.panel.complaint.value = f'<p role="alert">{escape(self.complaint)}</p>' if self.complaint else ""

    def _call(self, listener: Callable[[Board], None]) -> None:
        """A listener's failure becomes a line on the board: a notebook would lose it."""
        try:
            listener(self)
        except Exception as error:
            self.complaint = f"{type(error).__name__}: {error}"

    # -- hand and controls ---------------------------------------------------------------------------------------

    def _dragged(self, token: Token, xy: XY, done: bool) -> None:
        who = BALL if token.style == "ball" else (token.style, token.words)
        self._go(lambda: self._with(*who, xy), settled=done)

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
        dx, dy = (self.panel.step.value * v for v in (landscape_xy(way) if self.portrait else way))
        x, y = self._place_of(self.panel.who.value)
        self.move(*self.panel.who.value, (x + dx, y + dy))

    def _place_of(self, who: tuple[str, str]) -> XY:
        return self.situation.ball_xy if who == BALL else self.situation.player(*who).xy

    def _fill(self) -> None:
        """Let the controls show what is on the board."""
        panel, moment = self.panel, self._moment
        self._filling = True
        try:
            names = _who(moment.situation)
            if names != list(panel.who.options):
                panel.who.options = names
            panel.x.value, panel.y.value = (round(v, 2) for v in self._place_of(panel.who.value))
            panel.steer.value = BY_THE_RULES if moment.steer is None else moment.steer
            panel.approach.value = BY_THE_RULES if moment.approach_deg is None else moment.approach_deg
            panel.buttons["Undo"].disabled = not self._history.past
            panel.buttons["Redo"].disabled = not self._history.future
        finally:
            self._filling = False
