"""The exercise on the board: drag, or use the fields below the picture; then Check, Hint, Show, Another."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as w

from pressinglib.show.board import Board
from pressinglib.show.controls import Display, Displayed, LiveText
from pressinglib.teach.answer_file import Progress
from pressinglib.teach.choices import SetNumber
from pressinglib.teach.exercise import HINTS, Exercise
from pressinglib.teach.verdict import Card

BUTTONS = {"Check": "is it right as it stands?", "Hint": "one step of help", "Show": "one answer that does the job",
           "Another": "the same question on a fresh picture"}


class TryIt(Displayed):
    """An exercise beside its board; the last line of a cell shows it.

    Parameters
    ----------
    exercise : Exercise
    board : Board, optional
        Default: the exercise's picture with its plan hidden, so that nothing gives the answer away.
    progress : Progress, optional
        Keeps what is checked.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import place_the_cover
    >>> task = TryIt(place_the_cover)
    >>> task
    On the board: Where does the cover stand? Drag 8 so that ...
    >>> task.board.move("pressing", "8", (20, -9)), task.check().outcome
    (True, 'right')
    """

    def __init__(self, exercise: Exercise, board: Board | None = None, progress: Progress | None = None) -> None:
        self.exercise, self.first, self.progress = exercise, exercise, progress
        self.board = board or self._board()
        self.step = self.seed = 0
        self.typed: w.Text | w.FloatSlider | None = None
        self._listen()
        self.widget = self.build()

    def build(self) -> Display:
        """Field, buttons and words around the board, as it stands."""
        self.buttons = {word: w.Button(description=word, tooltip=tip) for word, tip in BUTTONS.items()}
        for button, act in zip(self.buttons.values(), (self.check, self.hint, self.show, self.another), strict=True):
            button.on_click(lambda _, act=act: act())
        before, self.typed = self.typed, _field(self.exercise)
        if before is not None and self.typed is not None:
            self.typed.value = before.value
        if isinstance(self.typed, w.FloatSlider):
            self.typed.observe(lambda change: self._slide(change["new"]), "value")
        self.words = LiveText(text=self.exercise.asks)
        row = [*([] if self.typed is None else [self.typed]), *self.buttons.values()]
        return Display([w.HBox(row), self.words, opened(self.board)])

    def __repr__(self) -> str:
        return f"On the board: {self.exercise!r}"

    def _board(self) -> Board:
        """A board with the exercise's picture and no plan, which would give the answer away."""
        return Board(self.exercise.situation, self.exercise.rulebook, with_plan=False)

    def _listen(self) -> None:
        """Whoever changes the picture takes the old verdict away."""
        self.board.on_change(lambda _: self._say(self.exercise.asks))

    def check(self) -> Card:
        """Judge what stands on the board, or is typed beside it."""
        return self._tell(self._verdict)

    def hint(self) -> Card:
        """The next of the four hints."""
        self.step = min(self.step + 1, HINTS)
        return self._tell(lambda: self.exercise.hint(self.step))

    def show(self) -> Card:
        """An answer that does the job, on the board; Undo brings the own one back."""
        solution = self.exercise.solution()
        if solution.situation is not None:
            self.board.show(solution.situation)
        return self._tell(lambda: solution)

    def another(self) -> Card:
        """The same question on a fresh picture, for practice: its tries are not kept."""
        return self._tell(self._fresh)

    def _fresh(self) -> Card:
        self._turn_to(self.first.variant(self.seed + 1), self.seed + 1)
        if self.typed is not None:
            self.typed.value = self.typed.min if isinstance(self.typed, w.FloatSlider) else ""
        return Card(f"Picture {self.seed}, for practice. {self.exercise.asks}")

    def _turn_to(self, exercise: Exercise, seed: int) -> None:
        """Another picture on a board of its own: Undo and Reset never lead back to the old one."""
        self.exercise, self.seed, self.step = exercise, seed, 0
        self.board.close()
        self.board = self._board()
        self._listen()
        self.widget.children = (*self.widget.children[:-1], self.board.widget)

    def _verdict(self) -> Card:
        answer, kept = self._answer(), self.progress if self.exercise is self.first else None
        return self.exercise.check(answer) if kept is None else kept.check(self.exercise, answer)

    def _answer(self) -> Any:
        """What stands on the board, on the slider or in the field; a slider left at its end is no answer."""
        if self.typed is None:
            return self.board.situation
        if isinstance(self.typed, w.FloatSlider):
            return ... if self.typed.value == self.typed.min else self.typed.value
        return self.typed.value.strip() or ...

    def _slide(self, value: float) -> None:
        """Show on the board what the number does."""
        shown = self.exercise.judge.shown(self.exercise.situation, value)
        if shown != self.board.situation:
            self.board.show(shown)
        self._say(self.exercise.asks)

    def _tell(self, make: Callable[[], Card]) -> Card:
        """Say it beside the board; a failure too, which a notebook would lose."""
        try:
            card = make()
        except Exception as error:
            card = Card(f"{type(error).__name__}: {error}")
        self._say(repr(card))
        return card

    def _say(self, text: str) -> None:
        self.words.text = text


def opened(what: Displayed) -> Display:
    """The widget of a board or a task, made anew if it was closed."""
    if what.widget.comm is None:
        what.widget = what.build()
    return what.widget


def _field(exercise: Exercise) -> w.Text | w.FloatSlider | None:
    """Where an answer that is no place is given: a slider if the kind has one, else a line to type."""
    judge = exercise.judge
    if isinstance(judge, SetNumber) and judge.slider is not None:
        low, high = judge.slider
        return w.FloatSlider(value=low, min=low, max=high, step=0.5, readout_format=".1f", continuous_update=False,
                             description=f"Answer ({judge.unit})", layout=w.Layout(width="30em"),
                             style={"description_width": "initial"})
    placed = isinstance(exercise.solution().answer, tuple | dict)
    return None if placed else w.Text(description="Answer", layout=w.Layout(width="30em"))
