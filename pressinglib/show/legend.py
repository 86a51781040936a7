"""The key under a picture: what is in it, and nothing else."""

from __future__ import annotations

from pressinglib.show.drawing import Drawing
from pressinglib.show.figures import nose
from pressinglib.show.labels import text_half
from pressinglib.show.layers import ticks
from pressinglib.show.layers_field import hatch
from pressinglib.show.marks import XY, Area, Line, Mark, Token
from pressinglib.show.primitives import Primitives, Type, form, put
from pressinglib.show.style import FILLS, LABEL_M, MEANING, NUMBERS, OTHER, QUIET, ROLES, TICKED, TOKENS

ROW_M = 4.0
SAMPLE_M = 4.4  # width of a sample
BETWEEN_M = 1.6
EDGE_M = 3.0
FORM_SIZE = 0.75
REGULAR = 0.9  # letters of regular type are narrower than bold ones by so much
FULL_SIZE_M = 75.0  # in a picture that is less wide, title, key and words are smaller


def type_scale(frame: tuple[float, float, float, float]) -> float:
    """How large title, key and words are, so that they fit a picture that shows little of the pitch.

    Examples
    --------
    >>> type_scale((-56.0, 56.0, -37.0, 37.0)), type_scale((0.0, 30.0, 0.0, 30.0))
    (1.0, 0.4)
    """
    return min(1.0, (frame[1] - frame[0]) / FULL_SIZE_M)


def legend_lines(drawing: Drawing) -> list[tuple[str, str]]:
    """Style and words of all that the layers of a drawing can hold; notes on numbers have no style.

    By layers and not by what is there, so that the key keeps still while a hand moves.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.show.drawing import draw_situation
    >>> legend_lines(draw_situation(Situation.line_up()))
    [('pressing', 'pressing team, attacking {way}'), ('possession', 'in possession')]
    """
    layers = {mark.layer for mark in drawing.marks}
    known = {"other": drawing.other, "unit": drawing.labels.unit, "way": "{way}"}
    lines = [line for layer, styles in MEANING.items() if layer in layers for line in styles.items()]
    lines += [("", words) for layer, words in NUMBERS.items() if layer in layers]
    return [(style, words.format_map(known)) for style, words in lines]


def put_legend(shapes: Primitives, lines: list[tuple[str, str]], portrait: bool = False) -> float:
    """Add the key below the frame; the height it takes, metres."""
    left, right, low, _ = shapes.frame
    x, y, size = left + EDGE_M, low - ROW_M / 2, LABEL_M * type_scale(shapes.frame)
    for style, words in lines:
        words = words.replace("{way}", "upwards" if portrait else "to the right")
        sample_m = SAMPLE_M if style else 0.0
        width = sample_m + 2 * REGULAR * text_half(words, size)[0]
        if x + width > right and x > left + EDGE_M:
            x, y = left + EDGE_M, y - ROW_M
        _put_sample(shapes, style, (x, y))
        shapes.type.append(Type((x + sample_m, y), words, QUIET, size, bold=False, left=True))
        x += width + BETWEEN_M
    return low - y + ROW_M / 2 if lines else 0.0


def _put_sample(shapes: Primitives, style: str, xy: XY) -> None:
    """What a style looks like, to the right of a place."""
    x, y = xy
    if style.removeprefix(OTHER) in ROLES:
        role = ROLES[style.removeprefix(OTHER)]
        shapes.strokes.extend(form(style, (x + 1.9, y), FORM_SIZE))
        shapes.type.append(Type((x + 1.9, y), role.letter, role.colour, LABEL_M))
    elif style in TOKENS:
        put(shapes, [Token("key", style, (x + 1.9, y), "")])
    elif style in FILLS:
        put(shapes, _area_sample(style, xy))
    elif style == "brake":
        put(shapes, [Line("key", "pressure", ((x, y), (x + 3.6, y))),
                  Line("key", style, ((x + 1.9, y - 0.9), (x + 1.9, y + 0.9)))])
    elif style:
        ends = ((x, y), (x + 3.6, y))
        put(shapes, [Line("key", style, ends), *(ticks("key", style, ends) if style in TICKED else [])])


def _area_sample(style: str, xy: XY) -> list[Mark]:
    x, y = xy
    if style == "shadow":
        return [Area("key", style, ((x, y - 0.3), (x + 3.8, y - 1.3), (x + 3.8, y + 1.3), (x, y + 0.3)))]
    if style == "facing":
        return [Area("key", style, nose((x + 1.5, y), 0.0, 0.0))]
    corners = ((x, y - 1.2), (x + 3.8, y - 1.2), (x + 3.8, y + 1.2), (x, y + 1.2))
    return [Area("key", style, corners), *(hatch("key", corners, 1.2) if style == "control theirs" else [])]
