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


def test_ten_takes_three_and_only_the_goalkeeper_is_free() -> None:
    plan = lesson.who_keeps_three.plan
    words = dict(line.split(" ", 1) for line in printed(NOTEBOOK, "keep-account").splitlines())
    assert words == dict(plan.account)
    assert (plan.presser, words["5"], words["4"], words["3"]) == ("10", "pressed", "shadow", "shadow")
    assert [man for man, word in words.items() if word == "free"] == ["1"]


def test_the_back_five_leaves_one_man_more_open_and_the_plan_keeps_the_five() -> None:
    plan = lesson.way_out.plan
    assert list(plan.account.values()).count("shadow") == 2
    assert [man for man, word in plan.account.items() if word == "free"] == ["1", "2"]
    assert plan.assignments["3"].role == "back line"


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


def test_if_ten_comes_straight_another_has_to_take_their_4() -> None:
    board = Board(lesson.who_keeps_three.situation)
    board.approach_at(0)
    assert board.plan.account["4"] == "denied"
    assert "4" in {a.mark for a in board.plan.assignments.values() if a.number != board.plan.presser}
