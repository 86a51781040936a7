"""Moving pictures: drawings of several moments as an animated GIF."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.ink import Ink
from pressinglib.show.part import Part
from pressinglib.show.press import figure_of, figures_bytes, print_ink, write_whole
from pressinglib.show.print_view import composed
from pressinglib.show.tones import in_colour, in_grey

if TYPE_CHECKING:
    from PIL.Image import Image

Moments = Iterable[tuple[float, Drawing]]
MOST_FRAMES = 600
SHADES = 96
DPI = 100
INCH_CM = 2.54
SHORTEST_S = 0.02  # browsers slow down what is shorter


def save_film(moments: Moments, path: str | Path, width_px: int = 760, *, last_s: float = 2.0, portrait: bool = False,
              part: Part = "whole", grey: bool = False) -> Path:
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


def film_bytes(moments: Moments, width_px: int = 760, *, last_s: float = 2.0, portrait: bool = False,
               part: Part = "whole", grey: bool = False) -> bytes:
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
    inks = _same_frame([composed(drawing, portrait, part) for _, drawing in shown])
    frames = [_frame(ink, width_px, in_grey if grey else in_colour) for ink in inks]
    stays = [round(1000 * (b - a)) for a, b in zip(times, [*times[1:], times[-1] + last_s], strict=True)]
    return _gif(frames, stays, shown[0][1].words)


def _checked(times: Sequence[float]) -> list[float]:
    times = [as_number(time, "time of a picture in s") for time in times]
    steps = [b - a for a, b in zip(times, times[1:], strict=False)]
    if not 2 <= len(times) <= MOST_FRAMES or min(steps) < SHORTEST_S:
        raise BadInput("pictures of a film", expected=f"2-{MOST_FRAMES} of them, later and later", got=str(len(times)),
                       todo=f"give moments in the order of time, at least {SHORTEST_S:g} s apart")
    return times


def _same_frame(inks: Sequence[Ink]) -> list[Ink]:
    """All as high as the highest, so that the pitch keeps still while words come and go."""
    left, right = inks[0].frame[:2]
    low, high = min(ink.frame[2] for ink in inks), max(ink.frame[3] for ink in inks)
    return [replace(ink, frame=(left, right, low, high)) for ink in inks]


def _frame(ink: Ink, width_px: int, tone: Any) -> Image:
    from PIL import Image as Images

    left, right, low, high = ink.frame
    width_cm = width_px / DPI * INCH_CM
    figure = figure_of(width_cm, width_cm * (high - low) / (right - left))
    print_ink(figure, ink, 0.0, 0.0, width_cm, tone)
    with Images.open(BytesIO(figures_bytes([figure], "png", DPI, "", "", tone))) as picture:
        return picture.convert("RGB")


def _gif(frames: Sequence[Image], stays_ms: Sequence[int], words: str) -> bytes:
    """One set of shades for all frames, taken from three of them: no shade flickers."""
    from PIL import Image as Images

    width, height = frames[0].size
    seen = Images.new("RGB", (width, 3 * height))
    for place, frame in enumerate((frames[0], frames[len(frames) // 2], frames[-1])):
        seen.paste(frame, (0, place * height))
    shades = seen.quantize(SHADES, dither=Images.Dither.NONE)
    first, *rest = (frame.quantize(palette=shades, dither=Images.Dither.NONE) for frame in frames)
    content = BytesIO()
    first.save(content, "gif", save_all=True, append_images=rest, duration=list(stays_ms), loop=0,
               comment=words.encode("ascii", "replace")[:250])
    return content.getvalue()
