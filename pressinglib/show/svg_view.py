"""A drawing as SVG, in metres: what a board shows, and what a page shows before its script runs."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from html import escape

from pressinglib.show.primitives import Figure, Filled, Stroke, Type
from pressinglib.show.style import TOKENS

MIDDLE = 0.36  # of the height of type: from its middle down to its foot


def svg(some: Iterable[Filled | Stroke | Figure | Type]) -> str:
    """Primitives one above the other; attributes in single quotes, which JSON need not escape."""
    return "".join(map(_svg, some))


@lru_cache(4096)  # most of a picture is as it was before the hand moved
def _svg(one: Filled | Stroke | Figure | Type) -> str:
    if isinstance(one, Type):
        look = " class='halo'" if one.halo else "" if one.align == "center" else " class='beside'"
        return (f"<text x='{one.x:.2f}' y='{MIDDLE * one.type_m - one.y:.2f}' font-size='{one.type_m:.2f}' "
                f"fill='{one.colour}'{look}>{escape(one.words)}</text>")
    if isinstance(one, Figure):
        return _token(one)
    points = " ".join([f"{round(x, 2):g},{round(-y, 2):g}" for x, y in one.points])
    if isinstance(one, Filled):
        return f"<polygon points='{points}' fill='{one.colour}' fill-opacity='{one.cover:g}'/>"
    dash = f" stroke-dasharray='{' '.join(map(str, one.dash_m))}'" if one.dash_m else ""
    return f"<polyline points='{points}' fill='none' stroke='{one.colour}' stroke-width='{one.width_m}'{dash}/>"


def _token(one: Figure) -> str:
    """A group that its place alone moves."""
    look, r = TOKENS[one.team], one.size_m / 2
    shape = f"rect x='{-r}' y='{-r}' width='{2 * r}' height='{2 * r}'" if look.square else f"circle r='{r}'"
    number = _svg(Type(0.0, 0.0, one.words, look.number, one.type_m)) if one.words else ""
    return (f"<g data-team='{one.team}' data-number='{escape(one.number)}' transform='translate({one.x:.5g} "
            f"{-one.y:.5g})'><{shape} fill='{look.fill}' stroke='{look.edge}' stroke-width='{one.edge_m}'/>"
            f"{number}</g>")
