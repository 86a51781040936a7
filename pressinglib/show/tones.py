"""Black and white: what every colour of the look becomes on a copier, and still says."""

from __future__ import annotations

from collections.abc import Callable

from pressinglib.show.look import GROUND, PAPER, POSSESSION_PAPER

Tone = Callable[[str], str]
WHITE = "#ffffff"
LUMINANCE = (0.2126, 0.7152, 0.0722)  # of linear red, green and blue; IEC 61966-2-1 (sRGB)
DARK, DARKER = 0.6, 0.7  # greys below the first are made darker: a copier loses them (own choice)


def in_colour(colour: str) -> str:
    """The colour as it is."""
    return colour


def on_white(colour: str) -> str:
    """The colour as it is, but paper is white: a printed page need not print its paper."""
    return WHITE if colour in (PAPER, GROUND) else colour


def in_grey(colour: str) -> str:
    """A grey as light as the colour, lines a little darker, paper white.

    Examples
    --------
    >>> in_grey("#d2270e"), in_grey("#000000"), in_grey(PAPER)
    ('#4c4c4c', '#000000', '#ffffff')
    """
    if colour in (PAPER, GROUND, POSSESSION_PAPER):
        return WHITE
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    light = sum(share * _linear(part) for share, part in zip(LUMINANCE, parts, strict=True))
    value = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    return "#" + 3 * f"{round(255 * (value * DARKER if value < DARK else value)):02x}"


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
