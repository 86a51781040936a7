"""Lesson 03: what the prose says must be what the engine says."""

from __future__ import annotations

from pressinglib.roles.plan import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.lessons import lesson_03 as lesson
from pressinglib.teach.stand import Stand
from tests.teach.kept import told


def test_one_run_hides_more_than_one() -> None:
    hidden = [n for n, finding in lesson.in_shadow(lesson.who_is_hidden.plan).items() if finding.holds]
    assert len(hidden) > 1


def test_the_surplus_leads_by_two_inside_and_the_ball_is_nearer_to_the_left() -> None:
    assert "1 short on the left and 1 up on the right" in lesson.other_side.hint(3).words
    assert lesson.other_side.situation.ball_xy[1] > 0


def test_either_side_leaves_the_same_men_open() -> None:
    outside, surplus = lesson.outside_beside()
    assert (outside["steers"], surplus["steers"]) == ("left", "right")
    assert outside["open"] == surplus["open"]


def test_the_slider_of_the_board_agrees_with_the_band() -> None:
    low, _, high = lesson.angles_that_hide(lesson.what_angle.plan)
    assert f"From {low:.0f} degrees on" in told(lesson, "what_angle")
    board = Board(lesson.what_angle.situation)
    seen = {deg: board.approach_at(deg) and board.plan.account["4"] == "shadow" for deg in range(0, 80, 5)}
    assert [deg for deg, hidden in seen.items() if hidden] == [deg for deg in seen if low <= deg <= high]


def test_straight_on_their_4_is_open_and_nobody_else_is_near() -> None:
    asked = lesson.end_spot
    straight = Stand(asked.plan, asked.judge.shown(asked.situation, {"10": lesson.end_at(asked.situation, 0.0)}))
    assert "4" in straight.free and straight.nearest("4").late_s > 0.3


def test_near_the_own_goal_the_plan_itself_comes_straight() -> None:
    plan = plan_press(lesson.near_goal.situation)
    assert plan.straight_on and plan.presser == "6"
    assert [lesson.near_goal.variant(seed).solution().answer for seed in range(4)] == ["straight", "curved"] * 2
