"""Lesson 05: what the prose says must be what the engine says."""

from __future__ import annotations

import re
from itertools import permutations
from math import dist

import pytest

from pressinglib.field.player import XY
from pressinglib.field.scene_file import scene
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.lessons import lesson_04
from pressinglib.teach.lessons import lesson_05 as lesson
from pressinglib.teach.prices import beside
from pressinglib.teach.stand import Denial, Stand, gaps_of
from tests.teach.kept import kept, prose, told

NOTEBOOK = kept("05")


def test_the_wider_gap_is_the_closed_one_for_the_full_back_holds_their_11() -> None:
    plan = lesson.gap.plan
    wide, narrow = gaps_of(plan)
    assert [wide.pair, narrow.pair] == [("7", "8"), ("8", "9")]
    assert f"it is {wide.width_m:.0f} m from 7 to 8" in prose(NOTEBOOK, "gap")
    assert f"{narrow.width_m:.0f} m from 8 to 9" in prose(NOTEBOOK, "gap")
    assert (wide.open, narrow.open, narrow.man) == (False, True, "10")
    p = plan.picture
    numbers = [p.opp_number(0, m) for m in range(11)]
    late_s = p.marking_s[0, :, numbers.index("11")] - p.pass_s[0, numbers.index("11")]
    in_time = {p.own_number(0, n) for n in range(11) if late_s[n] <= plan.rulebook.settings.control_time_s}
    assert "2" in in_time
    assert plan.assignments["6"].mark == "10"


def test_nine_metres_are_safe_fifteen_metres_from_the_ball_and_not_before() -> None:
    near, middle, far = (float(gap_limit(away_m)) for away_m in (5, 10, 15))
    assert near < middle < 9.0 <= far + 0.01
    for away_m in (5, 10, 15, 20):
        assert f"{away_m} m from the ball: {float(gap_limit(away_m)):.1f} m" in told(lesson, "wide")


def test_the_gap_that_is_measured_allows_about_eight_metres_and_is_far_wider() -> None:
    s = lesson.wide.situation
    ten, eleven = (s.player("pressing", number).xy for number in ("10", "11"))
    middle = ((ten[0] + eleven[0]) / 2, (ten[1] + eleven[1]) / 2)
    by_eye = float(gap_limit(dist(middle, s.ball_xy)))
    low, best, high = lesson.widest_gap(lesson.wide.plan)
    assert low <= by_eye <= high
    assert round(best) == 8
    assert f"{dist(ten, eleven):.0f} m apart" in told(lesson, "wide")


def test_eleven_is_nearer_and_is_the_last_for_their_2() -> None:
    plan = lesson.who_drops.plan
    away = dict(re.findall(r"(\d+) is (\d+) m off", lesson.who_drops.judge.far(plan)))
    assert int(away["6"]) - int(away["11"]) == 5
    assert plan.assignments["11"].duty == "guard the far side"
    assert "but leaves their 2" in lesson.who_drops.taught("11")[1].words
    assert "and leaves nobody" in lesson.who_drops.check("6").words
    assert [plan.assignments[n].mark for n in ("11", "8", "6")] == ["2", "10", "8"]


def test_the_gaps_to_hunt_are_those_to_repair_and_nobody_else_is_free() -> None:
    hunt, repair = lesson.hunt, lesson.repair
    assert hunt.situation == repair.situation
    assert hunt.solution().answer == ["7-10", "9-10"]
    assert Stand(repair.plan, repair.situation).free == {"8", "10"}
    assert [finding.holds for finding in repair.judge.findings(repair.plan, {})] == [True, False, False, True, True]


@pytest.mark.parametrize("moves", [
    {"6": (11, -14), "8": (12, 8)},  # goal-side of the men
    {"6": (18, -14), "8": (15, 6)},  # in the lanes
    {"6": (18, -14), "8": (12, 8)},
])
def test_any_repair_counts_that_opens_nothing(moves: dict[str, XY]) -> None:
    assert lesson.repair.check(moves).outcome == "right"


@pytest.mark.parametrize(("moves", "why", "held"), [
    ({"6": (11, -14)}, "their 10 is free behind it: open", 1),
    ({"6": (11, -14), "11": (12, 9)}, "11 has tucked in too far: a switch to their 2 beats him", 2),
    ({"10": (20, -8), "7": (22, -16)}, "Their 3 is free", 1),
    ({"4": (10, -15), "8": (12, 8)}, "4 left the back line: that is a midfielder's job.", 2),
    ({"6": (11, -14), "8": (12, 8), "11": (22, 18)}, "You have moved 6, 8 and 11: 2 at most", 2),
])
def test_a_repair_that_leaves_or_opens_something_is_told_what(moves: dict[str, XY], why: str, held: int) -> None:
    verdict = lesson.repair.check(moves)
    assert (verdict.outcome, verdict.held) == ("wrong", held)
    assert why in verdict.words


def test_closing_up_frees_their_3() -> None:
    asked = lesson.repair
    now = Stand(asked.plan, asked.judge.shown(asked.situation, {"10": (20.0, -8.0), "7": (22.0, -16.0)}))
    assert "3" in now.free
    assert now.nearest("3").number == "7" and 0.6 < now.nearest("3").late_s < 1.0  # "almost a second"


def test_three_lanes_are_open_and_each_counts() -> None:
    exercise = lesson.lanes
    assert Stand(exercise.plan, exercise.situation).free == set(lesson.THREE_MEN)
    places: dict[str, XY] = {"11": (16, 29), "6": (12, 17), "9": (19, 6)}
    told = [exercise.check(dict(list(places.items())[:n])) for n in (1, 2, 3)]
    assert [(verdict.held, verdict.of) for verdict in told] == [(1, 3), (2, 3), (3, 3)]
    assert exercise.plan.presser == "10"
    assert "10" in Stand(exercise.plan, exercise.situation).by("6")


@pytest.mark.parametrize("order", list(permutations(lesson.THREE)))
def test_any_of_the_three_may_close_any_lane(order: tuple[str, ...]) -> None:
    places = dict(zip(order, [(16, 29), (12, 17), (19, 6)], strict=True))
    assert lesson.lanes.check(places).outcome == "right"


def test_each_of_the_three_has_the_shortest_way_that_the_prose_gives_him() -> None:
    exercise = lesson.lanes
    jobs = exercise.plan.assignments
    assert {number: jobs[number].mark for number in lesson.THREE} == {"11": "2", "6": "7", "9": "8"}
    assert {jobs[number].role for number in lesson.THREE} == {"cover"}


def test_the_far_side_player_is_too_far_in_by_four_metres() -> None:
    s, said = lesson.far_side.situation, told(lesson, "far_side")
    limit_m = lesson.far_side.plan.far_side_limit_m or 0.0
    his_m = dist(s.player("pressing", "7").xy, s.player("possession", "3").xy)
    assert f"About {limit_m:.0f} m" in said
    assert f"he is {his_m:.0f} m off" in said
    assert f"fly {dist(s.ball_xy, s.player('possession', '3').xy):.0f} m" in prose(NOTEBOOK, "far")


def test_a_softer_switch_allows_some_two_metres_more() -> None:
    for mps in (28.0, 24.0):
        plan = plan_press(lesson.far_side.situation, Rulebook(Settings(switch_mps=mps)))
        assert re.search(f"truck at {mps:.0f} m/s,[^;]* {plan.far_side_limit_m:.1f} m", told(lesson, "far_side"))


def test_in_the_games_nothing_tells_tucking_in_from_staying_wide() -> None:
    assert [beside("price_05", "tucked in further", column).sign for column in (1, 2)] == [0, 0]


def test_beside_the_back_line_their_8_is_no_longer_the_midfielders() -> None:
    here = scene("worked scene")
    assert plan_press(here).assignments["6"].mark == "8"
    assert plan_press(here.moved("possession", "8", (-3, 12))).assignments["6"].duty == "keep the block"


def test_nobody_cuts_a_pass_out_through_the_receiver() -> None:
    """Their 2 at (28, 30), the ball at (35, 10): beyond him he is there before the ball, and behind his back."""
    plan = lesson_04.two_covers.plan
    assert [Denial(plan, "2", xy).cuts_out for xy in ((30.0, 25.0), (31.0, 33.0))] == [True, False]
