"""The desk of a tutor: a picture and a form beside it become an exercise, a handout, slides, and a course."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import EllipsisType
from typing import Any

import ipywidgets as w

from pressinglib.errors import PressingError, as_a
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.board import Board
from pressinglib.show.controls import Display, LiveText
from pressinglib.teach.accepted import Accepted, doubts_of
from pressinglib.teach.course import ENDING, FOLDER, LONGEST_TITLE, Course, Workshop
from pressinglib.teach.exercise import Card, Exercise
from pressinglib.teach.form import Form
from pressinglib.teach.handout import Booklet, save_slides, slides_of
from pressinglib.teach.own_exercise import KINDS, document_of, load_exercise, make_exercise
from pressinglib.teach.page_exercises import save_page
from pressinglib.teach.pictures import SHAPES
from pressinglib.teach.widget import TaskPanel

PAUSE_S = 0.8  # after the last change, before the desk tries it again
BUILD_UPS = ("2+2", "2+3", "3+1", "3+2", "4+1", "4+2")
ONE, ALL = "this exercise", "the course"
GREY = "Black and white"
ASKED = ("cover", "option", "fault")  # what a kind may ask for


class DeskBoard(Board):
    """The board of a desk: a click on a player also takes him for what is asked; the table is for plans."""

    panel_type = TaskPanel

    def __init__(self, begin: Situation, rulebook: Rulebook, clicked: Callable[[str, str], None]) -> None:
        self.clicked = clicked
        super().__init__(begin, rulebook, width_px=560, with_plan=False, controls=("steps", "move"))

    def _answered(self, message: dict[str, Any]) -> None:
        super()._answered(message)
        if message.get("kind") == "choose":
            self.clicked(*self.chosen)


class Desk(Form):
    """A form beside a board: what is on the screen is what is saved, printed and shown, always.

    Every change is tried again after a moment; what cannot be solved, or is too easy, is said in words.

    Parameters
    ----------
    begin : Situation or Board, optional
        The picture to begin with; the form offers shapes, named scenes and saved exercises too.
    folder : str
        Where files go, beside the notebook.

    Examples
    --------
    >>> desk = Desk(scene("worked scene"), "nowhere")
    >>> desk.try_it()
    Note: It can be solved. Right: 9 and nothing else.
    >>> desk.fields["Title"].value = ""
    >>> desk.exercise
    Ellipsis
    """

    def __init__(self, begin: Situation | Board | None = None, folder: str = FOLDER) -> None:
        first = begin if begin is not None else Situation.line_up("4-4-2", "3-5-2", ball_xy=(33, 14))
        picture, rules = (first.situation, first.rulebook) if isinstance(first, Board) else (
            as_a(first, Situation, "picture of the desk", "give a Situation or a Board"), Rulebook())
        self.shop = Workshop(folder)
        self.order = [*self.shop.titles().values()]
        self.board = DeskBoard(picture, rules, self._clicked)
        self.board.on_change(lambda _: self.changed())
        name, kind = next(iter(KINDS.items()))
        self._known: tuple[Any, Exercise] | None = None
        self._timer: asyncio.TimerHandle | None = None
        super().__init__({"Kind": name, "Title": kind.title, "Task": kind.task, **dict.fromkeys(ASKED),
                          "Course": "My course", "Of": ONE, "Paper": "A4", GREY: False})

    def build(self) -> Display:
        """The board on the left; where to begin, the question and the course on the right."""
        fields = {"Kind": w.Dropdown(options=list(KINDS)), "Title": w.Text(), "Task": w.Textarea(rows=2),
                  **{word: w.Dropdown() for word in ASKED}, "Course": w.Text(), "Of": w.Dropdown(options=[ONE, ALL]),
                  "Paper": w.Dropdown(options=["A4", "Letter"]), GREY: w.Checkbox()}
        self.plan = w.ToggleButton(description="Show the plan")
        self.plan.observe(lambda change: self.board.show_plan(change["new"]), "value")
        self.list = w.Select(description="Order", rows=4)
        menus = {"Ours": SHAPES, "Theirs": SHAPES, "Builds up": BUILD_UPS, "Scene": scene_names(), "Saved": ()}
        self.begin = {name: w.Dropdown(options=("-", *some), description=name) for name, some in menus.items()}
        for name, menu in self.begin.items():
            menu.observe(partial(self._begin, name), "value")
        self.filling = True
        for word in ASKED:  # they have no options yet
            fields[word].options = [self.filled[word]] if self.filled[word] else []
        self.lay(fields, {
            "Save": self.save, "Replace": lambda: self.save(replace=True), "New": self.clear,
            "Earlier": lambda: self._shift(-1), "Later": lambda: self._shift(1), "Take out": lambda: self._shift(0),
            **{word: partial(self._written, word) for word in WRITES}})
        self._ask()
        self._list()
        self.filling = False
        self.changed()
        echo = LiveText(tone="note", live=False)  # the same below the last buttons, to be in view there
        w.link((self.words, "text"), (echo, "text"))
        several, buttons = [*self.fields.values()], [*self.buttons.values()]
        return self.beside(
            self.board, w.HTML("<b>Begin with</b>"), *self.begin.values(), w.HTML("<b>The question</b>"), *several[:6],
            w.Box([*buttons[:3], self.plan]), self.words, w.HTML("<b>The course</b>"), several[6], self.list,
            w.Box(buttons[3:6]), *several[7:], w.Box(buttons[6:]), echo)

    def __repr__(self) -> str:
        return f"A form for an exercise, beside a {self.board!r}"

    # -- what is filled in ---------------------------------------------------------------------------------------

    def _ask(self) -> None:
        """Menus for what the kind asks, with the players and the faults of this picture."""
        before, self.filling, kind = self.filling, True, KINDS[self.filled["Kind"]]
        jobs = [job for job in self.board.plan.assignments.values() if job.role == "cover" and job.mark]
        usual = {"cover": jobs[0].number, "option": jobs[0].mark} if jobs else {}
        for word in ASKED:
            self.fields[word].layout.display = None if word in kind.asks else "none"
            if word in kind.asks:
                options = kind.choices(word, self.board.situation)
                now = next(one for one in (self.filled[word], usual.get(word), options[0]) if one in options)
                self.fields[word].options = options
                self.fields[word].value = self.filled[word] = now
        self.filling = before

    def _clicked(self, team: str, number: str) -> None:
        """A player was clicked in the picture: he is the one who is asked about."""
        for word, whose in KINDS[self.filled["Kind"]].asks.items():
            if whose == team:
                self.fields[word].value = number

    def _begin(self, name: str, change: dict[str, Any]) -> None:
        """Another picture: two shapes, a named scene, or a saved exercise with all its fields."""
        if not self.filling and change["new"] != "-":
            self.tell(partial(self._open if name == "Saved" else self._picture, change["new"]))

    def _picture(self, chosen: str) -> Card:
        ours, theirs, build_up = (None if self.begin[name].value == "-" else self.begin[name].value
                                  for name in ("Ours", "Theirs", "Builds up"))
        self.board.show(scene(chosen) if chosen in scene_names() else Situation.line_up(
            ours or "4-4-2", theirs or "4-3-3", self.board.situation.ball_xy, build_up))
        return Card("Move the players, choose the question.")

    def _open(self, title: str) -> Card:
        exercise = load_exercise(self.shop.titles()[title])
        values = document_of(exercise)
        self.board.show(exercise.situation)
        self.filled |= values["asked"]
        for name in ("Kind", "Title", "Task"):
            self.fields[name].value = values[name.lower()]
        return Card(f"{title}, as it was saved.")

    # -- what is on the screen is what counts --------------------------------------------------------------------

    def changed(self, name: str = "", old: Any = None) -> None:
        """Try it again once nothing has changed for a moment; a kind brings its words, where there are no others."""
        if self.filling:
            return
        if name == "Kind":
            for field in ("Title", "Task"):
                if self.filled[field] in ("", getattr(KINDS[old], field.lower())):
                    self.fields[field].value = getattr(KINDS[self.filled["Kind"]], field.lower())
            self._ask()
        self.buttons["Replace"].layout.display = "none"
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # no page: whoever asks is answered then
            return
        if self._timer is not None:
            self._timer.cancel()
        self._timer = loop.call_later(PAUSE_S, self.tell, self.try_it)

    def made(self) -> Exercise:
        """The exercise on the screen; a PressingError says what is wrong with it."""
        self._ask()
        title, task, kind = (self.filled[name] for name in ("Title", "Task", "Kind"))
        key = self.board.situation, self.board.rulebook, *self.filled.values()
        if self._known is None or self._known[0] != key:
            asked = [self.filled[word] for word in KINDS[kind].asks]
            self._known = key, make_exercise(self.board.situation, title, task, kind, asked, "", self.board.rulebook)
        return self._known[1]

    @property
    def exercise(self) -> Exercise | EllipsisType:
        """The one on the screen; `...` where it has a fault."""
        try:
            return self.made()
        except PressingError:
            return ...

    def try_it(self) -> Card:
        """Whether what is on the screen can be solved, what counts as right, and what to mind."""
        accepted = Accepted(self.made())
        return Card(" ".join(["It can be solved.", repr(accepted.card), *doubts_of(accepted)]))

    def save(self, replace: bool = False) -> Card:
        """The exercise as a file, and a place in the course."""
        exercise = self.made()
        said = self.shop.save(exercise, replace)
        self.buttons["Replace"].layout.display = "none" if said.title == "Note" else None
        path = self.shop.titles().get(exercise.title)
        if path is not None and path not in self.order:
            self.order.append(path)
        self._list(path)
        return said

    def clear(self) -> Card:
        """Another exercise on the same picture."""
        kind = KINDS[self.filled["Kind"]]
        self.fields["Title"].value, self.fields["Task"].value = kind.title, kind.task
        return Card("Write another title, change the picture.")

    # -- the course, and what is printed, shown and handed out ---------------------------------------------------

    def _list(self, chosen: Path | None = None) -> None:
        """The exercises of the course in their order."""
        titles = {path: title for title, path in self.shop.titles().items()}
        self.order = [path for path in self.order if path in titles]
        self.list.options = [(titles[path], path) for path in self.order]
        if chosen in self.order:
            self.list.value = chosen
        before, self.filling = self.filling, True
        self.begin["Saved"].options = ("-", *titles.values())
        self.filling = before

    def _shift(self, steps: int) -> Card:
        path = self.list.value
        if path is None:
            return Card("Save an exercise first, then choose it in the list.")
        place = self.order.index(path)
        self.order.remove(path)
        if steps:
            self.order.insert(max(place + steps, 0), path)
        self._list(path)
        return Card(f"The course: {'; '.join(title for title, _ in self.list.options) or 'no exercise'}.")

    def chosen(self) -> Course:
        """The exercise on the screen, or all in the list under the title of the course."""
        if self.filled["Of"] == ONE:
            exercise = self.made()
            return Course(exercise.title[:LONGEST_TITLE], (exercise,))
        if not self.order:
            raise PressingError("The course has no exercise yet", todo="save one first")
        return Course(self.filled["Course"], tuple(map(load_exercise, self.order)))

    def _written(self, word: str) -> Card:
        """What a button writes, and where it lies."""
        course, said = self.chosen(), Card("")
        for ending, write in WRITES[word].items():
            said = self.shop.written(course.title, ending, partial(write, self, course))
        return said


WRITES: dict[str, dict[str, Callable[[Desk, Course, Path], object]]] = {
    "Print": {".pdf": lambda desk, course, path: Booklet(
        course, paper=desk.filled["Paper"], grey=desk.filled[GREY]).save(path)},
    "Slides": {ending: lambda desk, course, path: save_slides([one for each in course for one in slides_of(each)], path)
               for ending in ("_slides.pdf", "_slides.html")},
    "Page": {"_page.html": lambda desk, course, path: save_page([*course], path, course.title)},  # for a phone
    "Hand out": {ENDING: lambda desk, course, path: course.save(path)}}
