"""The board: a picture to drag, its plan in words beside it, and the few controls a lesson needs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from time import monotonic
from typing import Any

import ipywidgets as w

from pressinglib.errors import as_whole
from pressinglib.field.scene_file import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.board_model import FAR_M, NEAR_M, TEAMS, BoardModel
from pressinglib.show.board_state import BoardState, SequenceAt, ViewOptions
from pressinglib.show.canvas import Canvas, DragMessage
from pressinglib.show.controls import OPEN, Display, Displayed, LiveText, row, size
from pressinglib.show.drawers import DRAWERS, Instead, Sure, role_table
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan, draw_situation, known_names
from pressinglib.show.labels import situation_title
from pressinglib.show.marks import XY
from pressinglib.show.playback import Playback
from pressinglib.show.primitives import MARGIN_M, crop_box, landscape_xy
from pressinglib.show.tokens import BALL, sent
from pressinglib.tables import listed

CONTROLS = {**OPEN, "sure": Sure, "choices": Instead, **DRAWERS}
USUAL_CONTROLS = ("sure", "steps", "run", "move", "steer", "layers")
PASSING = ("ghost pressing",)  # ghosts that are there only while a hand or a run lasts
TYPE_PX = 11  # least height of type on the screen
TABLE_S = 0.2  # between two tables while a hand moves


class Panel:
    """What lies around a picture: words and table beside it, controls under both; it decides nothing."""

    def __init__(self, board: Any) -> None:
        self.width_px = board.width_px
        self.words, self.complaint = LiveText(), LiveText(role="alert")
        self.table = w.HTML()
        self.groups = {name: make(board) for name, make in CONTROLS.items() if name in board.controls}
        self.toggles = {name.title(): self._toggle(name.title(), group) for name, group in self.groups.items()
                        if name in DRAWERS}

    def _toggle(self, title: str, drawer: Any) -> w.ToggleButton:
        """Opens and closes a drawer; one is open at a time, so that the board stays calm."""
        toggle = w.ToggleButton(description=title, tooltip=f"open or close: {title}", layout=size(76))
        drawer.widget.layout.display = "none"

        def turn(change: dict[str, Any]) -> None:
            drawer.widget.layout.display = None if change["new"] else "none"
            for name, other in self.toggles.items() if change["new"] else ():
                other.value = name == title

        toggle.observe(turn, "value")
        return toggle

    def around(self, picture: w.Widget) -> Display:
        """All of it laid out, the picture first; what is said stands beside it, where it pushes nothing about."""
        def of(*names: str) -> list[w.Widget]:
            return [self.groups[name].widget for name in names if name in self.groups]

        film = [self["play"]] if "play" in self.groups else []
        room = w.Layout(width=f"{self.width_px}px", max_width="100%")
        parts = {
            "left": w.VBox([picture, *(play.bar for play in film)], layout=room),
            "side": w.VBox([self.words, self.complaint, *of("sure"), *(play.told for play in film), self.table]),
            "foot": w.VBox([row([*of("play", "steps", "run"), *self.toggles.values()]),
                            *of(*DRAWERS, "move", "steer", "choices")])}
        grid = w.Box([part.add_class(f"pressing-board-{name}") for name, part in parts.items()])
        return Display([grid.add_class("pressing-board-grid")]).add_class("pressing-board")

    def __getitem__(self, name: str) -> Any:
        """The group of controls of this name."""
        return self.groups[name]


def run_words(run: Playback) -> str:
    """Where a run is, in whole seconds: a line that is read out must not change at every step."""
    state = "Running" if run.playing else "Paused"
    return f"{state}: {run.time_s:.0f} of {run.lasts_s:.0f} s on the way to the spots."


class Board(Displayed, BoardModel):
    """A picture that can be dragged, with its plan; the last line of a cell shows it.

    Parameters
    ----------
    layers : iterable of str
        Shown at first; any of the names in `pressinglib.show.drawing.LAYERS`.
    width_px : int
        At most; less where the page is narrow.
    portrait : bool
        The pressing team attacks upwards.
    with_plan : bool
        False hides all that the plan says until `show_plan` is called: a task that must not give its answer away.
    controls : iterable of str
        What lies under the picture. Open: "sure" (how sure the plan is), "steps" (undo, redo, reset), "run", "move",
        "steer", "choices" (what else the team could do). In drawers: "layers", "view", "draw", "rules", "scenes".
    settings : iterable of str
        Settings that the drawer "rules" offers; some open that drawer's place by themselves.
    marks : iterable of OwnMark
        What is drawn on it.

    Raises
    ------
    PressingError
        For a layer, a control or a setting that does not exist, or a picture that has no plan.

    Examples
    --------
    >>> board = Board(Situation.line_up(ball_xy=(35, 10)))
    >>> board
    Board of 11 against 11: Their 5 on the ball, high, near their box, left of centre
    >>> board.move("ball", "", (0, 0)), board.situation.state, board.undo(), board.undo()
    (True, 'loose', True, False)
    """

    panel_type = Panel
    taken_up: SequenceAt | None = None  # what it plays

    def __init__(self, situation: Situation, rulebook: Rulebook | None = None, layers: Iterable[str] = USUAL_LAYERS,
                 width_px: int = 540, portrait: bool = False, with_plan: bool = True, *,
                 controls: Iterable[str] = USUAL_CONTROLS, settings: Iterable[str] = (),
                 marks: Iterable[OwnMark] = ()) -> None:
        super().__init__(BoardState(situation, rulebook=rulebook or Rulebook(), marks=tuple(marks),
                                    sequence_at=self.taken_up))
        self.asked, self.settings = situation, tuple(settings)
        self.controls = known_names("control of a board", controls, CONTROLS)
        self.controls += ("rules",) if self.settings and "rules" not in self.controls else ()
        self.width_px = as_whole(width_px, "width of a board in dots", low=200, high=4000)
        wide_m = 2 * (situation.pitch.corner_xy[0] + MARGIN_M)  # of the whole pitch
        self.view = ViewOptions(upright=portrait, least_m=TYPE_PX * wide_m / width_px, layers=layers, plan=with_plan)
        self.filling, self.chosen, self._table_s = False, BALL, -TABLE_S
        self.choice: tuple[Situation | None, Any] = (None, None)  # of this picture, and where it sends ours
        self.widget = self.build()

    def build(self) -> Display:
        """Canvas and controls around it."""
        self.canvas = Canvas(self._carried, self._answered, width_px=self.width_px)
        self.panel = self.panel_type(self)
        home = self.panel.around(self.canvas)
        self.changed()
        return home

    def __repr__(self) -> str:
        s = self.situation
        return f"Board of {len(s.pressing)} against {len(s.possession)}: {situation_title(s)}"

    # -- what the board shows ------------------------------------------------------------------------------------

    @property
    def drawing(self) -> Drawing:
        """What is drawn, for printing it as it stands."""
        how: Any = {"labels": self.view, "marks": self.state.marks,
                    "start": self.plan.situation if self.arrived else
                    self.history.now.situation if self.held or self.run is not None else None,
                    "held": self.chosen if self.held else None}
        drawing = (draw_plan(self.situation, self.plan, self.view.layers, **how) if self.view.plan
                   else draw_situation(self.situation, **how))
        asked, spots = self.choice
        more = sent(self.situation, spots, self.view) if asked == self.situation else ()
        return replace(drawing, marks=(*more, *drawing.marks))

    def show_choice(self, spots: Any = None) -> None:
        """The spots (N, 2) of another choice, as ghosts, until the picture changes; None takes them away."""
        self.choice = (None if spots is None else self.situation, spots)
        self.changed()

    def show_plan(self, shown: bool = True) -> None:
        """Show or hide all that the plan says."""
        self.set_view(plan=shown)

    def set_view(self, **options: Any) -> None:
        """Any of upright, part, names, unit, layers, plan: see `ViewOptions`."""
        crop_box(self.situation.pitch, options.get("part", "whole"), 0.0)
        self.view, self.canvas.low = replace(self.view, **options), 0.0
        self.changed()

    def changed(self) -> None:
        """Draw anew, then tell those who listen."""
        drawing = self.drawing
        self.canvas.show(drawing, self.view.part, () if self.choice[0] == self.situation else PASSING)
        self._say(drawing.words)
        if not self.held or monotonic() - self._table_s >= TABLE_S:  # or it would slow a hand down
            self._table_s = monotonic()
            self.panel.table.value = role_table(self.plan) if self.view.plan else ""
        self._fill()
        super().changed()
        self.panel.complaint.text = self.complaint

    def _ran(self, situation: Situation) -> None:
        """A picture of the run: only the players move."""
        super()._ran(situation)
        self.canvas.show_players(self.drawing, self.view.part)
        self._say(self.plan.words)

    def _say(self, words: str) -> None:
        self.panel.words.live = self.run is None or not self.run.playing
        hidden = [o for o, state in self.plan.account.items() if state == "shadow"] if self.view.plan else []
        words += f" In the presser's shadow: their {listed(hidden)}." if hidden else ""
        words = f"Everybody has arrived. {words}" if self.arrived else words
        self.panel.words.text = words if self.run is None else f"{run_words(self.run)} {words}"

    def _fill(self) -> None:
        """Let the controls show what is on the board; what it writes into them is no wish of its reader's."""
        team, number = self.chosen
        if team not in TEAMS or number not in [p.number for p in self.situation.players(team)]:
            self.chosen = team, number = BALL  # another picture may be without him
        self.filling = True
        try:
            for group in self.panel.groups.values():
                group.fill()
        finally:
            self.filling = False
        self.canvas.chosen = {"team": team, "number": number}

    # -- the hand ------------------------------------------------------------------------------------------------

    def _on_pitch(self, xy: XY) -> XY:
        """A place on the page as one of the pitch."""
        return landscape_xy(xy) if self.view.upright else xy

    def _carried(self, words: list[DragMessage]) -> None:
        """Let go of, one or several while the last answer was made; or carried."""
        self.chosen = words[-1][:2]
        places = {word[:2]: self._on_pitch((word.x, word.y)) for word in words}
        if words[-1].done:
            self.move_all(places)
        else:
            self.carry(*self.chosen, places[self.chosen])

    def _answered(self, message: dict[str, Any]) -> None:
        """Another message of the page."""
        if message.get("kind") == "choose":
            self.choose(str(message["team"]), str(message["number"]))
        elif message.get("kind") == "step":
            self.step(tuple(message["way"]), FAR_M if message["far"] else NEAR_M, bool(message["held"]))
        elif message.get("kind") == "pick":
            self.picked(str(message["id"]))
        elif message.get("kind") == "drawn":
            self.panel["draw"].drawn([self._on_pitch((float(x), float(y))) for x, y in message["points"]])

    def picked(self, name: str) -> None:
        """A player or a gap was picked, where nothing is to be moved."""

    def choose(self, team: str, number: str) -> None:
        """Take somebody as the one whom steps and keys move."""
        self.chosen = (team, number)
        self._fill()

    def step(self, way: XY, metres: float, held: bool = False) -> bool:
        """Move him a step, as the page shows it; the steps of a key that is held down are one to undo."""
        (dx, dy), (x, y) = self._on_pitch(way), self.place_of(*self.chosen)
        return self.move(*self.chosen, (x + metres * dx, y + metres * dy), f"step {self.chosen}" if held else "")

    def complain(self, why: str) -> None:
        """Say it in the line above the picture."""
        self.complaint = self.panel.complaint.text = why
