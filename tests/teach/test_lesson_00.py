"""Lesson 00: what the prose says must be what the engine says."""

from __future__ import annotations

from pressinglib.field.scenes import scene
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.show.board import Board
from pressinglib.teach.lessons import lesson_00
from tests.teach.kept import kept, rows

NOTEBOOK = kept("00")


def test_the_nearest_stays_and_would_leave_his_man_open() -> None:
    plan = lesson_00.who_goes.plan
    assert (plan.assignments["3"].role, plan.account["11"]) == ("back line", "held by line")
    assert [(row["plan"], row["goes"], row["open"]) for row in rows(NOTEBOOK, "contested-both")] == [
        ("midfield and attack first", "11", "5"), ("the nearest", "3", "5 and 11")]
    nearest = plan_press(plan.situation, Rulebook(Settings(pressers="anyone")))
    assert nearest.assignments["3"].duty == "contain their 3"


def test_seven_alone_stays_out_and_goes_first_after_the_switch() -> None:
    picture, plan = scene("worked scene"), plan_press(scene("worked scene"))
    front = [job for job in plan.assignments.values() if job.role in ("pressure", "cover", "balance")]
    wings = {job.number: job.target_xy[1] for job in front if job.target_xy[1] < -15.0}  # ball side is +y
    assert list(wings) == ["7"]
    assert wings["7"] - picture.player("pressing", "7").xy[1] < 0.5
    across = [plan.assignments[p.number].target_xy[1] > p.xy[1] for p in picture.pressing]
    assert sum(across) >= 10
    assert [(row["plan"], row["goes"]) for row in rows(NOTEBOOK, "free-words")] == [
        ("before the switch", "9"), ("after it", "7")]


def test_the_straight_run_leaves_four_open_and_the_arc_does_not() -> None:
    straight, arc = rows(NOTEBOOK, "angle-arc")
    assert (straight["open"], arc["open"]) == ("1 and 4", "1")
    board = Board(scene("worked scene"))
    seen = {angle: board.approach_at(angle) and board.plan.account["4"] for angle in range(0, 80, 5)}
    assert [angle for angle, word in seen.items() if word == "shadow"] == [70, 75]
