"""Strips: drawings of several moments side by side on paper, each with its time."""

from __future__ import annotations

from dataclasses import replace

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.film import Moments
from pressinglib.show.pages import LARGE_CM, Pages
from pressinglib.show.part import Part

KEY_CM = 3.0  # room for the key
ONE_PAGE = 3  # so many rows are fitted on one page


def picked(moments: Moments, count: int) -> list[tuple[float, Drawing]]:
    """At most so many of the moments, evenly apart, the first and the last among them.

    Examples
    --------
    >>> [time for time, _ in picked([(float(n), None) for n in range(11)], 3)], picked([], 3)
    ([0.0, 5.0, 10.0], [])
    """
    shown, count = list(moments), int(as_number(count, "pictures of a strip", low=2, high=60))
    if len(shown) <= count:
        return shown
    return [shown[round(place * (len(shown) - 1) / (count - 1))] for place in range(count)]


def strip(moments: Moments, title: str = "", columns: int = 2, *, paper: str = "A4", landscape: bool = False,
          portrait: bool = False, part: Part = "whole", words: bool = True, foot: str = "", grey: bool = False
          ) -> Pages:
    """A page of pictures one after the other, each with its time, and its words where they are new.

    Parameters
    ----------
    moments : iterable of (seconds, Drawing)
        What does not fit goes on to the next page; `picked` takes some of many.
    title : str
    columns : int
        Pictures in a row, 1-6.
    paper, landscape, foot
        As in `Pages`.
    portrait, part, grey
        As in `save_picture`.
    words : bool
        False leaves the words out.

    Returns
    -------
    Pages

    Raises
    ------
    BadInput

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> drawing = draw_situation(Situation.line_up())
    >>> len(strip([(0.0, drawing), (1.0, drawing)], "Two moments"))
    1
    >>> strip([])
    Traceback (most recent call last):
    pressinglib.errors.BadInput: moments of a strip: expected at least one; got none. ...
    """
    shown = [(as_number(time, "time of a picture in s"), drawing) for time, drawing in moments]
    if not shown:
        raise BadInput("moments of a strip", expected="at least one", got="none", todo="give pairs of time and drawing")
    pages = Pages(title, paper, landscape=landscape, foot=foot, grey=grey)
    said = ["", *(drawing.words for _, drawing in shown[:-1])]
    timed = [_timed(drawing, time, drawing.words != old) for (time, drawing), old in zip(shown, said, strict=True)]
    room = pages.room_cm - KEY_CM if len(shown) <= ONE_PAGE * columns else LARGE_CM
    pages.beside(timed, columns, room, portrait=portrait, part=part, words=words)
    pages.key(replace(shown[0][1], marks=tuple(mark for _, drawing in shown for mark in drawing.marks)),
              portrait=portrait)
    return pages


def _timed(drawing: Drawing, time_s: float, with_words: bool) -> Drawing:
    """The time goes first in the title."""
    title = f"{time_s:.1f} s: {drawing.title.removesuffix(f': {time_s:.1f} s')}"
    return replace(drawing, title=title, words=drawing.words if with_words else "")
