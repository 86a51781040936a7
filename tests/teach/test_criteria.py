"""Criteria of a placing: each holds in one place and fails in another, with the metres or seconds that are missing."""

from __future__ import annotations

import re
from math import cos, hypot, radians, sin

import pytest

from pressinglib.field.player import XY
from pressinglib.field.scene_file import scene
from pressinglib.physics.lanes import shadowed
from pressinglib.roles.plan import plan_press
from pressinglib.teach import criteria
from pressinglib.teach.criteria import Criterion
from pressinglib.teach.stand import Stand

PICTURE = scene("worked scene")
PLAN = plan_press(PICTURE)
BALL = PICTURE.ball_xy
CASES: dict[str, tuple[Criterion, str, XY, XY]] = {  # whom it is about, a place where it holds, one where it fails
    "denies": (criteria.denies("10", "6"), "10", (20, 1), (0, 0)),
    "presses": (criteria.presses("9"), "9", (33.5, 9), (28, 5)),
    "leaves_ball": (criteria.leaves_ball("10"), "10", (20, 1), (34, 9)),
    "hides": (criteria.hides("9", "4"), "9", (34.7, 8.5), (33.5, 9.5)),
    "goal_side": (criteria.goal_side("10", "6"), "10", (18, 1), (27, 1)),
    "guards_far_side": (criteria.guards_far_side("7", "3"), "7", (20, -21), (10, 5)),
    "tucks_in": (criteria.tucks_in("7", "3", 5.0), "7", (18, -20), (18, -30)),
    "in_line": (criteria.in_line("2", "5", "4", "3"), "2", (-6, -17), (-12, -17)),
    "near": (criteria.near("9", lambda stand: stand.situation.ball_xy, 5.0, "the ball"), "9", (32, 8), (10, 0)),
    "no_fault": (criteria.no_fault("far side too narrow"), "7", (18, -20), (14, 6)),
}
OF_THE_TEAM = {"taken", "closes_gap", "stays_taken", "few_moves"}  # see test_team_criteria


def placed(number: str, xy: XY) -> Stand:
    return Stand(PLAN, PICTURE.moved("pressing", number, xy))


@pytest.mark.parametrize(("criterion", "number", "good", "bad"), CASES.values(), ids=CASES)
def test_a_criterion_holds_here_and_fails_there_and_says_by_how_much(criterion: Criterion, number: str, good: XY,
                                                                     bad: XY) -> None:
    right, wrong = criterion(placed(number, good)), criterion(placed(number, bad))
    assert (right.holds, wrong.holds) == (True, False)
    assert wrong.words != right.words
    assert re.search(r"\d", wrong.words)


def test_there_is_a_case_for_every_criterion() -> None:
    made_here = {name for name, value in vars(criteria).items()
                 if hasattr(value, "__wrapped__") and name[0] != "_" and value.__module__ == criteria.__name__}
    assert made_here - OF_THE_TEAM == set(CASES)


@pytest.mark.parametrize("angle", range(0, 360, 15))
def test_hiding_agrees_with_the_shadow_of_the_engine(angle: int) -> None:
    """The same question asked of the physics room, all round the ball."""
    place = (BALL[0] + 1.5 * cos(radians(angle)), BALL[1] + 1.5 * sin(radians(angle)))
    man = PICTURE.player("possession", "4").xy
    hidden = bool(shadowed(place, BALL, [man], PLAN.rulebook.settings.trusted_shadow_deg)[0])
    assert criteria.hides("9", "4")(placed("9", place)).holds == hidden


def test_whoever_comes_as_much_nearer_as_he_is_told_has_done_enough() -> None:
    man = PICTURE.player("possession", "3").xy
    told = criteria.guards_far_side("7", "3")(placed("7", (10, 5))).words
    too_far_m = float(re.search(r"(\d+\.\d) m too far", told)[1])  # type: ignore[index]
    way = (man[0] - 10, man[1] - 5)
    share = (too_far_m + 0.1) / hypot(*way)
    nearer = (10 + share * way[0], 5 + share * way[1])
    assert criteria.guards_far_side("7", "3")(placed("7", nearer)).holds
    assert criteria.switch_slack_m(placed("7", nearer), "3") == pytest.approx(PLAN.far_side_limit_m or 0.0)
