"""What lies round a picture: the controls under it, the lines that are read out, and the cell that shows it all."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as w
import traitlets
from IPython import get_ipython
from ipywidgets.widgets.widget import _instances

from pressinglib.doors import door_class
from pressinglib.errors import PressingError
from pressinglib.field.situation import Situation
from pressinglib.show.board_model import FAR_M, NEAR_M, TEAMS, called
from pressinglib.show.board_state import APPROACH_DEG
from pressinglib.show.export import KEPT_DPI, picture
from pressinglib.show.marks import length_of
from pressinglib.show.playback import NO_RUN_M
from pressinglib.show.tokens import BALL
from pressinglib.tables import by_number

HEIGHT = "36px"  # large enough for a finger


class ControlGroup:
    """A group of controls: its widget, and how it shows what is on the board."""

    def __init__(self, board: Any) -> None:
        self.board = board
        self.followed: list[tuple[w.Widget, str, Callable[[], Any]]] = []
        self.widget = self.make(board)

    def make(self, board: Any) -> w.Widget:
        """Make the controls."""
        raise NotImplementedError

    def fill(self) -> None:
        """Let the controls show what is on the board."""
        for control, trait, read in self.followed:
            setattr(control, trait, read())

    def follow(self, control: w.Widget, trait: str, read: Callable[[], Any]) -> None:
        """Keep a trait of a control as the board has it."""
        self.followed.append((control, trait, read))

    def bind(self, control: w.Widget, read: Callable[[], Any], write: Callable[[Any], Any]) -> Any:
        """The control, which shows what is read and writes what a person changes, and not the board's own changes."""
        control.observe(lambda change: None if self.board.filling else write(change["new"]), "value")
        self.follow(control, "value", read)
        return control

    def wish(self, slider: w.SelectionSlider, none: str, read: Callable[[], Any], write: Callable[[Any], Any]) -> Any:
        """Bind a slider over values and the word `none`, which is None; it shows the nearest that it has."""
        def shown() -> Any:
            value, values = read(), [option for option in slider.options if option != none]
            return none if value is None else value if value in values else min(values, key=lambda x: abs(x - value))

        return self.bind(slider, shown, lambda value: write(None if value == none else value))


def size(width: int) -> w.Layout:
    """The room of a control."""
    return w.Layout(width=f"{width}px", height=HEIGHT)


def button(word: str, tip: str, act: Callable[[], Any], width: int = 76) -> w.Button:
    """A button that does something."""
    made = w.Button(description=word, tooltip=tip, layout=size(width))
    made.on_click(lambda _: act())
    return made


def field(kind: Callable[..., Any], word: str, before: int, width: int, **how: Any) -> Any:
    """A control with a word before it, and the room of both."""
    return kind(description=word, layout=size(width), style={"description_width": f"{before}px"}, **how)


def row(widgets: Sequence[w.Widget], align: str = "center") -> w.Box:
    """Side by side, and below each other where the page is narrow."""
    return w.Box(list(widgets), layout=w.Layout(flex_flow="row wrap", align_items=align, grid_gap="2px 8px"))


# -- Back and forth, the run, moving without a mouse, steer and approach.

STEPS = {"\N{LEFTWARDS ARROW}": (-1, 0), "\N{RIGHTWARDS ARROW}": (1, 0),
         "\N{UPWARDS ARROW}": (0, 1), "\N{DOWNWARDS ARROW}": (0, -1)}
BY_THE_RULES = "by the rules"
RUN, PAUSE, ON = "Run to the plan", "Pause", "Run on"


class Steps(ControlGroup):
    """Undo, redo, reset."""

    def make(self, board: Any) -> w.Widget:
        self.undo = button("Undo", "take the last change back", board.undo)
        self.redo = button("Redo", "do it again", board.redo)
        self.reset = button("Reset", "back to the first picture", board.reset)
        self.follow(self.undo, "disabled", lambda: not (board.history.past or board.run))
        self.follow(self.redo, "disabled", lambda: not board.history.future)
        return row([self.undo, self.redo, self.reset])


class Runner(ControlGroup):
    """Everybody to his spot, in true time."""

    def make(self, board: Any) -> w.Widget:
        def rests() -> bool:
            jobs = board.plan.assignments.values()
            return board.arrived or board.run is None and all(length_of(job.path) < NO_RUN_M for job in jobs)

        self.button = button(RUN, "everybody runs to his spot, in true time", board.run_to_plan, 130)
        self.follow(self.button, "disabled", lambda: not board.view.plan or rests())
        self.follow(self.button, "description",
                    lambda: RUN if board.run is None else PAUSE if board.run.playing else ON)
        return self.button


class Mover(ControlGroup):
    """Choose a player or the ball, and move him by steps or by numbers."""

    def make(self, board: Any) -> w.Widget:
        self.who = field(w.Dropdown, "Move", 42, 170, options=movable(board.situation))
        self.x, self.y = (field(w.FloatText, f"{axis} (m)", 38, 110, step=NEAR_M) for axis in "xy")
        self.step = w.ToggleButtons(options=[("0.5 m", NEAR_M), ("5 m", FAR_M)], style={"button_width": "60px"})
        self.arrows = {word: button(word, "one step this way", lambda way=way: board.step(way, self.step.value), 36)
                       for word, way in STEPS.items()}
        self.follow(self.who, "options", lambda: movable(board.situation))
        self.bind(self.who, lambda: board.chosen, lambda who: board.choose(*who))
        for axis, number in enumerate((self.x, self.y)):
            self.bind(number, lambda axis=axis: round(board.place_of(*board.chosen)[axis], 2),
                      lambda _: board.move(*self.who.value, (self.x.value, self.y.value)))
        return row([self.who, self.x, self.y, row([self.step, *self.arrows.values()])])


class Steering(ControlGroup):
    """What is asked for in place of a rule."""

    def make(self, board: Any) -> w.Widget:
        sides, angles = ["left", BY_THE_RULES, "right"], [BY_THE_RULES, *APPROACH_DEG]
        self.steer = field(w.SelectionSlider, "Steer", 45, 300, options=sides, value=BY_THE_RULES)
        self.approach = field(w.SelectionSlider, "Approach (\N{DEGREE SIGN})", 90, 360, options=angles)
        self.wish(self.steer, BY_THE_RULES, lambda: board.state.steer, board.steer_to)
        self.wish(self.approach, BY_THE_RULES, lambda: board.state.approach_deg, board.approach_at)
        for slider in (self.steer, self.approach):
            self.follow(slider, "disabled", lambda: not board.view.plan)
        return row([self.steer, self.approach])


def movable(situation: Situation) -> list[tuple[str, tuple[str, str]]]:
    """Everything that can be moved, by name; players in the order of their numbers."""
    numbers = {team: sorted((p.number for p in situation.players(team)), key=by_number) for team in TEAMS}
    return [("ball", BALL), *((called(team, n), (team, n)) for team in TEAMS for n in numbers[team])]


class Options(anywidget.AnyWidget):
    """Buttons to choose from; `press` is called with the word of the one that is pressed, and decides what it means."""

    options = traitlets.List(traitlets.Unicode()).tag(sync=True)
    chosen = traitlets.List(traitlets.Unicode()).tag(sync=True)
    in_order = traitlets.Bool(False).tag(sync=True)
    _esm = Path(__file__).with_name("options.js")

    def __init__(self, press: Callable[[str], None], **how: Any) -> None:
        super().__init__(**how)
        self.on_msg(lambda _, message, __: press(str(message["pressed"])))


# -- The bar under a sequence: play, pause, step, speed, wind; events marked and told.

SPEEDS = [("quarter", 0.25), ("half", 0.5), ("true time", 1.0), ("double", 2.0)]
PLAY = "Play"


class Bar(anywidget.AnyWidget):
    """A slider over the time of a sequence, with its events marked."""

    lasts_s = traitlets.Float(0.0).tag(sync=True)
    time_s = traitlets.Float(0.0).tag(sync=True)
    events = traitlets.List().tag(sync=True)
    asked = traitlets.List().tag(sync=True)
    _esm = Path(__file__).with_name("bar.js")


class PlayBar(ControlGroup):
    """What plays a sequence; what happens in it is told as far as it was watched, for whoever guesses first."""

    def make(self, board: Any) -> w.Widget:
        if not hasattr(board, "play_or_pause"):
            raise PressingError("The control \"play\" needs a sequence", todo="make a SequenceBoard of it")
        self.watched: dict[Any, float] = {}  # each sequence, up to when
        self.play = button(PLAY, "play or pause", board.play_or_pause)
        self.back = button("Back", "one moment back", lambda: board.step_time(-1))
        self.on = button("On", "one moment on", lambda: board.step_time(1))
        self.speed = field(w.Dropdown, "Speed", 50, 170, options=SPEEDS, value=1.0)
        self.bar, self.told = Bar(layout=w.Layout(width="100%")), LiveText(role="log")
        self.bind(self.speed, lambda: board.playback.speed, lambda speed: setattr(board.playback, "speed", speed))
        self.bar.observe(lambda change: board.wind(change["new"][1]), "asked")
        return row([self.play, self.back, self.on, self.speed])

    def fill(self) -> None:
        super().fill()
        take = self.board.state.sequence_at
        self.watched[take.sequence] = seen_s = max(take.time_s, self.watched.get(take.sequence, 0.0))
        events = [[event.time_s, event.words] for event in take.sequence.events if event.time_s <= seen_s + 1e-9]
        self.bar.lasts_s, self.bar.events = take.lasts_s, events
        self.bar.time_s, self.told.live = take.time_s, not self.board.playback.playing
        self.play.description = PLAY if self.told.live else PAUSE
        self.told.text = "\n".join(f"{n}. {take.from_s + time_s:.1f} s: {words}" for n, (time_s, words)
                                   in enumerate(events, start=1) if time_s <= take.time_s + 1e-9)  # as on the bar
        self.back.disabled, self.on.disabled = take.index == 0, take.index + 1 == len(take.sequence)


OPEN = {"play": PlayBar, "steps": Steps, "run": Runner, "move": Mover, "steer": Steering}


# -- Around the picture: the line of words.

class LiveText(anywidget.AnyWidget):
    """What screen readers read out when it changes; plain text, so that no name can be markup.

    Its role is "status", a line; "alert", a complaint; or "log", lines of which only new ones are read.
    """

    text = traitlets.Unicode().tag(sync=True)
    live = traitlets.Bool(True).tag(sync=True)  # not while a picture plays: nobody can listen to all of that
    role = traitlets.Unicode("status").tag(sync=True)
    tone = traitlets.Unicode().tag(sync=True)  # a kind of words that looks otherwise, such as "right" or "wrong"
    _esm = Path(__file__).with_name("live_text.js")


# -- Where a board lives: shown by cells, and closed when no cell shows it any more.
# Widgets live in the kernel until they are closed. A cell that runs again replaces what it showed: whatever only its
# earlier runs have shown can be seen by nobody and is closed. A page that is loaded again finds all others alive.

class Display(w.VBox):
    """The outermost widget of a board or a task; knows by which run of which cell it is shown."""

    def __init__(self, children: list[w.Widget]) -> None:
        super().__init__(children)
        self.runs: dict[str, str] = {}
        for widget in inside(self):
            if widget.comm is not None:
                widget.comm._reply_subshell_for = _in_a_row

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        cell, run = cell_and_run()
        if cell:
            self.runs[cell] = run
            for other in [widget for widget in _instances.values() if isinstance(widget, Display)]:
                other.leave(cell, run)
        return super()._repr_mimebundle_(**how)

    def leave(self, cell: str, run: str) -> None:
        """A newer run of a cell shows something else."""
        if self.runs.get(cell, run) != run:
            del self.runs[cell]
            if not self.runs:
                self.close()

    def close(self) -> None:
        """Close all that is in it, but for what another cell shows."""
        for widget in list(inside(self)):
            for part in (getattr(widget, "layout", None), getattr(widget, "style", None)):
                if isinstance(part, w.Widget):
                    part.close()
            if widget is not self:
                widget.close()
        super().close()


def _in_a_row(data: Any, subshell: str | None) -> str | None:
    """The kernel's main queue for every message of a page.

    Kernels may answer each widget on another thread: Check would overtake what was typed before it.
    """
    return None


def inside(widget: w.Widget) -> Iterator[w.Widget]:
    """A widget and all below it."""
    yield widget
    for child in getattr(widget, "children", ()):
        if not (isinstance(child, Display) and child.runs):
            yield from inside(child)


def cell_and_run() -> tuple[str, str]:
    """The cell that runs now, and which run of it this is; empty where there are no cells."""
    shell = get_ipython()
    parent = shell.get_parent() if hasattr(shell, "get_parent") else {}
    return parent.get("metadata", {}).get("cellId", ""), parent.get("header", {}).get("msg_id", "")


class Displayed:
    """Something that the last line of a cell shows; built anew if it is shown after it was closed."""

    widget: Display
    asked: Situation | None = None  # the picture that it began with

    def __init_subclass__(cls) -> None:
        door_class(cls)

    def build(self) -> Display:
        """Make the widgets."""
        raise NotImplementedError

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        # The widget to see; for whoever has no kernel a steady line of text in place of the widget's long one, and the
        # picture of the question, which holds no answer.
        if self.widget.comm is None:
            self.widget = self.build()
        kept = {} if self.asked is None else {"image/png": replace(picture(self.asked), dpi=KEPT_DPI)._repr_png_()}
        return {**self.widget._repr_mimebundle_(**how), "text/plain": repr(self), **kept}

    def close(self) -> None:
        """Take it from the page and free what it holds; shown again, it comes back."""
        self.widget.close()
