"""What lies around a picture: the line of words, the duties beside it, the controls under it, drawers folded away."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from pressinglib.show.board_bar import PlayBar
from pressinglib.show.board_controls import Mover, Runner, Steering, Steps
from pressinglib.show.board_drawers import Draw, Layers, Rules, View
from pressinglib.show.board_home import Home
from pressinglib.show.board_part import row, size
from pressinglib.show.board_scenes import Scenes
from pressinglib.show.board_words import Spoken

OPEN = {"play": PlayBar, "steps": Steps, "run": Runner, "move": Mover, "steer": Steering}
DRAWERS = {"layers": Layers, "view": View, "draw": Draw, "rules": Rules, "scenes": Scenes}
CONTROLS = {**OPEN, **DRAWERS}
USUAL_CONTROLS = ("steps", "run", "move", "steer", "layers")


class Panel:
    """The controls, and where words, duties and complaints stand; it decides nothing."""

    def __init__(self, board: Any) -> None:
        self.width_px = board.width_px
        self.words, self.complaint = Spoken(), Spoken(role="alert")
        self.duties = w.HTML(layout=w.Layout(flex="1 1 300px", min_width="280px"))
        made = self._made = {name: make(board) for name, make in CONTROLS.items() if name in board.controls}
        self.parts = list(made.values())
        self.open = [part for name, part in made.items() if name in OPEN]
        self.drawers = [part for name, part in made.items() if name in DRAWERS]
        self.keys = {part.title: self._key(part) for part in self.drawers}

    def _key(self, drawer: Any) -> w.ToggleButton:
        """Opens and closes a drawer."""
        key = w.ToggleButton(description=drawer.title, tooltip=f"open or close: {drawer.title}", layout=size(84))
        drawer.widget.layout.display = "none"
        key.observe(lambda change: self._turn(drawer, change["new"]), "value")
        return key

    def _turn(self, drawer: Any, is_open: bool) -> None:
        """One drawer is open at a time, so that the board stays calm."""
        drawer.widget.layout.display = None if is_open else "none"
        if is_open:
            for other in self.drawers:
                self.keys[other.title].value = other is drawer

    def around(self, picture: w.Widget) -> Home:
        """All of it laid out, the picture first."""
        bars, short, long = ([part.widget for part in self.open if isinstance(part, kind)]
                             for kind in (PlayBar, Steps | Runner, Mover | Steering))
        drawers = [part.widget for part in self.drawers]
        room = w.Layout(width=f"{self.width_px}px", max_width="100%")
        side = w.VBox([picture, *bars, row([*short, *self.keys.values()]), *drawers, *long], layout=room)
        home = Home([self.words, self.complaint, row([side, self.duties], "flex-start")])
        return home.add_class("pressing-board")

    def __getitem__(self, name: str) -> Any:
        """The group of controls of this name."""
        return self._made[name]
