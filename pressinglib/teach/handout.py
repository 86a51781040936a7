"""A handout: a worked example with its rule, why, and two counter-cases; then the exercise; the key on its own page."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, fields
from functools import cached_property
from pathlib import Path
from types import EllipsisType
from typing import Any, NamedTuple, Protocol, runtime_checkable

from pressinglib import __version__
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.files import write_file
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import Settings
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.pages import RULE_CM, Pages
from pressinglib.show.primitives import Crop
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.pictures import NoVariant
from pressinglib.teach.verdict import Card

# The caution stands wherever something is to be done on the grass.
CAUTION = ("Stop for head knocks. Warm-up, heat, concussion, heading and tackling by age, safeguarding: local rules, "
           "national federation, medical staff and licensed practice decide.")
AID = "A teaching aid worked out from positions, not advice on a person."
EXAMPLE_SEED = 1
CASES, LOOKED_AT = 2, 8
AROUND_M = (-40.0, 20.0, -19.0, 19.0)  # of a small picture: from the ball to either goal, and to either side
EXAMPLE_CM, CASES_CM, WORDS_CM, LINES = 9.8, 7.2, 3.0, 10
TYPE_PT, HEADING_PT, SMALL_PT = 10.5, 12.5, 8.5


def printed(path: str | os.PathLike[str], endings: tuple[str, ...], content: Callable[[], bytes]) -> Path:
    """Write a file for print or projector whole, if its name has one of the endings; a sentence where that fails."""
    path = Path(path)
    if path.suffix.lower() not in endings:
        raise BadInput(f"name {str(path)[:100]}", expected=f"one that ends in {' or '.join(endings)}",
                       got=repr(path.suffix), todo="change its ending")
    return write_file(path, content())


@runtime_checkable
class Printable(Protocol):
    """A handout, a practice, a slide: whatever can be saved under a name."""

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write the file."""


def saved(what: Printable, name: str | EllipsisType) -> Card:
    """Save it under a name, and say so; also what went wrong. `...` saves nothing.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> from pressinglib.teach.slides import slides_of
    >>> saved(slides_of(who_goes)[0], ...)
    Note: Nothing is saved yet: write a name over the dots.
    >>> saved(slides_of(who_goes)[0], "slide.doc")
    Note: name slide.doc: expected one that ends in .png or .gif; got '.doc'. Change its ending.
    """
    if isinstance(name, EllipsisType):
        return Card("Nothing is saved yet: write a name over the dots.")
    if not isinstance(name, str | os.PathLike):
        return Card('This is no name: write one in quotes, such as "mine.pdf".')
    try:
        return Card(f"Saved as {what.save(name)}.")
    except PressingError as error:
        return Card(str(error))


class Case(NamedTuple):
    """A small picture with its words."""

    situation: Situation
    drawing: Drawing
    words: str


@dataclass(frozen=True)
class Handout:
    """What learners take home, on three pages.

    Parameters
    ----------
    exercise : Exercise
        To be solved on paper; its key is on the last page.
    rule, why : str, optional
        The rule of thumb, and why; default: as the exercise's hint and the example's solution say it.
    example : Exercise, optional
        The same question worked out on another picture; default: a fresh variant.
    cases : tuple of (Situation, str), optional
        Counter-cases; default: answers to the example that do not do the job, with the reason.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> handout = Handout(who_goes, rule="One goes.")
    >>> len(handout.counter_cases), len(handout.pages())
    (2, 3)
    """

    exercise: Exercise
    rule: str = ""
    why: str = ""
    example: Exercise | None = None
    cases: tuple[tuple[Situation, str], ...] = ()

    @cached_property
    def worked(self) -> Exercise:
        """The example that is worked out on the first page: never the exercise itself, whose key is on the last."""
        if self.example is not None:
            return self.example
        try:
            return self.exercise.variant(EXAMPLE_SEED)
        except NoVariant:
            return self.exercise.mirrored()

    @cached_property
    def counter_cases(self) -> list[Case]:
        """Small pictures: what does not do the job, and if there is too little of that, where something else does."""
        if self.cases:
            return [Case(situation, draw_situation(situation), words) for situation, words in self.cases]
        wrong = [self._wrong(answer) for answer in Accepted(self.worked).likely_wrong(CASES)]
        return [*wrong, *self._elsewhere()][:CASES]

    def _wrong(self, answer: Any) -> Case:
        exercise, judge = self.worked, self.worked.judge
        value = judge.read(answer, exercise.situation)
        words = f"{sentence(judge.written(value))}? {exercise.check(answer).words}"
        return Case(exercise.situation, played(exercise, value), words)

    def _elsewhere(self) -> Iterator[Case]:
        """Fresh pictures in which another answer is right."""
        for seed in range(EXAMPLE_SEED + 1, EXAMPLE_SEED + 1 + LOOKED_AT):
            try:
                fresh = self.worked.variant(seed)
            except NoVariant:
                return
            solution = fresh.solution()
            if solution.answer != self.worked.solution().answer:
                yield Case(fresh.situation, draw_plan(fresh.situation, fresh.plan), f"Here: {solution.words}")

    def pages(self) -> Pages:
        """Example, exercise and key, each from the top of a page."""
        pages = Pages(self.exercise.title, foot=AID)
        self._example(pages)
        pages.new_page()
        self._exercise(pages)
        pages.new_page()
        self._key(pages)
        return pages

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Print it as a PDF; a wrong name or folder is a PressingError that says so."""
        return printed(path, (".pdf",), lambda: self.pages().bytes("pdf"))

    def _example(self, pages: Pages) -> None:
        worked = self.worked
        pages.write(f"A worked example. {worked.asks}", TYPE_PT)
        pages.picture(draw_plan(worked.situation, worked.plan), height_cm=EXAMPLE_CM, title=False)
        pages.write(self.rule or worked.judge.hints(worked.plan)[0], HEADING_PT, bold=True)
        heading(pages, "Why")
        pages.write(self.why or sentence(worked.solution().words), TYPE_PT)
        if self.counter_cases:
            if pages.room_cm < CASES_CM + WORDS_CM:  # pictures and words stay together
                pages.new_page()
            heading(pages, "Counter-cases")
            self._beside(pages)

    def _beside(self, pages: Pages) -> None:
        """The counter-cases, each with its words below."""
        cases = self.counter_cases
        pages.beside([case.drawing for case in cases], height_cm=CASES_CM, part=self._part(), title=False)
        letters = [f"Case {letter}" for letter, _ in zip("ABCDEF", cases, strict=False)]
        pages.rows(letters, [[case.words for case in cases]], [1] * len(letters), TYPE_PT)

    def _exercise(self, pages: Pages) -> None:
        heading(pages, f"Your turn: {self.exercise.title}")
        pages.write(self.exercise.asks, TYPE_PT)
        pages.picture(draw_situation(self.exercise.situation), title=False)
        heading(pages, "Your answer, and why")
        pages.lines(min(LINES, int(pages.room_cm / RULE_CM)))

    def _key(self, pages: Pages) -> None:
        exercise, accepted = self.exercise, Accepted(self.exercise)
        heading(pages, f"Key, not for the learner: {exercise.title}")
        pages.write(exercise.asks, TYPE_PT)
        pages.write(sentence(exercise.solution().words), TYPE_PT, bold=True)
        pages.picture(draw_plan(exercise.situation, exercise.plan, marks=accepted.area()), title=False)
        pages.write(repr(accepted.card), TYPE_PT)
        pages.write(f"Judged by pressinglib {__version__} with {settings_words(exercise)}.", SMALL_PT)

    def _part(self) -> Crop:
        """What the small pictures show: round the ball, more towards the own goal; all of it where balls differ."""
        if any(case.situation.ball_xy != self.worked.situation.ball_xy for case in self.counter_cases):
            return "whole"
        (x, y), (back, ahead, down, up) = self.worked.situation.ball_xy, AROUND_M
        half_x, half_y = self.worked.situation.pitch.corner_xy
        x, y = min(x, half_x - ahead), max(min(y, half_y - up), -half_y - down)
        return x + back, x + ahead, y + down, y + up


def heading(pages: Pages, words: str) -> None:
    """A heading."""
    pages.write(words, HEADING_PT, serif=True)


def played(exercise: Exercise, value: Any) -> Drawing:
    """What comes of an answer: a plan to be carried out, or the picture with those who moved."""
    outcome = exercise.judge.played(exercise.plan, value)
    if isinstance(outcome, Plan):
        return draw_plan(outcome.situation, outcome)
    return draw_situation(outcome, start=exercise.situation)


def settings_words(exercise: Exercise) -> str:
    """The settings that differ from the usual ones."""
    usual = {f.name: f.default for f in fields(Settings)}
    other = [f"{name} {value}" for name, value in asdict(exercise.rulebook.settings).items() if value != usual[name]]
    return f"{', '.join(other)}, else the usual settings" if other else "the usual settings"


def sentence(words: str) -> str:
    """With a capital at its beginning."""
    return words[:1].upper() + words[1:]
