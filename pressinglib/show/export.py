"""Pictures that stand still and pictures that move: shown by a notebook, saved as PNG, SVG, PDF or GIF.

The text alternative travels in the file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput, as_bool, as_known, as_number, as_whole
from pressinglib.field.pitch import Pitch
from pressinglib.field.situation import Situation
from pressinglib.files import as_path, write_file
from pressinglib.play import sequence as played
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_pitch, draw_plan, draw_situation, timed_drawings
from pressinglib.show.labels import Labels
from pressinglib.show.matplotlib_view import INCH_CM, primitives_bytes, width_of, wrapped
from pressinglib.show.primitives import Crop, Primitives, primitives_of, put_legend, type_scale
from pressinglib.show.style import INK, in_grey

TITLE_M = 2.5
CAPTION_M = 1.75
LEADING = 1.5
INDENT_M = 3.0
LEAST_TITLE = 0.75  # a long title gets smaller before it goes on in a second line
FOOT_M = 2.0
WIDTH_CM, SCREEN_DPI = 16.0, 135.0  # as wide as the text of a lesson on a screen of 1280 dots
KEPT_DPI = 100.0  # of what is seen only where no kernel runs: small enough to keep one with every board
SHADES = 64
TYPE_PX = 11.0  # least height of key and words on a screen


@dataclass(frozen=True)
class Picture:
    """A drawing that shows itself as a picture at the end of a notebook cell; the words come along as text."""

    drawing: Drawing
    width_cm: float = WIDTH_CM
    dpi: float = SCREEN_DPI
    part: Crop = "whole"

    def __repr__(self) -> str:
        return f"Picture: {self.drawing.title}; {self.drawing.words}"

    def _repr_png_(self) -> bytes:
        png = picture_bytes(self.drawing, "png", self.width_cm, self.dpi, part=self.part, least_px=TYPE_PX)
        return few_colours(png)


def picture(what: Any, layers: Iterable[str] = USUAL_LAYERS, **how: Any) -> Picture:
    """The picture of a situation, of a plan with the layers asked for ...; the last line of a cell shows it.

    Parameters
    ----------
    what : Situation, Plan, Pitch, Drawing, a moment of a Sequence, or anything that has a `.drawing`
    layers : iterable of str
        What is shown of a plan, by default roles, runs and the cover shadow; see `draw_plan`.
    how
        title, labels, marks, start: as in `draw_plan`.

    Raises
    ------
    BadInput
        For something that has no picture.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> situation = Situation.line_up(ball_xy=(30, 10))
    >>> picture(situation)
    Picture: Their 5 on the ball, ...
    >>> "presses" in repr(picture(situation)), "presses" in repr(picture(plan_press(situation)))
    (False, True)
    >>> picture(Pitch()).drawing.words
    'An empty pitch, 105 x 68 m.'
    """
    return Picture(drawing_of(what, layers, **how))


def drawing_of(what: Any, layers: Iterable[str] = USUAL_LAYERS, **how: Any) -> Drawing:
    """What a picture of it shows; parameters as in `picture`."""
    if isinstance(what, Plan | played.At):
        plan = what if isinstance(what, Plan) else what.plan
        return draw_plan(plan.situation, plan, layers, **how)
    if isinstance(what, Situation):
        return draw_situation(what, **how)
    if isinstance(what, Pitch):
        return draw_pitch(what, **how)
    drawing = getattr(what, "drawing", what)
    if not isinstance(drawing, Drawing):
        raise BadInput("picture", expected="a Situation, a Plan, a Pitch, a moment of a Sequence or a Drawing",
                       got=type(what).__name__, todo="give one of them")
    return drawing


def save_picture(what: Any, path: str | Path, width_cm: float = 18.0, dpi: float = 200, *,
                 layers: Iterable[str] = USUAL_LAYERS, portrait: bool = False, part: Crop = "whole",
                 grey: bool = False, **how: Any) -> Path:
    """Write the picture; the name's ending says the format.

    Parameters
    ----------
    what : Situation, Plan, Pitch, Drawing ...
        As in `picture`.
    path : str or Path
        Ends in .png, .svg or .pdf. An old file is replaced only when the new one is complete.
    width_cm : float
        5-200.
    dpi : float
        30-600, for PNG; at most 120 million dots in all.
    layers : iterable of str
        What is shown of a plan; see `draw_plan`.
    portrait : bool
        The pressing team attacks upwards.
    part : str or (x from, x to, y from, y to)
        "whole", "attacking half", "own half", or a box in metres, at least 15 m long and wide.
    grey : bool
        Black and white, for a copier.
    how
        title, labels, marks, start: as in `draw_plan`.

    Returns
    -------
    Path

    Raises
    ------
    BadInput
        For another ending, something that has no picture, or a size out of range.
    PressingError
        If the file cannot be written.

    Examples
    --------
    >>> save_picture(Situation.line_up(), "scene.doc")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: picture format: expected one of png, svg, pdf; got 'doc'. Choose one.
    """
    drawing, format = drawing_of(what, layers, **how), as_path(path).suffix[1:].lower()
    if as_bool(portrait, "portrait"):
        drawing = replace(drawing, labels=replace(drawing.labels, upright=True))
    return write_file(path, picture_bytes(drawing, format, width_cm, dpi, part=part, grey=grey))


def picture_bytes(drawing: Drawing, format: str = "png", width_cm: float = 18.0, dpi: float = 200, *,
                  part: Crop = "whole", grey: bool = False, least_px: float = 0.0) -> bytes:
    """The picture as the content of a file; see `save_picture`. Key and words are at least so many dots high."""
    width_cm = as_number(width_cm, "width of the picture in cm", low=5, high=200)
    dpi = as_number(dpi, "dots per inch", low=30, high=600)
    tone = in_grey if as_bool(grey, "grey") else str  # the colour as it is
    shapes = composed(drawing, part, least=least_px / (width_cm / INCH_CM * dpi))
    return primitives_bytes(shapes, format, width_cm, dpi, tone, drawing.title, drawing.words)


def few_colours(png: bytes) -> bytes:
    """The same picture in a third of the bytes: flat colours need few shades, and notebooks are kept with pictures."""
    from PIL import Image

    content = BytesIO()
    with Image.open(BytesIO(png)) as whole:
        few = whole.convert("RGB").quantize(SHADES, dither=Image.Dither.NONE)
        few.save(content, "png", optimize=True)
    return content.getvalue()


def composed(drawing: Drawing, part: Crop = "whole", *, legend: bool = True, words: bool = True, least: float = 0.0
             ) -> Primitives:
    """A drawing's primitives with title above, legend and words below; the frame holds all of it.

    `least` is the height that key and words have at least, as a share of the width; the title grows with the words.
    """
    shapes = primitives_of(drawing, part)
    left, right, low, high = shapes.frame
    shapes = replace(shapes, least_m=max(shapes.least_m, least * (right - left)))
    room, size = right - left - 2 * INDENT_M, max(CAPTION_M * type_scale(shapes.frame), shapes.least_m)
    if legend:
        low -= put_legend(shapes, drawing.legend())
    if words:
        for line in wrapped(drawing.words, room, size):
            low -= size * LEADING
            shapes.write((left + INDENT_M, low + size / 2), line, INK, size, align="left", weight="normal")
        low -= FOOT_M
    size *= TITLE_M / CAPTION_M
    size *= max(LEAST_TITLE, room / max(room, width_of(drawing.title, size, bold=True, serif=True)))
    for line in reversed(wrapped(drawing.title, room, size, bold=True, serif=True) or [""]):
        shapes.write((left + INDENT_M, high + 0.4 * size), line, INK, size, align="left", face="serif")
        high += size * LEADING
    return replace(shapes, frame=(left, right, low, high))


# -- Moving pictures.

MOST_FRAMES = 600
LAST_S = 2.0  # so long the last picture stays


def film(what: Plan | played.Sequence, path: str | Path, width_px: int = 760, *, step_s: float = 0.1,
         layers: Iterable[str] = USUAL_LAYERS, labels: Labels | None = None) -> Path:
    """Write an animated GIF in true time, of a plan's run to the spots or of a sequence; it starts anew for ever.

    Parameters
    ----------
    what : Plan or Sequence
    path : str or Path
        Ends in .gif. An old file is replaced only when the new one is complete.
    width_px : int
        200-1600.
    step_s : float
        0.04-10 s, at least, from one picture to the next; 2 to 600 pictures in all.
    layers, labels
        As in `draw_plan`.

    Raises
    ------
    BadInput
        For another ending, or too few or too many pictures.
    PressingError
        If the file cannot be written.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> film(plan_press(Situation.line_up()), "run.mp4")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: ending of a film's name: expected one of .gif; got '.mp4'. Rename it.
    """
    as_known(as_path(path).suffix.lower(), [".gif"], "ending of a film's name", "rename it")
    width_px = as_whole(width_px, "width of the film in dots", 200, 1600)
    shown = list(timed_drawings(what, step_s, layers, labels))
    if not 2 <= len(shown) <= MOST_FRAMES:
        raise BadInput("pictures of a film", expected=f"2-{MOST_FRAMES} of them", got=str(len(shown)),
                       todo="take another step of time")
    return write_file(path, film_bytes(shown, width_px))


def film_bytes(shown: Sequence[tuple[float, Drawing]], width_px: int) -> bytes:
    """The film of drawings and their times as the content of a file."""
    from PIL import Image

    times, drawings = zip(*shown, strict=True)
    several = [composed(drawing) for drawing in drawings]
    left, right = several[0].frame[:2]
    # All as high as the highest, so that the pitch keeps still while words come and go.
    frame = (left, right, min(shapes.frame[2] for shapes in several), max(shapes.frame[3] for shapes in several))
    pngs = (primitives_bytes(replace(shapes, frame=frame), "png", width_px / KEPT_DPI * INCH_CM, KEPT_DPI, str)
            for shapes in several)
    frames = [Image.open(BytesIO(png)).convert("RGB") for png in pngs]
    shades = frames[len(frames) // 2].quantize(SHADES, dither=Image.Dither.NONE)  # one set of them: none flickers
    first, *rest = (frame.quantize(palette=shades, dither=Image.Dither.NONE) for frame in frames)
    stays = [round(1000 * (b - a)) for a, b in pairwise((*times, times[-1] + LAST_S))]
    content = BytesIO()
    first.save(content, "gif", save_all=True, append_images=rest, duration=stays, loop=0,
               comment=drawings[0].words.encode("ascii", "replace")[:250])
    return content.getvalue()
