"""On paper: worked examples, exercises to write on, their keys. On a screen: slides that wait."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from html import escape
from itertools import islice
from math import dist
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from pressinglib import __version__
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.files import write_file
from pressinglib.roles.plan import Plan, plan_pictures
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
    asked_in_words,
    frame_of,
    in_words,
    question_drawing,
)
from pressinglib.teach.choices import NameFault
from pressinglib.teach.course import Course
from pressinglib.teach.exercise import FURTHEST, RIGHT, Exercise, judged
from pressinglib.teach.report_page import filled, image

# The caution stands wherever something is to be done on the grass.
CAUTION = ("Stop for head knocks. Warm-up, heat, concussion, heading and tackling by age, safeguarding: local rules, "
           "national federation, medical staff and licensed practice decide.")
AID = "A teaching aid worked out from positions, not advice on a person."
EXAMPLE_SEED, MIRRORED, EXAMPLES, FEW = 1, 3, 40, 3  # pictures to try, left and right swapped and as it is
CASES, MOVERS = 2, 4
MOST_M = 8  # a step that is longer is no small change
WAYS = {"further up": np.array((1, 0)), "further back": np.array((-1, 0)), "to the left": np.array((0, 1)),
        "to the right": np.array((0, -1))}
NEARER_M = 18.0  # from the ball, of what a small picture shows (own choice)
LEAST_CM_PER_M = 0.145  # then numbers are printed in at least 7 points
QUESTION_CM, KEY, SMALLER, LINES = 14.0, 0.35, 0.75, 10
SHARES = 0.6, 0.54, 0.48, 0.42  # of the width, for the picture of an example: the first that leaves all on one page
TYPE_PT, HEADING_PT, SMALL_PT = 10.5, 12.5, 8.5
SLIDE_TITLE_PT, SLIDE_PT, SLIDE_SHARE, SLIDE_DPI = 26.0, 18.0, 0.74, 144.0
SLIDE_RATIO = 1.35
MENDED = "So the fault is gone: the plan, and a ring where somebody stood."
SAME = "The worked example has the same answer, for no picture near by turned it: mark the reason that is given."
BLANK = f"Name {'_' * 32}    Date {'_' * 14}"


def printed(path: str | os.PathLike[str], writers: Mapping[str, Callable[[], bytes]]) -> Path:
    """Write a file whole, as the ending of its name says; BadInput for another one."""
    write = writers.get(ending := Path(path).suffix.lower())
    if write is None:
        raise BadInput(f"name {str(path)[:100]}", expected=f"one that ends in {' or '.join(writers)}",
                       got=repr(ending), todo="change its ending")
    return write_file(path, write())


# -- A worked example, and what turns it.

class Case(NamedTuple):
    """A small picture with its words."""

    situation: Situation
    drawing: Drawing
    words: str


def worked_example(exercise: Exercise) -> Exercise:
    """The question on another picture of the same shapes: near by, with another answer, and one that can be turned, if
    there is one. It is never the exercise itself, whose key is on the last page.
    """
    known, words = exercise.solution().answer, in_words(exercise)
    other_side = replace(exercise, situation=exercise.situation.mirrored())

    def near() -> Iterator[Exercise]:
        yield from other_side.near(EXAMPLE_SEED, 0 if exercise.form.placed else MIRRORED, keep=True)
        yield from exercise.near(EXAMPLE_SEED, EXAMPLES, FURTHEST, keep=True)

    turned = (one for one in near() if one.is_right() and not one.is_right(known) and in_words(one) != words)
    some = [*islice(turned, FEW)] or [*islice((one for one in near() if one.is_right()), 1)] or [other_side]
    return next(filter(counter_cases, some), some[0])


@lru_cache(maxsize=8)  # an example is chosen by them
def counter_cases(worked: Exercise) -> list[Case]:
    """Small pictures in which one has moved, as little as turns the answer: each time somebody else.

    Tried are those nearest to the ball, who is asked about, and the carrier; all of a distance are planned at once. Of
    a fault it is the picture without it.
    """
    s, known, found = worked.situation, worked.solution().answer, dict[Player, Case]()
    if isinstance(worked.judge, NameFault):
        mended = replace(worked, situation=worked.judge.shown(s, known))
        return [] if mended.is_right(known) else [Case(mended.situation, answer_drawing(mended, s), MENDED)]
    ours = sorted((p for p in s.pressing if not p.is_goalkeeper), key=lambda p: dist(p.xy, s.ball_xy))[:MOVERS]
    theirs = [p for p in s.possession if p.number in (getattr(worked.judge, "option", ""), s.on_ball)]
    moved = [player for player in (*ours, *theirs) if player.number not in worked.form.placed]
    for metres in range(1, MOST_M + 1):
        steps = {there: (player, way) for player in moved if player not in found
                 for way, there in _steps(s, player, metres)}
        for there, plan in plan_pictures(steps, worked.rulebook).items():
            player, way = steps[there]
            if player not in found and (case := _turned(worked, known, plan, player, f"{metres:g} m {way}")):
                found[player] = case
                if len(found) == CASES:
                    return list(found.values())
    return list(found.values())


def _steps(s: Situation, player: Player, metres: float) -> Iterator[tuple[str, Situation]]:
    """The pictures with a player so many metres off, by way; one of ours also to and from the ball."""
    nearer, ours = np.subtract(s.ball_xy, player.xy) / max(dist(player.xy, s.ball_xy), 1e-9), player in s.pressing
    ways = {"nearer to the ball": nearer, "further from the ball": -nearer} if ours else {}
    for way, step in (ways | WAYS).items():
        x, y = (player.xy + metres * step).tolist()
        with suppress(PressingError):  # where he can stand
            yield way, placed(s, "pressing" if ours else "possession", player.number, (x, y))


def _turned(worked: Exercise, known: Any, plan: Plan, player: Player, step: str) -> Case | None:
    """What a step of a player makes of the answer; None if it stays right, or there is none then."""
    s, who = worked.situation, player.number
    with suppress(PressingError):  # it cannot be asked there
        if not worked.form.placed and worked.judge.model(plan) == known:
            return None
        verdict = judged(worked.judge.findings(plan, worked.judge.read(known, plan)))
        if verdict.outcome != RIGHT:
            fresh = replace(worked, situation=plan.situation)
            if fresh.is_right():
                name = who if player in s.pressing else f"their {who}{' with the ball' * (who == s.on_ball)}"
                why = f"that place will not do. {verdict.words} Now:" if worked.form.placed else "the answer is:"
                words = f"If {name} stands {step}, {why} {answer_words(fresh)}"
                return Case(fresh.situation, answer_drawing(fresh, s), words)
    return None


@dataclass(frozen=True)
class Booklet:
    """Exercises to be solved on paper: a worked example for each kind of question, the exercises, all keys at the end.

    `paper`: "A4" or "Letter". `grey`: black and white, for a copier.

    >>> from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
    >>> len(Booklet(Course("Tuesday", (who_goes, which_side))).pages())
    5
    """

    course: Course
    paper: str = "A4"
    grey: bool = False

    def pages(self) -> Pages:
        """Each exercise on a page, before the first of its kind an example; the keys together at the end."""
        pages, examples = Pages(self.course.title, self.paper, foot=AID, grey=self.grey), {}
        for one in self.course:
            if type(one.judge) not in examples:
                examples[type(one.judge)] = worked_example(one)
                _put_example(pages, examples[type(one.judge)], self.paper)
            _put_exercise(pages, one)
        pages.write("Keys, not for the learner", HEADING_PT, bold=True, serif=True)
        for n, one in enumerate(self.course):
            if n == 0:
                pages.legend(answer_drawing(one))
            _put_key(pages, one, examples[type(one.judge)])
        pages.number()
        return pages

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Print it as a PDF; a wrong name or folder is a PressingError that says so."""
        return printed(path, {".pdf": self.pages().bytes})


def _put_example(pages: Pages, worked: Exercise, paper: str) -> None:
    """The worked example, and what turns it, on a page: as large as it holds."""
    cases, drawing = counter_cases(worked), answer_drawing(worked)
    words = [("A worked example", HEADING_PT, "serif"), (asked_in_words(worked), TYPE_PT, ""),
             (worked.judge.hints(worked.plan)[0], TYPE_PT, "bold"), (answer_words(worked), TYPE_PT, "")]
    part = frame_of(worked, *(case.situation for case in cases), near_m=NEARER_M)
    none = f"Nobody near the ball turns this answer by a step of up to {MOST_M} m."

    def put(pages: Pages, share: float, cases: Sequence[Case]) -> int:
        before = len(pages)
        pages.panel(drawing, words, share, part=frame_of(worked), least_cm_per_m=LEAST_CM_PER_M)
        pages.legend(drawing)
        pages.write("What turns it" if cases else none, HEADING_PT if cases else TYPE_PT, serif=bool(cases))
        for case in cases:
            pages.panel(case.drawing, [(case.words, TYPE_PT, "")], SMALLER * share, part=part,
                        least_cm_per_m=LEAST_CM_PER_M)
        return len(pages) - before

    tries = [(share, some) for some in (cases, cases[:1]) for share in SHARES]
    put(pages, *next((each for each in tries if not put(Pages(pages.title, paper), *each)), tries[-1]))
    pages.new_page()


def _put_exercise(pages: Pages, exercise: Exercise) -> None:
    """The question, with lines to write on, on a page."""
    pages.write(BLANK, TYPE_PT)
    pages.write(f"Your turn: {exercise.title}", HEADING_PT, serif=True)
    pages.write(asked_in_words(exercise), TYPE_PT)
    drawing = question_drawing(exercise)
    pages.picture(drawing, QUESTION_CM, part=frame_of(exercise))
    pages.legend(drawing)
    pages.write("Your answer, and why", HEADING_PT, serif=True)
    pages.lines(min(LINES, int(pages.room_cm / RULE_CM)))
    pages.new_page()


def _put_key(pages: Pages, exercise: Exercise, worked: Exercise) -> None:
    """The answer, what else counts as right, and why it is not that of the example."""
    words = [(exercise.title, HEADING_PT, "serif"), (exercise.asks, TYPE_PT, ""),
             (answer_words(exercise), TYPE_PT, "bold"), (repr(Accepted(exercise).card), TYPE_PT, ""),
             (f"By the rule: {exercise.judge.hints(exercise.plan)[0]}", TYPE_PT, "")]
    ours, theirs = in_words(exercise), in_words(worked)
    if ours != theirs:
        words.append((f"The worked example is another picture, and its answer another: {theirs}.", TYPE_PT, ""))
    elif worked.is_right(exercise.solution().answer):
        words.append((SAME, TYPE_PT, ""))
    other = f"{exercise.rulebook.settings!r}".removeprefix("Settings(").removesuffix(")")
    words.append((f"Judged by pressinglib {__version__}, settings: {other or 'the usual ones'}.", SMALL_PT, ""))
    pages.panel(answer_drawing(exercise), words, KEY, part=frame_of(exercise), least_cm_per_m=LEAST_CM_PER_M)


# -- Slides.

class Slide(NamedTuple):
    """One slide, 16 by 9: its words, and so much of a picture."""

    title: str
    words: str
    drawing: Drawing
    part: Crop = "whole"


def slides_of(exercise: Exercise) -> tuple[Slide, Slide]:
    """The question, and the answer with the plan; so much of the pitch as fills the room of a picture.

    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> [slide.title for slide in slides_of(who_goes)]
    ['Who goes?', 'Who goes?']
    """
    (x0, x1, y0, y1), half_m = frame_of(exercise), exercise.situation.pitch.length_m / 2 + EDGE_M
    wide_m = min(max(x1 - x0, SLIDE_RATIO * (y1 - y0)), 2 * half_m)
    left = min(max((x0 + x1 - wide_m) / 2, -half_m), half_m - wide_m)
    part = left, left + wide_m, y0, y1
    question = Slide(exercise.title, asked_in_words(exercise), question_drawing(exercise), part)
    return question, Slide(exercise.title, answer_words(exercise), answer_drawing(exercise), part)


def save_slides(slides: Sequence[Slide], path: str | os.PathLike[str]) -> Path:
    """Write slides that wait for you, as a PDF or as a page for the browser (.html).

    The page needs no network: a click, the space bar or an arrow goes on. BadInput for another ending, or no slide.
    """
    if not slides:
        raise BadInput("slides", expected="at least one", got="none", todo="make them: slides_of(exercise)")
    return printed(path, {".html": lambda: _html(slides), ".pdf": lambda: _projected(slides).bytes()})


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
