"""Two plans of one picture on one drawing: the first in full, the second where it differs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import dist
from typing import Any

from pressinglib.errors import UnknownName
from pressinglib.field.annotation import OwnMark
from pressinglib.field.pitch import Pitch
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show import layers as layer
from pressinglib.show import layers as layers_team
from pressinglib.show import layers_field as layers_space
from pressinglib.show.figures import ghosts, players
from pressinglib.show.labels import LabelPlacement, Labels, situation_title, situation_words
from pressinglib.show.layers import own
from pressinglib.show.marks import Label, Line, Mark, Spot, Token, as_points, markings
from pressinglib.show.style import BALL_M, OTHER, ROLES, TOKEN_M

# -- A drawing: everything a picture shows, as data. The views only ink it.
# One way of data: situation and plan -> drawing -> view. A drawing knows places and names, no colours and no view,
# so two pictures can be compared as text.


# Letters of roles find room first, then what matters less.
LAYERS = {
    "roles": layer.roles, "shadow": layer.shadow, "gaps": layer.gaps, "lanes": layer.lanes,
    "take-over": layers_space.take_over, "surplus": layers_team.surplus, "back line": layers_team.back_line,
    "far side": layers_team.far_side, "block": layers_team.block, "distances": layers_team.distances,
    "zones": layers_space.zones, "control": layers_space.control,
}
USUAL_LAYERS = ("roles", "shadow")


@dataclass(frozen=True)
class Drawing:
    """What to draw.

    Parameters
    ----------
    pitch : Pitch
    marks : tuple of Mark
        In no order that matters: the views know what lies above what.
    words : str
        The text alternative: one true line.
    title : str
    labels : Labels
        How players are named and lengths written.
    other : str
        The name of the second rulebook, if two are compared.
    """

    pitch: Pitch
    marks: tuple[Mark, ...]
    words: str
    title: str
    labels: Labels = field(default_factory=Labels)
    other: str = ""

    def text(self) -> str:
        """A stable text of all marks (places to 0.1 m), for comparing pictures."""
        return "\n".join([self.title, self.words, *(mark.text() for mark in self.marks)])


def draw_pitch(pitch: Pitch | None = None, title: str = "") -> Drawing:
    """The empty pitch, to print and to write on.

    Examples
    --------
    >>> drawing = draw_pitch()
    >>> {mark.layer for mark in drawing.marks}, drawing.words
    ({'pitch'}, 'An empty pitch, 105 x 68 m.')
    """
    pitch = pitch or Pitch()
    return Drawing(pitch, markings(pitch), f"An empty pitch, {pitch.length_m:g} x {pitch.width_m:g} m.", title)


def draw_situation(situation: Situation, title: str | None = None, *, labels: Labels | None = None,
                   marks: Iterable[OwnMark] = (), start: Situation | None = None) -> Drawing:
    """The picture as it is: pitch, teams, ball. Parameters as in `draw_plan`.

    Examples
    --------
    >>> drawing = draw_situation(Situation.line_up(ball_xy=(30, 10)))
    >>> sum(isinstance(mark, Token) for mark in drawing.marks)
    23
    >>> draw_situation(Situation.line_up(), title="Build-up").title
    'Build-up'
    """
    labels = labels or Labels()
    still, placement = _still(situation, labels, start)
    named = labels.named(situation)
    return Drawing(situation.pitch, (*still, *own(marks, placement)), labels.said(situation_words(named)),
                   _title(named, title), labels)


def draw_plan(situation: Situation, plan: Plan, layers: Iterable[str] = USUAL_LAYERS, title: str | None = None, *,
              labels: Labels | None = None, marks: Iterable[OwnMark] = (), start: Situation | None = None) -> Drawing:
    """The picture with its plan.

    Parameters
    ----------
    situation, plan : Situation, Plan
    layers : iterable of str
        Any of the names in `LAYERS`, in any order.
    title : str, optional
        Default: who has the ball, and where.
    labels : Labels, optional
        Numbers or slots on the shirts, metres or yards.
    marks : iterable of OwnMark
        What a person has drawn.
    start : Situation, optional
        A picture from before: whoever has moved since leaves a ghost there.

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
    wanted, labels = known_layers(layers), labels or Labels()
    still, placement = _still(situation, labels, start)
    own_marks = own(marks, placement)
    named, spoken = labels.named(situation), labels.named_plan(plan)
    drawn = [mark for name, draw in LAYERS.items() if name in wanted for mark in draw(named, spoken, placement)]
    return Drawing(situation.pitch, (*still, *drawn, *own_marks), labels.said(spoken.words), _title(named, title),
                   labels)


def _still(situation: Situation, labels: Labels, start: Situation | None) -> tuple[tuple[Mark, ...], LabelPlacement]:
    """What every picture has, and the room that it leaves for words."""
    before = () if start is None else ghosts(start, situation, labels)
    figures = players(situation, labels)
    boxes = [(*m.xy, size, size) for m in figures if isinstance(m, Token)
             for size in [BALL_M if m.style == "ball" else TOKEN_M]]
    return (*markings(situation.pitch), *before, *figures), LabelPlacement(situation.pitch, boxes, labels)


def known_layers(layers: Iterable[str]) -> tuple[str, ...]:
    """The layers themselves, or UnknownName with the list."""
    wanted = (layers,) if isinstance(layers, str) else tuple(layers)
    for name in wanted:
        if name not in LAYERS:
            raise UnknownName("layer", name, tuple(LAYERS))
    return wanted


def _title(situation: Situation, title: str | None) -> str:
    return situation_title(situation) if title is None else title


# -- Two plans of one picture on one drawing: the first in full, the second where it differs.


DIFFERS_M = 1.0
LETTER_OFF_M = 3.0


def draw_compared(situation: Situation, plan: Plan, other: Plan, names: tuple[str, str] = ("these rules", "others"),
                  layers: Iterable[str] = USUAL_LAYERS, title: str | None = None, **how: Any) -> Drawing:
    """The picture with its plan, and thin dashed forms where another plan puts somebody elsewhere.

    Parameters
    ----------
    situation : Situation
    plan, other : Plan
        Both of this picture.
    names : (str, str)
        Of the two, in a few words.
    layers, title, how
        As in `draw_plan`; layers show the first plan.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.roles.rulebook import Rulebook
    >>> s = Situation.line_up(ball_xy=(35, 10))
    >>> drawing = draw_compared(s, plan_press(s), plan_press(s, Rulebook().with_settings(steering="inside")))
    >>> drawing.words.count("Others: "), any(mark.layer == "other" for mark in drawing.marks)
    (1, True)
    >>> same = draw_compared(s, plan_press(s), plan_press(s))
    >>> any(mark.layer == "other" for mark in same.marks)
    False
    """
    drawing = draw_plan(situation, plan, layers, title, **how)
    marks = [mark for number in plan.assignments for mark in _elsewhere(plan, other, number)]
    labels = drawing.labels
    apart = labels.said("; ".join(differences(labels.named_plan(plan), labels.named_plan(other))))
    second = f"{_head(names[1])}: {labels.said(labels.named_plan(other).words)}"
    second += f" With {names[1]}: {apart}." if apart else " Nobody stands elsewhere."
    words = f"{_head(names[0])}: {drawing.words} {second}"
    return replace(drawing, marks=(*drawing.marks, *marks), words=words, other=names[1])


def differences(plan: Plan, other: Plan) -> list[str]:
    """What the second plan does otherwise, in short phrases: presser, side, roles, spots, who stays open.

    Parameters
    ----------
    plan, other : Plan
        Both of one picture.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> s = Situation.line_up(ball_xy=(35, 10))
    >>> differences(plan_press(s), plan_press(s))
    []
    """
    phrases = []
    if plan.presser != other.presser:
        phrases.append(f"{other.presser or 'nobody'} presses instead of {plan.presser or 'nobody'}")
    if plan.steer != other.steer:
        phrases.append("no side is shown" if other.steer == "none" else f"he is steered {other.steer}")
    phrases += [phrase for number in plan.assignments for phrase in _otherwise(plan, other, number)]
    return phrases + _opened(plan, other)


def _otherwise(plan: Plan, other: Plan, number: str) -> list[str]:
    """One player: another role, or a spot more than a metre away."""
    mine, job = plan.assignments[number], other.assignments[number]
    dx, dy = job.target_xy - mine.target_xy
    if mine.role != job.role:
        return [f"{number}: {ROLES[job.role].word} instead of {ROLES[mine.role].word}"]
    if dist(mine.target_xy, job.target_xy) < DIFFERS_M:
        return []
    ways = [f"{abs(step):.1f} m {word}" for step, word in ((dx, "higher" if dx > 0 else "deeper"),
                                                         (dy, "further left" if dy > 0 else "further right"))
            if abs(step) >= DIFFERS_M / 2]
    return [f"{number} stands " + " and ".join(ways)]


def _opened(plan: Plan, other: Plan) -> list[str]:
    """Opponents who are free with one plan and not with the other."""
    ours, theirs = ({number for number, state in p.account.items() if state == "free"} for p in (plan, other))
    names = [q.number for q in plan.situation.possession]
    more, less = ([n for n in names if n in a - b] for a, b in ((theirs, ours), (ours, theirs)))
    return [f"their {', '.join(group)} {word}" for group, word in ((more, "open as well"), (less, "no longer open"))
            if group]


def _elsewhere(plan: Plan, other: Plan, number: str) -> list[Mark]:
    """A player's spot by the other plan, if it is another one or another role."""
    mine, job = plan.assignments[number], other.assignments[number]
    here, there = as_points([mine.target_xy, job.target_xy])
    if dist(here, there) < DIFFERS_M and mine.role == job.role:
        return []
    style, start = OTHER + job.role, other.situation.player("pressing", number).xy
    marks: list[Mark] = [Spot("other", style, there)]
    marks += [Line("other", style, (start, there))] if dist(start, there) > LETTER_OFF_M else []
    return [*marks, Label("other", style, (there[0] - LETTER_OFF_M, there[1]), ROLES[job.role].letter)]


def _head(name: str) -> str:
    return name[:1].upper() + name[1:]
