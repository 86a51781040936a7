"""The controls that lie open under a picture: back and forth, the run, moving without a mouse, steer and approach."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import Situation
from pressinglib.show.board_part import Part, button, label, row, size
from pressinglib.show.places import BALL, FAR_M, NEAR_M, called
from pressinglib.show.wishes import APPROACH_DEG

STEPS = {"\N{LEFTWARDS ARROW}": (-1, 0), "\N{RIGHTWARDS ARROW}": (1, 0),
         "\N{UPWARDS ARROW}": (0, 1), "\N{DOWNWARDS ARROW}": (0, -1)}
BY_THE_RULES = "by the rules"
ANGLES = [(f"{deg}\N{DEGREE SIGN}", deg) for deg in APPROACH_DEG]
RUN, PAUSE, ON = "Run to the plan", "Pause", "Run on"


class Steps(Part):
    """Undo, redo, reset."""

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.undo = button("Undo", "take the last change back", board.undo)
        self.redo = button("Redo", "do it again", board.redo)
        self.reset = button("Reset", "back to the first picture", board.reset)
        self.widget = row([self.undo, self.redo, self.reset])

    def fill(self) -> None:
        history, runs = self.board.history, self.board.run is not None
        self.undo.disabled, self.redo.disabled = not (history.past or runs), not history.future


class Runner(Part):
    """Everybody to his spot, in true time."""

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.button = button(RUN, "everybody runs to his spot, in true time", board.run_to_plan, 130)
        self.widget = self.button

    def fill(self) -> None:
        run = self.board.run
        self.button.description = RUN if run is None else PAUSE if run.film.playing else ON
        self.button.disabled = not self.board.shown.plan


class Mover(Part):
    """Choose a player or the ball, and move him by steps or by numbers."""

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.who = w.Dropdown(options=movable(board.situation), description="Move", layout=size(200), style=label(45))
        self.x, self.y = (self._metres(axis) for axis in "xy")
        self.step = w.ToggleButtons(options=[("0.5 m", NEAR_M), ("5 m", FAR_M)], style={"button_width": "62px"})
        self.arrows = {word: button(word, "one step this way", lambda way=way: board.step(way, self.step.value), 44)
                       for word, way in STEPS.items()}
        self.widget = row([self.who, self.x, self.y, self.step, *self.arrows.values()])
        self.on(self.who, lambda: board.choose(*self.who.value))
        for field in (self.x, self.y):
            self.on(field, lambda: board.move(*self.who.value, (self.x.value, self.y.value)))

    def _metres(self, axis: str) -> w.BoundedFloatText:
        return w.BoundedFloatText(step=NEAR_M, description=f"{axis} (m)", layout=size(130), style=label(45),
                                  min=-100.0, max=100.0)

    def fill(self) -> None:
        names = movable(self.board.situation)
        if names != list(self.who.options):
            self.who.options = names
        self.who.value = self.board.chosen
        for field, half in zip((self.x, self.y), self.board.situation.pitch.corner_xy, strict=True):
            field.min, field.max = -half - OUTSIDE_M, half + OUTSIDE_M
        self.x.value, self.y.value = (round(v, 2) for v in self.board.place_of(*self.who.value))


class Steering(Part):
    """What is asked for in place of a rule."""

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.steer = w.SelectionSlider(options=["left", BY_THE_RULES, "right"], value=BY_THE_RULES,
                                       description="Steer", layout=size(300), style=label(45))
        self.approach = w.SelectionSlider(options=[(BY_THE_RULES, BY_THE_RULES), *ANGLES], value=BY_THE_RULES,
                                          description="Approach", layout=size(330), style=label(70))
        self.widget = row([self.steer, self.approach])
        self.on(self.steer, lambda: board.steer_to(_wish(self.steer.value)))
        self.on(self.approach, lambda: board.approach_at(_wish(self.approach.value)))

    def fill(self) -> None:
        wish, hidden = self.board.moment, not self.board.shown.plan
        self.steer.value = BY_THE_RULES if wish.steer is None else wish.steer
        self.approach.value = BY_THE_RULES if wish.approach_deg is None else _nearest(wish.approach_deg)
        self.steer.disabled = self.approach.disabled = hidden


def movable(situation: Situation) -> list[tuple[str, tuple[str, str]]]:
    """Everything that can be moved, by name."""
    return [("ball", BALL), *((called(team, p.number), (team, p.number))
                              for team in ("pressing", "possession") for p in situation.players(team))]


def _wish(value: Any) -> Any:
    """What a slider says; None leaves it to the rules."""
    return None if value == BY_THE_RULES else value


def _nearest(angle_deg: float) -> int:
    """The angle of the slider that is nearest."""
    return min(APPROACH_DEG, key=lambda angle: abs(angle - angle_deg))
