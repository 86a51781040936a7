"""The look: a calm printed page. Every style name of a mark becomes colour, width, dash and form here, and only here.

Nothing rests on colour alone. Teams: filled discs against hollow squares. Roles: letter and outline form. Lanes and
gaps: kind of line. The colours stay apart for every common colour vision deficiency; a test computes it.
"""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from pressinglib.show.markings import arc
from pressinglib.show.marks import Points

PAPER = "#f7f4ec"
GROUND = "#fcfaf5"
INK = "#1f262b"
QUIET = "#6f6a5e"  # words that help and need no notice
MARKING = "#aaa596"

PRESSING = "#041b2a"
POSSESSION = "#5a2b0f"
POSSESSION_PAPER = "#fdf3e3"

# Sizes in metres, so that every view keeps the same proportions.
TOKEN_M = 1.6  # radius of a disc, half the side of a square
BALL_M = 0.75
NUMBER_M = 1.8  # height of the type
LETTER_M = 1.95
LABEL_M = 1.5
LETTER_WIDTH = 0.62  # mean width of a letter, in heights of the type (a sans-serif face)
HALO_COVER = 0.7  # how much the paper round a label hides of what lies below
HEAD_M = 1.25  # length of an arrow's head

Dash = tuple[float, ...]  # in line widths; empty: a full line
FULL: Dash = ()
LONG: Dash = (6.0, 2.5)
DOTS: Dash = (1.0, 2.2)


class Pen(NamedTuple):
    """A line's colour, width in metres and dash."""

    colour: str
    width_m: float = 0.2
    dash: Dash = FULL


class Fill(NamedTuple):
    """An area's colour and how much of it covers what lies below (0-1)."""

    colour: str
    cover: float = 1.0


class Outline(NamedTuple):
    """A token: square or disc, its size, and its colours."""

    square: bool
    radius_m: float  # half the side of a square
    fill: str
    edge: str
    number: str
    width_m: float


class Role(NamedTuple):
    """How a role is shown: its letter, its word, its colour and its outline form (lines in metres about the spot)."""

    letter: str
    word: str
    colour: str
    form: tuple[Points, ...]
    rim_m: float  # how far from the spot a run ends
    dash: Dash = FULL


def _regular(corners: int, radius_m: float, turn: float) -> Points:
    return arc((0.0, 0.0), radius_m, turn, turn + 2 * pi, steps=corners)


def _bars(half_width_m: float, half_height_m: float) -> tuple[Points, ...]:
    return tuple(((x, -half_height_m), (x, half_height_m)) for x in (-half_width_m, half_width_m))


ROLES: dict[str, Role] = {
    "pressure": Role("P", "pressure", "#d2270e", (_regular(4, 2.7, 0.0),), 2.0),
    "cover": Role("C", "cover", "#023e82", (_regular(28, 1.85, 0.0), _regular(28, 2.35, 0.0)), 2.35),
    "balance": Role("B", "balance", "#2f7b56", (_regular(28, 2.15, 0.0),), 2.15, (2.2, 1.4)),
    "back line": Role("L", "back line", "#66637a", _bars(2.05, 2.0), 0.4),
    "goalkeeper": Role("G", "goalkeeper", "#954ec7", (_regular(6, 2.4, 0.0),), 2.1),
}

TOKENS: dict[str, Outline] = {
    "pressing": Outline(False, TOKEN_M, PRESSING, PAPER, PAPER, 0.16),
    "possession": Outline(True, 0.94 * TOKEN_M, POSSESSION_PAPER, POSSESSION, POSSESSION, 0.24),
    "ball": Outline(False, BALL_M, INK, PAPER, PAPER, 0.2),
}

PENS: dict[str, Pen] = {
    "marking": Pen(MARKING, 0.14),
    "pass": Pen(POSSESSION, 0.26, LONG),
    "running": Pen(QUIET, 0.2, (1.6, 1.2)),
    "open": Pen("#b0440c", 0.34),
    "contested": Pen("#7a4a12", 0.24, LONG),
    "closed": Pen("#6f6a5e", 0.18, DOTS),
    "gap open": Pen("#8a1059", 0.42),
    "gap closed": Pen("#2f4f5f", 0.2, LONG),
    "gap empty": Pen("#6f6a5e", 0.2, DOTS),
    **{name: Pen(role.colour, 0.28) for name, role in ROLES.items()},
}

FILLS: dict[str, Fill] = {"ground": Fill(GROUND), "shadow": Fill("#3c3a46", 0.13), "facing": Fill(QUIET)}

# What the key says about the styles of a layer, in its order; styles without words need none.
MEANING: dict[str, dict[str, str]] = {
    "roles": {name: role.word for name, role in ROLES.items()},
    "players": {"pressing": "pressing team, attacking {way}", "possession": "in possession"},
    "body": {"facing": "faces this way"},
    "run": {"running": "runs, next second"},
    "ball": {"pass": "ball travels"},
    "shadow": {"shadow": "cover shadow"},
    "lanes": {"open": "open lane", "contested": "contested", "closed": "closed"},
    "gaps": {"gap open": "open gap", "gap closed": "closed gap", "gap empty": "gap, nobody to reach"},
}
# What the numbers on a layer are.
NUMBERS: dict[str, str] = {"lanes": "+0.3: the defender is 0.3 s late", "gaps": "9.0 / 7.0: width / limit in metres"}


def number_size_m(number: str) -> float:
    """Height of the type that fits a number into its token.

    Examples
    --------
    >>> number_size_m("9"), round(number_size_m("Keeper"), 2)
    (1.8, 0.8)
    """
    return min(NUMBER_M, 2 * TOKEN_M * 0.93 / (LETTER_WIDTH * max(1, len(number))))
