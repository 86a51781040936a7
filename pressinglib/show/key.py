"""The key under a picture: what is in it, and nothing else."""

from __future__ import annotations

from pressinglib.show.drawing import Drawing
from pressinglib.show.ink import Ink, Type, form, put
from pressinglib.show.layers import ticks
from pressinglib.show.look import LABEL_M, MEANING, NUMBERS, QUIET, ROLES
from pressinglib.show.marks import XY, Area, Line, Token
from pressinglib.show.players import nose
from pressinglib.show.space import text_half

ROW_M = 4.0
SAMPLE_M = 4.4  # width of a sample
BETWEEN_M = 1.6
EDGE_M = 3.0
FORM_SIZE = 0.75


def key_lines(drawing: Drawing) -> list[tuple[str, str]]:
    """Style and words of all that the layers of a drawing can hold; notes on numbers have no style.

    By layers and not by what is there, so that the key keeps still while a hand moves.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> key_lines(draw_situation(Situation.line_up()))
    [('pressing', 'pressing team, attacking {way}'), ('possession', 'in possession')]
    """
    layers = {mark.layer for mark in drawing.marks}
    lines = [line for layer, styles in MEANING.items() if layer in layers for line in styles.items()]
    return [*lines, *(("", words) for layer, words in NUMBERS.items() if layer in layers)]


def put_key(ink: Ink, lines: list[tuple[str, str]]) -> float:
    """Add the key below the frame; the height it takes, metres."""
    left, right, low, high = ink.frame
    x, y = left + EDGE_M, low - ROW_M / 2
    for style, words in lines:
        words = words.format(way="upwards" if right - left < high - low else "to the right")
        sample_m = SAMPLE_M if style else 0.0
        width = sample_m + 2 * text_half(words, LABEL_M)[0]
        if x + width > right and x > left + EDGE_M:
            x, y = left + EDGE_M, y - ROW_M
        _put_sample(ink, style, (x, y))
        ink.type.append(Type((x + sample_m, y), words, QUIET, LABEL_M, bold=False, left=True))
        x += width + BETWEEN_M
    return low - y + ROW_M / 2 if lines else 0.0


def _put_sample(ink: Ink, style: str, xy: XY) -> None:
    """What a style looks like, to the right of a place."""
    x, y = xy
    if style in ROLES:
        ink.strokes.extend(form(style, (x + 1.9, y), FORM_SIZE))
        ink.type.append(Type((x + 1.9, y), ROLES[style].letter, ROLES[style].colour, LABEL_M))
    elif style in ("pressing", "possession"):
        put(ink, [Token("key", style, (x + 1.9, y), "")])
    elif style == "shadow":
        put(ink, [Area("key", style, ((x, y - 0.3), (x + 3.8, y - 1.3), (x + 3.8, y + 1.3), (x, y + 0.3)))])
    elif style == "facing":
        put(ink, [Area("key", style, nose((x + 1.5, y), 0.0, 0.0))])
    elif style:
        ends = ((x, y), (x + 3.6, y))
        put(ink, [Line("key", style, ends), *(ticks(style, ends) if style in MEANING["gaps"] else [])])
