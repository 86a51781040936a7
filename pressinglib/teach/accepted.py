"""What else would be right: the answers near the solution, each asked of the exercise itself."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import dist, hypot
from typing import Any

from pressinglib.errors import PressingError
from pressinglib.field.annotation import OwnMark
from pressinglib.field.player import XY
from pressinglib.show.drawing import draw_situation
from pressinglib.show.export import picture
from pressinglib.tables import listed
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.gap_questions import gaps_of
from pressinglib.teach.press_questions import NOBODY
from pressinglib.teach.verdict import RIGHT, WRONG, Card

AROUND_M = 12  # places are tried this far round the solution, a metre apart
WORDS = ("left", "right", "hold", "step", "drop", NOBODY)
CORNERS = 50


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
    Right: any of about ... m2 round (..., ...): the area in the picture.
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

    @cached_property
    def wrong(self) -> list[Any]:
        """Answers that make sense and do not do the job, the likeliest first."""
        return [answer for answer in self._others if self._is(answer, WRONG)]

    def likely_wrong(self, count: int) -> list[Any]:
        """So many that a learner might well give: the nearest to the ball; of places, such as are wrong by far."""
        wrong = self.wrong
        if self._place is None:
            return wrong[:count]
        return [wrong[len(wrong) * (n + 1) // (count + 1)] for n in range(count)] if wrong else []

    @property
    def card(self) -> Card:
        """What to accept, to be shown beside a mark."""
        written = self.exercise.judge.written(self._model)
        if self._place is not None:
            return Card(f"any of about {len(self.right)} m2 round {written}: the area in the picture.", title="Right")
        if not self._others:
            return Card(f"{written}, and whatever does the same job: each answer is judged by itself.", title="Right")
        more = [self.exercise.judge.written(answer) for answer in self.right[1:]]
        return Card(f"{written}; also {listed(more)}." if more else f"{written} and nothing else.", title="Right")

    def area(self) -> list[OwnMark]:
        """Where the placed player may stand, to be drawn; nothing for other kinds of answer."""
        from shapely import box, union_all

        if self._place is None:
            return []
        cells = union_all([box(x - 0.5, y - 0.5, x + 0.5, y + 0.5) for x, y in map(self._xy, self.right[1:])])
        parts = [part for part in getattr(cells, "geoms", [cells]) if part.area >= 2.0]
        return [OwnMark("zone", tuple(_corners(part))) for part in parts]

    @cached_property
    def _model(self) -> Any:
        return self.exercise.solution().answer

    @property
    def _place(self) -> XY | None:
        """The solution, if it is the place of one player."""
        answer = self._model
        if isinstance(answer, dict) and len(answer) == 1:
            answer = next(iter(answer.values()))
        return answer if isinstance(answer, tuple) and len(answer) == 2 else None

    def _xy(self, answer: Any) -> XY:
        return next(iter(answer.values())) if isinstance(answer, dict) else answer

    @cached_property
    def _others(self) -> list[Any]:
        """Answers of the solution's kind, without the solution."""
        if self._place is not None:
            return self._places(self._place)
        if isinstance(self._model, frozenset):
            pairs = [frozenset({gap.pair}) for gap in gaps_of(self.exercise.plan)]
            return [answer for answer in (frozenset(), *pairs) if answer != self._model]
        if not isinstance(self._model, str):
            return []
        situation = self.exercise.situation
        nearest = sorted(situation.pressing, key=lambda p: dist(p.xy, situation.ball_xy))
        numbers = [p.number for p in (*nearest, *situation.possession)]
        offered = getattr(self.exercise.judge, "offered", [])
        words = dict.fromkeys([*numbers, *WORDS, *offered])
        return [word for word in words if word != self._model and self._makes_sense(word)]

    def _places(self, middle: XY) -> list[Any]:
        """A metre apart, the nearest first."""
        metres = range(-AROUND_M, AROUND_M + 1)
        steps = sorted((hypot(dx, dy), dx, dy) for dx in metres for dy in metres)
        near = [(middle[0] + dx, middle[1] + dy) for away_m, dx, dy in steps if away_m <= AROUND_M]
        places = [{next(iter(self._model)): xy} if isinstance(self._model, dict) else xy for xy in near]
        return [place for place in places if self._makes_sense(place)]

    def _makes_sense(self, answer: Any) -> bool:
        try:
            return self.exercise.read(answer) is not None
        except PressingError:
            return False

    def _is(self, answer: Any, outcome: str) -> bool:
        return self.exercise.check(answer).outcome == outcome


def _corners(shape: Any) -> list[XY]:
    """The outline with at most 50 corners, coarser until it fits."""
    for coarse_m in (0.3, 0.8, 1.5, 3.0, 6.0):
        outline = list(shape.simplify(coarse_m).exterior.coords)[:-1]
        if len(outline) <= CORNERS:
            break
    return outline[:CORNERS]
