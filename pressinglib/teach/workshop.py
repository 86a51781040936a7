"""A tutor's workshop: an exercise made, tried, saved and printed; whatever goes wrong is said in words."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from types import EllipsisType
from typing import Any

from pressinglib.errors import PressingError
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.card import Card
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.exercise_file import save_exercise
from pressinglib.teach.file_name import file_name
from pressinglib.teach.handout import Handout
from pressinglib.teach.own_exercise import make_exercise
from pressinglib.teach.slide import save_slides, slides_of

FOLDER = "my-exercises"


class Workshop:
    """Makes an exercise of what a tutor fills in, and keeps it to be saved and printed.

    Parameters
    ----------
    folder : str or path
        Where files go; made when the first is saved. Their names come from the title.
    rulebook : Rulebook, optional

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> shop = Workshop()
    >>> shop.make(scene("worked scene"), "Who goes?", "Write his number.", "who gose")
    Note: There is no kind 'who gose' here. Choose who goes, ...
    >>> shop.save()
    Note: Make an exercise first: fill in the fields.
    >>> shop.make(scene("worked scene"), "Who goes?", "Write his number.", "who goes")
    Note: It can be solved. Right: 9 and nothing else.
    """

    def __init__(self, folder: str | os.PathLike[str] = FOLDER, rulebook: Rulebook | None = None) -> None:
        self.folder, self.rulebook = Path(folder), rulebook
        self.exercise: Exercise | EllipsisType = ...

    def make(self, situation: Situation, title: str, task: str, kind: str, asked: Any = "") -> Card:
        """An exercise of these fields, tried out; one that was made before stays if this one has a fault."""
        return _said(lambda: self._make(situation, title, task, kind, asked))

    def save(self) -> Card:
        """The exercise as a file to share."""
        return self._written(".json", save_exercise)

    def print_handout(self) -> Card:
        """The exercise as a handout, PDF."""
        return self._written(".pdf", lambda exercise, path: Handout(exercise).save(path))

    def save_slides(self) -> Card:
        """Question and answer as slides, GIF."""
        return self._written(".gif", lambda exercise, path: save_slides(slides_of(exercise), path))

    def _make(self, situation: Situation, title: str, task: str, kind: str, asked: Any) -> Card:
        self.exercise = make_exercise(situation, title, task, kind, asked, rulebook=self.rulebook)
        return Card(f"It can be solved. {Accepted(self.exercise).card!r}")

    def _written(self, ending: str, write: Callable[[Exercise, Path], object]) -> Card:
        exercise = self.exercise
        if not isinstance(exercise, Exercise):
            return Card("Make an exercise first: fill in the fields.")
        path = self.folder / f"{file_name(exercise.title, 'exercise')}{ending}"
        return _said(lambda: self._file(exercise, path, write))

    def _file(self, exercise: Exercise, path: Path, write: Callable[[Exercise, Path], object]) -> Card:
        new = not path.exists()
        self.folder.mkdir(parents=True, exist_ok=True)
        write(exercise, path)
        return Card(f"{'Saved' if new else 'Saved anew'} as {path}.")


def _said(make: Callable[[], Card]) -> Card:
    """A card, also of what went wrong."""
    try:
        return make()
    except (PressingError, OSError) as error:
        return Card(str(error))
