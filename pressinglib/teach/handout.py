"""On paper: worked examples, exercises to write on, their keys. On a screen: slides that wait."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, fields, replace
from functools import cached_property
from html import escape
from math import dist
from pathlib import Path
from typing import NamedTuple

from pressinglib import __version__
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.files import write_file
from pressinglib.roles.settings import Settings
from pressinglib.show.board_model import placed
from pressinglib.show.drawing import Drawing
from pressinglib.show.export import few_colours
from pressinglib.show.pages import RULE_CM, Pages
from pressinglib.show.primitives import Crop
from pressinglib.teach.accepted import (
    EDGE_M,
    Accepted,
    answer_drawing,
    answer_words,
    frame_of,
    in_words,
    question_drawing,
)
from pressinglib.teach.course import Course
from pressinglib.teach.exercise import RIGHT, Exercise
from pressinglib.teach.pictures import fresh_pictures, plan_ahead
from pressinglib.teach.report_page import filled, image

# The caution stands wherever something is to be done on the grass.
CAUTION = ("Stop for head knocks. Warm-up, heat, concussion, heading and tackling by age, safeguarding: local rules, "
           "national federation, medical staff and licensed practice decide.")
AID = "A teaching aid worked out from positions, not advice on a person."
EXAMPLE_SEED, EXAMPLES = 1, 40
CASES, MOVERS = 2, 4
MOST_M = 8  # a step that is longer is no small change
WAYS = {"further up": (1.0, 0.0), "further back": (-1.0, 0.0), "to the left": (0.0, 1.0), "to the right": (0.0, -1.0)}
NEARER_M = 18.0  # from the ball, of what a small picture shows (own choice)
LEAST_CM_PER_M = 0.145  # then numbers are printed in at least 7 points
QUESTION_CM, EXAMPLE, SMALLER, LINES = 14.0, 0.42, 0.35, 10
TYPE_PT, HEADING_PT, SMALL_PT = 10.5, 12.5, 8.5
SLIDE_TITLE_PT, SLIDE_PT, SLIDE_SHARE, SLIDE_DPI = 26.0, 18.0, 0.74, 144.0
SLIDE_RATIO = 1.35
BLANK = f"Name {'_' * 32}    Date {'_' * 14}"


def printed(path: str | os.PathLike[str], endings: tuple[str, ...], content: Callable[[], bytes]) -> Path:
    """Write a file for print or projector whole, if its name has one of the endings; a sentence where that fails."""
    path = Path(path)
    if path.suffix.lower() not in endings:
        raise BadInput(f"name {str(path)[:100]}", expected=f"one that ends in {' or '.join(endings)}",
                       got=repr(path.suffix), todo="change its ending")
    return write_file(path, content())


class Case(NamedTuple):
    """A small picture with its words."""

    situation: Situation
    drawing: Drawing
    words: str


@dataclass(frozen=True)
class Handout:
    """An exercise to be solved on paper: a worked example and what turns it, the exercise, its key on the last page.

    Parameters
    ----------
    exercise : Exercise
    rule : str, optional
        The rule of thumb; default: as the exercise's hint says it.
    paper : "A4" or "Letter"
    grey : bool
        Black and white, for a copier.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> handout = Handout(who_goes, rule="One goes.")
    >>> len(handout.counter_cases), len(handout.pages())
    (2, 3)
    """

    exercise: Exercise
    rule: str = ""
    paper: str = "A4"
    grey: bool = False

    @cached_property
    def worked(self) -> Exercise:
        """The example: never the exercise itself, whose key is on the last page.

        The same shapes on a picture near by; one with another answer if there is one.
        """
        fresh = list(self._fresh())
        known = self.exercise.solution().answer
        others = [one for one in fresh if one.check(known).outcome != RIGHT]
        return next(iter([*others, *fresh]), replace(self.exercise, situation=self.exercise.situation.mirrored()))

    def _fresh(self) -> Iterator[Exercise]:
        """The question on pictures of the same shapes."""
        pictures = list(fresh_pictures(self.exercise.situation, EXAMPLE_SEED, EXAMPLES))
        plan_ahead(pictures, self.exercise.rulebook)
        for near in pictures:
            try:
                one = replace(self.exercise, situation=near)
                if one.judge.renewed(one.plan) is not None and one.check(one.solution().answer).outcome == RIGHT:
                    yield one
            except PressingError:
                continue  # it cannot be asked there

    @cached_property
    def counter_cases(self) -> list[Case]:
        """Small pictures in which one has moved, as little as turns the answer: each time somebody else."""
        found: dict[tuple[str, str], Case] = {}
        for metres in range(1, MOST_M + 1):
            steps = {who: self._steps(who, metres) for who in self._movers if who not in found}
            plan_ahead((there for some in steps.values() for there in some.values()), self.worked.rulebook)
            for who, some in steps.items():
                if len(found) < CASES and (case := self._turned(who, metres, some)):
                    found[who] = case
        return list(found.values())

    @property
    def _movers(self) -> list[tuple[str, str]]:
        """Who may turn the answer by a few steps: those nearest to the ball, who is asked about, the carrier."""
        s, judge = self.worked.situation, self.worked.judge
        ours = sorted((p for p in s.pressing if not p.is_goalkeeper), key=lambda p: dist(p.xy, s.ball_xy))
        theirs = [p.number for p in s.possession if p.number in (getattr(judge, "option", ""), s.on_ball)]
        return [*(("pressing", p.number) for p in ours[:MOVERS] if p.number not in self.worked.form.placed),
                *(("possession", number) for number in theirs)]

    def _turned(self, who: tuple[str, str], metres: float, steps: dict[str, Situation]) -> Case | None:
        """The first way in which so many metres turn the answer."""
        worked = self.worked
        known, on_ball = worked.solution().answer, " with the ball" * (who[1] == worked.situation.on_ball)
        name = who[1] if who[0] == "pressing" else f"their {who[1]}{on_ball}"
        for way, there in steps.items():
            with suppress(PressingError):  # it cannot be asked there
                fresh = replace(worked, situation=there)
                turned, verdict = fresh.solution().answer, fresh.check(known)
                if verdict.outcome != RIGHT == fresh.check(turned).outcome:
                    why = f"that place will not do. {verdict.words} Now:" if worked.form.placed else "the answer is:"
                    words = f"If {name} stands {metres:g} m {way}, {why} {answer_words(fresh)}"
                    return Case(there, answer_drawing(fresh, worked.situation), words)
        return None

    def _steps(self, who: tuple[str, str], metres: float) -> dict[str, Situation]:
        """The pictures with him so many metres off, by way; the presser and his mates also to and from the ball."""
        (x, y), ball = self.worked.situation.player(*who).xy, self.worked.situation.ball_xy  # type: ignore[arg-type]
        found, ways, off_m = {}, WAYS, dist((x, y), ball)
        if who[0] == "pressing" and off_m > 0:
            dx, dy = (ball[0] - x) / off_m, (ball[1] - y) / off_m
            ways = {"nearer to the ball": (dx, dy), "further from the ball": (-dx, -dy), **WAYS}
        for way, (dx, dy) in ways.items():
            with suppress(PressingError):  # where he can stand
                found[way] = placed(self.worked.situation, *who, (x + metres * dx, y + metres * dy))
        return found

    def pages(self) -> Pages:
        """Example, exercise and key, each from the top of a page."""
        return _pages([self], self.exercise.title, self.paper, self.grey)

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Print it as a PDF; a wrong name or folder is a PressingError that says so."""
        return printed(path, (".pdf",), lambda: self.pages().bytes("pdf"))

    def put_example(self, pages: Pages) -> None:
        """The worked example, and what turns it."""
        worked, cases, drawing = self.worked, self.counter_cases, answer_drawing(self.worked)
        rule = self.rule or worked.judge.hints(worked.plan)[0]
        words = [("A worked example", HEADING_PT, "serif"), (worked.asks, TYPE_PT, ""), (rule, TYPE_PT, "bold"),
                 (answer_words(worked), TYPE_PT, "")]
        pages.panel(drawing, words, EXAMPLE, part=frame_of(worked), least_cm_per_m=LEAST_CM_PER_M)
        pages.legend(drawing)
        part = frame_of(worked, *(case.situation for case in cases), near_m=NEARER_M)
        pages.write("What turns it", HEADING_PT, serif=True)
        if not cases:
            pages.write(f"Nobody near the ball turns this answer by a step of up to {MOST_M} m.", TYPE_PT)
        for case in cases:
            pages.panel(case.drawing, [(case.words, TYPE_PT, "")], SMALLER, part=part, least_cm_per_m=LEAST_CM_PER_M)

    def put_exercise(self, pages: Pages) -> None:
        """The question, with lines to write on."""
        pages.write(BLANK, TYPE_PT)
        pages.write(f"Your turn: {self.exercise.title}", HEADING_PT, serif=True)
        pages.write(self.exercise.asks, TYPE_PT)
        drawing = question_drawing(self.exercise)
        pages.picture(drawing, QUESTION_CM, part=frame_of(self.exercise), legend=False, words=False)
        pages.legend(drawing)
        pages.write("Your answer, and why", HEADING_PT, serif=True)
        pages.lines(min(LINES, int(pages.room_cm / RULE_CM)))

    def put_key(self, pages: Pages) -> None:
        """The answer, what else counts as right, and why it is not that of the example."""
        exercise, worked = self.exercise, self.worked
        words = [(exercise.title, HEADING_PT, "serif"), (exercise.asks, TYPE_PT, ""),
                 (answer_words(exercise), TYPE_PT, "bold"), (repr(Accepted(exercise).card), TYPE_PT, ""),
                 (f"By the rule: {exercise.judge.hints(exercise.plan)[0]}", TYPE_PT, "")]
        ours, theirs = (in_words(one, one.solution().answer) for one in (exercise, worked))
        if ours != theirs:
            words.append((f"The worked example is another picture, and its answer another: {theirs}.", TYPE_PT, ""))
        words.append((f"Judged by pressinglib {__version__} with {settings_words(exercise)}.", SMALL_PT, ""))
        pages.panel(answer_drawing(exercise), words, SMALLER, part=frame_of(exercise), least_cm_per_m=LEAST_CM_PER_M)


@dataclass(frozen=True)
class Booklet:
    """Several exercises: a worked example for each kind of question, the exercises, all keys at the end.

    Parameters
    ----------
    exercises : Course, or iterable of Exercise
    title : str, optional
        Default: the course's.
    paper, grey
        As in `Handout`.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
    >>> len(Booklet([who_goes, which_side], "Tuesday").pages())
    5
    """

    exercises: Iterable[Exercise]
    title: str = ""
    paper: str = "A4"
    grey: bool = False

    def pages(self) -> Pages:
        """All of it."""
        course = self.exercises if isinstance(self.exercises, Course) else Course(
            self.title or "Exercises", tuple(self.exercises))
        return _pages([Handout(one) for one in course], self.title or course.title, self.paper, self.grey)

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Print it as a PDF; a wrong name or folder is a PressingError that says so."""
        return printed(path, (".pdf",), lambda: self.pages().bytes("pdf"))


def _pages(handouts: list[Handout], title: str, paper: str, grey: bool) -> Pages:
    """Each exercise on a page, before the first of its kind a worked example; the keys together, at the end."""
    pages, kinds = Pages(title, paper, foot=AID, grey=grey), set()
    for one in handouts:
        if type(one.exercise.judge) not in kinds:
            one.put_example(pages)
            pages.new_page()
        kinds.add(type(one.exercise.judge))
        one.put_exercise(pages)
        pages.new_page()
    pages.write("Keys, not for the learner", HEADING_PT, bold=True, serif=True)
    pages.legend(answer_drawing(handouts[0].exercise))
    for one in handouts:
        one.put_key(pages)
    pages.number()
    return pages


def settings_words(exercise: Exercise) -> str:
    """The settings that differ from the usual ones."""
    usual = {f.name: f.default for f in fields(Settings)}
    other = [f"{name} {value}" for name, value in asdict(exercise.rulebook.settings).items() if value != usual[name]]
    return f"{', '.join(other)}, else the usual settings" if other else "the usual settings"


# -- Slides.

@dataclass(frozen=True, repr=False)
class Slide:
    """One slide, 16 by 9; shows itself at the end of a cell.

    Parameters
    ----------
    title, words, drawing
    part : str or box
        What is shown of the pitch.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> question, answer = slides_of(who_goes)
    >>> question
    Slide: Who goes? Click the one of yours who goes to the ball.
    """

    title: str
    words: str
    drawing: Drawing
    part: Crop = "whole"

    def __repr__(self) -> str:
        return f"Slide: {self.title} {self.words}"

    def _repr_png_(self) -> bytes:
        return few_colours(_projected([self]).bytes("png", SLIDE_DPI / 2))


def slides_of(exercise: Exercise) -> tuple[Slide, Slide]:
    """The question, and the answer with the plan; so much of the pitch as fills the room of a picture."""
    (x0, x1, y0, y1), half_m = frame_of(exercise), exercise.situation.pitch.length_m / 2 + EDGE_M
    wide_m = min(max(x1 - x0, SLIDE_RATIO * (y1 - y0)), 2 * half_m)
    left = min(max((x0 + x1 - wide_m) / 2, -half_m), half_m - wide_m)
    part = left, left + wide_m, y0, y1
    question = Slide(exercise.title, exercise.asks, question_drawing(exercise), part)
    return question, Slide(exercise.title, answer_words(exercise), answer_drawing(exercise), part)


def save_slides(slides: Sequence[Slide], path: str | os.PathLike[str]) -> Path:
    """Write slides that wait for you, as a PDF or as a page for the browser (.html).

    The page needs no network: a click, the space bar or an arrow goes on.

    Raises
    ------
    PressingError
        For another ending, no slide, or a folder that cannot be written to.
    """
    if not slides:
        raise BadInput("slides", expected="at least one", got="none", todo="make them: slides_of(exercise)")
    writers = {".html": lambda: _html(slides), ".pdf": lambda: _projected(slides).bytes("pdf")}
    return printed(path, tuple(writers), lambda: writers[Path(path).suffix.lower()]())


def _projected(slides: Sequence[Slide]) -> Pages:
    """A page each, picture to the left, words to the right."""
    pages = Pages(paper="Slide")
    for n, one in enumerate(slides):
        if n:
            pages.new_page()
        words = [(one.title, SLIDE_TITLE_PT, "serif"), (one.words, SLIDE_PT, "")]
        pages.panel(one.drawing, words, SLIDE_SHARE, part=one.part)
    return pages


def _html(slides: Sequence[Slide]) -> bytes:
    """One file, in which nothing but its own style and script may run."""
    shown = "".join(f"<section>{image(few_colours(_projected([one]).bytes('png', SLIDE_DPI)), alt)}</section>"
                    for one in slides for alt in [f"{one.title} {one.words} {one.drawing.words}"])
    return filled("slides.html", TITLE=escape(slides[0].title), SLIDES=shown).encode()
