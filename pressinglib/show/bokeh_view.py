"""A drawing for a Bokeh canvas: an empty figure once, and every picture as columns in metres.

The page (`canvas.js`) sizes the columns to its room; nothing here knows a pixel.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import bokeh
from bokeh.core.properties import value
from bokeh.embed import json_item
from bokeh.models import CDSView, ColumnDataSource, GroupFilter, Range1d
from bokeh.plotting import figure

from pressinglib.show.drawing import Drawing
from pressinglib.show.marks import Points, Token
from pressinglib.show.primitives import Crop, Filled, Stroke, Type, primitives_of, put_legend
from pressinglib.show.style import HALO_COVER, INK, PAPER, TOKENS, number_size_m

VERSION = bokeh.__version__
FACE = value("ui-sans-serif, 'DejaVu Sans', Verdana, sans-serif")
TEAMS = ("ghost possession", "ghost pressing", "ghost ball", "possession", "pressing", "ball")  # lowest first
START_PX = 600  # until the page has measured its room

Columns = dict[str, list[Any]]


def bokeh_script() -> str:
    """Bokeh's own script for the page."""
    return (Path(bokeh.__file__).parent / "server" / "static" / "js" / "bokeh.min.js").read_text("utf-8")


# -- The empty figure.

@cache
def figure_item() -> str:
    """The renderers, lowest first, with nothing in them: the same for every board."""
    f = figure(x_range=Range1d(0, 1), y_range=Range1d(0, 1), width=START_PX, height=START_PX, min_border=0, tools="",
               toolbar_location=None, background_fill_color=PAPER, border_fill_color=PAPER, outline_line_color=None)
    f.axis.visible = f.grid.visible = False
    for fills, strokes in (("grounds", "markings"), ("fills", "strokes")):
        f.patches("xs", "ys", source=_source(fills, "xs", "ys", "colour", "cover"), fill_color="colour",
                  fill_alpha="cover", line_color=None)
        f.multi_line("xs", "ys", source=_source(strokes, "xs", "ys", "colour", "width", "dash"), line_color="colour",
                     line_width="width", line_dash="dash")
    f.multi_line("xs", "ys", source=_source("gaps", "xs", "ys"), line_color=INK, line_width=1.2, line_dash=[4, 4])
    f.multi_line("xs", "ys", source=_source("picked gaps", "xs", "ys"), line_color=INK, line_width=5)
    for name in ("legend", "tokens"):
        _draw_tokens(f, _source(name, "x", "y", "words", "team", "number", "size", "edge", "type"))
    words = _source("type", "x", "y", "words", "colour", "type", "weight", "align", "halo")
    f.text("x", "y", text="words", source=words, text_color="colour", text_font_size="type", text_font_style="weight",
           text_align="align", text_baseline="middle", text_font=FACE, background_fill_color=PAPER,
           background_fill_alpha="halo", padding=1, border_radius=3)
    # What can be picked and what is; who is chosen, and what is being drawn by hand.
    f.scatter("x", "y", source=_source("handles", "x", "y", "size"), marker="circle", size="size", fill_color=PAPER,
              line_color=INK, line_width=1.2)
    picked = _source("picked", "x", "y", "size", "words")
    f.scatter("x", "y", source=picked, marker="circle", size="size", fill_color=None, line_color=INK, line_width=3.5)
    f.text("x", "y", text="words", source=picked, x_offset=16, y_offset=-14, text_color=INK, text_font=FACE,
           text_font_size="15px", text_font_style="bold", text_baseline="middle", text_align="center")
    f.scatter("x", "y", source=_source("chosen", "x", "y", "size"), marker="circle", size="size", fill_color=None,
              line_color=INK, line_width=1.5, line_dash=[3, 3])
    f.multi_line("xs", "ys", source=_source("trail", "xs", "ys"), line_color=INK, line_width=2, line_dash=[6, 3])
    return json.dumps(json_item(f))


def _source(name: str, *columns: str) -> ColumnDataSource:
    return ColumnDataSource({column: [] for column in columns}, name=name)


def _draw_tokens(f: figure, source: ColumnDataSource) -> None:
    for team in TEAMS:
        shape = TOKENS[team]
        view = CDSView(filter=GroupFilter(column_name="team", group=team))
        f.scatter("x", "y", source=source, view=view, marker="square" if shape.square else "circle", size="size",
                  fill_color=shape.fill, line_color=shape.edge, line_width="edge")
        f.text("x", "y", text="words", source=source, view=view, text_font_size="type", text_font=FACE,
               text_color=shape.number, text_font_style="bold", text_align="center", text_baseline="middle")


# -- What is drawn.

def board_columns(drawing: Drawing, portrait: bool = False, part: Crop = "whole",
                  unlisted: tuple[str, ...] = ()) -> tuple[dict[str, Columns], dict[str, Any]]:
    """Ground columns, which keep still, and the picture: its frame (left, right, low, high) and columns.

    Styles that are `unlisted` stand in no legend: what comes and goes with a hand must not change the room under a
    picture.
    """
    shapes = primitives_of(drawing, portrait, part)
    tokens = shapes.tokens.copy()
    left, right, low, high = shapes.frame
    low -= put_legend(shapes, [line for line in drawing.legend() if line[0] not in unlisted], portrait)
    ground = {"grounds": _fill_columns(shapes.grounds), "markings": _stroke_columns(shapes.markings)}
    columns = {"fills": _fill_columns(shapes.fills), "strokes": _stroke_columns(shapes.strokes),
               "legend": _token_columns(shapes.tokens[len(tokens):]), "tokens": _token_columns(tokens),
               "type": _type_columns(shapes.type)}
    return ground, {"frame": (left, right, low, high), "columns": columns}


def tokens_of(drawing: Drawing, portrait: bool = False, part: Crop = "whole") -> Columns:
    """The players and the ball alone."""
    alone = replace(drawing, marks=tuple(mark for mark in drawing.marks if isinstance(mark, Token)))
    return _token_columns(primitives_of(alone, portrait, part).tokens)


def _points(lines: Sequence[Points]) -> dict[str, list[list[float]]]:
    # Two decimals: a centimetre is enough, and the message to the browser is half as long.
    return {name: [[round(xy[axis], 2) for xy in line] for line in lines] for axis, name in enumerate(("xs", "ys"))}


def _fill_columns(fills: Sequence[Filled]) -> Columns:
    return {**_points([f.points for f in fills]), "colour": [f.colour for f in fills],
            "cover": [f.cover for f in fills]}


def _stroke_columns(strokes: Sequence[Stroke]) -> Columns:
    return {**_points([s.points for s in strokes]), "colour": [s.colour for s in strokes],
            "width_m": [s.width_m for s in strokes],
            "dash_m": [[round(d * s.width_m, 3) for d in s.dash] for s in strokes]}


def _type_columns(lines: Sequence[Type]) -> Columns:
    return {"x": [t.xy[0] for t in lines], "y": [t.xy[1] for t in lines], "words": [t.words for t in lines],
            "colour": [t.colour for t in lines], "type_m": [t.size_m for t in lines],
            "weight": ["bold" if t.bold else "normal" for t in lines],
            "align": ["left" if t.left else "center" for t in lines], "halo": [HALO_COVER * t.halo for t in lines]}


def _token_columns(tokens: Sequence[Token]) -> Columns:
    shapes = [TOKENS[t.style] for t in tokens]
    return {"x": [t.xy[0] for t in tokens], "y": [t.xy[1] for t in tokens], "words": [t.words for t in tokens],
            "team": [t.style for t in tokens], "number": [t.number for t in tokens],
            "size_m": [2 * s.radius_m for s in shapes], "edge_m": [s.width_m for s in shapes],
            "type_m": [number_size_m(t.words) for t in tokens]}
