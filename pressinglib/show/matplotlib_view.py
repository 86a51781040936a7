"""A drawing printed with matplotlib, which is loaded no sooner: figures, type that fits its room, and file contents."""

from __future__ import annotations

import textwrap
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from pressinglib.errors import BadInput, as_known
from pressinglib.show.primitives import Figure as Token
from pressinglib.show.primitives import Filled, Primitives, Stroke, Type
from pressinglib.show.style import HALO_COVER, PAPER, Tone

FORMATS = ("png", "svg", "pdf")
INCH_CM = 2.54
POINTS_PER_INCH = 72
CM_PER_POINT = INCH_CM / POINTS_PER_INCH
MOST_DOTS = 120_000_000  # 40,000 x 3,000: more does not fit into the memory of a small computer
HALO = 0.05  # paper round a label, in sizes of its type
FACE = {"serif": "DejaVu Serif", "sans": "DejaVu Sans"}


@contextmanager
def printing() -> Iterator[None]:
    """Same drawing, same bytes; letters stay letters in a PDF; a letter that the face has not is shown as a box."""
    from matplotlib import rc_context

    with rc_context({"svg.hashsalt": "pressinglib", "pdf.fonttype": 42}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from font")
        yield


# -- Type that fits its room.

def width_of(words: str, size: float, bold: bool = False, serif: bool = False) -> float:
    """How wide a line of type is, in the unit of its size."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    face = FontProperties(family=FACE["serif" if serif else "sans"], weight="bold" if bold else "normal")
    font = get_font(findfont(face))
    font.set_size(100.0, POINTS_PER_INCH)
    with printing():
        font.set_text(words)
        return float(font.get_width_height()[0]) / 64 / 100 * size


def wrapped(words: str, width: float, size: float, bold: bool = False, serif: bool = False) -> list[str]:
    """The words in lines that fit a width; a word that is too long is cut."""
    whole = width_of(words, size, bold, serif)
    if whole <= width:
        return [words] if words else []
    for letters in range(max(1, int(width / whole * len(words))), 0, -1):  # fewer, where they are wider than the mean
        lines = textwrap.wrap(words, letters, break_on_hyphens=False)
        if all(width_of(line, size, bold, serif) <= width for line in lines):
            break
    return lines


# -- Primitives on a figure.

def figure_of(width_cm: float, height_cm: float) -> Any:
    """A figure of its own, outside pyplot: nothing is left behind."""
    from matplotlib.figure import Figure

    return Figure(figsize=(width_cm / INCH_CM, height_cm / INCH_CM))


def draw_on(figure: Any, shapes: Primitives, left_cm: float, top_cm: float, width_cm: float, tone: Tone) -> None:
    """Draw them on a figure, from a place (from left and top, cm), so wide."""
    (left, right, low, high), height_cm = shapes.frame, width_cm / shapes.ratio
    across, down = (size * INCH_CM for size in figure.get_size_inches())
    box = (left_cm / across, 1 - (top_cm + height_cm) / down, width_cm / across, height_cm / down)
    axes = figure.add_axes(box, xlim=(left, right), ylim=(low, high))
    axes.set_axis_off()
    points = width_cm / INCH_CM * POINTS_PER_INCH / (right - left)
    for level, some in enumerate(shapes.groups.values()):
        # One step for each, so that a token's number lies under the next token.
        for place, one in enumerate(some):
            _print(one, axes, points, level + place / (len(some) + 1), tone)


def _print(one: Filled | Stroke | Token | Type, axes: Any, points: float, level: float, tone: Tone) -> None:
    """Print one on axes; `points` is the size of a metre in typographic points."""
    from matplotlib.patches import Circle, Polygon, Rectangle

    if isinstance(one, Filled):
        axes.add_patch(Polygon(one.points, closed=True, facecolor=tone(one.colour), alpha=one.cover, linewidth=0,
                               zorder=level))
    elif isinstance(one, Stroke):
        pen, dash = one.pen, (0, one.pen.dash) if one.pen.dash else "-"
        axes.plot(*zip(*one.points, strict=True), color=tone(pen.colour), linewidth=pen.width_m * points,
                  linestyle=dash, zorder=level, dash_capstyle="butt", solid_joinstyle="miter", solid_capstyle="butt")
    elif isinstance(one, Token):
        look, r = one.look, one.look.radius_m
        how: Any = {"fc": tone(look.fill), "ec": tone(look.edge), "lw": look.width_m * points, "zorder": level}
        square = Rectangle((one.x - r, one.y - r), 2 * r, 2 * r, **how)
        axes.add_patch(square if look.square else Circle((one.x, one.y), r, **how))
        _print(Type(one.x, one.y, one.words, look.number, one.type_m), axes, points, level, tone)
    else:
        paper = {"boxstyle": f"round,pad={HALO}", "facecolor": tone(PAPER), "alpha": HALO_COVER, "lw": 0}
        # parse_math=False: a number such as "$9$" is a text and not a formula.
        axes.text(one.x, one.y, one.words, color=tone(one.colour), fontsize=one.type_m * points, zorder=level,
                  parse_math=False, ha=one.align, va="center_baseline", weight=one.weight, family=FACE[one.face],
                  bbox=paper if one.halo else None)


# -- Files.

def primitives_bytes(shapes: Primitives, format: str, width_cm: float, dpi: float, tone: Tone, title: str = "",
                     words: str = "") -> bytes:
    """The content of a file of one picture, so wide."""
    figure = figure_of(width_cm, width_cm / shapes.ratio)
    draw_on(figure, shapes, 0.0, 0.0, width_cm, tone)
    return figures_bytes([figure], format, dpi, title, words, tone)


def figures_bytes(figures: list[Any], format: str, dpi: float, title: str, words: str, tone: Tone) -> bytes:
    """The content of a file; several figures are pages, which only a PDF has."""
    as_known(format, FORMATS, "picture format", "choose one")
    if len(figures) > 1 and format != "pdf":
        raise BadInput("format of several pages", expected="pdf", got=repr(format), todo="save it as .pdf")
    across, down = (dpi * size for size in figures[0].get_size_inches())
    if format == "png" and across * down > MOST_DOTS:
        raise BadInput("size of the picture", expected=f"at most {MOST_DOTS:,} dots", got=f"{across * down:,.0f}",
                       todo="take fewer dots per inch, or save it as .pdf")
    content, paper = BytesIO(), tone(PAPER)
    with printing():
        if format == "pdf":
            from matplotlib.backends.backend_pdf import PdfPages

            about: dict[str, Any] = {"Title": title, "Subject": words, "CreationDate": None}
            with PdfPages(content, metadata=about) as pages:
                for figure in figures:
                    pages.savefig(figure, facecolor=paper)
        else:
            # No date: the same drawing gives the same bytes.
            about = {"Title": title, "Description": words, **({"Date": None} if format == "svg" else {})}
            figures[0].savefig(content, format=format, dpi=dpi, metadata=about, facecolor=paper)
    return _described(content.getvalue(), words) if format == "svg" else content.getvalue()


def _described(svg: bytes, words: str) -> bytes:
    """The text alternative where a browser reads it out, and not only among the data about the file."""
    desc = f"<desc>{escape(words)}</desc>\n <metadata>".encode()
    return svg.replace(b"<svg ", b'<svg role="img" ', 1).replace(b"<metadata>", desc, 1)
