"""Lesson 00: what the prose says must be what the engine says."""

from __future__ import annotations

from pressinglib.field.scenes import scene
from pressinglib.roles.plan import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.lessons import lesson_00
from tests.teach.kept import kept, rows

NOTEBOOK = kept("00")


def test_the_nearest_stays_and_would_leave_his_man_open() -> None:
    assert lesson_00.who_goes.plan.assignments["3"].mark == "11"
    assert [(row["plan"], row["goes"], row["open"]) for row in rows(NOTEBOOK, "contested-both")] == [
        ("midfield and attack first", "11", "5"), ("the nearest", "3", "5 and 11")]


def test_seven_alone_runs_away_from_the_ball_and_goes_first_after_the_switch() -> None:
    picture, plan = scene("worked scene"), plan_press(scene("worked scene"))
    away = {p.number: plan.assignments[p.number].target_xy[1] - p.xy[1] for p in picture.pressing}  # ball side is +y
    assert [number for number, dy in away.items() if dy < -0.5] == ["7"]
    assert [(row["plan"], row["goes"]) for row in rows(NOTEBOOK, "free-words")] == [
        ("before the switch", "9"), ("after it", "7")]


def test_the_straight_run_leaves_four_open_and_the_arc_does_not() -> None:
    straight, arc = rows(NOTEBOOK, "angle-arc")
    assert (straight["open"], arc["open"]) == ("1 and 4", "1")
    board = Board(scene("worked scene"))
    seen = {angle: board.approach_at(angle) and board.plan.account["4"] for angle in range(0, 80, 5)}
    assert [angle for angle, word in seen.items() if word == "shadow"] == [70, 75]
