"""The look: a calm printed page. Every style name of a mark becomes colour, width, dash and form here, and only here.

Nothing rests on colour alone. Teams: filled discs against hollow squares. Roles: letter and outline form. Lanes and
gaps: kind of line. The colours stay apart for every common colour vision deficiency; a test computes it.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import NamedTuple

from pressinglib.show.marks import Points, arc

OTHER = "other "  # what another rulebook says, beside the first
PAPER = "#f7f4ec"
GROUND = "#fcfaf5"
INK = "#1f262b"
QUIET = "#6f6a5e"  # words that help and need no notice
MARKING = "#aaa596"

PRESSING = "#041b2a"
POSSESSION = "#5a2b0f"
POSSESSION_PAPER = "#fdf3e3"
OWN = "#0b5f6b"  # what a person has drawn
GHOST = "#8d887b"

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
FULL: Dash = ()
LONG: Dash = (6.0, 2.5)
SHORT: Dash = (2.6, 1.8)
DOTS: Dash = (1.0, 2.2)
DASH_DOT: Dash = (7.0, 2.0, 1.2, 2.0)
TWO_DOTS: Dash = (6.0, 1.6, 1.2, 1.6, 1.2, 1.6)
CLOSE: Dash = (12.0, 1.4)


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
    "ghost pressing": Outline(False, TOKEN_M, GROUND, GHOST, "#4f4b43", 0.14),
    "ghost possession": Outline(True, 0.94 * TOKEN_M, GROUND, GHOST, "#4f4b43", 0.14),
    "ghost ball": Outline(False, BALL_M, GROUND, GHOST, "#4f4b43", 0.14),
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
    "angle": Pen("#3c3a46", 0.16),
    "goal way": Pen(INK, 0.16, SHORT),
    "brake": Pen("#d2270e", 0.34),
    "surplus": Pen("#3c3a46", 0.14, DOTS),
    "block": Pen(PRESSING, 0.2, LONG),
    "team line": Pen(PRESSING, 0.26),
    "zone": Pen("#4d6470", 0.18, TWO_DOTS),
    "hatch": Pen(POSSESSION, 0.07),
    "control even": Pen(QUIET, 0.18),
    "way out": Pen(POSSESSION, 0.22, SHORT),
    "next": Pen("#023e82", 0.18, DOTS),
    "level": Pen("#66637a", 0.26, DOTS),
    "offside": Pen(INK, 0.2, DASH_DOT),
    "judged right": Pen("#1d6b45", 0.4),
    "judged wrong": Pen("#8a1c1c", 0.4, SHORT),
    "far side": Pen("#2f7b56", 0.2, DASH_DOT),
    "distance": Pen(QUIET, 0.16),
    "moved": Pen(QUIET, 0.16, DOTS),
    "own arrow": Pen(OWN, 0.3, CLOSE),
    "own pass": Pen(OWN, 0.28, SHORT),
    "own dribble": Pen(OWN, 0.28),
    "own run": Pen(OWN, 0.28),
    "own goal": Pen(INK, 0.5),
    "own zone": Pen(OWN, 0.22, CLOSE),
    "own note": Pen(OWN, 0.2),
    "own ruler": Pen(OWN, 0.18, CLOSE),
    **{name: Pen(role.colour, 0.28) for name, role in ROLES.items()},
    **{f"other {name}": Pen(role.colour, 0.15, SHORT) for name, role in ROLES.items()},
}

TICKED = ("gap open", "gap closed", "gap empty", "distance", "own ruler", "own goal")  # bars across both ends

FILLS: dict[str, Fill] = {
    "ground": Fill(GROUND), "shadow": Fill("#3c3a46", 0.13), "facing": Fill(QUIET),
    "control ours": Fill(PRESSING, 0.14), "control theirs": Fill("#c07a2c", 0.16), "own zone": Fill(OWN, 0.08),
    "own cone": Fill(OWN),
}

# What the legend says about the styles of a layer, in its order; styles without words need none.
MEANING: dict[str, dict[str, str]] = {
    "roles": {**{name: role.word for name, role in ROLES.items()}, "brake": "brakes from here"},
    "other": {"other balance": "by {other}, where that differs"},
    "players": {"pressing": "pressing team, attacking {way}", "possession": "in possession"},
    "start": {"ghost pressing": "where he was"},
    "body": {"facing": "faces this way"},
    "run": {"running": "runs, next second"},
    "ball": {"pass": "ball travels"},
    "shadow": {"shadow": "cover shadow", "goal way": "ball to goal"},
    "lanes": {"open": "open lane", "contested": "contested", "closed": "closed"},
    "gaps": {"gap open": "open gap", "gap closed": "closed gap", "gap empty": "gap, nobody to reach"},
    "surplus": {"surplus": "near the ball"},
    "block": {"block": "block", "team line": "lines of the team"},
    "zones": {"zone": "zones: who is there first"},
    "control": {"control ours": "two balls in three are ours", "control theirs": "two in three are theirs",
                "control even": "even"},
    "take-over": {"way out": "way past the presser", "next": "who takes over"},
    "back line": {"level": "the line at its spots", "offside": "offside line"},
    "far side": {"far side": "how far the far-side guard may tuck in"},
    "distances": {"distance": "distance"},
    "own": {},
    "practice": {"pressing": "press", "possession": "have the ball, or serve it", "own run": "run",
                 "own pass": "pass", "own dribble": "dribble", "own cone": "cone", "own goal": "goal"},
}
# What the numbers on a layer are.
NUMBERS: dict[str, str] = {
    "lanes": "+0.3: the defender is 0.3 s late", "gaps": "9.0 / 7.0: width / limit in {unit}",
    "surplus": "+1: one more of ours on that side; presser and carrier left out, a touchline counts 2",
    "take-over": "8: 1.2 s: 8 is there in 1.2 s",
    "block": "on the box: length and width in {unit}", "distances": "on the lines: {unit}",
}


def number_size_m(number: str, most_m: float = NUMBER_M) -> float:
    """Height of the type that fits a number into its token."""
    width = LETTER_WIDTH if not number.isupper() else CAPITAL_WIDTH
    return min(most_m, 2 * TOKEN_M * 0.93 / (width * max(1, len(number))))


# -- Paper: what every colour becomes on it, in black and white too.

Tone = Callable[[str], str]
WHITE = "#ffffff"
DARK, DARKER = 0.6, 0.7  # greys below the first are made darker: a copier loses them (own choice)


def in_colour(colour: str) -> str:
    """The colour as it is."""
    return colour


def on_white(colour: str) -> str:
    """The colour as it is, but paper is white: a printed page need not print its paper."""
    return WHITE if colour in (PAPER, GROUND) else colour


def in_grey(colour: str) -> str:
    """A grey as light as the colour (luma of ITU-R BT.601), lines a little darker, paper white."""
    from PIL import ImageColor

    if colour in (PAPER, GROUND, POSSESSION_PAPER):
        return WHITE
    light = ImageColor.getcolor(colour, "L")
    return "#" + 3 * f"{round(light * DARKER if light < DARK * 255 else light):02x}"
