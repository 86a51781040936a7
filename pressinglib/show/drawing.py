"""A drawing: everything a picture shows, as data.

One way of data: situation and plan -> drawing -> view. A drawing knows places and names, no colours and no view, so two
pictures can be compared as text.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from math import dist
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, as_known, as_number
from pressinglib.field.pitch import Pitch
from pressinglib.field.scene_file import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.play import sequence as played
from pressinglib.roles.plan import Plan
from pressinglib.show import layers as team
from pressinglib.show import layers_field as of_field
from pressinglib.show.judged import Judged, judged_marks
from pressinglib.show.labels import LabelPlacement, Labels, situation_title, situation_words
from pressinglib.show.marks import XY, Label, Line, Mark, Spot, Token, as_points, markings
from pressinglib.show.playback import Runs
from pressinglib.show.style import BALL_M, MEANING, NUMBERS, OTHER, ROLES, TOKEN_M
from pressinglib.show.tokens import ghosts, players

# Letters of roles find room first, then what matters less.
LAYERS = {
    "roles": team.roles, "shadow": team.shadow, "gaps": team.gaps, "lanes": team.lanes,
    "take-over": of_field.take_over, "surplus": team.surplus, "back line": team.back_line, "far side": team.far_side,
    "block": team.block, "distances": team.distances, "zones": of_field.zones, "control": of_field.control,
}
USUAL_LAYERS = ("roles", "shadow")
DIFFERS_M = 1.0
LETTER_OFF_M = 3.0


@dataclass(frozen=True)
class Drawing:
    """What to draw; its `words` are the text alternative, one true line."""

    pitch: Pitch
    marks: tuple[Mark, ...]  # in no order that matters: the views know what lies above what
    words: str
    title: str
    labels: Labels = field(default_factory=Labels)
    other: str = ""  # the name of the second rulebook, if two are compared

    def __post_init__(self) -> None:
        object.__setattr__(self, "marks", tuple(mark for mark in self.marks if mark.places))

    def legend(self) -> list[tuple[str, str]]:
        """Style and words of all that its layers can hold; notes on numbers have no style.

        By layers and not by what is there, so that the legend keeps still while a hand moves.
        """
        layers = {mark.layer for mark in self.marks}
        way = "upwards" if self.labels.upright else "to the right"
        lines = [line for layer, styles in MEANING.items() if layer in layers for line in styles.items()]
        lines += [("", words) for layer, words in NUMBERS.items() if layer in layers]
        return [(style, words.format(other=self.other, unit=self.labels.unit, way=way)) for style, words in lines]


def draw_pitch(pitch: Pitch, title: str = "") -> Drawing:
    """The empty pitch, to print and to write on."""
    return Drawing(pitch, markings(pitch), f"An empty pitch, {pitch.length_m:g} x {pitch.width_m:g} m.", title)


def draw_situation(situation: Situation, title: str | None = None, *, labels: Labels | None = None,
                   marks: Iterable[OwnMark] = (), start: Situation | None = None,
                   judged: Iterable[Judged] = (), held: tuple[str, str] | None = None, taken: Iterable[XY] = ()
                   ) -> Drawing:
    """The picture as it is: pitch, teams, ball; and what was `judged` in it, its words on no place that is `taken`.

    Other parameters as in `draw_plan`.

    Examples
    --------
    >>> drawing = draw_situation(Situation.line_up(ball_xy=(30, 10)))
    >>> sum(isinstance(mark, Token) for mark in drawing.marks)
    23
    >>> draw_situation(Situation.line_up(), title="Build-up").title
    'Build-up'
    """
    labels = labels or Labels()
    still, placement = _still(situation, labels, start, held)
    for xy in taken:
        placement.take(xy, (TOKEN_M, TOKEN_M))
    more = *team.own(marks, placement), *judged_marks(judged, placement)
    return Drawing(situation.pitch, (*still, *more), situation_words(situation, labels.measured),
                   situation_title(situation) if title is None else title, labels)


def draw_plan(situation: Situation, plan: Plan, layers: Iterable[str] = USUAL_LAYERS, title: str | None = None, *,
              labels: Labels | None = None, marks: Iterable[OwnMark] = (), start: Situation | None = None,
              held: tuple[str, str] | None = None) -> Drawing:
    """The picture with its plan.

    Parameters
    ----------
    layers : iterable of str
        Any of the names in `LAYERS`, in any order.
    title : str, optional
        Default: who has the ball, and where.
    labels : Labels, optional
        Numbers on the shirts or none, metres or yards.
    marks : iterable of OwnMark
        What a person has drawn.
    start : Situation, optional
        A picture from before: whoever has moved since leaves a ghost there.
    held : (str, str), optional
        Team and number of the one in a hand: the others make room.

    Raises
    ------
    UnknownName
        For a layer that does not exist.

    Examples
    --------
    >>> draw_plan(Situation.line_up(), None, layers=["roads"])
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: layer: expected one of roles, shadow, gaps, lanes, ...; got 'roads'. ...
    """
    wanted, labels = known_names("layer", layers, LAYERS), labels or Labels()
    still, placement = _still(situation, labels, start, held)
    own_marks, plan = team.own(marks, placement), labels.worded(plan)
    shown = [mark for name, draw in LAYERS.items() if name in wanted for mark in draw(situation, plan, placement)]
    return Drawing(situation.pitch, (*still, *shown, *own_marks), plan.words,
                   situation_title(situation) if title is None else title, labels)


def _still(situation: Situation, labels: Labels, start: Situation | None, held: tuple[str, str] | None
           ) -> tuple[tuple[Mark, ...], LabelPlacement]:
    """What every picture has, and the room that it leaves for words."""
    figures = players(situation, labels, held)
    tokens = [m for m in figures if isinstance(m, Token)]
    before = () if start is None else ghosts(start, tokens, labels)
    boxes = [(*m.xy, size, size) for m in tokens for size in [BALL_M if m.style == "ball" else TOKEN_M]]
    return (*markings(situation.pitch), *before, *figures), LabelPlacement(situation.pitch, boxes, labels, tokens)


def known_names(kind: str, names: Iterable[str], known: Iterable[str]) -> tuple[str, ...]:
    """The names themselves, or UnknownName with those that exist."""
    wanted, known = (names,) if isinstance(names, str) else tuple(names), tuple(known)
    for name in wanted:
        as_known(name, known, kind)
    return wanted


# -- One moment after another: the run to a plan's spots, or a sequence.

MOVING = ("players", "body", "speed", "run", "ball")  # layers that go with the players; the run itself is seen


def timed_drawings(what: Plan | played.Sequence, step_s: float = 0.1, layers: Iterable[str] = USUAL_LAYERS,
                   labels: Labels | None = None) -> Iterator[tuple[float, Drawing]]:
    """Time and drawing of the run to a plan's spots until everybody stands, or of a sequence, its plan with each."""
    step_s, labels = as_number(step_s, "step of time in s", low=0.04, high=10.0), labels or Labels()
    if isinstance(what, Plan):
        drawing, runs = draw_plan(what.situation, what, layers, labels=labels), Runs(what)
        for time_s in np.arange(0.0, runs.lasts_s + step_s, step_s).tolist():
            yield time_s, at_time(drawing, runs.at(time_s), time_s)
    elif isinstance(what, played.Sequence):
        layers, shown_s = tuple(layers), -np.inf
        for time_s, situation, plan in zip(what.times.tolist(), what.situations, what.plans, strict=True):
            if time_s >= shown_s + step_s - 1e-9:
                shown_s, title = time_s, situation_title(situation)
                yield time_s, draw_plan(situation, plan, layers, f"{time_s:.1f} s: {title}", labels=labels)
    else:
        raise BadInput("moments", expected="a Plan, for the run to its spots, or a Sequence", got=type(what).__name__,
                       todo="give one of them")


def at_time(drawing: Drawing, situation: Situation, time_s: float) -> Drawing:
    """The same drawing with the players of a later moment, and the time in its title.

    What the plan says is not worked out anew, so this is fast enough for every step of a moving picture.
    """
    still = tuple(mark for mark in drawing.marks if mark.layer not in MOVING)
    moved = tuple(mark for mark in players(situation, drawing.labels) if mark.layer != "run")
    return replace(drawing, marks=(*still, *moved), title=f"{time_s:.1f} s: {drawing.title}")


# -- Two plans of one picture on one drawing: the first in full, the second where it differs.

def draw_compared(situation: Situation, plan: Plan, other: Plan, names: tuple[str, str] = ("these rules", "others"),
                  **how: Any) -> Drawing:
    """The picture with its plan, and thin dashed forms where another plan puts somebody elsewhere.

    Parameters
    ----------
    plan, other : Plan
        Both of this picture.
    names : (str, str)
        Of the two, in a few words.
    how
        As in `draw_plan`; layers show the first plan.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.roles.rulebook import Rulebook
    >>> s = Situation.line_up(ball_xy=(35, 10))
    >>> drawing = draw_compared(s, plan_press(s), plan_press(s, Rulebook().with_settings(steering="inside")))
    >>> drawing.words.count("Others: "), any(mark.layer == "other" for mark in drawing.marks)
    (1, True)
    """
    drawing = draw_plan(situation, plan, **how)
    marks = [mark for number in plan.assignments for mark in _elsewhere(plan, other, number)]
    mine, theirs = map(drawing.labels.worded, (plan, other))
    apart = "; ".join(differences(mine, theirs))
    second = f" With {names[1]}: {apart}." if apart else " Nobody stands elsewhere."
    first, then = (name[:1].upper() + name[1:] for name in names)
    words = f"{first}: {drawing.words} {then}: {theirs.words}{second}"
    return replace(drawing, marks=(*drawing.marks, *marks), words=words, other=names[1])


def differences(plan: Plan, other: Plan) -> list[str]:
    """What the second plan does otherwise, in short phrases: presser, side, roles, spots, who stays open."""
    phrases = []
    if plan.presser != other.presser:
        phrases.append(f"{other.presser or 'nobody'} presses instead of {plan.presser or 'nobody'}")
    if plan.steer != other.steer:
        phrases.append("he is steered to neither side" if other.steer == "none" else f"he is steered {other.steer}")
    phrases += [phrase for number in plan.assignments for phrase in _otherwise(plan, other, number)]
    return phrases + _opened(plan, other)


def _otherwise(plan: Plan, other: Plan, number: str) -> list[str]:
    """One player: another role, or a spot more than a metre away."""
    mine, job = plan.assignments[number], other.assignments[number]
    if mine.role != job.role:
        return [f"{number}: {job.role} instead of {mine.role}"]
    if dist(mine.target_xy, job.target_xy) < DIFFERS_M:
        return []
    (dx, dy), near = job.target_xy - mine.target_xy, DIFFERS_M / 2
    words = {"higher": dx, "deeper": -dx, "further left": dy, "further right": -dy}
    return [f"{number} stands " + " and ".join(f"{plan.length(m, 1)} {w}" for w, m in words.items() if m >= near)]


def _opened(plan: Plan, other: Plan) -> list[str]:
    """Opponents who are free with one plan and not with the other."""
    changed = ("open as well", other, plan), ("no longer open", plan, other)
    return [f"their {', '.join(group)} {word}" for word, one, before in changed
            if (group := [n for n, state in one.account.items() if state == "free" != before.account[n]])]


def _elsewhere(plan: Plan, other: Plan, number: str) -> list[Mark]:
    """A player's spot by the other plan, if it is another one or another role."""
    mine, job = plan.assignments[number], other.assignments[number]
    here, there = as_points([mine.target_xy, job.target_xy])
    if dist(here, there) < DIFFERS_M and mine.role == job.role:
        return []
    style, start = OTHER + job.role, other.situation.player("pressing", number).xy
    way = Line("other", style, (start, there) if dist(start, there) > LETTER_OFF_M else ())
    letter = Label("other", style, (there[0] - LETTER_OFF_M, there[1]), ROLES[job.role].letter)
    return [Spot("other", style, there), way, letter]
