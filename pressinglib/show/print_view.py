"""The printed picture: a drawing as PNG, SVG or PDF, with title, caption and key. Needs no browser."""

from __future__ import annotations

import os
import tempfile
import textwrap
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.ink import Filled, Ink, Stroke, Type, ink_of
from pressinglib.show.key import key_lines, put_key
from pressinglib.show.look import HALO_COVER, INK, LETTER_WIDTH, PAPER, TOKENS, number_size_m
from pressinglib.show.marks import Token

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

FORMATS = ("png", "svg", "pdf")
SHADES = 200
INCH_CM = 2.54
POINTS_PER_INCH = 72
TITLE_M = 2.5
CAPTION_M = 1.75
LEADING = 1.5
HALO = 0.05  # paper round a label, in sizes of its type
FACE = {"serif": "DejaVu Serif", "sans": "DejaVu Sans"}


def save_picture(drawing: Drawing, path: str | Path, width_cm: float = 18.0, dpi: float = 200, *,
                 portrait: bool = False) -> Path:
    """Write the picture; the name's ending says the format.

    Parameters
    ----------
    drawing : Drawing
    path : str or Path
        Ends in .png, .svg or .pdf. An old file is replaced only when the new one is complete.
    width_cm : float
        5-200.
    dpi : float
        30-600, for PNG.
    portrait : bool
        The pressing team attacks upwards.

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
    content = picture_bytes(drawing, path.suffix[1:].lower(), width_cm, dpi, portrait=portrait)
    _write_whole(path, content)
    return path


def picture_bytes(drawing: Drawing, format: str = "png", width_cm: float = 18.0, dpi: float = 200, *,
                  portrait: bool = False) -> bytes:
    """The picture as the content of a file; see `save_picture`.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> picture_bytes(draw_situation(Situation.line_up()), "svg")[:5]
    b'<?xml'
    """
    if format not in FORMATS:
        raise BadInput("picture format", expected="one of " + ", ".join(FORMATS), got=repr(format), todo="choose one")
    width_cm = as_number(width_cm, "width of the picture in cm", low=5, high=200)
    dpi = as_number(dpi, "dots per inch", low=30, high=600)
    return _rendered(_figure(drawing, width_cm, portrait), drawing, format, dpi)


@dataclass(frozen=True)
class Picture:
    """A drawing that shows itself as a picture at the end of a notebook cell; the words come along as text."""

    drawing: Drawing
    width_cm: float = 18.0
    dpi: float = 110
    portrait: bool = False

    def __repr__(self) -> str:
        return f"Picture: {self.drawing.title}; {self.drawing.words}"

    def _repr_png_(self) -> bytes:
        return _few_colours(picture_bytes(self.drawing, "png", self.width_cm, self.dpi, portrait=self.portrait))


def _few_colours(png: bytes) -> bytes:
    """The same picture in a third of the bytes: flat colours need few shades, and notebooks are kept with pictures."""
    from PIL import Image

    content = BytesIO()
    with Image.open(BytesIO(png)) as picture:
        few = picture.convert("RGB").quantize(SHADES, dither=Image.Dither.NONE)
        few.save(content, "png", optimize=True)
    return content.getvalue()


def _write_whole(path: Path, content: bytes) -> None:
    """The old file or the new one, never half of it."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem}", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _rendered(figure: Figure, drawing: Drawing, format: str, dpi: float) -> bytes:
    from matplotlib import rc_context

    # No date and a fixed salt: the same drawing gives the same bytes.
    about = {"png": {"Title": drawing.title, "Description": drawing.words},
             "svg": {"Title": drawing.title, "Description": drawing.words, "Date": None},
             "pdf": {"Title": drawing.title, "Subject": drawing.words, "CreationDate": None}}[format]
    content = BytesIO()
    with rc_context({"svg.hashsalt": "pressinglib"}):
        figure.savefig(content, format=format, dpi=dpi, metadata=about, facecolor=PAPER)
    return content.getvalue()


def _figure(drawing: Drawing, width_cm: float, portrait: bool) -> Figure:
    """A figure of its own, outside pyplot: nothing is left behind."""
    from matplotlib.figure import Figure

    ink = ink_of(drawing, portrait)
    low = ink.frame[2] - put_key(ink, key_lines(drawing), portrait)
    low, high = _put_caption(ink, drawing, low), _put_title(ink, drawing)
    left, right = ink.frame[:2]
    width_in = width_cm / INCH_CM
    figure = Figure(figsize=(width_in, width_in * (high - low) / (right - left)))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(left, right), ylim=(low, high))
    axes.set_axis_off()
    _Press(axes, width_in * POINTS_PER_INCH / (right - left)).print(ink)
    return figure


def _put_title(ink: Ink, drawing: Drawing) -> float:
    left, _, _, high = ink.frame
    ink.type.append(Type((left + 3.0, high + 1.0), drawing.title, INK, TITLE_M, left=True, serif=True))
    return high + TITLE_M * LEADING


def _put_caption(ink: Ink, drawing: Drawing, low: float) -> float:
    """The words under the picture, in lines that fit."""
    left, right = ink.frame[:2]
    letters = int((right - left - 6.0) / (CAPTION_M * LETTER_WIDTH * 0.92))
    for line in textwrap.wrap(drawing.words, letters):
        low -= CAPTION_M * LEADING
        ink.type.append(Type((left + 3.0, low + CAPTION_M / 2), line, INK, CAPTION_M, bold=False, left=True))
    return low - 2.0


class _Press:
    """Prints ink on axes; `points` is the size of a metre in typographic points."""

    def __init__(self, axes: Axes, points: float) -> None:
        self.axes, self.points = axes, points

    def print(self, ink: Ink) -> None:
        layers = [(ink.grounds, self.fill), (ink.markings, self.stroke), (ink.fills, self.fill),
                  (ink.strokes, self.stroke), (ink.tokens, self.token), (ink.type, self.type)]
        for level, (marks, draw) in enumerate(layers):
            # One step for each mark, so that a token's number lies under the next token.
            for place, mark in enumerate(marks):
                draw(mark, level + place / (len(marks) + 1))

    def fill(self, mark: Filled, level: float) -> None:
        from matplotlib.patches import Polygon

        self.axes.add_patch(Polygon(mark.points, facecolor=mark.colour, alpha=mark.cover, linewidth=0, zorder=level))

    def stroke(self, mark: Stroke, level: float) -> None:
        x, y = zip(*mark.points, strict=True)
        style: Any = (0, mark.dash) if mark.dash else "-"
        self.axes.plot(x, y, color=mark.colour, linewidth=mark.width_m * self.points, linestyle=style, zorder=level,
                       dash_capstyle="butt", solid_joinstyle="miter", solid_capstyle="butt")

    def token(self, mark: Token, level: float) -> None:
        from matplotlib.patches import Circle, Rectangle

        (x, y), shape = mark.xy, TOKENS[mark.style]
        radius, width = shape.radius_m, shape.width_m * self.points
        how: Any = {"facecolor": shape.fill, "edgecolor": shape.edge, "linewidth": width, "zorder": level}
        square = Rectangle((x - radius, y - radius), 2 * radius, 2 * radius, **how)
        self.axes.add_patch(square if shape.square else Circle(mark.xy, radius, **how))
        if mark.words:
            self._write(mark.xy, mark.words, shape.number, number_size_m(mark.words), level, weight="bold")

    def type(self, mark: Type, level: float) -> None:
        halo = {"boxstyle": f"round,pad={HALO}", "facecolor": PAPER, "alpha": HALO_COVER * mark.halo, "lw": 0}
        self._write(mark.xy, mark.words, mark.colour, mark.size_m, level, weight="bold" if mark.bold else "normal",
                    ha="left" if mark.left else "center", bbox=halo, family=FACE["serif" if mark.serif else "sans"])

    def _write(self, xy: tuple[float, float], words: str, colour: str, size_m: float, level: float, **how: Any) -> None:
        # parse_math=False: a number such as "$9$" is a text and not a formula.
        self.axes.text(*xy, words, color=colour, fontsize=size_m * self.points, zorder=level, parse_math=False,
                       **{"ha": "center", "va": "center_baseline", "family": FACE["sans"], **how})
