"""To which side the carrier is steered, and on what angle the presser comes. Contested: both ways are taught; the
counts and angles are own arithmetic; an angle has its price in time and in the straight way that it opens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pressinglib import Plan, Rulebook, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.picture import Picture
from pressinglib.roles.presser import end_distance_m, offset_limit_deg, surplus
from tests.plugin import examples

Small = Callable[..., Situation]
Squad = dict[str, tuple[Any, ...]]
KEEPERS: tuple[Squad, Squad] = ({"1": ("goalkeeper", (-45, 0))}, {"1": ("goalkeeper", (49, 0))})


def men(*places: tuple[float, float], slot: str = "central midfielder", first: int = 2) -> Squad:
    return {str(first + n): (slot, xy) for n, xy in enumerate(places)}


def picture(small: Small, ball: tuple[float, float], ours: Squad, theirs: Squad) -> Situation:
    """A presser 8 m goal-side of a carrier, a deep line, and the players given."""
    goal_side = {"9": ("centre-forward", (ball[0] - 8, ball[1] * 0.8))}
    line = men((-51, -6), (-51, 6), slot="centre-back", first=20)
    return small(KEEPERS[0] | goal_side | line | ours, KEEPERS[1] | {"5": ("centre-back", ball)} | theirs, ball)


def steer(small: Small, ball: tuple[float, float], ours: Squad, theirs: Squad, **settings_: Any) -> str:
    return plan_press(picture(small, ball, ours, theirs), Rulebook().with_settings(**settings_)).steer


# -- the side ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("ours", "theirs", "side"), [
    ([], [], "left"),  # a tie: the nearer touchline
    ([(2, -5)], [], "left"),  # inside leads by one: not enough
    ([(2, -5), (3, -9)], [], "right"),  # ... by two
    ([(2, -5), (3, -9)], [(4, -4)], "left"),
    ([(2, 14)], [(4, -4), (5, -6)], "left"),
    ([(2, -5), (3, -9), (2, 14)], [], "left"),
])
def test_larger_surplus_inside_only_by_two(small: Small, ours: list[Any], theirs: list[Any], side: str) -> None:
    assert steer(small, (10, 8), men(*ours), men(*theirs)) == side


def test_touchline_counts_two_within_fourteen_metres(small: Small) -> None:
    two_inside = men((2, 5), (3, 1))
    assert steer(small, (10, 18), two_inside, {}) == "right"
    assert steer(small, (10, 22), two_inside, {}) == "left"
    assert steer(small, (10, 22), two_inside, {}, touchline_counts=0) == "right"
    assert steer(small, (10, 22), men((2, 5), (3, 1), (4, 3), (5, 6)), {}) == "right"


def test_surplus_leaves_out_presser_carrier_keepers_and_those_too_far(small: Small) -> None:
    near, far = men((2, 12), (2, -4), (3, -6)), men((10, -30), (-20, 8), first=10)
    p, d = (lambda plan: (plan.picture, plan.decisions))(
        plan_press(picture(small, (10, 8), near | far, men((4, 15), (12, -16.9), (12, -17.1)))))
    left, right = surplus(p, d)
    assert (left[0], right[0]) == (1 - 1, 2 - 1)  # 25 m: the man at 24.98 m counts, the one at 25.18 m does not


def test_player_level_with_the_ball_counts_for_neither_side(small: Small) -> None:
    plan = plan_press(picture(small, (10, 8), men((-2, 8)), {}))
    left, right = surplus(plan.picture, plan.decisions)
    assert (left[0], right[0]) == (0, 0)


@pytest.mark.parametrize(("x", "side"), [(-20, "left"), (-10, "right")])
def test_outside_in_the_own_third(small: Small, x: float, side: str) -> None:
    assert steer(small, (x, 8), men((x - 8, -5), (x - 7, -9), (x - 6, -3)), {}) == side


@pytest.mark.parametrize(("y", "side"), [(8, "right"), (-8, "left"), (26, "left"), (-26, "right")])
def test_broken_press_steers_back_into_the_crowd_but_not_from_the_touchline(small: Small, y: float, side: str) -> None:
    assert steer(small, (0, y), men((12, y), (14, y - 9), (13, y + 4)), {}) == side


@pytest.mark.parametrize(("ours", "side"), [
    ([(2, 6)], "left"), ([(2, -6)], "right"), ([], "none"), ([(2, 6), (3, -6), (-40, 20)], "left")])
def test_ball_on_the_middle_line(small: Small, ours: list[Any], side: str) -> None:
    """By the surplus, then by the side on which more of the team stands, else no side."""
    assert steer(small, (10, 0), men(*ours), {}) == side


@pytest.mark.parametrize(("y", "outside"), [(8, "left"), (-8, "right")])
def test_settings_outside_and_inside(small: Small, y: float, outside: str) -> None:
    inside = {"left": "right", "right": "left"}[outside]
    crowd = men((2, y - 20), (3, y - 15), (2, y + 12), (4, y + 14))
    assert steer(small, (10, y), crowd, {}, steering="outside") == outside
    assert steer(small, (10, y), crowd, {}, steering="inside") == inside


def test_nobody_steers_without_a_presser_or_at_a_loose_ball() -> None:
    worked = scene("worked scene")
    assert plan_press(worked, Rulebook().with_settings(confrontation_x_m=0)).steer == "none"
    assert plan_press(worked.with_ball((20, 20))).steer == "none"


# -- the angle ---------------------------------------------------------------------------------------------------------


def offset_deg(plan: Plan) -> float:
    """How far off the ball-goal line the presser ends, towards the side away from the steered one."""
    p, d = plan.picture, plan.decisions
    way, end = p.goal_way[0], d.end_xy[0] - p.focus[0]
    turn = np.degrees(np.arctan2(way[0] * end[1] - way[1] * end[0], way @ end))
    return float(turn * d.steer[0]) if d.steer[0] else float(abs(turn))


OUTSIDE = Rulebook().with_settings(steering="outside")


def seen(small: Small, ball: tuple[float, float], *bearings_and_distances: float) -> Situation:
    """Opponents on the right of the ball, so many degrees off its line to goal, so many metres away."""
    goal = np.array([-52.5, 0.0]) - ball
    bearings, away = np.radians(bearings_and_distances[::2]), bearings_and_distances[1::2]
    angles = np.arctan2(goal[1], goal[0]) + bearings
    return picture(small, ball, {}, men(*[(float(ball[0] + r * np.cos(a)), float(ball[1] + r * np.sin(a)))
                                          for a, r in zip(angles, away, strict=True)]))


@pytest.mark.parametrize(("x", "limit"), [(35, 75), (5, 60), (-20, 40), (-34, 20)])
def test_offset_limits(small: Small, x: float, limit: float) -> None:
    """Attacking third, middle, own third, within 25 m of goal."""
    assert offset_limit_deg(plan_press(seen(small, (x, 3))).picture)[0] == limit


def behind(small: Small, ball: tuple[float, float], next_m: float, *bearings_and_distances: float) -> Situation:
    """The same with a second of ours so far behind the ball, on its line to goal."""
    way = np.array([-52.5, 0.0]) - ball
    there = np.array(ball) + way / np.hypot(*way) * next_m
    return small(*_two_teams(seen(small, ball, *bearings_and_distances), ("10", "attacking midfielder", there)), ball)


def _two_teams(picture: Situation, more: tuple[str, str, np.ndarray]) -> tuple[Squad, Squad]:
    ours, theirs = ({q.number: (q.slot, q.xy) for q in team} for team in (picture.pressing, picture.possession))
    return ours | {more[0]: (more[1], tuple(map(float, more[2])))}, theirs


def test_shadow_falls_on_the_away_side_option_as_far_round_as_needed(small: Small) -> None:
    """20 degrees of shadow, the option 5 inside its edge."""
    plan = plan_press(seen(small, (5, 3), 47, 12), OUTSIDE)
    assert offset_deg(plan) == pytest.approx(47 - 15) and plan.account["2"] == "shadow"
    assert plan.end_distance_m == pytest.approx(1.5)


@pytest.mark.parametrize(("ball", "near", "far"), [((5, 3), (60, 12), (60, 20)), ((30, 8), (88, 8), (88, 20))])
def test_a_far_option_is_not_worth_the_way_round(small: Small, ball: tuple[float, float],
                                                 near: tuple[float, float], far: tuple[float, float]) -> None:
    assert offset_deg(plan_press(seen(small, ball, *near), OUTSIDE)) == pytest.approx(near[0] - 15)
    assert offset_deg(plan_press(seen(small, ball, *far), OUTSIDE)) == pytest.approx(0, abs=1e-6)


def test_the_straight_way_is_opened_further_where_somebody_is_behind(small: Small) -> None:
    alone, backed = seen(small, (5, 3), 60, 20), behind(small, (5, 3), 12, 60, 20)
    assert offset_deg(plan_press(alone, OUTSIDE)) == pytest.approx(0, abs=1e-6)
    assert offset_deg(plan_press(backed, OUTSIDE)) == pytest.approx(45)


@pytest.mark.parametrize("next_m", [6, 12])
def test_the_same_angle_costs_more_near_the_goal(small: Small, next_m: float) -> None:
    """A square option, 12 m off: worth the way round at 35, no more at 5 and nearer."""
    found = [offset_deg(plan_press(behind(small, (x, 3), next_m, 88, 12), OUTSIDE)) for x in (35, 5, -20)]
    assert found == pytest.approx([73, 0, 0], abs=1e-6)


def test_greater_weight_is_hidden_the_nearer_of_two(small: Small) -> None:
    """Two away-side options too far apart for one shadow: the nearer pass weighs more, if its angle can be paid."""
    assert offset_deg(plan_press(seen(small, (30, 8), 88, 8, 47, 24), OUTSIDE)) == pytest.approx(73)
    assert offset_deg(plan_press(seen(small, (30, 8), 88, 20, 47, 12), OUTSIDE)) == pytest.approx(32)


def test_no_option_away_means_the_smallest_offset(small: Small) -> None:
    plan = plan_press(picture(small, (10, 8), men((2, 14)), men((0, 12))))
    assert plan.steer == "left" and offset_deg(plan) == pytest.approx(0, abs=1e-6)


def test_steer_none_comes_straight_on(small: Small) -> None:
    plan = plan_press(picture(small, (10, 0), {}, men((12, -9), (12, 9))))
    assert plan.steer == "none" and offset_deg(plan) == pytest.approx(0, abs=1e-6) and plan.straight_on


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_presser_ends_goal_side_on_the_side_to_be_denied(name: str) -> None:
    plan = plan_press(scene(name))
    p = plan.picture
    assert plan.presser is not None
    assert -1e-6 <= offset_deg(plan) <= offset_limit_deg(p)[0] + 1e-6
    assert np.hypot(*(plan.decisions.end_xy[0] - p.goal)) < np.hypot(*(p.focus[0] - p.goal))
    assert plan.assignments[plan.presser].target_xy == pytest.approx(plan.end_xy)


@examples(80)
@given(data=st.data())
def test_offset_and_distance_hold_for_any_picture(data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    plan = plan_press(replace(data.draw(pictures), restart=None))
    p: Picture = plan.picture
    wanted = float(end_distance_m(p, plan.decisions)[0])
    assume(plan.presser is not None and p.pitch.holds(p.focus[0], -3.5) and 0 < wanted < 3.5)
    assert plan.end_distance_m == pytest.approx(wanted)
    assert -1e-6 <= offset_deg(plan) <= offset_limit_deg(p)[0] + 1e-6
