"""The drawer for scenes: several in one session, opened from a file and saved to one."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from pressinglib.show.board_part import Part, button, label, row, size


class Scenes(Part):
    """Earlier, later, new; titles; open and save."""

    title = "Scenes"

    def __init__(self, board: Any) -> None:
        super().__init__(board)
        self.earlier = button("Earlier", "the scene before", lambda: board.turn(-1))
        self.later = button("Later", "the next scene", lambda: board.turn(1))
        self.where = w.Label()
        self.name = w.Text(description="Title", layout=size(250), style=label(40), continuous_update=False)
        self.new = button("New", "a new scene that begins with this picture", lambda: board.new_scene(""))
        self.remove = button("Remove", "take this scene out", board.remove_scene)
        self.file = w.Text(value="my scenes.json", description="File", layout=size(250), style=label(40))
        self.open = button("Open", "add the scenes of this file", lambda: board.open(self.file.value))
        self.save = button("Save", "save all scenes to this file", self._save)
        self.said = w.Label()
        self.widget = w.VBox([row([self.earlier, self.where, self.later, self.name, self.new, self.remove]),
                              row([self.file, self.open, self.save, self.said])])
        self.on(self.name, lambda: board.entitle(self.name.value))

    def _save(self) -> None:
        if self.board.save(self.file.value):
            self.said.value = f"Saved {len(self.board.session.sheets)} to {self.file.value}"

    def fill(self) -> None:
        session, self.said.value = self.board.session, ""
        self.where.value = f"{session.at + 1} of {len(session.sheets)}"
        self.name.value = session.sheet.title
        self.earlier.disabled, self.later.disabled = session.at == 0, session.at + 1 == len(session.sheets)
        self.remove.disabled = len(session.sheets) == 1
