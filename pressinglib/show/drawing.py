"""A drawing: everything a picture shows, as data. The views only ink it.

One way of data: situation and plan -> drawing -> view. A drawing knows places and names, no colours and no view, so two
pictures can be compared as text.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pressinglib.errors import UnknownName
from pressinglib.field.pitch import Pitch
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show import layers as layer
from pressinglib.show.look import BALL_M, TOKEN_M
from pressinglib.show.markings import markings
from pressinglib.show.marks import Mark, Token
from pressinglib.show.players import players
from pressinglib.show.space import Space
from pressinglib.show.words import situation_title, situation_words

# Letters of roles find room first, then what matters less.
LAYERS = {"roles": layer.roles, "shadow": layer.shadow, "gaps": layer.gaps, "lanes": layer.lanes}
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
    """

    pitch: Pitch
    marks: tuple[Mark, ...]
    words: str
    title: str

    def text(self) -> str:
        """A stable text of all marks (places to 0.1 m), for comparing pictures."""
        return "\n".join([self.title, self.words, *(mark.text() for mark in self.marks)])


def draw_situation(situation: Situation, title: str | None = None) -> Drawing:
    """The picture as it is: pitch, teams, ball.

    Examples
    --------
    >>> drawing = draw_situation(Situation.line_up(ball_xy=(30, 10)))
    >>> sum(isinstance(mark, Token) for mark in drawing.marks)
    23
    >>> draw_situation(Situation.line_up(), title="Build-up").title
    'Build-up'
    """
    marks = (*markings(situation.pitch), *players(situation))
    return Drawing(situation.pitch, marks, situation_words(situation), _title(situation, title))


def draw_plan(situation: Situation, plan: Plan, layers: Iterable[str] = USUAL_LAYERS,
              title: str | None = None) -> Drawing:
    """The picture with its plan.

    Parameters
    ----------
    situation, plan : Situation, Plan
    layers : iterable of str
        Any of "roles", "shadow", "lanes", "gaps", in any order.
    title : str, optional
        Default: who has the ball, and where.

    Raises
    ------
    UnknownName
        For a layer that does not exist.

    Examples
    --------
    >>> draw_plan(Situation.line_up(), None, layers=["roads"])
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: layer: expected one of roles, shadow, gaps, lanes; got 'roads'. Check the spelling.
    """
    wanted = known_layers(layers)
    figures = players(situation)
    space = Space(situation.pitch, [(*m.xy, size, size) for m in figures if isinstance(m, Token)
                                    for size in [BALL_M if m.style == "ball" else TOKEN_M]])
    marks = [mark for name, draw in LAYERS.items() if name in wanted for mark in draw(situation, plan, space)]
    return Drawing(situation.pitch, (*markings(situation.pitch), *figures, *marks), plan.words,
                   _title(situation, title))


def known_layers(layers: Iterable[str]) -> tuple[str, ...]:
    """The layers themselves, or UnknownName with the list."""
    wanted = (layers,) if isinstance(layers, str) else tuple(layers)
    for name in wanted:
        if name not in LAYERS:
            raise UnknownName("layer", name, tuple(LAYERS))
    return wanted


def _title(situation: Situation, title: str | None) -> str:
    return situation_title(situation) if title is None else title
