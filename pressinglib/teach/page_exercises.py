"""Exercises as parts of a page that opens anywhere: every answer that can be given there is judged beforehand.

So the page says what the lesson would say. Its tries are an answer file, which is judged again when the tutor marks it.
Whoever reads the source of the page can read the answers.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from html import escape
from itertools import chain, combinations, permutations, product
from math import dist
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib import __version__
from pressinglib.errors import BadInput, as_a
from pressinglib.field.player import XY
from pressinglib.field.scene_file import SceneFile
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, draw_situation
from pressinglib.show.page import CARRY_M, LABELS, MARKUP, Pack, Progress, in_dm, save_sections, scene_section, section
from pressinglib.teach.answers import one_of
from pressinglib.teach.exercise import HINTS, Exercise, Form
from pressinglib.teach.explanation import explained, section_of
from pressinglib.teach.gap_questions import NONE

TEAM = "my team"  # what the tries of a tutor's exercises are filed under
# How near to each other, and how far round the solution, places are judged: (step, reach) in metres, the last over the
# whole pitch. Of two players every place of one goes with every place of the other.
Rings = tuple[tuple[float, float], ...]
RINGS: dict[int, Rings] = {1: ((0.5, 4.0), (2.0, 12.0), (8.0, 200.0)), 2: ((1.0, 2.0), (3.0, 9.0))}
MOST_STEPS = 400
STYLED = re.compile(r' style="[^"]*"')
LATER = "This one is answered in the lesson on a computer."


@dataclass(frozen=True)
class Baked:
    """An exercise with a verdict for every answer that its page can give."""

    exercise: Exercise

    @property
    def form(self) -> Form:
        """How it is answered."""
        return self.exercise.form

    @property
    def steps(self) -> tuple[float, float, float]:
        """Least, most and step of the slider."""
        low, high = self.form.slider or (0.0, 0.0)
        return low, high, 0.1 if high - low <= MOST_STEPS / 10 else 1.0

    @cached_property
    def places(self) -> dict[str, list[XY]]:
        """Where each who is placed may be put: first where he stands, then round the solution."""
        model, rings = self.exercise.solution().situation, RINGS[len(self.form.placed)]
        assert model is not None
        return {n: [_of(self.exercise.situation, n), *_round(model, _of(model, n), rings)] for n in self.form.placed}

    def answers(self) -> Iterator[tuple[str, Any]]:
        """Every answer with its key."""
        form = self.form
        if form.placed:
            grids = self.places
            for at in product(*(range(len(grid)) for grid in grids.values())):
                yield ",".join(map(str, at)), {n: list(grids[n][k]) for n, k in zip(grids, at, strict=True)}
        elif form.slider:
            low, high, step = self.steps
            yield from ((f"{v:g}", f"{v:g}") for v in (low + step * np.arange(round((high - low) / step) + 1)).round(1))
        else:
            yield from ((key, key) for key in map(", ".join, _chosen(form)))

    def can_be_baked(self) -> bool:
        """Whether its answers can be told one by one."""
        return bool(self.form.options or self.form.slider) or len(self.form.placed) in RINGS

    def section(self, lesson: str, why: str = "") -> str:
        """The exercise as a part of a page."""
        e, pack = self.exercise, Pack()
        first = draw_situation(e.situation, labels=LABELS)
        pack.add(first)
        if not self.can_be_baked():
            return section("exercise", e.title, first, e.asks, MARKUP["later"], pack)
        told: dict[tuple[str, ...], int] = {}
        answers = {key: told.setdefault(self._told(answer), len(told)) for key, answer in self.answers()}
        values = {"lesson": lesson, "name": e.title, "asks": e.asks, "answers": answers, "verdicts": [*told],
                  "hints": [e.hint(step + 1).words for step in range(HINTS)], "form": self._form(),
                  "moved": {key: pack.add(draw_situation(there, labels=LABELS)) for key, there in self._moved()},
                  "solution": e.solution().words, "model": self._model()}
        folded = MARKUP["why"].format(words=why) if why else ""
        task = MARKUP["task"].format(how=escape(self._how()), field=self._field(), why=folded)
        return section("exercise", e.title, first, e.asks, task, pack, **values)

    def _told(self, answer: Any) -> tuple[str, ...]:
        """Outcome, its words as a head, and what the first, second and third wrong try are told."""
        told = self.exercise.taught(answer)
        words = [one.words for one in told]
        return told[0].outcome, told[0].head, *(words if len(set(words)) > 1 else words[:1])

    def _moved(self) -> Iterator[tuple[str, Situation]]:
        """What each number of a slider does to the picture, where it does anything."""
        for key, answer in self.answers() if self.form.slider else ():
            there = self.exercise.judge.shown(self.exercise.situation, float(answer))
            if there != self.exercise.situation:
                yield key, there

    def _form(self) -> dict[str, Any]:
        """How it is answered, for the script."""
        form = self.form
        grids = self.places if form.placed else {}
        placed = {n: [[in_dm(v) for v in xy] for xy in grid] for n, grid in grids.items()}
        return {"options": form.options, "several": form.several, "in_order": form.in_order, "none": NONE,
                "team": form.team or ("pressing" if form.placed else ""), "placed": placed}

    def _model(self) -> Any:
        """The solution as the page gives it."""
        answer, form = self.exercise.solution().answer, self.form
        if form.placed:
            return [1 for _ in form.placed]  # the first place round the solution
        if form.slider:
            low, _, step = self.steps
            return round(low + step * round((answer - low) / step), 1)
        return [one_of(name, form.options, "option") for name in self.exercise.judge.named(answer)]

    def _field(self) -> str:
        """Buttons to choose from, whom to place, or a slider."""
        if self.form.slider:
            low, high, step = self.steps
            return MARKUP["number"].format(low=low, high=high, step=step)
        names = self.form.options or (self.form.placed if len(self.form.placed) > 1 else ())
        return "".join(MARKUP["option"].format(name=escape(name)) for name in names)

    def _how(self) -> str:
        form = self.form
        if form.placed:
            return "Drag in the picture. Arrow keys move as well."
        if form.slider:
            return "Set the slider, or type a number."
        return "Touch them in the picture, or choose here." if form.team else "Choose here."


def _chosen(form: Form) -> Iterator[tuple[str, ...]]:
    """Everything that can be chosen at once, in the order in which the page writes it."""
    names = [name for name in form.options if name != NONE]
    if not form.several:
        return ((name,) for name in form.options)
    some = permutations if form.in_order else combinations
    alone = [(NONE,)] if NONE in form.options else []
    return chain(alone, *(some(names, count) for count in range(1, len(names) + 1)))


def _of(situation: Situation, number: str) -> XY:
    return situation.player("pressing", number).xy


def _round(situation: Situation, middle: XY, rings: Rings) -> list[XY]:
    """Places round a middle, which comes first, each ring coarser than the one inside it."""
    found, inner = [middle], 0.0
    for step, reach in rings:
        corner = situation.pitch.corner_xy
        counts = [int(min(reach, 2 * half) / step) for half in corner]
        tries = [(middle[0] + step * i, middle[1] + step * j) for i in range(-counts[0], counts[0] + 1)
                 for j in range(-counts[1], counts[1] + 1)]
        found += [(round(x, 1), round(y, 1)) for x, y in tries
                  if inner < dist((x, y), middle) <= reach and situation.pitch.holds((x, y))]
        inner = reach
    return found


def explanation_of(exercise: Exercise) -> str:
    """What explains the exercise after the try, as HTML; nothing where nobody wrote it."""
    found = section_of(exercise)
    return no_styles(explained(*found)) if found else ""


def no_styles(html: str) -> str:
    """Our own HTML for a page, which allows no style beside its own."""
    return STYLED.sub("", html)


def answers_desk() -> str:
    """The part of a page that hands the tries in."""
    return MARKUP["desk"].format(version=__version__)


def save_page(what: Any, path: str | Path, title: str = "", *, layers: Iterable[str] = USUAL_LAYERS,
              carry_m: float = CARRY_M, lesson: str = TEAM, progress: Progress | None = None) -> Path:
    """Write scenes and exercises as one HTML file that opens anywhere, on a phone too, with no net and no Python.

    In a scene the ball goes from man to man, and each carries it: a plan is shown only for places it was worked out
    for. An exercise says what the lesson would say, and its tries are saved as the answer file that `read_class` marks.
    The answers can be read in the file's source.

    Parameters
    ----------
    what : Situation, Plan, Board, Exercise, or a list of them
        A plan or a board brings its rulebook along.
    path : str or Path
        Ends in .html. An old file is replaced only when the new one is complete.
    title : str
        Above everything; by default the first exercise's title, or what the first scene shows.
    layers : iterable of str
        What is shown of a plan; see `draw_plan`.
    carry_m : float
        How far each of theirs carries the ball, 0-8 m, a metre at a time: 4 m take about 550 plans and five seconds.
    lesson : str
        What the tries are filed under.
    progress : function of two numbers, optional
        Told how many plans of a scene are done, of how many.

    Raises
    ------
    PressingError
        For something that is neither, another ending, or a file that cannot be written.

    Examples
    --------
    >>> save_page([], "page.html")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: page: expected scenes and exercises; got none. Give at least one.
    """
    items = list(what) if isinstance(what, list | tuple) else [what]
    if not items:
        raise BadInput("page", expected="scenes and exercises", got="none", todo="give at least one")
    sections = [_section(item, layers, carry_m, lesson, progress) for item in items]
    desk = [answers_desk()] if any(isinstance(item, Exercise) for item in items) else []
    return save_sections(path, title or _title(items[0]), [*sections, *desk])


def _section(item: Any, layers: Iterable[str], carry_m: float, lesson: str, progress: Progress | None) -> str:
    if isinstance(item, Exercise):
        return Baked(item).section(lesson, explanation_of(item))
    plan = item if isinstance(item, Plan) else getattr(item, "plan", None)
    title, situation, rules = ("", plan.situation, plan.rulebook) if isinstance(plan, Plan) else ("", item, None)
    if isinstance(item, SceneFile):
        title, situation = item.title, item.situation
    as_a(situation, Situation, "page", "give a Situation, a Plan, a Board or an Exercise")
    return scene_section(situation, rules, title, layers, carry_m=carry_m, progress=progress)


def _title(item: Any) -> str:
    return getattr(item, "title", "") or "Who presses?"
