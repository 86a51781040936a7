"""What else would be right, each answer asked of the exercise itself; answers as pictures and in a coach's words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from math import dist, hypot
from typing import Any

import numpy as np
from shapely import LineString, Point, box, union_all

from pressinglib.field.player import XY
from pressinglib.field.scene_file import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.export import picture
from pressinglib.show.labels import situation_title
from pressinglib.show.primitives import Box
from pressinglib.tables import listed
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.line_questions import HoldStepDrop
from pressinglib.teach.verdict import RIGHT, WRONG, Card

AROUND_M = 12  # places are tried this far round the solution, a metre apart
CORNERS, COARSE_M = 50, 0.8  # of a zone
NEAR_M, EDGE_M, LEAST_M = 27.0, 3.0, 34.0  # of what a print shows (own choice)
IN_LANE_M = 1.0  # so near to the line of a pass is in its lane (own choice)


@dataclass(frozen=True, repr=False)
class Accepted:
    """The answers to an exercise, right and wrong, as far as they can be told one by one; shows what is right.

    Parameters
    ----------
    exercise : Exercise

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
    >>> Accepted(who_goes).right, Accepted(which_side).wrong
    (['11'], ['left'])
    >>> Accepted(who_goes)
    Right: 11 and nothing else.
    >>> Accepted(place_the_cover)
    Right: any of about ... m2, such as ....
    """

    exercise: Exercise

    def __repr__(self) -> str:
        return repr(self.card)

    def _repr_png_(self) -> bytes | None:
        """The area, where there is one to be seen."""
        area = self.area()
        drawing = draw_situation(self.exercise.situation, marks=area)
        return picture(drawing)._repr_png_() if area else None

    @cached_property
    def right(self) -> list[Any]:
        """Answers that do the job, the solution first."""
        return [self._model, *(answer for answer in self._others if self._is(answer, RIGHT))]

    @property
    def can_be_wrong(self) -> bool:
        """Whether some answer is wrong; the last ones first, which are the furthest off."""
        return any(self._is(answer, WRONG) for answer in reversed(self._others))

    @cached_property
    def wrong(self) -> list[Any]:
        """Answers that make sense and do not do the job, the likeliest first."""
        return [answer for answer in self._others if self._is(answer, WRONG)]

    @property
    def card(self) -> Card:
        """What to accept, to be shown beside a mark."""
        written = in_words(self.exercise, self.exercise.solution().answer)
        if self._place:
            return Card(f"any of about {len(self.right)} m2, such as {written}.", title="Right")
        if not self._others:
            return Card(f"{written}, and whatever does the same job: each answer is judged by itself.", title="Right")
        more = self.right[1:]
        return Card(f"{written}; also {listed(more)}." if more else f"{written} and nothing else.", title="Right")

    def area(self) -> list[OwnMark]:
        """Where the placed player may stand, to be drawn; nothing for other kinds of answer."""
        if not self._place:
            return []
        cells = union_all([box(x - 0.5, y - 0.5, x + 0.5, y + 0.5) for x, y in self.right[1:]])
        parts = [part for part in getattr(cells, "geoms", [cells]) if part.area >= 2.0]
        return [OwnMark("zone", tuple(part.simplify(COARSE_M).exterior.coords[:CORNERS])) for part in parts]

    @cached_property
    def _model(self) -> Any:
        """The solution; of one player his place."""
        answer = self.exercise.solution().answer
        return next(iter(answer.values())) if isinstance(answer, dict) and len(answer) == 1 else answer

    @property
    def _place(self) -> bool:
        """Whether one player is placed."""
        return isinstance(self._model, tuple)

    @cached_property
    def _others(self) -> list[Any]:
        """Answers of the solution's kind, without the solution."""
        form = self.exercise.form
        if self._place:
            pitch = self.exercise.situation.pitch
            corners = product(*((half, -half) for half in pitch.corner_xy))
            return [xy for xy in (*_round(self._model), *corners) if pitch.holds(xy)]
        return [name for name in form.options if self.exercise.read(name) != self._model] if not form.in_order else []

    def _is(self, answer: Any, outcome: str) -> bool:
        return self.exercise.check(answer).outcome == outcome


def _round(middle: XY) -> list[XY]:
    """Places a metre apart, the nearest first."""
    metres = range(-AROUND_M, AROUND_M + 1)
    steps = sorted((hypot(dx, dy), dx, dy) for dx, dy in product(metres, metres))
    return [(middle[0] + dx, middle[1] + dy) for away_m, dx, dy in steps if away_m <= AROUND_M]


def in_words(exercise: Exercise, answer: Any) -> str:
    """An answer as a coach says it: places by the men round them, anything else as it is written."""
    if not exercise.form.placed:
        return exercise.judge.written(answer)
    words = {number: place_in_words(exercise.situation, xy) for number, xy in answer.items()}
    return listed(f"{number}: {place}" if len(words) > 1 else place for number, place in words.items())


def place_in_words(situation: Situation, xy: XY) -> str:
    """A place by the lane from the ball in which it lies, or by the opponent who is nearest.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> s = scene("worked scene")
    >>> place_in_words(s, (23.2, 1.9)), place_in_words(s, (17, -2))
    ('in the lane from their 5 to their 6, 1.5 m in front of 6', '6 m goal-side of their 6')
    """
    ball, goal = situation.ball_xy, situation.pitch.own_goal_xy
    men = [p for p in situation.possession if p.number != situation.on_ball] or situation.possession
    man = min(men, key=lambda p: dist(p.xy, xy))
    away_m = dist(man.xy, xy)
    if LineString([ball, man.xy]).distance(Point(xy)) <= IN_LANE_M < away_m:
        holder = f"their {situation.on_ball}" if situation.on_ball else "the ball"
        return f"in the lane from {holder} to their {man.number}, {_metres(away_m)} in front of {man.number}"
    side = "goal-side of" if dist(xy, goal) <= dist(man.xy, goal) else "on the ball's side of"
    return f"{_metres(away_m)} {side} their {man.number}"


def _metres(length_m: float) -> str:
    """To half a metre, as an eye can tell."""
    return f"{max(round(2 * length_m) / 2, 0.5):g} m"


# -- What a print shows: question and answer as pictures and in words, zoomed to where it happens.


def question_drawing(exercise: Exercise) -> Drawing:
    """The picture with words that give nothing away."""
    return replace(draw_situation(exercise.situation), words=f"{situation_title(exercise.situation)}.")


def answer_drawing(exercise: Exercise, start: Situation | None = None) -> Drawing:
    """The plan, and where a player who is placed may stand; a change from another picture leaves its ghosts."""
    marks = [] if start else Accepted(exercise).area()
    answer = exercise.solution().answer
    if start and exercise.form.placed:
        marks = [OwnMark("note", (xy,), "here") for xy in answer.values()]
    return draw_plan(exercise.situation, exercise.plan, marks=marks, start=start)


def answer_words(exercise: Exercise) -> str:
    """The answer as a coach says it, and why."""
    answer = exercise.solution().answer
    words = in_words(exercise, answer)
    return f"{words[:1].upper()}{words[1:]}. {exercise.check(answer).words}"


def frame_of(exercise: Exercise, *others: Situation, near_m: float = NEAR_M) -> Box:
    """Where it happens, the presser's run and a back line that is asked about as well; what all the pictures need."""
    places: list[XY] = []
    for s in (exercise.situation, *others):
        plan = exercise.plan if s is exercise.situation else replace(exercise, situation=s).plan
        ours, theirs = [*exercise.form.placed, plan.presser], (getattr(exercise.judge, "option", ""),)
        if isinstance(exercise.judge, HoldStepDrop):
            ours += [number for number, job in plan.assignments.items() if job.role == "back line"]
        places += [s.ball_xy, *(p.xy for team, asked in ((s.pressing, ours), (s.possession, theirs)) for p in team
                                if dist(p.xy, s.ball_xy) < near_m or p.number in asked)]
        if plan.presser is not None:
            places += plan.assignments[plan.presser].path.tolist()
    low, high = np.min(places, axis=0) - EDGE_M, np.max(places, axis=0) + EDGE_M
    more, corner = np.maximum(LEAST_M - (high - low), 0.0) / 2, np.array(exercise.situation.pitch.corner_xy) + EDGE_M
    (x0, y0), (x1, y1) = np.maximum(low - more, -corner).tolist(), np.minimum(high + more, corner).tolist()
    return x0, x1, y0, y1
