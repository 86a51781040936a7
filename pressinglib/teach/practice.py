"""A practice for the grass as a card: its picture, how it goes, what to look for; to read, to print, to make."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as w
import numpy as np

from pressinglib.doors import door_class
from pressinglib.errors import PracticeFileError, as_items, as_known, as_text
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import XY, Player
from pressinglib.field.scene_file import SCENE, OwnMark, SceneFile
from pressinglib.field.situation import Situation
from pressinglib.files import Checker, Format, any_text, made_of, several
from pressinglib.show.board import Board
from pressinglib.show.controls import Display
from pressinglib.show.drawing import Drawing, draw_situation
from pressinglib.show.export import SCREEN_DPI, WIDTH_CM, few_colours, picture_bytes
from pressinglib.show.pages import Pages
from pressinglib.show.primitives import Box
from pressinglib.tables import Table
from pressinglib.teach.course import Workshop
from pressinglib.teach.form import PAPER, Form
from pressinglib.teach.handout import CAUTION, printed

# The parts of a card in their order; those in LISTS are a few lines each.
HEADS = {"area": "Area", "players": "Players", "steps": "How it goes", "rules": "Rules and points",
         "points": "Look for", "cues": "Call", "easier": "Easier", "harder": "Harder", "timing": "Work and rest"}
LISTS, MAY_LACK = ("steps", "points", "cues"), ("rules", "steps", "cues")
LONGEST, MOST_LINES = 600, 12
FOOT = "Common practice: metres, numbers and times are starting points. A teaching aid, not advice on a person."
RUN, WIDE_M, EDGE_M, LEAST_M = "own run", 36.0, 3.5, 16.0  # smaller ones are drawn larger, or players would hide them
ASIDE_M = 2.4
PICTURE_CM, TYPE_PT = 10.0, 9.5
LESSONS = json.loads(Path(__file__).with_name("practices.json").read_text("utf-8"))
FOLDER = "my-practices"
KEPT = 12.0, 70.0  # cm wide, dots an inch: of the picture that a notebook keeps


@door_class
@dataclass(frozen=True, repr=False)
class Practice:
    """A practice, always with the caution; BadInput if one of its texts is empty, or a page long.

    `area`, `players`, `timing`: "25 by 20 m, two small goals"; "4 against 3"; "45 s play, 90 s rest, six times".
    `points` are what to look for, `rules` what counts, `steps` how it goes, `cues` what to call. The `situation` is how
    it starts; its teams are those who press and those who have the ball, or serve it. `marks` are drawn on it: the area
    as a zone, cones, goals; runs as arrows, passes, dribbles, each with the number of its step.

    >>> practice = Practice("Four against three", "25 by 20 m", "7", "45 s, six times", ("One goes.",), "15 m", "5 v 3",
    ...                     started(4, 3))
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
    situation: Situation
    rules: str = ""
    steps: tuple[str, ...] = ()
    cues: tuple[str, ...] = ()
    marks: tuple[OwnMark, ...] = ()

    def __post_init__(self) -> None:
        for name in ("title", *HEADS):
            given, what, least = getattr(self, name), f"{name} of the practice", int(name not in MAY_LACK)
            if name in LISTS:
                given = as_items([given] if isinstance(given, str) else given, str, what, f"{least}-{MOST_LINES} lines",
                                 "write a few words", least, MOST_LINES)
                object.__setattr__(self, name, given)
            for line in given if name in LISTS else [given]:
                as_text(line, what, least, LONGEST, lines=True)
        object.__setattr__(self, "marks", as_items(self.marks, OwnMark, "marks of the practice", "marks", "draw them"))

    def rows(self) -> list[tuple[str, str]]:
        """Each part under its name, the caution last."""
        said = {**vars(self), **{name: "\n".join(getattr(self, name)) for name in LISTS},
                "steps": "\n".join(f"{n}  {one}" for n, one in enumerate(self.steps, 1))}
        return [*((head, said[name]) for name, head in HEADS.items() if said[name]), ("Caution", CAUTION)]

    @property
    def drawing(self) -> Drawing:
        """What it looks like: area, goals, players, ways on foot and of the ball; no lines of a pitch."""
        middle, _, larger = self._frame

        def at(xy: Iterable[float]) -> XY:
            x, y = (np.asarray(xy) - middle) * larger
            return float(x), float(y)

        s = self.situation
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
        return _box(np.zeros(2), size * larger)

    @property
    def on_pitch(self) -> Box:
        """The part of a pitch on which it stands, as it is."""
        middle, size, _ = self._frame
        return _box(middle, size)

    @property
    def _frame(self) -> tuple[np.ndarray, np.ndarray, float]:
        """Its middle, its size, and how much larger than it is it is drawn."""
        s = self.situation
        marked = [xy for mark in self.marks for xy in mark.points]
        places = [s.ball_xy, *(player.xy for player in (*s.pressing, *s.possession)), *marked]
        low, high = np.min(places, axis=0), np.max(places, axis=0)
        return (low + high) / 2, high - low, max(1.0, WIDE_M / float((high - low).max()))

    def __repr__(self) -> str:
        return "\n".join([self.title, *(f"{name}: {text}" for name, text in self.rows())])

    def _repr_html_(self) -> str:
        return Table(("For the grass", self.title), self.rows())._repr_html_()

    def _repr_png_(self, width_cm: float = WIDTH_CM, dpi: float = SCREEN_DPI) -> bytes:
        return few_colours(picture_bytes(self.drawing, "png", width_cm, dpi, part=self.part))

    def pages(self, paper: str = "A4", grey: bool = False) -> Pages:
        """The picture, then the parts."""
        pages = Pages(self.title, paper, foot=FOOT, grey=grey)
        pages.picture(self.drawing, PICTURE_CM, part=self.part)
        pages.legend(self.drawing)
        pages.write("")
        several = [(name * (n == 0), line) for name, text in self.rows() for n, line in enumerate(text.split("\n"))]
        pages.rows(("For the grass", "common practice"), several, (1, 5), TYPE_PT)
        return pages

    def save(self, path: str | os.PathLike[str], paper: str = "A4", grey: bool = False) -> Path:
        """Print it as a PDF; or keep it as a file (.json) to open and change it. A PressingError says what is wrong."""
        if Path(path).suffix.lower() == ".json":
            values = {"title": self.title, **{name: getattr(self, name) for name in HEADS}}
            scene = SceneFile(self.situation, "", "", self.marks).to_dict()
            return PRACTICE.save({**values, "scene": {"version": SCENE.version, **scene}}, path)
        return printed(path, {".pdf": lambda: self.pages(paper, grey).bytes()})


LINES = several(any_text, 0, MOST_LINES, "lines")
PRACTICE = Format(PracticeFileError, 1, 200_000, made_of(
    lambda scene, **words: Practice(**words, situation=scene.situation, marks=scene.marks), scene=SCENE.newest,
    **{name: LINES if name in LISTS else None for name in ("title", *HEADS)}))


def lesson_practice(number: str) -> Practice:
    """The practice of a lesson, "00" to "12".

    >>> lesson_practice("00").title
    'Four against three'
    """
    made = PRACTICE.newest(Checker(), {"version": 1, **LESSONS[as_known(number, LESSONS, "lesson")]})
    assert made is not None
    return made


def _box(middle: np.ndarray, size: np.ndarray) -> Box:
    """So large a thing, with a margin."""
    half = np.maximum(size / 2 + EDGE_M, LEAST_M / 2)
    (x0, y0), (x1, y1) = (middle - half).tolist(), (middle + half).tolist()
    return x0, x1, y0, y1


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


# -- In a notebook.

class PracticeCard(Form):
    """A practice to look at, one of your own or that of a lesson by its number, and a button that prints it.

    >>> PracticeCard("00").practice.title
    'Four against three'
    """

    def __init__(self, practice: Practice | str, folder: str = FOLDER) -> None:
        self.practice = practice if isinstance(practice, Practice) else lesson_practice(practice)
        self.shop = Workshop(folder)
        super().__init__({})

    def build(self) -> Display:
        """The picture, the words, the button."""
        self.lay(PAPER, {"PDF": lambda: _write(self, self.practice, ".pdf")})
        shown = w.Image(value=self.practice._repr_png_(), layout=w.Layout(max_width="100%", width="640px"))
        keys = w.Box([*self.fields.values(), *self.buttons.values()])
        return Display([shown, w.HTML(self.practice._repr_html_()), keys, self.words])

    def __repr__(self) -> str:
        return f"A card: {self.practice.title}"

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        return {**super()._repr_mimebundle_(**how), "image/png": self.practice._repr_png_(*KEPT)}


class PracticeDesk(Form):
    """A board on which a practice is set up and drawn, and a form for its words; printed, kept, opened again.

    It begins with one of your own, or that of a lesson by its number; files go into the folder, beside the notebook.

    >>> desk = PracticeDesk("00", "nowhere")
    >>> desk.fields["Title"].value = "Four against three, for my team"
    >>> desk.made().title, len(desk.made().steps)
    ('Four against three, for my team', 4)
    """

    def __init__(self, begin: Practice | str = "00", folder: str = FOLDER) -> None:
        self.shop = Workshop(folder)
        self.first = begin if isinstance(begin, Practice) else lesson_practice(begin)
        self.board = Board(self.first.situation, width_px=560, with_plan=False,
                           marks=self.first.marks, controls=("steps", "move", "draw", "view"))
        self.board.set_view(part=self.first.on_pitch)
        super().__init__({"We are": len(self.board.situation.pressing),
                          "They are": len(self.board.situation.possession), **_words_of(self.first)})

    def build(self) -> Display:
        """The board on the left, the words on the right."""
        self.begins = {f"Lesson {number}: {one['title']}": partial(lesson_practice, number)
                       for number, one in LESSONS.items()}
        self.begins |= {title: partial(PRACTICE.load, path) for title, path in self.shop.titles().items()}
        counts = list(range(1, 12))
        self.lay({"Begin": ["-", *self.begins], "We are": counts, "They are": counts, "Title": str,
                  **{head: 4 if name in LISTS else 2 for name, head in HEADS.items()}, **PAPER},
                 {"Print": lambda: _write(self, self.made(), ".pdf"),
                  "Save": lambda: _write(self, self.made(), ".json")})
        left = self.beside(self.board, w.HTML("Drag the players; <i>Draw</i> gives area, cones, goals, ways: write the "
                                              "number of a step into its words."),
                           *self.fields.values(), w.Box([*self.buttons.values()]), self.words)
        self.board.panel.table.layout.display = "none"
        return left

    def __repr__(self) -> str:
        return f"A form for a practice, beside a {self.board!r}"

    def changed(self, name: str = "", old: Any = None) -> None:
        """Another practice to begin with, or other numbers of players."""
        if name in ("We are", "They are"):
            self.board.show(started(self.filled["We are"], self.filled["They are"]))
        elif name == "Begin" and self.filled[name] in self.begins:
            self.tell(partial(self._begin, self.filled[name]))

    def _begin(self, title: str) -> object:
        practice = self.begins[title]()
        self.board.show(practice.situation, practice.marks)
        self.board.set_view(part=practice.on_pitch)
        for head, words in _words_of(practice).items():
            self.fields[head].value = words
        return "Drag, draw, write: it is yours."

    def made(self) -> Practice:
        """The practice on the screen; a PressingError says what is wrong with it."""
        said = {name: self.filled[head] for name, head in HEADS.items()}
        lines = {name: tuple(filter(None, map(str.strip, said[name].splitlines()))) for name in LISTS}
        return Practice(self.filled["Title"], **(said | lines), situation=self.board.situation,
                        marks=self.board.state.marks)


def _write(form: PracticeCard | PracticeDesk, practice: Practice, ending: str) -> object:
    return form.shop.written(practice.title, ending, partial(practice.save, **form.paper))


def _words_of(practice: Practice) -> dict[str, str]:
    """What stands in the fields of a form."""
    return {"Title": practice.title, **{head: value if isinstance(value, str) else "\n".join(value)
                                        for name, head in HEADS.items() for value in [getattr(practice, name)]}}
