"""Handouts: a worked example with its rule, why, and what turns it; the exercise to write on; the key at the end."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass, fields, replace
from functools import cached_property
from math import dist
from pathlib import Path
from typing import NamedTuple

from pressinglib import __version__
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.files import write_file
from pressinglib.roles.settings import Settings
from pressinglib.show.board_model import placed
from pressinglib.show.drawing import Drawing
from pressinglib.show.pages import RULE_CM, Pages
from pressinglib.show.primitives import Box
from pressinglib.teach.accepted import Accepted, answer_drawing, answer_words, frame_of, in_words, question_drawing
from pressinglib.teach.course import Course
from pressinglib.teach.exercise import RIGHT, Exercise
from pressinglib.teach.pictures import fresh_pictures

# The caution stands wherever something is to be done on the grass.
CAUTION = ("Stop for head knocks. Warm-up, heat, concussion, heading and tackling by age, safeguarding: local rules, "
           "national federation, medical staff and licensed practice decide.")
AID = "A teaching aid worked out from positions, not advice on a person."
EXAMPLE_SEED, EXAMPLES = 1, 40
CASES, MOVERS = 2, 4
STEPS_M = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
WAYS = {"further up": (1.0, 0.0), "further back": (-1.0, 0.0), "to the left": (0.0, 1.0), "to the right": (0.0, -1.0)}
NEARER_M = 18.0  # from the ball, of what a small picture shows (own choice)
WIDEST_M = 58.0  # side by side on a page, numbers are printed in at least 7 points up to this width ...
LEAST_CM_PER_M, HANGS_M = 0.145, 4.0  # ... and wherever a metre takes so much, with what hangs over the frame
EXAMPLE, CASES_HIGH, KEY, QUESTION = 0.27, 0.2, 0.2, 0.48  # heights of pictures, as shares of the page
WORDS_CM, KEY_WORDS_CM, LINES = 4.2, 5.5, 10
TYPE_PT, HEADING_PT, SMALL_PT = 10.5, 12.5, 8.5
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
    """What learners take home, on three pages.

    Parameters
    ----------
    exercise : Exercise
        To be solved on paper; its key is on the last page.
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
        """The example that is worked out on the first page: never the exercise itself, whose key is on the last.

        The same shapes on a picture near by; one with another answer if there is one.
        """
        fresh = list(self._fresh())
        known = self.exercise.solution().answer
        others = [one for one in fresh if one.check(known).outcome != RIGHT]
        return next(iter([*others, *fresh]), replace(self.exercise, situation=self.exercise.situation.mirrored()))

    def _fresh(self) -> Iterator[Exercise]:
        """The question on pictures of the same shapes."""
        for near in fresh_pictures(self.exercise.situation, EXAMPLE_SEED, EXAMPLES):
            try:
                one = replace(self.exercise, situation=near)
                if one.judge.renewed(one.plan) is not None and one.check(one.solution().answer).outcome == RIGHT:
                    yield one
            except PressingError:
                continue  # it cannot be asked there

    @cached_property
    def counter_cases(self) -> list[Case]:
        """Small pictures in which something has changed, as little as turns the answer; each time somebody else."""
        found: dict[str, Case] = {}
        for metres in STEPS_M:
            for who in self._movers:
                if len(found) < CASES:
                    found = dict(self._turned(who, metres)) | found
        return list(found.values())[:CASES]

    @property
    def _movers(self) -> list[tuple[str, str]]:
        """Who may turn the answer by a few steps: those nearest to the ball, who is asked about, the ball itself."""
        s = self.worked.situation
        ours = sorted((p for p in s.pressing if not p.is_goalkeeper), key=lambda p: dist(p.xy, s.ball_xy))
        asked = getattr(self.worked.judge, "option", "")
        theirs = [p.number for p in s.possession if p.number in (asked, s.on_ball)]
        return [*(("pressing", p.number) for p in ours[:MOVERS] if p.number not in self.worked.form.placed),
                *(("possession", number) for number in theirs)]

    def _turned(self, who: tuple[str, str], metres: float) -> Iterator[tuple[str, Case]]:
        """The ways in which so many metres turn the answer; of a presser the first of them is enough."""
        worked, xy = self.worked, self.worked.situation.player(*who).xy  # type: ignore[arg-type]
        known, name = worked.solution().answer, self._called(who)
        for way, (dx, dy) in self._ways(who).items():
            try:
                there = placed(worked.situation, *who, (xy[0] + metres * dx, xy[1] + metres * dy))
                fresh = replace(worked, situation=there)
                if fresh.check(known).outcome != RIGHT == fresh.check(fresh.solution().answer).outcome:
                    yield name if who[0] == "pressing" else f"{name} {way}", self._case(
                        fresh, f"{name} stands {metres:g} m {way}")
            except PressingError:
                continue  # nobody can stand there

    def _ways(self, who: tuple[str, str]) -> dict[str, XY]:
        """The presser and his mates may be nearer to the ball or further off, too."""
        (x, y), ball = self.worked.situation.player(*who).xy, self.worked.situation.ball_xy  # type: ignore[arg-type]
        off_m = dist((x, y), ball)
        if who[0] != "pressing" or off_m == 0:
            return WAYS
        nearer = (ball[0] - x) / off_m, (ball[1] - y) / off_m
        return {"nearer to the ball": nearer, "further from the ball": (-nearer[0], -nearer[1]), **WAYS}

    def _called(self, who: tuple[str, str]) -> str:
        team, number = who
        if team == "pressing":
            return number
        return f"their {number} with the ball" if number == self.worked.situation.on_ball else f"their {number}"

    def _case(self, fresh: Exercise, change: str) -> Case:
        return Case(fresh.situation, answer_drawing(fresh, self.worked.situation),
                    f"If {change}, the answer is: {answer_words(fresh)}")

    def pages(self) -> Pages:
        """Example, exercise and key, each from the top of a page."""
        return _pages([self], self.exercise.title, self.paper, self.grey)

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Print it as a PDF; a wrong name or folder is a PressingError that says so."""
        return printed(path, (".pdf",), lambda: self.pages().bytes("pdf"))

    def put_example(self, pages: Pages) -> None:
        """The worked example, and what turns it."""
        worked = self.worked
        pages.write(f"A worked example. {worked.asks}", TYPE_PT)
        put_picture(pages, worked, answer_drawing(worked), EXAMPLE)
        pages.write(self.rule or worked.judge.hints(worked.plan)[0], HEADING_PT, bold=True)
        heading(pages, "Why")
        pages.write(answer_words(worked), TYPE_PT)
        cases = self.counter_cases
        if not cases:
            return
        part = frame_of(worked, *(case.situation for case in cases), near_m=NEARER_M)
        columns = 1 if part[1] - part[0] > WIDEST_M else len(cases)
        high_cm = _high_cm(pages, part, CASES_HIGH) * len(cases) / columns
        if pages.room_cm < high_cm + WORDS_CM:  # pictures and words stay together
            pages.new_page()
        heading(pages, "What turns it")
        pages.beside([case.drawing for case in cases], columns, high_cm, part=part, title=False)
        letters = [f"Case {letter}" for letter, _ in zip("AB", cases, strict=False)]
        pages.rows(letters, [[case.words for case in cases]], [1] * len(letters), TYPE_PT)

    def put_exercise(self, pages: Pages) -> None:
        """The question, with lines to write on."""
        pages.write(BLANK, TYPE_PT)
        heading(pages, f"Your turn: {self.exercise.title}")
        pages.write(self.exercise.asks, TYPE_PT)
        put_picture(pages, self.exercise, question_drawing(self.exercise), QUESTION)
        heading(pages, "Your answer, and why")
        pages.lines(min(LINES, int(pages.room_cm / RULE_CM)))

    def put_key(self, pages: Pages, legend: bool) -> None:
        """The answer, what else counts as right, and why it is not that of the example."""
        exercise, worked = self.exercise, self.worked
        heading(pages, f"Key, not for the learner: {exercise.title}")
        pages.write(exercise.asks, TYPE_PT)
        pages.write(answer_words(exercise), TYPE_PT, bold=True)
        put_picture(pages, exercise, answer_drawing(exercise), KEY, legend)
        pages.write(repr(Accepted(exercise).card), TYPE_PT)
        pages.write(f"By the rule: {exercise.judge.hints(exercise.plan)[0]}", TYPE_PT)
        ours, theirs = (in_words(one, one.solution().answer) for one in (exercise, worked))
        if ours != theirs:
            pages.write(f"The worked example is another picture, and its answer another: {theirs}.", TYPE_PT)
        pages.write(f"Judged by pressinglib {__version__} with {settings_words(exercise)}.", SMALL_PT)


@dataclass(frozen=True)
class Booklet:
    """Several exercises on paper: a worked example for each kind of question, the exercises, one key at the end.

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
    7
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
    for n, one in enumerate(handouts):
        full = pages.room_cm < _high_cm(pages, frame_of(one.exercise), KEY) + KEY_WORDS_CM
        if n and full:
            pages.new_page()
        one.put_key(pages, legend=not n or full)
    pages.number()
    return pages


def heading(pages: Pages, words: str) -> None:
    """A heading."""
    pages.write(words, HEADING_PT, serif=True)


def put_picture(pages: Pages, exercise: Exercise, drawing: Drawing, share: float, legend: bool = True) -> None:
    """The picture, zoomed to where it happens, and its legend in type that can be read."""
    part = frame_of(exercise)
    pages.picture(drawing, _high_cm(pages, part, share), part=part, legend=False, words=False)
    if legend:
        pages.legend(drawing)
    pages.write("")


def _high_cm(pages: Pages, part: Box, share: float) -> float:
    """A share of the page, and so high at least that the numbers can be read."""
    return max(share * pages.size_cm[1], LEAST_CM_PER_M * (part[3] - part[2] + HANGS_M) + 0.5)


def settings_words(exercise: Exercise) -> str:
    """The settings that differ from the usual ones."""
    usual = {f.name: f.default for f in fields(Settings)}
    other = [f"{name} {value}" for name, value in asdict(exercise.rulebook.settings).items() if value != usual[name]]
    return f"{', '.join(other)}, else the usual settings" if other else "the usual settings"
