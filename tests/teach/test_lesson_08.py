"""Lesson 08: what the prose says must be what the engine says."""

from __future__ import annotations

import re

from pressinglib.roles.plan import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.lessons import lesson_08 as lesson
from tests.teach.kept import kept, printed, rows

NOTEBOOK = kept("08")


def open_in(cell_id: str) -> dict[str, list[str]]:
    """From each shape of a table to whom it leaves open."""
    return {row["plan"]: re.findall(r"\d+", row["open"]) for row in rows(NOTEBOOK, cell_id)}


def test_one_to_spare_and_two_short_then_two_and_three() -> None:
    four, five = lesson.to_spare.plan, lesson.way_out.plan
    assert [lesson.at_the_back(plan) for plan in (four, five)] == [(4, 3), (5, 3)]
    assert [[n for n, f in lesson.men_short(plan).items() if f.holds] for plan in (four, five)] == [["2"], ["3"]]


def test_ten_takes_two_five_take_one_each_and_only_the_goalkeeper_is_free() -> None:
    plan = lesson.who_keeps_four.plan
    words = dict(line.split(" ", 1) for line in printed(NOTEBOOK, "keep-account").splitlines())
    assert words == dict(plan.account)
    assert (plan.presser, words["5"], words["4"]) == ("10", "pressed", "shadow")
    marks = {a.number: a.mark for a in plan.assignments.values() if a.mark and a.number != "10"}
    assert marks == {"6": "8", "7": "3", "8": "10", "9": "6", "11": "2"}
    assert [man for man, word in words.items() if word == "free"] == ["1"]


def test_with_the_five_at_home_their_2_is_left_over_and_the_wing_back_jumps() -> None:
    plan = lesson.way_out.plan
    assert [man for man, found in lesson.left_over(plan).items() if found.holds] == ["2"]
    assert (plan.assignments["3"].mark, plan.account["2"]) == ("2", "denied")
    assert [man for man, word in plan.account.items() if word == "free"] == ["1"]
    assert sum(a.role == "back line" for a in plan.assignments.values()) == 4


def test_the_jump_shuts_the_lane_and_lowers_danger_a_little() -> None:
    stays, jumps = rows(NOTEBOOK, "contested-both")
    assert "2" in re.findall(r"\d+", stays["lanes open to"])
    assert "2" not in re.findall(r"\d+", jumps["lanes open to"])
    assert 0 < int(stays["danger"]) - int(jumps["danger"]) <= 5


def test_no_shape_is_best_for_every_ball() -> None:
    wide, middle = open_in("duel-table"), open_in("middle-table")
    assert wide == lesson.open_by_shape(lesson.best_shape.situation.ball_xy)
    assert (len(wide["4-3-3"]), len(middle["4-3-3"]), len(middle["4-4-2"])) == (1, 4, 3)


def test_the_winger_of_the_4_3_3_has_their_2_in_time() -> None:
    plan = plan_press(lesson.duel("4-3-3", "2+3"))
    assert (plan.assignments["11"].mark, plan.account["2"]) == ("2", "denied")
    wide_xy = plan_press(lesson.duel("4-4-2", "2+3")).situation.player("pressing", "11").xy
    assert plan.situation.player("pressing", "11").xy[0] > wide_xy[0]


def test_if_ten_comes_straight_their_4_is_free() -> None:
    board = Board(lesson.who_keeps_four.situation)
    board.approach_at(0)
    assert (lesson.who_keeps_four.plan.account["4"], board.plan.account["4"]) == ("shadow", "free")
