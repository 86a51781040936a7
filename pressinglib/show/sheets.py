"""Sheets to hand out: a picture with its words on one page, and empty pitches to write on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import as_number
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import Drawing, draw_pitch
from pressinglib.show.export import TimedDrawings
from pressinglib.show.pages import LARGE_CM, RULE_CM, Pages
from pressinglib.show.primitives import Crop
from pressinglib.show.style import ROLES

# -- Strips: drawings of several moments side by side on paper, each with its time.


KEY_CM = 3.0  # room for the key
ONE_PAGE = 3  # so many rows are fitted on one page


def picked(moments: TimedDrawings, count: int) -> list[tuple[float, Drawing]]:
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


def strip(moments: TimedDrawings, title: str = "", columns: int = 2, *, paper: str = "A4", landscape: bool = False,
          portrait: bool = False, part: Crop = "whole", words: bool = True, foot: str = "", grey: bool = False
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


# -- Sheets to hand out: a picture with its words on one page, and empty pitches to write on.


LEAST_CM = 6.0  # a lower picture cannot be read
BELOW_CM = 0.5
ORDER = tuple(ROLES)
MOST_PITCHES = 12


def picture_sheet(drawing: Drawing, plan: Plan | None = None, *, paper: str = "A4", text: Sequence[str] = (),
                  lines: int = 0, foot: str = "", portrait: bool = False, part: Crop = "whole", grey: bool = False
                  ) -> Pages:
    """One page: title, picture, key and words; with a plan who does what and why; text; lines to write on.

    The picture takes the room that the words leave.

    Parameters
    ----------
    drawing : Drawing
    plan : Plan, optional
        Adds the table of duties with the reasons, and what stays open.
    paper : "A4" or "Letter"
    text : sequence of str
        Paragraphs below the picture: a question, a task.
    lines : int
        Empty lines at the end.
    foot : str
        A line at the foot: a caution, a source.
    portrait, part, grey
        As in `save_picture`.

    Returns
    -------
    Pages
        `.save("sheet.pdf")` writes it; .png and .svg do as well.

    Raises
    ------
    BadInput
        If the text leaves too little room for a picture.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.show.drawing import draw_plan
    >>> plan = plan_press(scene("worked scene"))
    >>> len(picture_sheet(draw_plan(plan.situation, plan), plan, lines=2))
    1
    >>> picture_sheet(draw_plan(plan.situation, plan), text=["why? " * 3000])
    Traceback (most recent call last):
    pressinglib.errors.BadInput: text on one sheet: expected what leaves room for a picture; got 15000 ... Pages.
    """
    text_only = _sheet(drawing, plan, None, paper, text, lines, foot, portrait, grey)
    room_cm = text_only.room_cm - BELOW_CM
    if len(text_only) > 1 or room_cm < LEAST_CM:
        raise BadInput("text on one sheet", expected="what leaves room for a picture",
                       got=f"{sum(map(len, text))} letters and {lines} lines", todo="shorten it, or use Pages")
    return _sheet(drawing, plan, {"height_cm": room_cm, "part": part}, paper, text, lines, foot, portrait, grey)


def _sheet(drawing: Drawing, plan: Plan | None, picture: dict[str, Any] | None, paper: str, text: Sequence[str],
           lines: int, foot: str, portrait: bool, grey: bool) -> Pages:
    """A sheet; without its picture it tells how much room that may take."""
    pages = Pages(drawing.title, paper, foot=foot, grey=grey)
    pages.write(drawing.words, 11.0)
    if picture is not None:
        pages.picture(drawing, key=False, words=False, portrait=portrait, **picture)
    pages.key(drawing, portrait=portrait)
    for words in text:
        pages.write(words)
    if plan is not None:
        _put_duties(pages, plan, drawing)
    pages.lines(lines)
    return pages


def _put_duties(pages: Pages, plan: Plan, drawing: Drawing) -> None:
    named = drawing.labels.named_plan(plan)
    jobs = sorted(named.assignments.values(), key=lambda job: ORDER.index(job.role))
    groups: dict[tuple[str, str, str], list[str]] = {}
    for job in jobs:  # whoever does the same for the same reason shares a row
        groups.setdefault((job.role, job.duty, job.reason), []).append(job.number)
    rows = [(", ".join(numbers), f"{ROLES[role].letter} {role}", drawing.labels.said(duty), drawing.labels.said(why))
            for (role, duty, why), numbers in groups.items()]
    pages.rows(("No.", "Role", "Duty", "Why"), rows, (1.5, 2.1, 3.3, 8.6))


def pitch_sheet(pitch: Pitch | None = None, pitches: int = 1, *, paper: str = "A4", title: str = "", lines: int = 0,
                part: Crop = "whole", grey: bool = False) -> Pages:
    """Empty pitches to print and to draw on by hand.

    Parameters
    ----------
    pitch : Pitch, optional
        105 x 68 m if left out.
    pitches : int
        1-12 on the page. One stands upright and fills it; more lie across, in one to three columns.
    paper : "A4" or "Letter"
    title : str
    lines : int
        Empty lines below.
    part : str or box
        As in `save_picture`: half a pitch, say.
    grey : bool

    Returns
    -------
    Pages

    Examples
    --------
    >>> len(pitch_sheet()), len(pitch_sheet(pitches=2, lines=3)), len(pitch_sheet(pitches=6))
    (1, 1, 1)
    >>> pitch_sheet(pitches=40)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: pitches on a sheet: expected a number from 1 to 12; got 40. ...
    """
    count = int(as_number(pitches, "pitches on a sheet", low=1, high=MOST_PITCHES))
    drawing, pages = draw_pitch(pitch), Pages(title, paper, grey=grey)
    room_cm = pages.room_cm - lines * RULE_CM - BELOW_CM
    if room_cm < LEAST_CM:
        raise BadInput("lines on a sheet", expected="what leaves room for a pitch", got=str(lines), todo="take fewer")
    if count == 1:
        pages.picture(drawing, height_cm=room_cm, portrait=part == "whole", part=part, key=False, words=False)
    else:
        pages.beside([drawing] * count, 1 if count <= 2 else 2 if count <= 8 else 3, room_cm, part=part, title=False)
    pages.lines(lines)
    return pages
