"""By buttons: a tutor makes exercises and a course, prints and shows them; a learner answers; the tutor marks."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from functools import lru_cache, partial
from pathlib import Path
from typing import Any

import ipywidgets as w

from pressinglib.errors import PressingError
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.show import picture_html
from pressinglib.show.board import Board
from pressinglib.show.controls import Display, LiveText
from pressinglib.teach.accepted import Accepted, doubts_of
from pressinglib.teach.answer_file import FOLDER as ANSWERS
from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.class_results import ClassResults, read_class
from pressinglib.teach.course import ENDING, FOLDER, LONGEST_TITLE, TEAM, Course, Workshop, each_file, read_exercises
from pressinglib.teach.exercise import Card, Exercise
from pressinglib.teach.form import PAPER, Form
from pressinglib.teach.handout import Booklet, save_slides, slides_of
from pressinglib.teach.own_exercise import KINDS, Kind, document_of, load_exercise, make_exercise
from pressinglib.teach.page_exercises import save_page
from pressinglib.teach.pictures import SHAPES
from pressinglib.teach.widget import TaskPanel, TryIt, opened

PAUSE_S = 0.8  # after the last change, before the desk tries it again
ONE, ALL = "this exercise", "the course"
ASKED = ("cover", "option", "fault")  # what a kind may ask for
NONE = "-"
MENUS: dict[str, list[str]] = {  # to begin with
    "Ours": [NONE, *SHAPES], "Theirs": [NONE, *SHAPES], "Builds up": [NONE, "2+2", "2+3", "3+1", "3+2", "4+1", "4+2"],
    "Scene": [NONE, *scene_names()], "Saved": [NONE]}


class DeskBoard(Board):
    """The board of a desk: a click on a player also takes him for what is asked; the table is for plans."""

    panel_type = TaskPanel

    def __init__(self, begin: Situation, clicked: Callable[[str, str], None]) -> None:
        self.clicked = clicked
        super().__init__(begin, width_px=560, with_plan=False, controls=("steps", "move"))

    def _answered(self, message: dict[str, Any]) -> None:
        super()._answered(message)
        if message.get("kind") == "choose":
            self.clicked(*self.chosen)


class Desk(Form):
    """A form beside a board: what is on the screen is what is saved, printed and shown, always.

    Every change is tried again after a moment; what cannot be solved, or is too easy, is said in words. It begins with
    a picture of yours, and offers shapes, named scenes and saved exercises; files, title and order of the
    course go into the folder, beside the notebook.

    >>> desk = Desk(scene("worked scene"), "nowhere")
    >>> desk.try_it()
    Note: It can be solved. Right: 9 and nothing else.
    """

    def __init__(self, begin: Situation | None = None, folder: str = FOLDER) -> None:
        picture = Situation.line_up("4-4-2", "3-5-2", ball_xy=(33, 14)) if begin is None else begin
        self.shop = Workshop(folder)
        course, self.order = self.shop.course()
        self.board = DeskBoard(picture, self._clicked)
        self.board.on_change(lambda _: self.changed())
        kind = next(iter(KINDS.values()))
        self._make = lru_cache(maxsize=1)(make_exercise)
        self._timer: asyncio.TimerHandle | None = None
        super().__init__({"Title": kind.title, "Task": kind.task, "Course": course})

    def build(self) -> Display:
        """The board on the left; where to begin, the question and the course on the right."""
        self.plan = w.ToggleButton(description="Show the plan")
        self.plan.observe(lambda change: self.board.show_plan(change["new"]), "value")
        self.list = w.Select(description="Order", rows=4)
        self.filled["Saved"] = NONE
        self.lay({**MENUS, "Kind": [*KINDS], "Title": str, "Task": 2, **dict.fromkeys(ASKED, []), "Course": str,
                  "Of": [ONE, ALL], **PAPER}, {
            "Save": self.save, "Replace": lambda: self.save(replace=True),
            "Earlier": lambda: self._shift(-1), "Later": lambda: self._shift(1), "Take out": lambda: self._shift(0),
            **{word: partial(self._written, word) for word in WRITES}})
        self._list()
        self._ask()
        self.changed()
        echo = LiveText(tone="note", live=False)  # the same below the last buttons, to be in view there
        w.link((self.words, "text"), (echo, "text"))
        several, buttons = [*self.fields.values()], [*self.buttons.values()]
        return self.beside(
            self.board, w.HTML("<b>Begin with</b>"), *several[:5], w.HTML("<b>The question</b>"), *several[5:11],
            w.Box([*buttons[:2], self.plan]), self.words, w.HTML("<b>The course</b>"), several[11], self.list,
            w.Box(buttons[2:5]), *several[12:], w.Box(buttons[5:]), echo)

    def __repr__(self) -> str:
        return f"A form for an exercise, beside a {self.board!r}"

    def _ask(self) -> None:
        """Menus for what the kind asks, with the players and the faults of this picture."""
        self.filling, kind = True, KINDS[self.filled["Kind"]]
        jobs = [job for job in self.board.plan.assignments.values() if job.role == "cover" and job.mark]
        usual = {"cover": jobs[0].number, "option": jobs[0].mark} if jobs else {}
        for word in ASKED:
            self.fields[word].layout.display = None if word in kind.asks else "none"
            if word in kind.asks:
                options = kind.choices(word, self.board.situation)
                now = next(one for one in (self.filled[word], usual.get(word), options[0]) if one in options)
                self.fields[word].options = options
                self.fields[word].value = self.filled[word] = now
        self.filling = False

    def _clicked(self, team: str, number: str) -> None:
        """A player was clicked in the picture: he is the one who is asked about."""
        for word, whose in KINDS[self.filled["Kind"]].asks.items():
            if whose == team:
                self.fields[word].value = number

    def _other_kind(self, old: Kind, new: Kind) -> None:
        """A kind brings its words, where there are no others."""
        for field in ("title", "task"):
            if self.filled[field.capitalize()] in ("", getattr(old, field)):
                self.fields[field.capitalize()].value = getattr(new, field)
        self._ask()

    def _begin(self, name: str) -> Card:
        """Another picture: two shapes, a named scene, or a saved exercise with all its fields."""
        chosen = self.filled[name]
        if name == "Saved":
            exercise = load_exercise(self.shop.titles()[chosen])
            values = document_of(exercise)
            self.board.show(exercise.situation)
            self.board.set(**values["settings"])
            self.filled |= values["asked"]
            for field in ("Kind", "Title", "Task"):
                self.fields[field].value = values[field.lower()]
            return Card(f"{chosen}, as it was saved.")
        ours, theirs, build_up = (self.filled[menu].strip(NONE) for menu in ("Ours", "Theirs", "Builds up"))
        self.board.show(scene(chosen) if name == "Scene" else Situation.line_up(
            ours or "4-4-2", theirs or "4-3-3", self.board.situation.ball_xy, build_up or None))
        return Card("Move the players, choose the question.")

    def changed(self, name: str = "", old: Any = None) -> None:
        """Try it again once nothing has changed for a moment."""
        if self.filling:
            return
        if name in MENUS and self.filled[name] != NONE:
            self.tell(partial(self._begin, name))
        elif name == "Kind":
            self._other_kind(KINDS[old], KINDS[self.filled["Kind"]])
        elif name == "Course":
            self.shop.keep(self.filled["Course"], self.order)
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
        asked = tuple(self.filled[word] for word in KINDS[kind].asks)
        return self._make(self.board.situation, title, task, kind, asked, rulebook=self.board.rulebook)

    def try_it(self) -> Card:
        """Whether what is on the screen can be solved, what counts as right, and what to mind."""
        accepted = Accepted(self.made())
        return Card(" ".join(["It can be solved.", repr(accepted.card), *doubts_of(accepted)]))

    def save(self, replace: bool = False) -> Card:
        """The exercise as a file, and a place in the course."""
        exercise = self.made()
        said = self.shop.save(exercise, replace)
        path = self.shop.titles().get(exercise.title)
        self.order += [path] if path and path not in self.order else []
        self._list(path)
        self.shop.keep(self.filled["Course"], self.order)
        self.buttons["Replace"].layout.display = "none" if said.title == "Note" else None
        return said

    def _list(self, chosen: Path | None = None) -> None:
        """The exercises of the course in their order."""
        titles = {path: title for title, path in self.shop.titles().items()}
        self.order = [path for path in self.order if path in titles]
        self.list.options = [(titles[path], path) for path in self.order]
        if chosen in self.order:
            self.list.value = chosen
        self.fields["Saved"].options = (NONE, *titles.values())

    def _shift(self, steps: int) -> Card:
        path = self.list.value
        if path is None:
            return Card("Save an exercise first, then choose it in the list.")
        place = self.order.index(path)
        self.order.remove(path)
        if steps:
            self.order.insert(max(place + steps, 0), path)
        self._list(path)
        self.shop.keep(self.filled["Course"], self.order)
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
    "Print": {".pdf": lambda desk, course, path: Booklet(course, **desk.paper).save(path)},
    "Slides": {ending: lambda desk, course, path: save_slides([one for each in course for one in slides_of(each)], path)
               for ending in ("_slides.pdf", "_slides.html")},
    "Page": {"_page.html": lambda desk, course, path: save_page([*course], path, course.title)},  # for a phone
    "Hand out": {ENDING: lambda desk, course, path: course.save(path)}}


class Homework(Form):
    """For a learner: write a name, choose what the tutor has handed out, and answer on the board.

    `folder` is where the tutor's files lie, beside the notebook: a course, or single exercises; tries are kept in the
    folder `answers`, a file for each learner.

    >>> Homework("nowhere").words.text
    'No file yet. Lay the file of your tutor into the folder nowhere, then run this cell again.'
    """

    def __init__(self, folder: str = FOLDER, answers: str = ANSWERS) -> None:
        self.folder, self.answers = folder, answers
        self.task: TryIt | None = None
        super().__init__({})

    def build(self) -> Display:
        """The fields, and the exercise that is open."""
        files = sorted(Path(self.folder).glob("*.json"), key=lambda path: not path.name.endswith(ENDING)) if (
            os.path.isdir(self.folder)) else []
        courses, faulty = each_file(files, read_exercises)
        self.given = {one.title if course.title == TEAM else f"{course.title}: {one.title}": (course.title, one)
                      for course in courses for one in course}
        begin = "Write your name and choose an exercise, then press Open." if self.given else (
            f"No file yet. Lay the file of your tutor into the folder {self.folder}, then run this cell again.")
        if self.filled.get("Exercise") not in self.given:
            self.filled["Exercise"] = next(iter(self.given), None)
        self.lay({"Your name": str, "Exercise": [*self.given]}, {"Open": self._open},
                 " ".join([begin, *(f"{name} cannot be opened: {why}." for name, why in faulty)]))
        self.buttons["Open"].disabled = not self.given
        self.place = w.VBox([] if self.task is None else [opened(self.task)])
        return Display([w.HBox([*self.fields.values(), *self.buttons.values()]), self.words, self.place])

    def __repr__(self) -> str:
        return "Exercises from your tutor: write your name, choose one, press Open."

    def _open(self) -> str:
        """The chosen exercise on its board; every try goes into the learner's file."""
        name = self.filled["Your name"].strip()
        if not name:
            return "Write your name first: your tries are kept under it."
        lesson, exercise = self.given[self.filled["Exercise"]]
        progress = progress_of(name, lesson, self.answers)
        if self.task is not None:
            self.task.close()
        self.task = TryIt(exercise, progress=progress)
        self.place.children = [self.task.widget]
        return f"Your tries are kept in {progress.path}: hand that file in. Nothing leaves this machine."


class MarkClass(Form):
    """For a tutor: the answers of the class, the exercises, and a button that judges every answer again.

    `answers` is a folder with a file for each learner, `exercises` the course's file, or the folder of its exercises.

    >>> desk = MarkClass("nowhere")
    >>> desk.buttons["Mark"].click()
    >>> desk.words.text
    'folder my-exercises: expected a folder of exercise files; got none there. Check its name and rights.'
    """

    def __init__(self, answers: str = ANSWERS, exercises: str = FOLDER) -> None:
        self.results: ClassResults | None = None
        super().__init__({"Answers": answers, "Exercises": exercises})

    def build(self) -> Display:
        """The fields as they were filled in."""
        self.lay({"Answers": str, "Exercises": str}, {"Mark": self._mark, "Spreadsheet": self._save},
                 "Lay the files of your class into one folder, name it, then press Mark.")
        self.table = w.HTML("" if self.results is None else _shown(self.results))
        return Display([w.HBox([*self.fields.values(), *self.buttons.values()]), self.words, self.table])

    def __repr__(self) -> str:
        return "The files of your class: name two folders, press Mark."

    def _mark(self) -> str:
        answers, exercises = (name.strip() for name in self.filled.values())
        self.results = read_class(answers, exercises)
        self.table.value = _shown(self.results)
        return (f"Answer files: {len(self.results.learners)}. Exercises: {len(self.results.exercises)}. "
                f"Skipped: {len(self.results.skipped)}.")

    def _save(self) -> str:
        if self.results is None:
            return "Press Mark first."
        path = self.results.save(Path(self.filled["Answers"].strip()) / "class.xlsx")
        return f"Saved as {path}: exercises, learners, and what they answered."


def _shown(results: ClassResults) -> str:
    """Tables, bars, and the places of all where there are any; every name is text."""
    tried = {results.exercises[n] for _, n in results.tries}
    pictures = "".join(picture_html(results.places(title)) or "" for title in results.placed if title in tried)
    return f'{results._repr_html_()}<div style="max-width:560px">{pictures}</div>'
