"""Slides for a projector: the picture, its title and a few words, as PNG; several in turn as GIF."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from pressinglib.errors import BadInput, as_number
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.export import composed, gif_bytes
from pressinglib.show.matplotlib_view import CM_PER_POINT, FACE, draw_on, figure_of, printing, wrapped
from pressinglib.show.style import INK, PAPER, in_colour
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.handout import printed

if TYPE_CHECKING:
    from matplotlib.figure import Figure


DOTS = 144
WIDE_CM, HIGH_CM = (2.54 * (dots + 0.01) / DOTS for dots in (1920, 1080))
PICTURE_CM, EDGE_CM, TOP_CM = 23.0, 1.0, 2.5
TITLE, BODY = 26.0, 17.0  # points
LEADING = 1.4
FORMATS = (".png", ".gif")


@dataclass(frozen=True, repr=False)
class Slide:
    """One slide, 16 by 9; shows itself at the end of a cell.

    Parameters
    ----------
    title, words : str
    drawing : Drawing

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> question, answer = slides_of(who_goes)
    >>> question
    Slide: Who goes? Click the one of yours who goes to the ball.
    """

    title: str
    words: str
    drawing: Drawing

    def __repr__(self) -> str:
        return f"Slide: {self.title} {self.words}"

    def _repr_png_(self) -> bytes:
        return _png(self, DOTS / 2)

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write it as PNG, 1920 by 1080; errors as in `save_slides`."""
        return save_slides([self], path)


def slides_of(exercise: Exercise) -> tuple[Slide, Slide]:
    """The question, and the answer with the plan."""
    question = Slide(exercise.title, exercise.asks, draw_situation(exercise.situation))
    words = exercise.solution().words
    answer = draw_plan(exercise.situation, exercise.plan)
    return question, Slide(exercise.title, words[:1].upper() + words[1:], answer)


def save_slides(slides: Sequence[Slide], path: str | os.PathLike[str], each_s: float = 6.0) -> Path:
    """Write one slide as PNG, or several as a GIF that shows each for some seconds; replaced as a whole.

    Raises
    ------
    BadInput
        For another ending, no slide, several for a PNG, or a time out of 0.1-60 s.
    PressingError
        If the folder cannot be written to.
    """
    slides, each_s = list(slides), as_number(each_s, "seconds a slide", low=0.1, high=60)
    still = Path(path).suffix.lower() == ".png"
    if not slides or (still and len(slides) > 1):
        raise BadInput(f"slides as {str(path)[:100]}", expected="one as .png, or several as .gif", got=str(len(slides)),
                       todo="change their number, or the ending of the name")
    return printed(path, FORMATS, lambda: _png(slides[0], DOTS) if still else _gif(slides, each_s))


def _gif(slides: Sequence[Slide], each_s: float) -> bytes:
    return gif_bytes([_png(slide, DOTS / 1.5) for slide in slides], [each_s] * len(slides))


def _png(slide: Slide, dots: float) -> bytes:
    content = BytesIO()
    with printing():
        _figure(slide).savefig(content, format="png", dpi=dots, facecolor=PAPER)
    return content.getvalue()


def _figure(slide: Slide) -> Figure:
    """Picture to the left, words to the right; what does not fit is cut with dots, for a slide has no second page."""
    figure, shapes = figure_of(WIDE_CM, HIGH_CM), composed(slide.drawing, title=False, words=False)
    left, right, low, high = shapes.frame
    width_cm = min(PICTURE_CM, (HIGH_CM - 2 * EDGE_CM) * (right - left) / (high - low))
    height_cm = width_cm * (high - low) / (right - left)
    draw_on(figure, shapes, EDGE_CM, (HIGH_CM - height_cm) / 2, width_cm, in_colour)
    down_cm = _say(figure, slide.title, TITLE, TOP_CM, 4, "serif")
    _say(figure, slide.words, BODY, down_cm + 0.8, 18, "sans")
    return figure


def _say(figure: Figure, words: str, size: float, down_cm: float, most: int, face: str) -> float:
    """Lines in the column beside the picture; gives how far down they end."""
    left_cm = 2 * EDGE_CM + PICTURE_CM
    lines = wrapped(words, WIDE_CM - EDGE_CM - left_cm, size * CM_PER_POINT, serif=face == "serif")
    for line in lines if len(lines) <= most else [*lines[: most - 1], "..."]:
        figure.text(left_cm / WIDE_CM, 1 - down_cm / HIGH_CM, line, size=size, color=INK, family=FACE[face],
                    parse_math=False, va="top")
        down_cm += size * CM_PER_POINT * LEADING
    return down_cm
