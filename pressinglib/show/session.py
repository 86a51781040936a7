"""The scenes on one board: each with its title, its notes and its own undo; opened from a file and saved to one."""

from __future__ import annotations

import os
from dataclasses import dataclass, field, replace

from pressinglib.errors import PressingError, SceneFileError
from pressinglib.field.scene_file import SceneFile, load_scene, load_session, save_session, save_situation
from pressinglib.show.history import History
from pressinglib.show.wishes import Moment

MOST = 100  # as many as a session file holds


@dataclass
class Sheet:
    """One scene and what was done to it."""

    history: History[Moment]
    title: str = ""
    notes: str = ""

    @classmethod
    def of(cls, moment: Moment, scene: SceneFile) -> Sheet:
        """A scene of a file, under the rules of a moment."""
        fresh = replace(moment, situation=scene.situation, marks=scene.marks, steer=None, approach_deg=None)
        return cls(History.of(fresh), scene.title, scene.notes)

    @property
    def untouched(self) -> bool:
        """Nothing was done to it and nothing can be lost."""
        return not (self.history.past or self.history.future or self.title or self.notes)

    def scene(self) -> SceneFile:
        """As a file keeps it."""
        now = self.history.now
        return SceneFile(now.situation, self.title, self.notes, now.marks)


@dataclass
class Session:
    """All sheets, and which one is on the board.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> session = Session([Sheet(History.of(Moment(Situation.line_up())))])
    >>> session.add("press high"), session.at, session.turn(-1), session.at, session.turn(-1)
    (True, 1, True, 0, False)
    """

    sheets: list[Sheet] = field(default_factory=list)
    at: int = 0

    @property
    def sheet(self) -> Sheet:
        """The one on the board."""
        return self.sheets[self.at]

    def turn(self, steps: int) -> bool:
        """To a later or an earlier scene; False where there is none."""
        if not 0 <= self.at + steps < len(self.sheets):
            return False
        self.at += steps
        return True

    def add(self, title: str) -> bool:
        """A new scene behind this one, beginning with its picture."""
        if len(self.sheets) >= MOST:
            raise PressingError(f"A session holds at most {MOST} scenes. Save this one and begin another.")
        here = self.sheet.history.now
        self.sheets.insert(self.at + 1, Sheet(History.of(here), title))
        return self.turn(1)

    def remove(self) -> bool:
        """Take this scene out; the last one stays."""
        if len(self.sheets) == 1:
            return False
        del self.sheets[self.at]
        self.at = min(self.at, len(self.sheets) - 1)
        return True

    def open(self, path: str | os.PathLike[str]) -> None:
        """The scenes of a file behind those that are here, which nobody loses; the first of them is shown."""
        fresh = [Sheet.of(self.sheet.history.now, scene) for scene in scenes_of(path)]
        kept = [] if len(self.sheets) == 1 and self.sheet.untouched else self.sheets
        if len(kept) + len(fresh) > MOST:
            raise PressingError(f"Together {len(kept) + len(fresh)} scenes: a session holds at most {MOST}.")
        self.sheets, self.at = [*kept, *fresh], len(kept)

    def save(self, path: str | os.PathLike[str]) -> None:
        """All scenes to a file; one alone as a scene file."""
        scenes = [sheet.scene() for sheet in self.sheets]
        if len(scenes) > 1:
            save_session(scenes, path)
        else:
            save_situation(scenes[0].situation, path, scenes[0].title, scenes[0].notes, scenes[0].marks)


def scenes_of(path: str | os.PathLike[str]) -> tuple[SceneFile, ...]:
    """The scenes of a session file, or the one of a scene file."""
    try:
        return (load_scene(path),)
    except SceneFileError as error:
        if error.problems != ("a session of several scenes",):
            raise
        return load_session(path)
