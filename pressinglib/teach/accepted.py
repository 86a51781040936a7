"""What else would be right, asked of the exercise itself; whether it is a good question; what a print shows."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cached_property
from math import dist
from typing import Any

import numpy as np
from shapely import LineString, Point, box, union_all

from pressinglib.doors import door_class
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.player import XY
from pressinglib.field.scene_file import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.roles.faults import find_faults
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.export import picture
from pressinglib.show.labels import situation_title
from pressinglib.show.primitives import Box
from pressinglib.tables import listed
from pressinglib.teach.choices import NameFault
from pressinglib.teach.criteria import DenyOption, Rings, places_round
from pressinglib.teach.exercise import RIGHT, WRONG, Card, Exercise
from pressinglib.teach.line_questions import HoldStepDrop

AROUND: Rings = ((1.0, 12.0), (8.0, 200.0))
MOSTLY = 0.5  # of the answers tried: if more are right, the tutor is told (own choice)
CORNERS, COARSE_M = 50, 0.8  # of a zone
NEAR_M, EDGE_M, LEAST_M = 27.0, 3.0, 34.0  # of what a print shows (own choice)
IN_LANE_M = 1.0  # so near to the line of a pass is in its lane (own choice)


@door_class
class Accepted:
    """The answers to an exercise, right and wrong, as far as they can be told one by one; shows what is right.

    >>> from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
    >>> Accepted(who_goes).right, Accepted(which_side).wrong
    (['11'], ['left'])
    >>> Accepted(who_goes)
    Right: 11 and nothing else.
    >>> Accepted(place_the_cover)
    Right: any of about ... m2, such as ....
    """

    def __init__(self, exercise: Exercise) -> None:
        form, answer = exercise.form, exercise.solution().answer
        self.exercise, self._place = exercise, len(form.placed) == 1
        self._model = answer[form.placed[0]] if self._place else answer
        named = () if form.in_order else form.options
        self._others = list(places_round(exercise.situation, self._model, AROUND)) if self._place else [
            name for name in named if exercise.read(name) != self._model]  # of the solution's kind

    def __repr__(self) -> str:
        return repr(self.card)

    def _repr_png_(self) -> bytes | None:
        """The area, where there is one to be seen."""
        area = self.area()
        return picture(draw_situation(self.exercise.situation, marks=area))._repr_png_() if area else None

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
        written = in_words(self.exercise)
        more = listed(map(str, self.right[1:]), nobody="")
        if self._place:
            words = f"any of about {len(self.right)} m2, such as {written}."
        elif not self._others:
            words = f"{written}, and whatever does the same job: each answer is judged by itself."
        else:
            words = f"{written}; also {more}." if more else f"{written} and nothing else."
        return Card(words, title="Right")

    def area(self) -> list[OwnMark]:
        """Where the placed player may stand, to be drawn; nothing for other kinds of answer."""
        if not self._place:
            return []
        cells = union_all([box(x - 0.5, y - 0.5, x + 0.5, y + 0.5) for x, y in self.right[1:]])
        parts = [part for part in getattr(cells, "geoms", [cells]) if part.area >= 2.0]
        return [OwnMark("zone", tuple(part.simplify(COARSE_M).exterior.coords[:CORNERS])) for part in parts]

    def _is(self, answer: Any, outcome: str) -> bool:
        return self.exercise.check(answer).outcome == outcome


def in_words(exercise: Exercise, answer: Any = None) -> str:
    """An answer, by default its own, as a coach says it: places by the men round them, else as it is written."""
    answer = exercise.judge.model(exercise.plan) if answer is None else answer
    if not exercise.form.placed:
        return exercise.judge.written(answer)
    words = {number: place_in_words(exercise.situation, xy) for number, xy in answer.items()}
    return listed((f"{number}: {place}" for number, place in words.items()) if len(words) > 1 else words.values())


def place_in_words(situation: Situation, xy: XY) -> str:
    """A place by the lane from the ball in which it lies, or by the opponent who is nearest.

    >>> from pressinglib.field.scene_file import scene
    >>> s = scene("worked scene")
    >>> place_in_words(s, (23.2, 1.9)), place_in_words(s, (17, -2))
    ('in the lane from their 5 to their 6, 1.5 m in front of 6', '6 m goal-side of their 6')
    """
    goal, on_ball = situation.pitch.own_goal_xy, situation.on_ball
    men = [p for p in situation.possession if p.number != on_ball] or situation.possession
    man = min(men, key=lambda p: dist(p.xy, xy))
    away = f"{max(round(2 * dist(man.xy, xy)) / 2, 0.5):g} m"  # to half a metre, as an eye can tell
    if LineString([situation.ball_xy, man.xy]).distance(Point(xy)) <= IN_LANE_M < dist(man.xy, xy):
        holder = f"their {on_ball}" if on_ball else "the ball"
        return f"in the lane from {holder} to their {man.number}, {away} in front of {man.number}"
    side = "goal-side of" if dist(xy, goal) <= dist(man.xy, goal) else "on the ball's side of"
    return f"{away} {side} their {man.number}"


# -- Whether it is a good question: something is right, something is wrong, and nothing tells the answer.


def faults_in(situation: Situation, rulebook: Rulebook | None = None) -> list[str]:
    """The kinds of fault in a picture, each once."""
    return list(dict.fromkeys(fault.kind for fault in find_faults(situation, rulebook)))


def check_question(exercise: Exercise) -> None:
    """BadInput, with what to change, unless something is right and something is wrong."""
    judge, todo = exercise.judge, "change the picture, or ask something else"
    try:
        answer = exercise.solution().answer
        verdict = exercise.check(answer)
    except (PressingError, KeyError) as error:
        raise BadInput("There is no answer to this", got=str(error), todo=todo) from error
    if verdict.outcome != RIGHT:
        what, why = "No answer to this is right", f": {verdict.words.rstrip('.')}"
        if isinstance(judge, NameFault):
            there = listed(faults_in(exercise.situation, exercise.rulebook), "or", "")
            what, why = f'There is no "{judge.fault}" in this picture', ""
            todo = f"ask about {there}" if there else todo
        if isinstance(judge, DenyOption):
            what = f"{judge.cover} can deny {judge.option} from nowhere on the pitch"
            todo = f"move their {judge.option} or the ball, or ask about another opponent"
        raise BadInput(what + why, todo=todo)
    if not Accepted(exercise).can_be_wrong:
        raise BadInput(f"Every answer to this is right, {judge.written(answer)} and any other: "
                       f"{situation_title(exercise.situation)}", todo=todo)


def doubts_of(accepted: Accepted) -> list[str]:
    """What a tutor should know of a question that can be solved: too easy, told by its own words, or out of reach."""
    doubts, right, tried = [], len(accepted.right), len(accepted.right) + len(accepted.wrong)
    if tried > 1 and right > MOSTLY * tried:
        doubts.append(f"Hardly any answer is wrong: {right} of {tried} that were tried are right. Change the picture.")
    said = f"{accepted.exercise.title} {accepted.exercise.asks}".casefold()
    told, wrong = ([word for word in answers if isinstance(word, str)
                    and re.search(rf"(?<!\w){re.escape(word.casefold())}(?!\w)", said)]
                   for answers in (accepted.right, accepted.wrong))
    if told and not wrong:
        doubts.append(f"Title and task tell {told[0]}, which is the answer: leave it out.")
    return doubts + _too_late(accepted)


def _too_late(accepted: Accepted) -> list[str]:
    """Where a cover cannot be at any right place by the time the presser is at the ball."""
    plan, judge = accepted.exercise.plan, accepted.exercise.judge
    if not isinstance(judge, DenyOption) or plan.presser in (None, judge.cover):
        return []
    stands, by_s = plan.situation.player("pressing", judge.cover).xy, plan.assignments[plan.presser].arrival_s
    away_m = min(dist(stands, place) for place in accepted.right)
    if float(plan.rulebook.settings.running.rest_time(away_m)) <= by_s:
        return []
    return [f"{judge.cover} would come too late here: {away_m:.0f} m to go, and {plan.presser} is at the ball in "
            f"{by_s:.1f} s. Move {judge.cover} nearer, or ask about another cover."]


# -- What a print shows: question and answer as pictures and in words, zoomed to where it happens.


def asked_in_words(exercise: Exercise) -> str:
    """The task, with the words that a screen offers to choose from."""
    words = () if exercise.form.team or exercise.form.gaps else exercise.form.options
    told = all(word in exercise.asks for word in words)
    return exercise.asks if told else f"{exercise.asks} ({listed(words, 'or')})"


def question_drawing(exercise: Exercise) -> Drawing:
    """The picture with words that give nothing away."""
    return replace(draw_situation(exercise.situation), words=f"{situation_title(exercise.situation)}.")


def answer_drawing(exercise: Exercise, start: Situation | None = None) -> Drawing:
    """The plan, and where a player who is placed may stand; a change from another picture leaves its ghosts."""
    marks = [] if start else Accepted(exercise).area()
    if start and exercise.form.placed:
        marks = [OwnMark("note", (xy,), "here") for xy in exercise.solution().answer.values()]
    return draw_plan(exercise.situation, exercise.plan, marks=marks, start=start)


def answer_words(exercise: Exercise) -> str:
    """The answer as a coach says it, and why."""
    words, why = in_words(exercise), exercise.check(exercise.solution().answer).words
    return why if why.startswith(f"{words} ") else f"{words[:1].upper()}{words[1:]}. {why}"


def frame_of(exercise: Exercise, *others: Situation, near_m: float = NEAR_M) -> Box:
    """Where it happens, the presser's run and a back line that is asked about as well; what all the pictures need.

    A fault may be anywhere: everybody in the field is shown.
    """
    places: list[XY] = [*exercise.solution().answer.values()] if exercise.form.placed else []
    fault = exercise.judge.fault if isinstance(exercise.judge, NameFault) else ""
    for s in (exercise.situation, *others):
        plan = exercise.plan if s is exercise.situation else replace(exercise, situation=s).plan
        ours, theirs = [*exercise.form.placed, plan.presser], (getattr(exercise.judge, "option", ""),)
        if isinstance(exercise.judge, HoldStepDrop):
            ours += [number for number, job in plan.assignments.items() if job.role == "back line"]
        places += [s.ball_xy, *(p.xy for team, asked in ((s.pressing, ours), (s.possession, theirs)) for p in team
                                if dist(p.xy, s.ball_xy) < near_m or p.number in asked
                                or (fault and ("keeper" in fault or not p.is_goalkeeper)))]
        if plan.presser is not None:
            places += plan.assignments[plan.presser].path.tolist()
    low, high = np.min(places, axis=0) - EDGE_M, np.max(places, axis=0) + EDGE_M
    more, corner = np.maximum(LEAST_M - (high - low), 0.0) / 2, np.array(exercise.situation.pitch.corner_xy) + EDGE_M
    (x0, y0), (x1, y1) = np.maximum(low - more, -corner).tolist(), np.minimum(high + more, corner).tolist()
    return x0, x1, y0, y1
