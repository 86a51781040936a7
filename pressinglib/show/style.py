"""The look: a calm printed page. Every style name of a mark becomes colour, width, dash and form here, and only here.

The table is `style.toml`, with what the legend says of each.

Nothing rests on colour alone. Teams: filled discs against hollow squares. Roles: letter and outline form. Lanes and
gaps: kind of line. The colours stay apart for every common colour vision deficiency; a test computes it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from math import pi
from pathlib import Path
from typing import NamedTuple

from pressinglib.show.marks import Points, arc

OTHER = "other "  # what another rulebook says, beside the first
PAPER = "#f7f4ec"
GROUND = "#fcfaf5"
INK = "#1f262b"
QUIET = "#6f6a5e"  # words that help and need no notice
MARKING = "#aaa596"

# Sizes in metres, so that every view keeps the same proportions.
TOKEN_M = 1.6  # radius of a disc, half the side of a square
BALL_M = 0.75
NUMBER_M = 1.8  # height of the type
LETTER_M = 1.95
LABEL_M = 1.5
LETTER_WIDTH = 0.62  # mean width of a letter, in heights of the type (a sans-serif face)
CAPITAL_WIDTH = 0.92
HALO_COVER = 0.7  # how much the paper round a label hides of what lies below
HEAD_M = 1.25  # length of an arrow's head

Dash = tuple[float, ...]  # in line widths; empty: a full line


class Pen(NamedTuple):
    """A line's colour, width in metres and dash."""

    colour: str
    width_m: float = 0.2
    dash: Dash = ()

    @property
    def dash_m(self) -> Dash:
        """The dash in metres."""
        return tuple(round(part * self.width_m, 3) for part in self.dash)


class Outline(NamedTuple):
    """A token: square or disc, its size, and its colours."""

    square: bool
    radius_m: float  # half the side of a square
    fill: str
    edge: str
    number: str
    width_m: float


class Role(NamedTuple):
    """How a role is shown: its letter, its colour and its outline form (lines in metres about the spot)."""

    letter: str
    colour: str
    form: tuple[Points, ...]
    rim_m: float  # how far from the spot a run ends
    dash: Dash = ()


def _regular(corners: int, radius_m: float, turn: float) -> Points:
    return arc((0.0, 0.0), radius_m, turn, turn + 2 * pi, steps=corners)


def _bars(half_width_m: float, half_height_m: float) -> tuple[Points, ...]:
    return tuple(((x, -half_height_m), (x, half_height_m)) for x in (-half_width_m, half_width_m))


ROLES: dict[str, Role] = {
    "pressure": Role("P", "#d2270e", (_regular(4, 2.7, 0.0),), 2.0),
    "cover": Role("C", "#023e82", (_regular(28, 1.85, 0.0), _regular(28, 2.35, 0.0)), 2.35),
    "balance": Role("B", "#2f7b56", (_regular(28, 2.15, 0.0),), 2.15, (2.2, 1.4)),
    "back line": Role("L", "#66637a", _bars(2.05, 2.0), 0.4),
    "goalkeeper": Role("G", "#954ec7", (_regular(6, 2.4, 0.0),), 2.1),
}

TABLE = tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
TOKENS = {name: Outline(*look) for name, look in TABLE["tokens"].items()}
FILLS: dict[str, tuple[str, float]] = TABLE["fills"]
PENS = {**{name: Pen(colour, width_m, tuple(*dash)) for name, (colour, width_m, *dash) in TABLE["pens"].items()},
        **{name: Pen(role.colour, 0.28) for name, role in ROLES.items()},
        **{OTHER + name: Pen(role.colour, 0.15, (2.6, 1.8)) for name, role in ROLES.items()}}
TICKED = ("gap open", "gap closed", "gap empty", "distance", "own ruler", "own goal")  # bars across both ends
MEANING: dict[str, dict[str, str]] = TABLE["meaning"]
NUMBERS: dict[str, str] = TABLE["numbers"]


def number_size_m(number: str, most_m: float = NUMBER_M) -> float:
    """Height of the type that fits a number into its token."""
    width = LETTER_WIDTH if not number.isupper() else CAPITAL_WIDTH
    return min(most_m, 2 * TOKEN_M * 0.93 / (width * max(1, len(number))))


def type_m(style: str, words: str) -> float:
    """Height of the type of a label or of a token; the letters of another rulebook are smaller than our own."""
    return number_size_m(words) if style in TOKENS else LETTER_M if style in ROLES else LABEL_M


def form_of(role_name: str) -> tuple[tuple[Points, ...], Pen]:
    """The outline form of a role and its pen; thin and dashed for "other cover" ..."""
    role, pen = ROLES[role_name.removeprefix(OTHER)], PENS[role_name]
    return role.form, pen if role_name.startswith(OTHER) else pen._replace(dash=role.dash)


def role_of(style: str) -> Role | None:
    """The role that a style is the form of."""
    return ROLES.get(style.removeprefix(OTHER))


# -- Paper: what every colour becomes on it, in black and white too.

Tone = Callable[[str], str]
WHITE = "#ffffff"
DARK, DARKER = 0.6, 0.7  # greys below the first are made darker: a copier loses them (own choice)


def on_white(colour: str) -> str:
    """The colour as it is, but paper is white: a printed page need not print its paper."""
    return WHITE if colour in (PAPER, GROUND) else colour


def in_grey(colour: str) -> str:
    """A grey as light as the colour (luma of ITU-R BT.601), lines a little darker, paper white."""
    from PIL import ImageColor

    if colour in (PAPER, GROUND, TOKENS["possession"].fill):
        return WHITE
    light = ImageColor.getcolor(colour, "L")
    return "#" + 3 * f"{round(light * DARKER if light < DARK * 255 else light):02x}"
