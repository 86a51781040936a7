"""Lesson 03: what the prose says must be what the engine says."""

from __future__ import annotations

import re

from pressinglib.roles.plan import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.lessons import lesson_03 as lesson
from tests.teach.kept import kept, prose, rows

NOTEBOOK = kept("03")


def test_one_run_hides_more_than_one() -> None:
    hidden = [n for n, finding in lesson.in_shadow(lesson.who_is_hidden.plan).items() if finding.holds]
    assert len(hidden) > 1


def test_the_surplus_leads_by_two_inside_and_the_ball_is_nearer_to_the_left() -> None:
    left, right = map(int, re.findall(r"(?:left|right) ([+-]\d|0)", lesson.other_side.hint(3).words))
    assert right - left == 2
    assert lesson.other_side.situation.ball_xy[1] > 0


def test_either_side_leaves_the_same_men_open() -> None:
    outside, surplus = rows(NOTEBOOK, "contested-both")
    assert (outside["steers"], surplus["steers"]) == ("left", "right")
    assert outside["open"] == surplus["open"]
    _, right = map(int, re.findall(r"(?:left|right) ([+-]\d|0)", lesson.other_side.hint(3).words))
    assert right > 0


def test_the_slider_of_the_board_agrees_with_the_band() -> None:
    low, _, high = lesson.angles_that_hide(lesson.what_angle.plan)
    assert f"From {low:.0f} degrees on" in prose(NOTEBOOK, "angle-why")
    board = Board(lesson.what_angle.situation)
    seen = {deg: board.approach_at(deg) and board.plan.account["4"] == "shadow" for deg in range(0, 80, 5)}
    assert [deg for deg, hidden in seen.items() if hidden] == [deg for deg in seen if low <= deg <= high]


def test_straight_on_a_gap_and_the_square_man_are_open() -> None:
    yours, solution = rows(NOTEBOOK, "spot-compare")
    assert "4" in re.findall(r"\d+", yours["lanes open to"]) and re.match(r"\d", yours["gaps open"])
    assert "4" not in re.findall(r"\d+", solution["lanes open to"])
    assert abs(int(yours["danger"]) - int(solution["danger"])) <= 2


def test_near_the_own_goal_the_plan_itself_comes_straight() -> None:
    assert plan_press(lesson.near_goal.situation).straight_on
    assert lesson.run_choices(lesson.what_angle.plan)["curved"].holds
