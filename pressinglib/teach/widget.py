"""The exercise as one block: task, picture, answer and verdict; answered in the picture, by buttons or in words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import wraps
from html import escape
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType

import ipywidgets as w
from IPython import get_ipython

from pressinglib.errors import PressingError
from pressinglib.show.board import Board, Panel
from pressinglib.show.canvas import PICK_LABEL
from pressinglib.show.controls import Display, Displayed, LiveText, Options, row
from pressinglib.show.drawing import Drawing, draw_situation
from pressinglib.show.judged import Judged, played
from pressinglib.show.labels import situation_title
from pressinglib.show.marks import length_of, place_along
from pressinglib.show.playback import Playback
from pressinglib.tables import Table
from pressinglib.teach import lessons
from pressinglib.teach.answer_file import FOLDER, Progress, Try, progress_of
from pressinglib.teach.exercise import HINTS, NOT_ATTEMPTED, RIGHT, WRONG, Card, Exercise, Verdict
from pressinglib.teach.explanation import explained, section_of
from pressinglib.teach.press_questions import WriteRule
from pressinglib.teach.stand import NONE

REST_S = 1.0  # what was played stands so long in its end
WIDTH_PX, PLACED_PX = 620, 505  # of the picture; of one with the fields of a mover under it
FEW = 5  # options in words that stand beside a large picture
WHY = '<details class="pressing-why"{open}><summary>Why</summary>{html}</details>'
TITLE = re.compile(r"[^:]*:?[^:,.]*")  # of a lesson, out of its first line


class TaskPanel(Panel):
    """Under the picture of an exercise stands what says where everybody is, and what moves a player without a mouse."""

    def around(self, picture: w.Widget) -> Display:
        """The picture first; the table is for plans, and none is shown."""
        self.table.layout.display = "none"
        controls = [row([group.widget for group in self.groups.values()])] if self.groups else []
        return Display([picture, *controls, self.words, self.complaint, self.table]).add_class("pressing-board")


class TaskBoard(Board):
    """The picture of an exercise with its plan hidden, which would give the answer away.

    Where players are placed they can be moved; else players or gaps are picked, and `pick` is called with each.
    """

    panel_type = TaskPanel

    def __init__(self, exercise: Exercise, pick: Callable[[str], None]) -> None:
        self.exercise, self.form, self.pick = exercise, exercise.form, pick
        placed, self.playback = bool(self.form.placed), Playback(0.0, self._at, self._redraw)
        self.judged: tuple[Judged, ...] = ()
        super().__init__(exercise.situation, exercise.rulebook, width_px=PLACED_PX if placed else WIDTH_PX,
                         with_plan=False, controls=("steps", "move") if placed else ())
        if placed:
            self.choose("pressing", self.form.placed[0])

    def build(self) -> Display:
        """The canvas told what the hand does on it."""
        home = super().build()
        if not (form := self.form).placed:
            which = {"gaps": {name: [*map(list, gap)] for name, gap in form.gaps.items()}} if form.gaps else {
                "team": form.team, "ids": list(form.options) if form.team else []}
            self.canvas.pick, self.canvas.label = {**which, "in_order": form.in_order}, PICK_LABEL
        return home

    @property
    def drawing(self) -> Drawing:
        """The picture and what was judged in it, with words that tell no answer: not who is nearest to the ball."""
        handles = [place_along(gap, length_of(gap) / 2) for gap in self.form.gaps.values()]
        drawn = (draw_situation(self.situation, labels=self.view, judged=self.judged, taken=handles) if self.judged
                 else super().drawing)
        shares = [f" {seen.words}." for _, seen in self.judged if seen.kind == "share"]
        return replace(drawn, words=f"{situation_title(self.situation)}.{''.join(shares)}")

    def changed(self) -> None:
        """Whoever is moved takes away what was judged."""
        self.tell(())
        super().changed()

    def tell(self, judged: tuple[Judged, ...]) -> None:
        """Draw what was judged; it can be played."""
        self.playback.pause()
        anew, self.judged = judged != self.judged, judged
        last_s = max((seen.time_s for _, seen in judged), default=0.0)
        self.playback.time_s, self.playback.lasts_s = 0.0, last_s and last_s + REST_S
        if anew:
            self._redraw()

    def _at(self, time_s: float) -> None:
        self.canvas.show_players(draw_situation(played(self.situation, self.judged, time_s)))

    def _redraw(self) -> None:
        drawing = self.drawing
        self.canvas.show(drawing)
        self._say(drawing.words)

    def picked(self, name: str) -> None:
        """One of the options was picked in the picture."""
        self.pick(name)


def said(act: Callable[[TryIt], Card]) -> Callable[[TryIt], Card]:
    """Say beside the board what comes of it; a failure too, which a notebook would lose."""
    @wraps(act)
    def told(task: TryIt) -> Card:
        try:
            task.board.canvas.drags.work()  # what the hand has let go of comes before the button
            card = act(task)
        except Exception as error:
            card = Card(f"{error}" if isinstance(error, PressingError) else f"{type(error).__name__}: {error}")
        tone, judged = (card.outcome, card.judged) if isinstance(card, Verdict) else ("note", ())
        task.say(repr(card), tone, judged)
        return card

    return told


class TryIt(Displayed):
    """An exercise as one block; the last line of a cell shows it. Its progress keeps what is checked.

    >>> from pressinglib.teach.lessons.lesson_00 import place_the_cover, who_goes
    >>> task = TryIt(place_the_cover)
    >>> task
    On the board: Where does the cover stand? Move 8 so that ...
    >>> task.board.move("pressing", "8", (20, -9)), task.check().outcome
    (True, 'right')
    >>> task = TryIt(who_goes)
    >>> task.choose("3")
    >>> task.check().outcome, task.hint()
    ('wrong', Hint 1 of 3: ...)
    """

    def __init__(self, exercise: Exercise, progress: Progress | None = None) -> None:
        self.exercise, self.first, self.progress, self.asked = exercise, exercise, progress, exercise.situation
        self.lesson, self.told = section_of(exercise)
        if self.lesson and progress is None and hasattr(get_ipython(), "kernel"):  # beside the notebook
            self.progress = progress_of(lesson=self.lesson.__name__[-2:])
        self.step = self.seed = self.wrong = 0
        self.filling = False  # what is written into the parts is no answer
        self.answer_text = ""  # what was chosen, set or typed; of no use where players are placed
        self.board = self._board()
        self.widget = self.build()
        self._resume()

    def build(self) -> Display:
        """The picture on the left; task, answer, buttons and verdict on the right."""
        self.buttons: dict[str, w.Button] = {}
        for word, tip, act in (
                ("Check", "is it right as it stands?", self.check),
                ("Play", "what was judged, in true time; again: pause", lambda: self.board.playback.play_or_pause()),
                ("Hint", "one step of help", self.hint), ("Show", "one answer that does the job", self.show),
                ("Another", "the same question on a fresh picture", self.another),
                ("Show why", "what is behind it", self.show_why)):
            self.buttons[word] = w.Button(description=word, tooltip=tip)
            self.buttons[word].on_click(lambda _, act=act: act())
        self.buttons["Check"].button_style = "primary"
        self.task, self.words, self.why = w.HTML(), LiveText(), w.HTML()
        self.typed = w.Text(placeholder="or type it here", continuous_update=False, description="Answer")
        self.typed.observe(lambda change: self.give(change["new"]), "value")
        self.options = Options(self.choose)
        self.slider = w.FloatSlider()
        self.slider.observe(lambda change: self.give(f"{change['new']:g}"), "value")
        side = w.VBox([self.task, self.options, self.slider, self.typed, w.Box([*self.buttons.values()]), self.words])
        self.left = w.VBox([opened(self.board)])
        grid = w.Box([self.left, side])
        for part, name in {grid: "grid", self.left: "left", side: "side", side.children[4]: "buttons"}.items():
            part.add_class(f"pressing-task-{name}")
        if (form := self.exercise.form).placed or len(form.options) > FEW and not form.team:  # the words need more room
            grid.add_class("pressing-task-placed" if form.placed else "pressing-task-many")
        self._fill()
        self.say()
        return Display([grid, self.why]).add_class("pressing-task")

    def __repr__(self) -> str:
        return f"On the board: {self.exercise!r}"

    def _board(self) -> TaskBoard:
        """A board with the exercise's picture; whoever changes it takes the old verdict away."""
        board = TaskBoard(self.exercise, self.choose)
        board.on_change(lambda _: self.say())
        return board

    # -- the answer ----------------------------------------------------------------------------------------------

    def choose(self, name: str) -> None:
        """One of the options was picked, by button or in the picture; picked again, it is given back."""
        chosen = self.chosen
        if name in chosen:
            chosen.remove(name)
        else:
            alone = not self.exercise.form.several or NONE in (name, *chosen)
            chosen = [name] if alone else [*chosen, name]
        self.give(", ".join(chosen))

    def give(self, text: str) -> None:
        """The answer in words: buttons, slider and picture follow it, however it came."""
        e, value = self.exercise, self.exercise.meant(text)
        same = e.form.slider and value is not None and value == self.exercise.meant(self.answer_text)  # in other words
        if self.filling or same or text == self.answer_text:
            return
        self.answer_text = text
        self._fill()
        shown = e.judge.shown(e.situation, value) if e.form.slider and value is not None else e.situation
        if not e.form.placed and shown != self.board.situation:
            self.board.show(shown)
        self.say()

    @property
    def chosen(self) -> list[str]:
        """The options that the answer names."""
        value = self.exercise.meant(self.answer_text) if self.exercise.form.options else None
        return [] if value is None else self.exercise.judge.named(value)

    def _fill(self) -> None:
        """All that shows the exercise and its answer."""
        form, exercise, self.filling = self.exercise.form, self.exercise, True
        far = standing(self.progress.tries, self.lesson, exercise.title) if self.progress and self.lesson else ""
        self.task.value = (f"<b>{escape(exercise.title)}</b><br>{escape(exercise.asks)}<br>"
                           f"<i>{escape(form.how)}</i> <small>{escape(far)}</small>")
        shown = {self.options: form.options, self.slider: form.slider, self.typed: not form.placed,
                 self.buttons["Show why"]: self.told, self.buttons["Another"]: self.first.turns}
        for part, there in shown.items():
            part.layout.display = None if there else "none"
        self.options.options, self.options.in_order = list(form.options), form.in_order
        self.options.chosen = self.board.canvas.picked = self.chosen
        self.typed.value = self.answer_text
        if form.slider:
            (self.slider.min, self.slider.max), number = form.slider, self.exercise.meant(self.answer_text)
            self.slider.step, self.slider.readout_format = 10.0**-form.digits, f".{form.digits}f"
            self.slider.value = self.slider.min if number is None else number
        self.filling = False

    # -- the buttons ---------------------------------------------------------------------------------------------

    @said
    def check(self) -> Card:
        """Judge what stands on the board, or was chosen; wrong at first, it gets a cue and no answer."""
        answer = self.board.situation if self.exercise.form.placed else self.answer_text.strip() or ...
        verdict = self.exercise.taught(answer)[min(self.wrong, 2)]
        self.wrong += verdict.outcome == WRONG
        if verdict.outcome != NOT_ATTEMPTED:
            self._explain(verdict.outcome == RIGHT)
            if self.progress is not None and self.exercise is self.first:
                verdict = self.progress.kept(self.exercise, answer, verdict)
                self._fill()
        return verdict

    @said
    def hint(self) -> Card:
        """The next of the three hints."""
        self.step = min(self.step + 1, HINTS)
        return self.exercise.hint(self.step)

    @said
    def show(self) -> Card:
        """An answer that does the job, on the board; Undo brings the own one back."""
        solution = self.exercise.solution()
        if not self.exercise.form.placed:
            self.give(self.exercise.judge.written(solution.answer))
        if solution.situation is not None:
            self.board.show(solution.situation)
        return solution

    @said
    def another(self) -> Card:
        """The same question on a fresh picture, for practice: its tries are not kept.

        It is on a board of its own: Undo and Reset never lead back to the old one.
        """
        self.exercise, self.seed = self.first.variant(self.seed + 1), self.seed + 1
        self.step = self.wrong = 0
        self.told = self.answer_text = self.why.value = ""
        self.board.close()
        self.board = self._board()
        self.left.children = [self.board.widget]
        self._fill()
        return Card(f"Picture {self.seed}, for practice.")

    @said
    def show_why(self) -> Card:
        """What explains the exercise, in words about the picture that was asked first, under the block."""
        self._explain(True)
        return Card("Read on below." if self.told else "Nobody has written that yet.", title="Why")

    def _explain(self, opened: bool) -> None:
        if self.lesson and self.told:
            self.why.value = WHY.format(open=" open" * opened, html=explained(self.lesson, self.told))

    def _resume(self) -> None:
        """What was answered last, in this file, and what was said to it."""
        tries = [] if self.progress is None else self.progress.tries_at(self.first)
        if tries and (value := self.exercise.meant(tries[-1].answer)) is not None:
            self.wrong = sum(one.outcome == WRONG for one in tries[:-1])
            if self.exercise.form.placed:
                self.board.show(self.exercise.judge.shown(self.exercise.situation, value))
            else:
                self.give(self.exercise.judge.written(value))
            self.check()

    def say(self, text: str = "", tone: str = "", judged: tuple[Judged, ...] = ()) -> None:
        """The line of words, and in the picture what they are about."""
        self.words.tone, self.words.text = "open" if tone == NOT_ATTEMPTED else tone, text
        e, value = self.exercise, self.slider.value
        drawn = e.judge.drawn(e.situation, value) if e.form.slider else ()
        self.board.tell((*((True, seen) for seen in drawn), *judged))
        self.buttons["Play"].layout.visibility = "visible" if self.board.playback.lasts_s else "hidden"


def standing(tries: Iterable[Try], lesson: ModuleType, now: str = "") -> str:
    """How far one is with a lesson, and what was answered last, unless it is what is asked now."""
    titles = {value.title for value in vars(lesson).values()
              if isinstance(value, Exercise) and not isinstance(value.judge, WriteRule)}
    mine = [one for one in tries if one.lesson == lesson.__name__[-2:] and one.exercise in titles]
    right = {one.exercise for one in mine if one.outcome == RIGHT}
    return f"{len(right)} of {len(titles)} right" + (
        f"; last time: {mine[-1].exercise}" if mine and mine[-1].exercise != now else "")


def lessons_so_far(learner: str = "me", folder: str = FOLDER) -> Table:
    """How far a learner is with every lesson."""
    tries = progress_of(learner, folder=folder).tries
    found = [import_module(f"{lessons.__name__}.{one.name}") for one in iter_modules(lessons.__path__)]
    return Table(("Lesson", "So far"), [(TITLE.findall(str(one.__doc__))[0], standing(tries, one)) for one in found])


def opened(what: Displayed) -> Display:
    """The widget of a board or a task, made anew if it was closed."""
    if what.widget.comm is None:
        what.widget = what.build()
    return what.widget
