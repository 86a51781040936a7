"""The drawing in print: PNG, SVG or PDF, drawn by matplotlib; the text alternative travels in the file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path

from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.ink import Ink, Type, ink_of
from pressinglib.show.key import key_lines, key_size, put_key
from pressinglib.show.look import INK
from pressinglib.show.part import Part
from pressinglib.show.press import check_format, figure_of, figures_bytes, print_ink, width_of, wrapped, write_whole
from pressinglib.show.tones import in_colour, in_grey

SHADES = 200
TITLE_M = 2.5
CAPTION_M = 1.75
LEADING = 1.5
INDENT_M = 3.0
LEAST_TITLE = 0.75  # a long title gets smaller before it goes on in a second line
FOOT_M = 2.0


def save_picture(drawing: Drawing, path: str | Path, width_cm: float = 18.0, dpi: float = 200, *,
                 portrait: bool = False, part: Part = "whole", grey: bool = False) -> Path:
    """Write the picture; the name's ending says the format.

    Parameters
    ----------
    drawing : Drawing
    path : str or Path
        Ends in .png, .svg or .pdf. An old file is replaced only when the new one is complete.
    width_cm : float
        5-200.
    dpi : float
        30-600, for PNG; at most 120 million dots in all.
    portrait : bool
        The pressing team attacks upwards.
    part : str or (x from, x to, y from, y to)
        "whole", "attacking half", "own half", or a box in metres.
    grey : bool
        Black and white, for a copier.

    Returns
    -------
    Path

    Raises
    ------
    BadInput
        For another ending, or a size out of range.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> save_picture(draw_situation(Situation.line_up()), "scene.doc")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: picture format: expected one of png, svg, pdf; got 'doc'. Choose one.
    """
    path = Path(path)
    format = path.suffix[1:].lower()
    write_whole(path, picture_bytes(drawing, format, width_cm, dpi, portrait=portrait, part=part, grey=grey))
    return path


def picture_bytes(drawing: Drawing, format: str = "png", width_cm: float = 18.0, dpi: float = 200, *,
                  portrait: bool = False, part: Part = "whole", grey: bool = False) -> bytes:
    """The picture as the content of a file; see `save_picture`.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> picture_bytes(draw_situation(Situation.line_up()), "svg")[:5]
    b'<?xml'
    """
    check_format(format)
    width_cm = as_number(width_cm, "width of the picture in cm", low=5, high=200)
    dpi = as_number(dpi, "dots per inch", low=30, high=600)
    ink, tone = composed(drawing, portrait, part), in_grey if grey else in_colour
    left, right, low, high = ink.frame
    figure = figure_of(width_cm, width_cm * (high - low) / (right - left))
    print_ink(figure, ink, 0.0, 0.0, width_cm, tone)
    return figures_bytes([figure], format, dpi, drawing.title, drawing.words, tone)


@dataclass(frozen=True)
class Picture:
    """A drawing that shows itself as a picture at the end of a notebook cell; the words come along as text."""

    drawing: Drawing
    width_cm: float = 18.0
    dpi: float = 110
    portrait: bool = False
    part: Part = "whole"

    def __repr__(self) -> str:
        return f"Picture: {self.drawing.title}; {self.drawing.words}"

    def _repr_png_(self) -> bytes:
        return few_colours(picture_bytes(self.drawing, "png", self.width_cm, self.dpi, portrait=self.portrait,
                                         part=self.part))


def few_colours(png: bytes) -> bytes:
    """The same picture in a third of the bytes: flat colours need few shades, and notebooks are kept with pictures."""
    from PIL import Image

    content = BytesIO()
    with Image.open(BytesIO(png)) as picture:
        few = picture.convert("RGB").quantize(SHADES, dither=Image.Dither.NONE)
        few.save(content, "png", optimize=True)
    return content.getvalue()


def composed(drawing: Drawing, portrait: bool = False, part: Part = "whole", *, title: bool = True, key: bool = True,
             words: bool = True, larger: float = 1.0) -> Ink:
    """The ink of a drawing with its title above, its key and its words below; the frame holds all of it.

    `larger` is for title and words of a small picture, so that they can be read.
    """
    ink = ink_of(drawing, portrait, part)
    left, right, low, high = ink.frame
    if key:
        low -= put_key(ink, key_lines(drawing), portrait)
    if words:
        low = _put_caption(ink, drawing, low, larger)
    if title:
        high = _put_title(ink, drawing, larger)
    return replace(ink, frame=(left, right, low, high))


def _put_title(ink: Ink, drawing: Drawing, larger: float) -> float:
    left, right, _, high = ink.frame
    room, size = right - left - 2 * INDENT_M, TITLE_M * larger * key_size(ink.frame)
    size *= min(1.0, max(LEAST_TITLE, room / max(room, width_of(drawing.title, size, bold=True, serif=True))))
    lines = wrapped(drawing.title, room, size, bold=True, serif=True)
    for place, line in enumerate(reversed(lines)):
        y = high + (0.4 + LEADING * place) * size
        ink.type.append(Type((left + INDENT_M, y), line, INK, size, left=True, serif=True))
    return high + max(1, len(lines)) * size * LEADING


def _put_caption(ink: Ink, drawing: Drawing, low: float, larger: float) -> float:
    """The words under the picture, in lines that fit."""
    left, right = ink.frame[:2]
    size = CAPTION_M * larger * key_size(ink.frame)
    for line in wrapped(drawing.words, right - left - 2 * INDENT_M, size):
        low -= size * LEADING
        ink.type.append(Type((left + INDENT_M, low + size / 2), line, INK, size, bold=False, left=True))
    return low - FOOT_M
