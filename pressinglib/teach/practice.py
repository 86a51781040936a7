"""A practice for the grass: area, players, timing, what to look for, easier, harder; to read and to print."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from pressinglib.doors import door_class
from pressinglib.errors import BadInput, shown
from pressinglib.field.scene_file import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.show.drawing import draw_situation
from pressinglib.show.pages import RULE_CM, Pages
from pressinglib.show.primitives import Crop
from pressinglib.tables import Table
from pressinglib.teach.handout import AID, CAUTION, printed

PARTS, LOOK = ("area", "players", "timing", "easier", "harder"), "Look for"
LONGEST = 600
PICTURE_CM, TYPE_PT, HEADING_PT = 9.0, 10.5, 12.5
LINES = 8


@door_class
@dataclass(frozen=True, repr=False)
class Practice:
    """A practice, always with the caution.

    Parameters
    ----------
    title : str
    area, players, timing : str
        "25 by 20 m, two small goals"; "4 against 3"; "45 s play, 90 s rest, six times".
    points : tuple of str
        Coaching points: what to look for.
    easier, harder : str
    situation : Situation, optional
        How it starts, to be drawn.
    marks : tuple of OwnMark
        What is drawn on it: the area as a zone, runs as arrows.
    part : str or box
        The part of the pitch that is drawn; see `pressinglib.show.Crop`.

    Raises
    ------
    BadInput
        If one of the texts is empty, or a page long.

    Examples
    --------
    >>> practice = Practice("Four against three", "25 by 20 m", "7", "45 s, six times", ("One goes.",), "15 m", "5 v 3")
    >>> print(practice)
    Four against three
    Area: 25 by 20 m
    Players: 7
    ...
    """

    title: str
    area: str
    players: str
    timing: str
    points: tuple[str, ...]
    easier: str
    harder: str
    situation: Situation | None = None
    marks: tuple[OwnMark, ...] = ()
    part: Crop = "whole"

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", (self.points,) if isinstance(self.points, str) else tuple(self.points))
        for name, text in [*((name, getattr(self, name)) for name in ("title", *PARTS)),
                           *(("coaching point", point) for point in self.points or ("",))]:
            if not isinstance(text, str) or not 1 <= len(text.strip()) <= LONGEST:
                raise BadInput(f"{name} of the practice", expected=f"1-{LONGEST} characters", got=shown(text),
                               todo="write a few words")

    def rows(self) -> list[tuple[str, str]]:
        """Each part under its name, the caution last."""
        named = [(name.capitalize(), getattr(self, name)) for name in PARTS]
        return [*named[:3], (LOOK, " ".join(self.points)), *named[3:], ("Caution", CAUTION)]

    def __repr__(self) -> str:
        return "\n".join([self.title, *(f"{name}: {text}" for name, text in self.rows())])

    def _repr_html_(self) -> str:
        return Table(("For the grass", self.title), self.rows())._repr_html_()

    def pages(self) -> Pages:
        """One page: the picture, then the parts, then lines to write on."""
        pages = Pages(self.title, foot=AID)
        if self.situation is not None:
            drawing = draw_situation(self.situation, marks=self.marks)
            pages.picture(drawing, height_cm=PICTURE_CM, part=self.part)
        points = [(LOOK * (not n), f"\N{EN DASH} {point}") for n, point in enumerate(self.points)]
        rows = self.rows()
        pages.rows(rows[0], [*rows[1:3], *points, *rows[4:]], (1, 5), TYPE_PT)
        pages.write("Notes", HEADING_PT, serif=True)
        pages.lines(min(LINES, int(pages.room_cm / RULE_CM)))
        return pages

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Print it as a PDF; a wrong name or folder is a PressingError that says so."""
        return printed(path, (".pdf",), lambda: self.pages().bytes("pdf"))
