"""A person's own marks, as marks of the picture."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pressinglib.field.own_mark import OwnMark
from pressinglib.show.layers import ticks
from pressinglib.show.look import LABEL_M
from pressinglib.show.marks import Area, Arrow, Label, Line, Mark
from pressinglib.show.runs import length_of
from pressinglib.show.space import Space, around, text_half


def own(marks: Iterable[OwnMark], space: Space) -> list[Mark]:
    """Arrows, zones, notes and rulers with their words.

    Examples
    --------
    >>> from pressinglib.field.pitch import Pitch
    >>> [mark.text() for mark in own([OwnMark("ruler", [(0, 0), (3, 4)])], Space(Pitch()))]
    ['own: line own ruler 0.0,0.0 3.0,4.0', ..., "own: label own ruler '5.0' 1.5,2.0"]
    >>> own([], Space(Pitch()))
    []
    """
    return [drawn for mark in marks for drawn in _drawn(mark, space)]


def _drawn(mark: OwnMark, space: Space) -> list[Mark]:
    style, points = f"own {mark.kind}", mark.points
    middle = np.mean(points, axis=0)
    if mark.kind == "note":
        return [Label("own", style, points[0], mark.words)]
    if mark.kind == "arrow":
        return [Arrow("own", style, points), *_said(style, mark.words, around(middle, 2.0), space)]
    if mark.kind == "zone":
        return [Area("own", style, points), Line("own", style, (*points, points[0])),
                *_said(style, mark.words, [middle], space)]
    words = " ".join([space.labels.length(length_of(points)), mark.words]).strip()
    return [Line("own", style, points), *ticks("own", style, points), *_said(style, words, [middle], space)]


def _said(style: str, words: str, places: object, space: Space) -> list[Mark]:
    return [Label("own", style, space.place(places, text_half(words, LABEL_M)), words)] if words else []
