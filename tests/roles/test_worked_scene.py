"""The worked scene of the method: what a coach expects of it, for itself, its mirror and any order of players."""

from __future__ import annotations

import random
from dataclasses import replace
from math import dist

import numpy as np
import pytest

from pressinglib import Plan, Situation, plan_press
from pressinglib.field.scene_file import scene
from pressinglib.physics.lanes import shadowed


def in_order(seed: int) -> Situation:
    mixed, worked = random.Random(seed), scene("worked scene")
    return replace(worked, pressing=tuple(mixed.sample(worked.pressing, 11)),
                   possession=tuple(mixed.sample(worked.possession, 11)))


VARIANTS = {"as it is": scene("worked scene"), "mirrored": scene("worked scene").mirrored(),
            **{f"order {seed}": in_order(seed) for seed in range(4)}}


@pytest.fixture(params=VARIANTS)
def plan(request: pytest.FixtureRequest) -> Plan:
    return plan_press(VARIANTS[request.param])


def left(plan: Plan) -> int:
    """Sign of the y that is the left of the picture as it is."""
    return 1 if plan.situation.ball_xy[1] > 0 else -1


def test_9_presses_in_time_and_steers_to_the_touchline(plan: Plan) -> None:
    assert (plan.presser, plan.timing, plan.state) == ("9", "in time", "open play")
    assert plan.steer == ("left" if left(plan) > 0 else "right")


def test_9_comes_from_the_middle_and_hides_4(plan: Plan) -> None:
    nine = plan.assignments["9"]
    assert plan.account["4"] == "shadow"
    assert left(plan) * (nine.target_xy[1] - plan.situation.ball_xy[1]) < 0
    assert dist(nine.target_xy, plan.situation.ball_xy) == pytest.approx(1.5)


def test_shadow_of_9_falls_on_4_for_the_last_part_of_his_arc(plan: Plan) -> None:
    path, ball = plan.assignments["9"].path, plan.situation.ball_xy
    four = plan.situation.player("possession", "4").xy
    hidden = [bool(shadowed(xy, ball, [four], 20.0)[0]) for xy in path]
    to_go_m = np.hypot(*(path - path[-1]).T)
    assert all(np.array(hidden)[to_go_m < 3]) and not hidden[0]
    straight = path[0] + (path[-1] - path[0]) * np.linspace(0, 1, len(path))[:, None]
    assert sum(hidden) > sum(bool(shadowed(xy, ball, [four], 20.0)[0]) for xy in straight)


@pytest.mark.parametrize(("number", "mark"), [("10", "6"), ("11", "2")])
def test_covers_deny(plan: Plan, number: str, mark: str) -> None:
    assert (plan.assignments[number].role, plan.assignments[number].mark) == ("cover", mark)
    assert plan.assignments[number].duty == f"deny their {mark}" and plan.account[mark] == "denied"


@pytest.mark.parametrize(("number", "mark"), [("6", "8"), ("8", "10")])
def test_balance_drops_onto_the_men_in_the_gaps(plan: Plan, number: str, mark: str) -> None:
    a = plan.assignments[number]
    assert (a.role, a.mark, a.duty) == ("balance", mark, f"drop onto their {mark}")
    assert plan.account[mark] in ("denied", "lane closed")


def test_7_guards_the_far_side_in_reach_of_the_switch(plan: Plan) -> None:
    seven = plan.assignments["7"]
    assert (seven.role, seven.duty, seven.mark) == ("balance", "guard the far side", "3")
    limit = plan.far_side_limit_m
    assert limit is not None and 12 < limit < 14
    assert dist(seven.target_xy, plan.situation.player("possession", "3").xy) <= limit + 1e-9
    assert left(plan) * seven.target_xy[1] > -30  # tucked in


def test_nobody_leaves_the_back_four_and_it_shifts(plan: Plan) -> None:
    line = [plan.assignments[n] for n in ("2", "5", "4", "3")]
    assert {a.role for a in line} == {"back line"} and {a.mark for a in line} == {None}
    start = {q.number: q.xy for q in plan.situation.pressing}
    assert all(left(plan) * (a.target_xy[1] - start[a.number][1]) > 1 for a in line)
    x = [a.target_xy[0] for a in line]
    assert max(x) - min(x) <= 2 + 1e-9


def test_only_their_goalkeeper_behind_the_ball_is_left(plan: Plan) -> None:
    assert [opponent for opponent, word in plan.account.items() if word == "free"] == ["1"]
    assert plan.danger[1] < plan.danger[0]
