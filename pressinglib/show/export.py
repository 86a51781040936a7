"""Pictures to keep: the static picture of a situation or a plan, its file (PNG, SVG, PDF), and films (GIF)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan, draw_situation
from pressinglib.show.legend import legend_lines, put_legend, type_scale
from pressinglib.show.matplotlib_view import (
    check_format,
    figure_of,
    figures_bytes,
    print_primitives,
    width_of,
    wrapped,
    write_whole,
)
from pressinglib.show.primitives import Crop, Primitives, Type, primitives_of
from pressinglib.show.style import INK, in_colour, in_grey

if TYPE_CHECKING:
    from PIL.Image import Image



# -- The drawing in print: PNG, SVG or PDF, drawn by matplotlib; the text alternative travels in the file.


WIDTH_CM, SCREEN_DPI = 16.0, 100.0  # as wide as the text of a page, small enough to keep in a notebook
SHADES = 200
TITLE_M = 2.5
CAPTION_M = 1.75
LEADING = 1.5
INDENT_M = 3.0
LEAST_TITLE = 0.75  # a long title gets smaller before it goes on in a second line
FOOT_M = 2.0


def save_picture(what: Situation | Plan | Drawing, path: str | Path, width_cm: float = 18.0, dpi: float = 200, *,
                 layers: Iterable[str] = USUAL_LAYERS, portrait: bool = False, part: Crop = "whole",
                 grey: bool = False) -> Path:
    """Write the picture; the name's ending says the format.

    Parameters
    ----------
    what : Situation, Plan or Drawing
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
        "whole", "attacking half", "own half", or a box in metres.
    grey : bool
        Black and white, for a copier.

    Returns
    -------
    Path

    Raises
    ------
    BadInput
        For another ending, something that has no picture, or a size out of range.

    Examples
    --------
    >>> save_picture(Situation.line_up(), "scene.doc")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: picture format: expected one of png, svg, pdf; got 'doc'. Choose one.
    """
    path, drawing = Path(path), drawing_of(what, layers)
    format = path.suffix[1:].lower()
    write_whole(path, picture_bytes(drawing, format, width_cm, dpi, portrait=portrait, part=part, grey=grey))
    return path


def picture(what: Situation | Plan | Drawing, layers: Iterable[str] = USUAL_LAYERS, *, width_cm: float = WIDTH_CM,
            dpi: float = SCREEN_DPI, portrait: bool = False, part: Crop = "whole") -> Picture:
    """The picture of a situation as it is, or of a plan with the layers asked for; the last line of a cell shows it.

    Parameters
    ----------
    what : Situation, Plan or Drawing
    layers : iterable of str
        What is shown of a plan, by default roles, runs and the cover shadow; see `draw_plan`.
    width_cm, dpi, portrait, part
        As in `save_picture`.

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
    """
    return Picture(drawing_of(what, layers), width_cm, dpi, portrait, part)


def drawing_of(what: Situation | Plan | Drawing, layers: Iterable[str] = USUAL_LAYERS) -> Drawing:
    """What a picture of it shows; a drawing is one already."""
    if isinstance(what, Plan):
        return draw_plan(what.situation, what, layers)
    if isinstance(what, Situation):
        return draw_situation(what)
    if isinstance(what, Drawing):
        return what
    raise BadInput("picture", expected="a Situation, a Plan or a Drawing", got=type(what).__name__,
                   todo="give one of them")


def picture_bytes(drawing: Drawing, format: str = "png", width_cm: float = 18.0, dpi: float = 200, *,
                  portrait: bool = False, part: Crop = "whole", grey: bool = False) -> bytes:
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
    shapes, tone = composed(drawing, portrait, part), in_grey if grey else in_colour
    left, right, low, high = shapes.frame
    figure = figure_of(width_cm, width_cm * (high - low) / (right - left))
    print_primitives(figure, shapes, 0.0, 0.0, width_cm, tone)
    return figures_bytes([figure], format, dpi, drawing.title, drawing.words, tone)


@dataclass(frozen=True)
class Picture:
    """A drawing that shows itself as a picture at the end of a notebook cell; the words come along as text."""

    drawing: Drawing
    width_cm: float = WIDTH_CM
    dpi: float = SCREEN_DPI
    portrait: bool = False
    part: Crop = "whole"

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


def composed(drawing: Drawing, portrait: bool = False, part: Crop = "whole", *, title: bool = True, key: bool = True,
             words: bool = True, larger: float = 1.0) -> Primitives:
    """The primitives of a drawing with its title above, its key and its words below; the frame holds all of it.

    `larger` is for title and words of a small picture, so that they can be read.
    """
    shapes = primitives_of(drawing, portrait, part)
    left, right, low, high = shapes.frame
    if key:
        low -= put_legend(shapes, legend_lines(drawing), portrait)
    if words:
        low = _put_caption(shapes, drawing, low, larger)
    if title:
        high = _put_title(shapes, drawing, larger)
    return replace(shapes, frame=(left, right, low, high))


def _put_title(shapes: Primitives, drawing: Drawing, larger: float) -> float:
    left, right, _, high = shapes.frame
    room, size = right - left - 2 * INDENT_M, TITLE_M * larger * type_scale(shapes.frame)
    size *= min(1.0, max(LEAST_TITLE, room / max(room, width_of(drawing.title, size, bold=True, serif=True))))
    lines = wrapped(drawing.title, room, size, bold=True, serif=True)
    for place, line in enumerate(reversed(lines)):
        y = high + (0.4 + LEADING * place) * size
        shapes.type.append(Type((left + INDENT_M, y), line, INK, size, left=True, serif=True))
    return high + max(1, len(lines)) * size * LEADING


def _put_caption(shapes: Primitives, drawing: Drawing, low: float, larger: float) -> float:
    """The words under the picture, in lines that fit."""
    left, right = shapes.frame[:2]
    size = CAPTION_M * larger * type_scale(shapes.frame)
    for line in wrapped(drawing.words, right - left - 2 * INDENT_M, size):
        low -= size * LEADING
        shapes.type.append(Type((left + INDENT_M, low + size / 2), line, INK, size, bold=False, left=True))
    return low - FOOT_M


# -- Moving pictures: drawings of several moments as an animated GIF.


TimedDrawings = Iterable[tuple[float, Drawing]]
MOST_FRAMES = 600
FILM_SHADES = 96
DPI = 100
INCH_CM = 2.54
SHORTEST_S = 0.02  # browsers slow down what is shorter


def save_film(moments: TimedDrawings, path: str | Path, width_px: int = 760, *, last_s: float = 2.0,
              portrait: bool = False, part: Crop = "whole", grey: bool = False) -> Path:
    """Write an animated GIF in true time; it starts anew for ever.

    Parameters
    ----------
    moments : iterable of (seconds, Drawing)
        In the order of time, such as `run_drawings(drawing, Runs(plan))`; 2 to 600 of them.
    path : str or Path
        Ends in .gif. An old file is replaced only when the new one is complete.
    width_px : int
        200-1600.
    last_s : float
        How long the last picture stays, 0.1-20 s.
    portrait, part, grey
        As in `save_picture`.

    Raises
    ------
    BadInput
        For another ending, times that do not grow, or too many pictures.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> drawing = draw_situation(Situation.line_up())
    >>> save_film([(0.0, drawing)], "run.gif")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: pictures of a film: expected 2-600 of them, later and later; got 1. ...
    """
    path = Path(path)
    if path.suffix.lower() != ".gif":
        raise BadInput("film", expected="a name that ends in .gif", got=repr(path.name), todo="rename it")
    write_whole(path, film_bytes(moments, width_px, last_s=last_s, portrait=portrait, part=part, grey=grey))
    return path


def film_bytes(moments: TimedDrawings, width_px: int = 760, *, last_s: float = 2.0, portrait: bool = False,
               part: Crop = "whole", grey: bool = False) -> bytes:
    """The film as the content of a file; see `save_film`.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> drawing = draw_situation(Situation.line_up())
    >>> film_bytes([(0.0, drawing), (0.5, drawing)], 200)[:6]
    b'GIF89a'
    """
    width_px = int(as_number(width_px, "width of the film in dots", low=200, high=1600))
    last_s = as_number(last_s, "seconds for the last picture", low=0.1, high=20.0)
    shown = list(moments)
    times = _checked([time for time, _ in shown])
    composed_ones = _same_frame([composed(drawing, portrait, part) for _, drawing in shown])
    frames = [_frame(shapes, width_px, in_grey if grey else in_colour) for shapes in composed_ones]
    stays = [round(1000 * (b - a)) for a, b in zip(times, [*times[1:], times[-1] + last_s], strict=True)]
    return _gif(frames, stays, shown[0][1].words)


def _checked(times: Sequence[float]) -> list[float]:
    times = [as_number(time, "time of a picture in s") for time in times]
    steps = [b - a for a, b in zip(times, times[1:], strict=False)]
    if not 2 <= len(times) <= MOST_FRAMES or min(steps) < SHORTEST_S:
        raise BadInput("pictures of a film", expected=f"2-{MOST_FRAMES} of them, later and later", got=str(len(times)),
                       todo=f"give moments in the order of time, at least {SHORTEST_S:g} s apart")
    return times


def _same_frame(composed_ones: Sequence[Primitives]) -> list[Primitives]:
    """All as high as the highest, so that the pitch keeps still while words come and go."""
    left, right = composed_ones[0].frame[:2]
    low, high = min(shapes.frame[2] for shapes in composed_ones), max(shapes.frame[3] for shapes in composed_ones)
    return [replace(shapes, frame=(left, right, low, high)) for shapes in composed_ones]


def _frame(shapes: Primitives, width_px: int, tone: Any) -> Image:
    from PIL import Image as Images

    left, right, low, high = shapes.frame
    width_cm = width_px / DPI * INCH_CM
    figure = figure_of(width_cm, width_cm * (high - low) / (right - left))
    print_primitives(figure, shapes, 0.0, 0.0, width_cm, tone)
    with Images.open(BytesIO(figures_bytes([figure], "png", DPI, "", "", tone))) as picture:
        return picture.convert("RGB")


def _gif(frames: Sequence[Image], stays_ms: Sequence[int], words: str) -> bytes:
    """One set of shades for all frames, taken from three of them: no shade flickers."""
    from PIL import Image as Images

    width, height = frames[0].size
    seen = Images.new("RGB", (width, 3 * height))
    for place, frame in enumerate((frames[0], frames[len(frames) // 2], frames[-1])):
        seen.paste(frame, (0, place * height))
    shades = seen.quantize(FILM_SHADES, dither=Images.Dither.NONE)
    first, *rest = (frame.quantize(palette=shades, dither=Images.Dither.NONE) for frame in frames)
    content = BytesIO()
    first.save(content, "gif", save_all=True, append_images=rest, duration=list(stays_ms), loop=0,
               comment=words.encode("ascii", "replace")[:250])
    return content.getvalue()
