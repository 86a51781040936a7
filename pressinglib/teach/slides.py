"""Slides for a projector that wait: the picture, its title and a few words, as PDF, or as a page for the browser."""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from pressinglib.errors import BadInput
from pressinglib.show.drawing import Drawing
from pressinglib.show.export import composed, few_colours
from pressinglib.show.matplotlib_view import (
    CM_PER_POINT,
    FACE,
    draw_on,
    figure_of,
    figures_bytes,
    primitives_bytes,
    wrapped,
)
from pressinglib.show.primitives import Crop
from pressinglib.show.style import INK, in_colour
from pressinglib.teach.accepted import answer_drawing, answer_words, frame_of, question_drawing
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.handout import printed

if TYPE_CHECKING:
    from matplotlib.figure import Figure


DOTS = 144
WIDE_CM, HIGH_CM = (2.54 * (dots + 0.01) / DOTS for dots in (1920, 1080))
PICTURE_CM, EDGE_CM, TOP_CM = 23.0, 1.0, 2.5
TITLE, BODY = 26.0, 17.0  # points
LEADING = 1.4
TEMPLATE = Path(__file__).with_name("slides.html")


@dataclass(frozen=True, repr=False)
class Slide:
    """One slide, 16 by 9; shows itself at the end of a cell.

    Parameters
    ----------
    title, words : str
    drawing : Drawing
    part : str or box
        What is shown of the pitch.

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
    part: Crop = "whole"

    def __repr__(self) -> str:
        return f"Slide: {self.title} {self.words}"

    def _repr_png_(self) -> bytes:
        return figures_bytes([_figure(self)], "png", DOTS / 2, self.title, self.words, in_colour)


def slides_of(exercise: Exercise) -> tuple[Slide, Slide]:
    """The question, and the answer with the plan."""
    part = frame_of(exercise)
    question = Slide(exercise.title, exercise.asks, question_drawing(exercise), part)
    return question, Slide(exercise.title, answer_words(exercise), answer_drawing(exercise), part)


def save_slides(slides: Sequence[Slide], path: str | os.PathLike[str]) -> Path:
    """Write slides that wait for you, as a PDF or as a page for the browser (.html).

    The page needs no network: a click, the space bar or an arrow goes on.

    Raises
    ------
    BadInput
        For another ending, or no slide.
    PressingError
        If the folder cannot be written to.
    """
    slides = list(slides)
    if not slides:
        raise BadInput("slides", expected="at least one", got="none", todo="make them: slides_of(exercise)")
    writers = {".html": lambda: page_of(slides).encode(),
               ".pdf": lambda: figures_bytes([*map(_figure, slides)], "pdf", DOTS, slides[0].title, "", in_colour)}
    return printed(path, tuple(writers), lambda: writers[Path(path).suffix.lower()]())


def page_of(slides: Sequence[Slide]) -> str:
    """The page: one file, in which nothing but its own style and script may run."""
    whole = TEMPLATE.read_text("utf-8").replace("TITLE", escape(slides[0].title))
    for kind in ("style", "script"):
        inside = whole.split(f"<{kind}>")[1].split(f"</{kind}>")[0]
        digest = b64encode(sha256(inside.encode()).digest()).decode()
        whole = whole.replace(f"{kind.upper()}-HASH", f"'sha256-{digest}'")
    return whole.replace("SLIDES", "".join(map(_section, slides)))


def _section(slide: Slide) -> str:
    shapes = composed(slide.drawing, part=slide.part, title=False, words=False)
    png = b64encode(few_colours(primitives_bytes(shapes, "png", PICTURE_CM, DOTS, in_colour))).decode()
    return (f'<section><img alt="{escape(slide.drawing.words)}" src="data:image/png;base64,{png}">'
            f"<div><h1>{escape(slide.title)}</h1><p>{escape(slide.words)}</p></div></section>")


def _figure(slide: Slide) -> Figure:
    """Picture to the left, words to the right; what does not fit is cut with dots, for a slide has no second page."""
    figure, shapes = figure_of(WIDE_CM, HIGH_CM), composed(slide.drawing, part=slide.part, title=False, words=False)
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
