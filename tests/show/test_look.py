"""The look: colours that everyone can tell apart and read, and forms that need no colour.

Simulation of colour vision deficiency: Machado, Oliveira, Fernandes (2009), A Physiologically-based Model for
Simulation of Color Vision Deficiency, IEEE TVCG 15(6), severity 1.0, applied to linear RGB; matrices as in the package
colorspacious. Contrast: WCAG 2.2, 1.4.3 and 1.4.11. Distance: CIE 1976 in CIELAB, D65.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from pressinglib import Plan, Situation
from pressinglib.field.scene_file import OwnMark
from pressinglib.roles.settings import ROLES as ROLE_WORDS
from pressinglib.show.drawing import LAYERS, draw_plan
from pressinglib.show.marks import Arrow, Line, Points
from pressinglib.show.style import GROUND, MEANING, PAPER, PENS, QUIET, ROLES, TICKED, TOKENS, number_size_m

SEEING = {
    "usual": np.eye(3),
    "protanopia": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                            [-0.003882, -0.048116, 1.051998]]),
    "deuteranopia": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                              [-0.011820, 0.042940, 0.968881]]),
    "tritanopia": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                            [0.004733, 0.691367, 0.303900]]),
}
XYZ = np.array([[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750],
                [0.0193339, 0.1191920, 0.9503041]])
APART = 20.0  # nearly ten times a distance that is just noticeable (2.3, Mahy et al. 1994): own choice
PEOPLE = {"pressing": TOKENS["pressing"].fill, "possession": TOKENS["possession"].edge,
          **{name: role.colour for name, role in ROLES.items()}}


def linear(colour: str) -> np.ndarray:
    value = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    ratio = XYZ @ rgb.clip(0, 1) / (XYZ @ np.ones(3))
    f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def distance(one: str, other: str, seeing: str) -> float:
    return float(np.linalg.norm(lab(SEEING[seeing] @ linear(one)) - lab(SEEING[seeing] @ linear(other))))


def contrast(one: str, other: str) -> float:
    dark, light = sorted(float(XYZ[1] @ linear(colour)) for colour in (one, other))
    return (light + 0.05) / (dark + 0.05)


def test_the_colour_arithmetic_gives_published_values() -> None:
    # CIELAB of sRGB red: Lindbloom's calculator, D65: 53.24, 80.09, 67.20. Black on white: 21 (WCAG).
    np.testing.assert_allclose(lab(linear("#ff0000")), [53.24, 80.09, 67.20], atol=0.02)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    for matrix in SEEING.values():  # a grey stays grey, whoever looks
        np.testing.assert_allclose(matrix.sum(1), 1.0, atol=1e-5)


def test_a_palette_that_fails_is_seen_to_fail() -> None:
    assert distance("#c0321f", "#6f6a00", "usual") > 60 > APART > distance("#c0321f", "#6f6a00", "deuteranopia")


@pytest.mark.parametrize("seeing", SEEING)
def test_roles_and_teams_keep_apart(seeing: str) -> None:
    near = {pair: d for pair in combinations(PEOPLE, 2) if (d := distance(*(PEOPLE[n] for n in pair), seeing)) < APART}
    assert near == {}


@pytest.mark.parametrize("paper", [PAPER, GROUND])
def test_letters_and_lines_stand_out_from_the_paper(paper: str) -> None:
    assert {name: contrast(pen.colour, paper) for name, pen in PENS.items() if contrast(pen.colour, paper) < 4.5
            and name != "marking"} == {}
    assert contrast(QUIET, paper) >= 4.5


def test_numbers_stand_out_from_their_token() -> None:
    assert all(contrast(token.number, token.fill) >= 7 for token in TOKENS.values())


def test_every_role_has_a_letter_and_a_form_of_its_own() -> None:
    assert tuple(ROLES) == ROLE_WORDS
    letters, forms = {role.letter for role in ROLES.values()}, {(role.form, role.dash) for role in ROLES.values()}
    assert len(letters) == len(forms) == len(ROLES)


def test_a_form_leaves_room_for_the_token_inside() -> None:
    """Whoever stands on his spot already still shows his number and his role."""

    def nearest(line: Points) -> float:
        a, b = np.array(line[:-1]), np.array(line[1:])
        across = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
        return float((across / np.linalg.norm(b - a, axis=1)).min())

    for role in ROLES.values():
        assert min(map(nearest, role.form)) > TOKENS["pressing"].radius_m


@pytest.mark.parametrize("layer", ["lanes", "gaps"])
def test_states_differ_by_the_kind_of_line(layer: str) -> None:
    assert len({PENS[style].dash for style in MEANING[layer]}) == len(MEANING[layer])


HEADS = {*ROLES, "pass", "way out", "moved", "own arrow"}
# Crossed by a bar, or a pen that writes words only.
ELSE = {"brake": "bar", "own note": "words", "hatch": "hatch", "own dribble": "waves", **dict.fromkeys(TICKED, "bars")}
THICKER_M = 0.08


@pytest.mark.parametrize("seeing", SEEING)
def test_lines_that_differ_by_colour_alone_keep_apart(seeing: str) -> None:
    """Same kind of line, same ends, nearly the same width: then the colours must differ, whoever looks."""
    near = {}
    for one, other in combinations(set(PENS) - {"marking"}, 2):
        a, b = PENS[one], PENS[other]
        finish = {(name in HEADS, ELSE.get(name)) for name in (one, other)}
        if a.dash == b.dash and abs(a.width_m - b.width_m) < THICKER_M and len(finish) == 1:
            near[one, other] = distance(a.colour, b.colour, seeing)
    assert {pair: d for pair, d in near.items() if d < APART} == {}


def test_a_line_that_needs_a_head_or_bars_has_them(worked: Situation, worked_plan: Plan) -> None:
    moved = worked.moved("pressing", "9", (0.0, 9.0))
    drawing = draw_plan(worked, worked_plan, LAYERS, start=moved, marks=[OwnMark("ruler", [(0, 0), (9, 0)])])
    heads = {mark.style for mark in drawing.marks if isinstance(mark, Arrow)}
    lines = [mark.style for mark in drawing.marks if type(mark) is Line]
    assert heads - {"goalkeeper"} <= HEADS and {"pressure", "way out", "moved"} <= heads
    assert all(lines.count(style) % 3 == 0 for style in TICKED)
    assert not HEADS & set(lines)


def test_teams_differ_by_shape_and_by_lightness() -> None:
    assert TOKENS["pressing"].square != TOKENS["possession"].square
    assert abs(lab(linear(TOKENS["pressing"].fill))[0] - lab(linear(TOKENS["possession"].fill))[0]) > 50


def test_the_key_explains_every_layer() -> None:
    assert set(LAYERS) <= set(MEANING)


@pytest.mark.parametrize("number", ["7", "10", "23b", "Keeper", "12345678"])
def test_a_number_fits_its_token(number: str) -> None:
    assert 0.62 * len(number) * number_size_m(number) <= 2 * TOKENS["pressing"].radius_m
