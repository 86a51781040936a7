"""A drawing: everything a picture shows, as data. The views only ink it.

One way of data: situation and plan -> drawing -> view. A drawing knows places and names, no colours and no view, so two
pictures can be compared as text.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from pressinglib.errors import UnknownName
from pressinglib.field.own_mark import OwnMark
from pressinglib.field.pitch import Pitch
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show import layers as layer
from pressinglib.show import layers_space, layers_team
from pressinglib.show.labels import Labels
from pressinglib.show.look import BALL_M, TOKEN_M
from pressinglib.show.markings import markings
from pressinglib.show.marks import Mark, Token
from pressinglib.show.own import own
from pressinglib.show.players import ghosts, players
from pressinglib.show.space import Space
from pressinglib.show.words import situation_title, situation_words

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
    still, space = _still(situation, labels, start)
    named = labels.named(situation)
    return Drawing(situation.pitch, (*still, *own(marks, space)), labels.said(situation_words(named)),
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
    still, space = _still(situation, labels, start)
    own_marks = own(marks, space)
    named, spoken = labels.named(situation), labels.named_plan(plan)
    drawn = [mark for name, draw in LAYERS.items() if name in wanted for mark in draw(named, spoken, space)]
    return Drawing(situation.pitch, (*still, *drawn, *own_marks), labels.said(spoken.words), _title(named, title),
                   labels)


def _still(situation: Situation, labels: Labels, start: Situation | None) -> tuple[tuple[Mark, ...], Space]:
    """What every picture has, and the room that it leaves for words."""
    before = () if start is None else ghosts(start, situation, labels)
    figures = players(situation, labels)
    boxes = [(*m.xy, size, size) for m in figures if isinstance(m, Token)
             for size in [BALL_M if m.style == "ball" else TOKEN_M]]
    return (*markings(situation.pitch), *before, *figures), Space(situation.pitch, boxes, labels)


def known_layers(layers: Iterable[str]) -> tuple[str, ...]:
    """The layers themselves, or UnknownName with the list."""
    wanted = (layers,) if isinstance(layers, str) else tuple(layers)
    for name in wanted:
        if name not in LAYERS:
            raise UnknownName("layer", name, tuple(LAYERS))
    return wanted


def _title(situation: Situation, title: str | None) -> str:
    return situation_title(situation) if title is None else title
