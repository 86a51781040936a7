"""A practice for the grass as a card: a picture of it, how it goes, what to look for; to read and to print."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from pressinglib.doors import door_class
from pressinglib.errors import BadInput, PracticeFileError, as_items, as_known, shown
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import XY, Player
from pressinglib.field.scene_file import SCENE, OwnMark, SceneFile
from pressinglib.field.situation import Situation
from pressinglib.files import Checker, Format, Values, several, that
from pressinglib.show.drawing import Drawing, draw_situation
from pressinglib.show.export import SCREEN_DPI, WIDTH_CM, few_colours, picture_bytes
from pressinglib.show.pages import RULE_CM, Pages
from pressinglib.show.primitives import Box
from pressinglib.tables import Table
from pressinglib.teach.handout import CAUTION, printed

# The parts of a card in their order; those in LISTS are a few lines each.
HEADS = {"area": "Area", "players": "Players", "steps": "How it goes", "rules": "Rules and points",
         "points": "Look for", "cues": "Call", "easier": "Easier", "harder": "Harder", "timing": "Work and rest"}
LISTS, MAY_LACK = ("steps", "points", "cues"), ("rules", "steps", "cues")
LONGEST, MOST_LINES = 600, 12
FOOT = "Common practice: metres, numbers and times are starting points. A teaching aid, not advice on a person."
RUN, WIDE_M, EDGE_M, LEAST_M = "own run", 36.0, 3.5, 16.0  # smaller ones are drawn larger, or players would hide them
ASIDE_M = 2.4
PICTURE_CM, TYPE_PT, HEADING_PT, LINES = 10.0, 9.5, 12.5, 4
LESSONS = Path(__file__).with_name("practices.json")


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
    rules : str
        What counts.
    steps, cues : tuple of str
        How it goes, in its order; what to call.
    situation : Situation, optional
        How it starts, to be drawn; the teams are those who press and those who have the ball, or serve it.
    marks : tuple of OwnMark
        What is drawn on it: the area as a zone, cones and goals; runs as arrows, passes, dribbles, each with the number
        of its step.

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
    rules: str = ""
    steps: tuple[str, ...] = ()
    cues: tuple[str, ...] = ()
    situation: Situation | None = None
    marks: tuple[OwnMark, ...] = ()

    def __post_init__(self) -> None:
        for name in ("title", *HEADS):
            given = getattr(self, name)
            lines = ((given,) if isinstance(given, str) else tuple(given)) if name in LISTS else (given,)
            least = 0 if name in MAY_LACK else 1
            fits = [isinstance(one, str) and least <= len(one.strip()) <= LONGEST for one in lines]
            if not all(fits) or not least <= len(lines) <= MOST_LINES:
                raise BadInput(f"{name} of the practice", expected=f"{least}-{LONGEST} characters", got=shown(given),
                               todo="write a few words")
            object.__setattr__(self, name, lines if name in LISTS else given)
        object.__setattr__(self, "marks", as_items(self.marks, OwnMark, "marks of the practice", "marks", "draw them"))

    def rows(self) -> list[tuple[str, str]]:
        """Each part under its name, the caution last."""
        said = {name: getattr(self, name) for name in HEADS}
        told = {"steps": "\n".join(f"{n}  {one}" for n, one in enumerate(self.steps, 1)),
                **{name: "\n".join(said[name]) for name in ("points", "cues")}}
        return [*((head, words) for name, head in HEADS.items() if (words := told.get(name, said[name]))),
                ("Caution", CAUTION)]

    @property
    def drawing(self) -> Drawing:
        """What it looks like: area, goals, players, ways on foot and of the ball; no lines of a pitch."""
        middle, _, larger = self._frame

        def at(xy: Iterable[float]) -> XY:
            x, y = (np.asarray(xy) - middle) * larger
            return float(x), float(y)

        s = self.situation or started(1, 1)
        s = replace(s, pitch=Pitch(), ball_xy=at(s.ball_xy), pressing=tuple(p.at(at(p.xy)) for p in s.pressing),
                    possession=tuple(p.at(at(p.xy)) for p in s.possession))
        marks = [replace(mark, points=tuple(map(at, mark.points))) for mark in self.marks]
        marks += [OwnMark("note", (beside,), f"{metres:.3g} m") for zone, shown in zip(self.marks, marks, strict=True)
                  if zone.kind == "zone" for beside, metres in _metres(zone, shown)]
        drawn = draw_situation(s, self.title, marks=marks)
        return replace(drawn, words=f"{self.title}. {self.area}. {self.players}.", marks=tuple(
            replace(mark, layer="practice" if mark.layer in ("own", "players") else mark.layer,
                    style=RUN if mark.style == "own arrow" else mark.style)
            for mark in drawn.marks if mark.style != "marking"))

    @property
    def part(self) -> Box:
        """So much of it is shown."""
        _, size, larger = self._frame
        x, y = (max(float(one) / 2 * larger + EDGE_M, LEAST_M / 2) for one in size)
        return -x, x, -y, y

    @property
    def on_pitch(self) -> Box:
        """The part of a pitch on which it stands, as it is."""
        (x, y), size, _ = self._frame
        along, across = (max(float(one) / 2 + EDGE_M, LEAST_M / 2) for one in size)
        return float(x) - along, float(x) + along, float(y) - across, float(y) + across

    @property
    def _frame(self) -> tuple[np.ndarray, np.ndarray, float]:
        """Its middle, its size, and how much larger than it is it is drawn."""
        s = self.situation or started(1, 1)
        marked = [xy for mark in self.marks for xy in mark.points]
        places = [s.ball_xy, *(player.xy for player in (*s.pressing, *s.possession)), *marked]
        low, high = np.min(places, axis=0), np.max(places, axis=0)
        return (low + high) / 2, high - low, max(1.0, WIDE_M / float((high - low).max()))

    def __repr__(self) -> str:
        return "\n".join([self.title, *(f"{name}: {text}" for name, text in self.rows())])

    def _repr_html_(self) -> str:
        return Table(("For the grass", self.title), self.rows())._repr_html_()

    def _repr_png_(self, width_cm: float = WIDTH_CM, dpi: float = SCREEN_DPI) -> bytes | None:
        if self.situation is None:
            return None
        return few_colours(picture_bytes(self.drawing, "png", width_cm, dpi, part=self.part))

    def pages(self, paper: str = "A4", grey: bool = False) -> Pages:
        """The picture, then the parts, then lines to write on."""
        pages = Pages(self.title, paper, foot=FOOT, grey=grey)
        if self.situation is not None:
            pages.picture(self.drawing, PICTURE_CM, part=self.part, legend=False, words=False)
            pages.legend(self.drawing)
        pages.write("")
        several = [(name * (n == 0), line) for name, text in self.rows() for n, line in enumerate(text.split("\n"))]
        pages.rows(("For the grass", "common practice"), several, (1, 5), TYPE_PT)
        if pages.room_cm > 2.5 * RULE_CM:
            pages.write("Notes", HEADING_PT, serif=True)
            pages.lines(min(LINES, int(pages.room_cm / RULE_CM)))
        return pages

    def save(self, path: str | os.PathLike[str], paper: str = "A4", grey: bool = False) -> Path:
        """Print it as a PDF; or keep it as a file (.json) to open and change it. A PressingError says what is wrong."""
        if Path(path).suffix.lower() == ".json":
            values = {"title": self.title, **{name: getattr(self, name) for name in HEADS}}
            scene = SceneFile(self.situation or started(1, 1), "", "", self.marks).to_dict()
            return PRACTICE.save({**values, "scene": {"version": SCENE.version, **scene}}, path)
        return printed(path, {".pdf": lambda: self.pages(paper, grey).bytes()})


def _practice(check: Checker, values: Values) -> Practice | None:
    lines = several(that(lambda one: isinstance(one, str), "a text"), 0, MOST_LINES, "lines")
    words = {name: lines if name in LISTS else None for name in ("title", *HEADS)}
    given = check.fields(values, **words, scene=SCENE.newest)
    if check.faults:
        return None
    scene = given.pop("scene")
    return check.make(Practice, **given, situation=scene.situation, marks=scene.marks, named=True)


PRACTICE = Format(PracticeFileError, 1, 200_000, _practice)


def lesson_practice(number: str) -> Practice:
    """The practice of a lesson, "00" to "12".

    Examples
    --------
    >>> lesson_practice("00").title
    'Four against three'
    """
    several = json.loads(LESSONS.read_text("utf-8"))
    made = PRACTICE.newest(Checker(), {"version": 1, **several[as_known(number, several, "lesson")]})
    assert made is not None
    return made


def _metres(zone: OwnMark, shown: OwnMark) -> Iterator[tuple[XY, float]]:
    """How long and wide an area is, and where that is written: below it and to its right."""
    (x0, y0), (x1, y1) = np.min(shown.points, axis=0), np.max(shown.points, axis=0)
    along_m, across_m = np.ptp(zone.points, axis=0)
    yield ((x0 + x1) / 2, y0 - ASIDE_M), along_m
    yield (x1 + ASIDE_M, y0 + (y1 - y0) / 8), across_m


def started(ours: int, theirs: int) -> Situation:
    """So many against so many, in two rows, the ball with one of the others."""
    row = {team: [(x, 4.0 * (n - (many - 1) / 2)) for n in range(many)]
           for team, many, x in (("ours", ours, -5.0), ("theirs", theirs, 5.0))}
    first, second = (tuple(Player(str(n), "outfield", xy) for n, xy in enumerate(places, 1)) for places in row.values())
    return Situation(Pitch(), first, second, (second[0].xy[0] - 1.0, second[0].xy[1]))
