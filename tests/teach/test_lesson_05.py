"""Lesson 05: what the prose says must be what the engine says."""

from __future__ import annotations

import re
from math import dist

from pressinglib.field.scenes import scene
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.plan import plan_press
from pressinglib.teach.gap import gaps_of
from pressinglib.teach.lessons import lesson_05 as lesson
from tests.teach.kept import kept, printed, prose

NOTEBOOK = kept("05")


def test_the_wider_gap_is_the_closed_one_for_the_full_back_holds_their_11() -> None:
    plan = lesson.which_gap.plan
    wide, narrow = gaps_of(plan)
    assert [wide.pair, narrow.pair] == [("7", "8"), ("8", "9")]
    assert f"there are then {wide.width_m:.0f} m" in prose(NOTEBOOK, "gap")
    assert f"there are {narrow.width_m:.0f}" in prose(NOTEBOOK, "gap")
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


def test_the_gap_that_is_measured_allows_about_eight_metres_and_is_far_wider() -> None:
    s = lesson.how_wide.situation
    ten, eleven = (s.player("pressing", number).xy for number in ("10", "11"))
    middle = ((ten[0] + eleven[0]) / 2, (ten[1] + eleven[1]) / 2)
    by_eye = float(gap_limit(dist(middle, s.ball_xy)))
    low, best, high = lesson.widest_gap(lesson.how_wide.plan)
    assert low <= by_eye <= high
    assert round(best) == 8
    assert f"{dist(ten, eleven):.0f} m apart" in prose(NOTEBOOK, "wide-then")


def test_eleven_is_nearer_and_is_the_last_for_their_2() -> None:
    plan = lesson.who_drops.plan
    away = dict(re.findall(r"(\d+) is (\d+) m off", lesson.in_metres(plan)))
    assert int(away["6"]) - int(away["11"]) == 5
    assert plan.assignments["11"].duty == "guard the far side"
    assert [plan.assignments[n].mark for n in ("11", "8", "6")] == ["2", "10", "8"]


def test_in_front_of_his_man_the_danger_is_the_same() -> None:
    yours, solution, _ = printed(NOTEBOOK, "drop-compare").splitlines()
    assert re.findall(r"danger \d+", yours) == re.findall(r"danger \d+", solution)


def test_the_far_side_player_is_too_far_in_by_four_metres() -> None:
    s, said = lesson.how_far_in.situation, prose(NOTEBOOK, "far-why")
    limit_m = lesson.how_far_in.plan.far_side_limit_m or 0.0
    his_m = dist(s.player("pressing", "7").xy, s.player("possession", "2").xy)
    assert f"About {limit_m:.0f} m" in said
    assert f"he is {his_m:.0f} m off" in said
    assert f"fly {dist(s.ball_xy, s.player('possession', '2').xy):.0f} m" in prose(NOTEBOOK, "far")


def test_a_softer_switch_allows_some_two_metres_more() -> None:
    hard, soft = map(float, re.findall(r"([\d.]+) m$", lesson.by_switch(lesson.how_far_in.situation), re.M))
    assert round(soft - hard) == 2


def test_beside_the_back_line_their_8_is_no_longer_the_midfielders() -> None:
    here = scene("worked scene")
    assert plan_press(here).assignments["6"].mark == "8"
    assert plan_press(here.moved("possession", "8", (-3, 12))).assignments["6"].duty == "keep the block"
