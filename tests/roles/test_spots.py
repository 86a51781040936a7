"""Spots: duties hold, nobody collides; and danger, counted a second time by hand."""

from __future__ import annotations

from dataclasses import replace
from math import exp, hypot

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Settings, Situation, plan_press
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.motion import RUNNING
from pressinglib.roles.measures import LANE_POINTS, danger
from pressinglib.roles.picture import Picture
from pressinglib.roles.pipeline import swapped
from tests.plugin import examples

GOAL = (-52.5, 0.0)


@examples(60)
@given(data=st.data())
def test_spots_are_the_anchors_and_apart(data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    """2.5 m; two at the ball 2 m."""
    plan = plan_press(data.draw(pictures))
    assert all(hypot(*(a.target_xy - a.anchor_xy)) <= 1e-6 for a in plan.assignments.values())
    spots = np.array([a.target_xy for a in plan.assignments.values()])
    focus = plan.picture.turned_back(plan.picture.focus[:, None])[0, 0]
    at_ball = np.hypot(*(spots - focus).T) <= 2.5 + 1e-6
    apart = np.hypot(*(spots[:, None] - spots).transpose(2, 0, 1)) + 9 * np.eye(len(spots))
    assert (apart >= np.where(at_ball[:, None] & at_ball, 2.0, 2.5) - 1e-9).all()


def test_whose_way_back_leads_through_the_ball_stops_short_of_it() -> None:
    """Wingers high: 9, eleven metres behind the ball, shuts their way back; he does not run round the presser."""
    s = scene("wingers high")
    there = plan_press(s).assignments["9"].target_xy
    assert 5.0 < hypot(*(there - s.ball_xy)) < 8.0 and there[0] > s.ball_xy[0] + 5.0


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_who_drops_onto_a_man_or_guards_the_far_side_is_goal_side_of_him(name: str) -> None:
    situation = scene(name)
    plan = plan_press(situation)
    for a in plan.assignments.values():
        if a.duty.startswith(("drop onto", "guard the far side")) and a.mark:
            man = situation.player("possession", a.mark).xy
            mine = hypot(a.target_xy[0] - GOAL[0], a.target_xy[1])
            assert mine <= hypot(man[0] - GOAL[0], man[1]) - 0.5 + 1e-9, (name, a.number)
        if a.duty == "guard the far side" and plan.far_side_limit_m is not None:
            assert hypot(*(a.target_xy - np.array(man))) <= plan.far_side_limit_m + 1e-6


def rest_s(distance_m: float) -> float:
    return 0.0 if distance_m <= 0 else 0.3 + float(RUNNING.time((0, 0), (0, 0), (distance_m, 0)))


def by_hand(situation: Situation) -> float:
    """Danger of the picture as it stands, player by player, straight from its definition (own measure, grade D)."""
    ball, total = situation.ball_xy, 0.0
    defenders = [q.xy for q in situation.pressing]

    def worth(xy: tuple[float, float]) -> float:
        return 0.05 + 0.9 * exp(-hypot(xy[0] - GOAL[0], xy[1]) / 25)

    for q in situation.possession:
        length = hypot(q.xy[0] - ball[0], q.xy[1] - ball[1])
        if q.number == situation.on_ball:
            continue
        steps = np.linspace(min(1.0, length), length, 120)
        along = [tuple(b + (x - b) * m / length for b, x in zip(ball, q.xy, strict=True)) for m in steps]
        near = [min(hypot(x - d[0], y - d[1]) for d in defenders) for x, y in along]
        margin = min(rest_s(gap - 0.9) - float(ball_time(m)) for gap, m in zip(near, steps, strict=True))
        if length > 25:
            land = min(rest_s(hypot(q.xy[0] - d[0], q.xy[1] - d[1]) - 0.9) for d in defenders)
            margin = max(margin, land - float(lofted_time(length, 28.0, 25.0)) - 0.5)
        total += worth(q.xy) * exp(-length / 40) / (1 + exp(-margin / 0.25))
    free_s = min(rest_s(hypot(ball[0] - d[0], ball[1] - d[1]) - 1.0) for d in defenders)
    way = hypot(GOAL[0] - ball[0], ball[1])
    ahead = (ball[0] + 4 * (GOAL[0] - ball[0]) / way, ball[1] - 4 * ball[1] / way)
    goal_side = [d for d in defenders if hypot(d[0] - GOAL[0], d[1]) < way]
    room_s = min([3.0, *(rest_s(hypot(ahead[0] - d[0], ahead[1] - d[1])) for d in goal_side)])
    return (0.5 + 0.5 / (1 + exp(-(free_s - 0.8) / 0.2))) * total + worth(ball) * min(1.5, room_s / 1.5)


@pytest.mark.parametrize("name", ["worked scene", "low block", "full-back on the ball"])
def test_danger_is_what_its_definition_says(name: str) -> None:
    """Against a slow count with 120 points a lane; ours looks at few, so its margins are a little large."""
    still = scene(name)
    still = replace(still, **{team: tuple(replace(q, velocity=(0.0, 0.0)) for q in still.players(team))
                              for team in ("pressing", "possession")})
    p = Picture(Frames.of([still]), Settings())
    assert not p.offside.any()
    assert LANE_POINTS >= 8
    assert float(danger(p, p.own)[0]) == pytest.approx(by_hand(still), rel=0.04)


def test_two_who_would_cross_change_men() -> None:
    plan = plan_press(scene("worked scene"))
    p, d = plan.picture, plan.decisions
    one, other = p.own_index(0, "7"), p.own_index(0, "6")
    before = d.mark.copy(), d.anchor.copy()
    for array in (d.role, d.duty, d.mark, d.anchor):
        array[0, [one, other]] = array[0, [other, one]]
    assert not np.array_equal(d.mark, before[0])
    swapped(p, d)
    np.testing.assert_array_equal(d.mark, before[0])
    np.testing.assert_allclose(d.anchor, before[1])
