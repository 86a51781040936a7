"""Lesson 00: what the words say must be what the engine says."""

from __future__ import annotations

from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.lessons import lesson_00 as lesson


def test_the_nearest_stays_and_would_leave_his_man_open() -> None:
    plan = lesson.who_goes.plan
    assert (plan.assignments["3"].role, plan.account["7"]) == ("back line", "held by line")
    midfield, nearest = lesson.nearest_beside()
    assert (midfield["goes"], nearest["goes"]) == ("11", "3")
    assert "7" in nearest["open"] and "7" not in midfield["open"]
    anyone = plan_press(plan.situation, Rulebook(Settings(pressers="anyone")))
    assert anyone.assignments["3"].duty == "contain their 2"


def test_seven_alone_stays_out_and_goes_first_after_the_switch() -> None:
    plan = lesson.stays_out.plan
    front = [job for job in plan.assignments.values() if job.role in ("pressure", "cover", "balance")]
    wings = {job.number: job.target_xy[1] for job in front if job.target_xy[1] < -15.0}  # ball side is +y
    assert list(wings) == [lesson.stays_out.solution().answer] == ["7"]
    assert wings["7"] - plan.situation.player("pressing", "7").xy[1] < 0.5
    across = [plan.assignments[p.number].target_xy[1] > p.xy[1] for p in plan.situation.pressing]
    assert sum(across) >= 9
    assert [job.number for job in plan.assignments.values() if job.role == "cover"] == ["10", "11"]
    assert plan.account["1"] == "free"
    assert (lesson.the_switch.plan.presser, lesson.the_switch.solution().answer) == ("7", "7")


def test_after_the_switch_he_has_no_cover_and_their_11_is_a_race() -> None:
    plan = lesson.the_switch.plan
    assert not [job for job in plan.assignments.values() if job.role == "cover"]
    line = next(row for row in plan.lanes if row["opponent"] == "11")
    assert (line["closed_by"], line["state"]) == ("2", "contested")


def test_from_the_left_9_hides_the_square_pass_and_straight_on_he_does_not() -> None:
    plan = lesson.which_side.plan
    assert (plan.presser, plan.steer, plan.account["5"]) == ("9", "right", "shadow")
