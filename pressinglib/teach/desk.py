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
from pressinglib.show.controls import Display, Displayed, LiveText, button
from pressinglib.show.pages import PAPERS
from pressinglib.teach.accepted import Accepted, doubts_of
from pressinglib.teach.course import ENDING, FOLDER, LONGEST_TITLE, Course, Workshop
from pressinglib.teach.exercise import Card, Exercise
from pressinglib.teach.handout import Booklet
from pressinglib.teach.own_exercise import KINDS, document_of, load_exercise, make_exercise
from pressinglib.teach.page_exercises import save_page
from pressinglib.teach.pictures import SHAPES
from pressinglib.teach.slides import save_slides, slides_of
from pressinglib.teach.widget import opened

PAUSE_S = 0.8  # after the last change, before the desk tries it again
WORKING = "Working on it ..."
BUILD_UPS = ("2+2", "2+3", "3+1", "3+2", "4+1", "4+2")
ONE, ALL = "this exercise", "the course"
ASKED = ("cover", "option", "fault")  # what a kind may ask for


class DeskBoard(Board):
    """The board of a desk: a click on a player also takes him for what is asked; the table is for plans."""

    def __init__(self, begin: Situation, rulebook: Rulebook, clicked: Callable[[str, str], None]) -> None:
        self.clicked = clicked
        super().__init__(begin, rulebook, width_px=560, with_plan=False, controls=("steps", "move"))

    def build(self) -> Display:
        home = super().build()
        self.panel.table.layout.display = "none"
        return home

    def _answered(self, message: dict[str, Any]) -> None:
        super()._answered(message)
        if message.get("kind") == "choose":
            self.clicked(*self.chosen)


class Desk(Displayed):
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
        self.board.on_change(lambda _: self._changed())
        name, kind = next(iter(KINDS.items()))
        self.filled: dict[str, Any] = {"Kind": name, "Title": kind.title, "Task": kind.task, **dict.fromkeys(ASKED),
                                       "Course": "My course", "Of": ONE, "Paper": "A4", "grey": False}
        self._known: tuple[Any, Exercise] | None = None
        self._timer: asyncio.TimerHandle | None = None
        self.widget = self.build()

    # -- how it looks --------------------------------------------------------------------------------------------

    def build(self) -> Display:
        """The board on the left; where to begin, the question and the course on the right."""
        self.filling, self.words, self.echo = True, LiveText(tone="note"), LiveText(tone="note", live=False)
        w.link((self.words, "text"), (self.echo, "text"))  # the same below the last buttons, to be in view there
        options = {"Ours": SHAPES, "Theirs": SHAPES, "Builds up": BUILD_UPS, "Scene": scene_names(), "Saved": ()}
        self.begin = {name: w.Dropdown(options=("-", *some), description=name) for name, some in options.items()}
        for name, menu in self.begin.items():
            menu.observe(partial(self._begin, name), "value")
        self.fields = {"Kind": w.Dropdown(options=list(KINDS)), "Title": w.Text(), "Task": w.Textarea(rows=2),
                       **{word: w.Dropdown() for word in ASKED}, "Course": w.Text(),
                       "Of": w.Dropdown(options=[ONE, ALL]), "Paper": w.Dropdown(options=list(PAPERS)),
                       "grey": w.Checkbox()}
        for name, field in self.fields.items():
            field.description = "Black and white" if name == "grey" else name.capitalize()
            field.observe(partial(self._fill, name), "value")
        self._ask()
        for name, field in self.fields.items():
            field.value = self.filled[name]
        self.list, self.plan = w.Select(description="Order", rows=4), w.ToggleButton(description="Show the plan")
        self.plan.observe(lambda change: self.board.show_plan(change["new"]), "value")
        acts = {"Save": self.save, "Replace": lambda: self.save(replace=True), "New": self.clear,
                "Earlier": lambda: self._shift(-1), "Later": lambda: self._shift(1), "Take out": lambda: self._shift(0),
                "Print": self.print_pdf, "Slides": self.save_slides, "Page": self.save_page,
                "Hand out": self.hand_out}
        self.buttons = {word: button(word, word, partial(self.tell, act)) for word, act in acts.items()}
        self._list()
        self.filling = False
        self._changed()
        return self._laid_out()

    def _laid_out(self) -> Display:
        fields, buttons = list(self.fields.values()), list(self.buttons.values())
        left = w.VBox([opened(self.board)]).add_class("pressing-desk-left")
        side = w.VBox([w.HTML("<b>Begin with</b>"), *self.begin.values(), w.HTML("<b>The question</b>"), *fields[:6],
                       w.Box([*buttons[:3], self.plan]), self.words, w.HTML("<b>The course</b>"), fields[6], self.list,
                       w.Box(buttons[3:6]), *fields[7:], w.Box(buttons[6:]), self.echo]).add_class("pressing-desk-side")
        return Display([w.Box([left, side]).add_class("pressing-desk-grid")]).add_class("pressing-desk")

    def __repr__(self) -> str:
        return f"A form for an exercise, beside a {self.board!r}"

    # -- what is filled in ---------------------------------------------------------------------------------------

    def _fill(self, name: str, change: dict[str, Any]) -> None:
        if self.filling:
            return
        self.filled[name] = change["new"]
        if name == "Kind":  # its words, where the tutor has not written any
            for field in ("Title", "Task"):
                if self.filled[field] in ("", getattr(KINDS[change["old"]], field.lower())):
                    self.fields[field].value = getattr(KINDS[change["new"]], field.lower())
            self._ask()
        self._changed()

    def _ask(self) -> None:
        """Menus for what the kind asks, with the players and the faults of this picture."""
        before, self.filling, asks = self.filling, True, KINDS[self.filled["Kind"]].asks
        jobs = [job for job in self.board.plan.assignments.values() if job.role == "cover" and job.mark]
        usual = {"cover": jobs[0].number, "option": jobs[0].mark} if jobs else {}
        for word in ASKED:
            self.fields[word].layout.display = None if word in asks else "none"
            if word in asks:
                options = KINDS[self.filled["Kind"]].choices(word, self.board.situation)
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
            self.tell(partial({"Scene": self._scene, "Saved": self._open}.get(name, self._line_up), change["new"]))

    def _line_up(self, _: str) -> Card:
        ours, theirs, build_up = (self.begin[name].value for name in ("Ours", "Theirs", "Builds up"))
        self.board.show(Situation.line_up("4-4-2" if ours == "-" else ours, "4-3-3" if theirs == "-" else theirs,
                                          self.board.situation.ball_xy, None if build_up == "-" else build_up))
        return Card("Move the players, choose the question.")

    def _scene(self, name: str) -> Card:
        self.board.show(scene(name))
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

    def _changed(self) -> None:
        """Try it again once nothing has changed for a moment."""
        if self.filling:
            return
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

    def tell(self, act: Callable[[], Card]) -> Card:
        """Do it and say what came of it; also what went wrong."""
        self.words.text = WORKING
        try:
            card = act()
        except PressingError as error:
            card = Card(str(error))
        self.words.text = repr(card)
        return card

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

    def print_pdf(self) -> Card:
        """A handout of one, or a booklet of all."""
        course = self.chosen()
        booklet = Booklet(course, paper=self.filled["Paper"], grey=self.filled["grey"])
        return self.shop.written(course.title, ".pdf", booklet.save)

    def save_slides(self) -> Card:
        """Slides that wait, as a page for the browser and as a PDF."""
        course = self.chosen()
        slides = [slide for exercise in course for slide in slides_of(exercise)]
        self.shop.written(course.title, "_slides.pdf", partial(save_slides, slides))
        return self.shop.written(course.title, "_slides.html", partial(save_slides, slides))

    def save_page(self) -> Card:
        """A page for a phone, HTML; who reads its source can read the answers."""
        course = self.chosen()
        return self.shop.written(course.title, "_page.html", lambda path: save_page([*course], path, course.title))

    def hand_out(self) -> Card:
        """One file for the class."""
        course = self.chosen()
        return self.shop.written(course.title, ENDING, course.save)
