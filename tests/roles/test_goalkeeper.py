"""The goalkeeper: on the line from goal to ball, high enough to sweep, not level with his line, not chipped."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib import Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import RUNNING

GOAL = np.array([-52.5, 0.0])


def height_m(situation: Situation) -> float:
    plan = plan_press(situation)
    return float(np.hypot(*(plan.assignments["1"].anchor_xy - GOAL)))


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_he_stands_on_the_line_from_goal_to_ball(name: str) -> None:
    situation = scene(name)
    away = plan_press(situation).assignments["1"].anchor_xy - GOAL
    to_ball = np.array(situation.ball_xy) - GOAL
    across = (away[0] * to_ball[1] - away[1] * to_ball[0]) / np.hypot(*to_ball)
    assert abs(across) < 0.6 and away @ to_ball > 0  # he is kept half a metre inside the pitch


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_he_keeps_room_behind_his_line(name: str) -> None:
    plan = plan_press(scene(name))
    line = [a.anchor_xy[0] for a in plan.assignments.values() if a.role == "back line"]
    assert plan.assignments["1"].anchor_xy[0] <= max(min(line) - 6.0, -51.0)


def test_the_further_the_ball_the_higher_he_stands() -> None:
    heights = [height_m(Situation.line_up(ball_xy=(x, 5.0))) for x in (-30.0, -10.0, 10.0, 35.0)]
    assert heights == sorted(heights) and heights[-1] > heights[0] + 8


@pytest.mark.parametrize("ball", [(-30.0, 0.0), (-25.0, 12.0), (-35.0, -6.0)])
def test_he_gets_back_before_a_chip_drops(ball: tuple[float, float]) -> None:
    """18 m/s at 45 degrees, the chip of the method; he turns in 0.3 s and reaches 1.5 m (own arithmetic)."""
    situation = Situation.line_up(ball_xy=ball)
    height = height_m(situation)
    back_s = float(RUNNING.time((height, 0.0), (0.0, 0.0), (0.0, 0.0), reach_m=1.5, reaction_s=0.3))
    assert back_s <= float(lofted_time(np.hypot(*(np.array(ball) - GOAL)), 18.0, 45.0)) + 0.3


@pytest.mark.parametrize(("keeper", "runner", "comes"), [
    ((-28.0, 3.0), (-20.0, 4.0), True), ((-28.0, 3.0), (-28.5, 6.5), False), ((-48.0, 0.0), (-20.0, 4.0), False)])
def test_to_a_loose_ball_that_is_his_he_comes_out(keeper: tuple[float, float], runner: tuple[float, float],
                                                  comes: bool) -> None:
    """Before any opponent, and nobody else of ours is; else he stays on his line to goal."""
    behind = Situation.line_up(ball_xy=(10.0, 0.0)).with_ball((-30.0, 6.0))
    plan = plan_press(behind.moved("pressing", "1", keeper).moved("possession", "9", runner))
    assert plan.state == "loose" and plan.timing == "late"
    assert bool(np.hypot(*(plan.assignments["1"].target_xy - (-30.0, 6.0))) < 3.0) is comes
    assert ("First to the loose ball" in plan.assignments["1"].reason) is comes
    assert ("goalkeeper comes out" in plan.assignments[plan.presser].reason) is comes
