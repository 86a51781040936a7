"""What a person asks for in place of a rule."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib import Plan, Rulebook, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.show.board_state import BoardState


def planned(situation: Situation, **wishes: object) -> Plan:
    return plan_press(situation, BoardState(situation, **wishes).wanted)


def offset_deg(plan: Plan) -> float:
    """How far the presser ends off the ball-goal line; positive on the pressing team's right."""
    ball = np.array(plan.situation.ball_xy)
    goal, end = plan.situation.pitch.own_goal_xy - ball, plan.assignments[plan.presser].target_xy - ball
    return float(np.degrees(np.arctan2(goal[0] * end[1] - goal[1] * end[0], goal @ end)))


def test_no_wish_leaves_the_rulebook_alone(worked: Situation) -> None:
    rulebook = Rulebook()
    assert BoardState(worked, rulebook=rulebook).wanted is rulebook


@pytest.mark.parametrize("mirror", [False, True])
@pytest.mark.parametrize("side", ["left", "right"])
def test_the_plan_steers_where_it_is_asked_to(worked: Situation, side: str, mirror: bool) -> None:
    plan = planned(worked.mirrored() if mirror else worked, steer=side)
    assert plan.steer == side
    assert (offset_deg(plan) > 0) == (side == "left")  # from the right, to the left


@pytest.mark.parametrize("angle", [0, 30, 75])
@pytest.mark.parametrize("side", ["left", "right"])
def test_the_presser_ends_on_the_angle_asked_for(worked: Situation, side: str, angle: float) -> None:
    plan = planned(worked, steer=side, approach_deg=angle)
    assert abs(offset_deg(plan)) == pytest.approx(angle, abs=0.1)


@pytest.mark.parametrize("name", scene_names())
def test_wishes_can_be_asked_of_every_scene(name: str) -> None:
    situation = scene(name)
    plan = planned(situation, steer="right", approach_deg=60)
    assert plan.presser is None or plan.steer == "right"
    assert all(situation.pitch.holds(a.target_xy) for a in plan.assignments.values())


def test_a_loose_ball_has_nobody_to_steer(worked: Situation) -> None:
    assert planned(worked.with_ball((0, 0)), steer="right").steer == "none"
