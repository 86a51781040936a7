"""Lesson 08: what the prose says must be what the engine says."""

from __future__ import annotations

import re
from math import dist

import pytest

from pressinglib.roles.plan import plan_press
from pressinglib.show.board import Board
from pressinglib.teach.choices import one_holds
from pressinglib.teach.explanation import sections
from pressinglib.teach.lessons import lesson_08 as lesson
from pressinglib.teach.stand import Stand

WHY = sections(lesson)


def test_one_to_spare_and_two_short_then_two_and_three() -> None:
    four, five = lesson.to_spare.plan, lesson.way_out.plan
    assert [lesson.at_the_back(plan) for plan in (four, five)] == [(4, 3), (5, 3)]
    assert [[n for n, f in lesson.men_short(plan).items() if f.holds] for plan in (four, five)] == [["2"], ["3"]]
    fresh = [{lesson.to_spare.variant(seed).solution().answer for seed in seeds} for seeds in ((1, 3), (2, 4))]
    assert fresh == [{"2", "0"}, {"1"}]
    assert "two short here" in WHY["short"] and "so three short" in WHY["way_out"]


@pytest.mark.parametrize("shape", lesson.SHAPES)
@pytest.mark.parametrize(("build_up", "ball_xy"), [("3+2", lesson.BALL), ("2+3", lesson.BALL), ("3+2", lesson.MIDDLE)])
def test_no_two_stand_in_one_place_and_nobody_is_put_offside(shape: str, build_up: str, ball_xy: lesson.XY) -> None:
    picture = lesson.duel(shape, build_up, ball_xy)
    assert min(dist(p.xy, q.xy) for p in picture.pressing for q in picture.possession) >= 2.5
    assert "offside" not in plan_press(picture).account.values()


def test_ten_takes_two_five_take_one_each_and_only_the_goalkeeper_is_free() -> None:
    plan = lesson.who_keeps_four.plan
    words = {row["their"]: row["is"] for row in lesson.account()}
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


def test_the_jump_takes_the_pass_to_their_2_away_and_no_other() -> None:
    asked = lesson.wing_back
    stays, jumps = (Stand(asked.plan, s).free for s in (asked.situation, asked.solution().situation))
    assert stays - jumps == {"2"} and jumps < stays


def test_no_shape_is_best_for_every_ball() -> None:
    wide, middle = ({row["plan"]: re.findall(r"\d+", row["open"]) for row in table()}
                    for table in (lesson.three_shapes, lesson.three_in_the_middle))
    assert wide == lesson.open_by_shape("2+3", lesson.BALL)
    assert (len(wide["4-3-3"]), len(middle["4-3-3"]), len(middle["4-4-2"])) == (1, 4, 3)


def test_the_winger_of_the_4_3_3_has_their_2_in_time_and_starts_higher() -> None:
    plan = lesson.winger_takes.plan
    assert (plan.assignments["11"].mark, plan.account["2"]) == ("2", "denied")
    wide_xy = lesson.best_shape.situation.player("pressing", "11").xy
    assert plan.situation.player("pressing", "11").xy[0] > wide_xy[0]


def test_if_ten_comes_straight_their_4_is_free() -> None:
    board = Board(lesson.who_keeps_four.situation)
    board.approach_at(0)
    assert (lesson.who_keeps_four.plan.account["4"], board.plan.account["4"]) == ("shadow", "free")


def test_under_a_wrong_choice_stands_the_measure_and_not_the_answer() -> None:
    found = one_holds(("go", "stay"), "go", "2.6 s and 3.1 s.", "2 goes.")
    assert found["stay"][:2] == (False, "2.6 s and 3.1 s.") and found["go"].words.endswith("2 goes.")
