"""Drawings as text, so that two can be compared."""

from __future__ import annotations

from pressinglib.show.drawing import Drawing
from pressinglib.show.marks import XY, Label, Mark


def drawn_text(drawing: Drawing) -> str:
    """Title, words and all marks, places to 0.1 m."""
    return "\n".join([drawing.title, drawing.words, *map(_line, drawing.marks)])


def _line(mark: Mark) -> str:
    words = [repr(mark.words)] if isinstance(mark, Label) else []
    head = f"{mark.layer}: {type(mark).__name__.lower()} {mark.style}"
    return " ".join([head, *words, *map(_written, mark.places)])


def _written(xy: XY) -> str:
    # + 0.0 turns -0.0 into 0.0: a sign that nobody sees must not change the text of a picture.
    return "{:.1f},{:.1f}".format(*(round(v, 1) + 0.0 for v in xy))
