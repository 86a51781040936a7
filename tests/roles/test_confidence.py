"""How sure a plan is: against copies planned one by one, and laws."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from pressinglib import PressingError, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.decided import mismeasured

OTHER = {"left": "right", "right": "left", "none": "none"}


@pytest.mark.parametrize("name", ["worked scene", "low block", "throw-in"])
def test_the_shares_are_those_of_copies_planned_one_by_one(name: str) -> None:
    plan = plan_press(scene(name))
    sure = plan.confidence(copies=24, seed=3)
    many = mismeasured(plan.situation, 24, 0.5, 0.2, 3)
    plans = [plan_press(many.situation(f)) for f in range(24)]
    assert sure.presser == {n or "nobody": k / 24 for n, k in Counter(p.presser for p in plans).items()}
    assert sure.steer == {side: k / 24 for side, k in Counter(p.steer for p in plans).items()}
    covers = set(plan.in_role("cover"))
    assert sure.covers == pytest.approx(sum(set(p.in_role("cover")) == covers for p in plans) / 24)
    for number, share in sure.jobs.items():
        role = plan.assignments[number].role
        assert share == pytest.approx(sum(p.assignments[number].role == role for p in plans) / 24, abs=6e-4)


def test_the_copies_differ_as_far_as_is_said() -> None:
    plan = plan_press(scene("worked scene"))
    many = mismeasured(plan.situation, 4000, 0.5)
    off = many.pressing_xy - np.array([q.xy for q in plan.situation.pressing])
    assert np.std(off[:, 1:], axis=0) == pytest.approx(0.5, abs=0.03) and np.abs(off.mean(0)).max() < 0.05
    carrier = int(plan.picture.opp_order[0, plan.picture.holder[0]])
    feet = many.ball_xy - many.possession_xy[:, carrier]
    assert np.ptp(feet, axis=0).max() < 1e-9  # the ball stays at his foot


def test_without_error_all_copies_agree() -> None:
    for name in scene_names():
        plan = plan_press(scene(name))
        sure = plan.confidence(copies=3, error_m=0, error_s=0)
        assert (sure.presser, sure.steer) == ({plan.presser or "nobody": 1.0}, {plan.steer: 1.0})
        assert sure.covers == 1 and set(sure.jobs.values()) == {1.0} and "little" in repr(sure)


def test_the_mirror_and_the_seed() -> None:
    picture = scene("low block")
    sure, again, other = (plan_press(s).confidence(256, seed=seed)
                          for s, seed in ((picture, 1), (picture, 1), (picture.mirrored(), 2)))
    assert sure == again
    for side, share in sure.steer.items():  # by chance alone: four standard errors of a difference of shares
        assert other.steer.get(OTHER[side], 0.0) == pytest.approx(share, abs=4 * (0.5 / 256) ** 0.5)


def test_more_error_makes_it_less_sure() -> None:
    def sum_of_jobs(error_m: float) -> float:
        plans = [plan_press(scene(name)) for name in ("throw-in", "low block")]
        return sum(sum(plan.confidence(error_m=error_m).jobs.values()) for plan in plans)

    assert sum_of_jobs(0.1) > sum_of_jobs(1.0) > sum_of_jobs(4.0)


def test_what_is_close_is_said() -> None:
    words = plan_press(scene("low block")).confidence().words
    assert "Steering" in words or "covers" in words


@pytest.mark.parametrize("wrong", [{"copies": 0}, {"copies": 2.5}, {"error_m": -1}, {"error_s": "x"}, {"seed": -1}])
def test_wrong_values_are_said(wrong: dict) -> None:  # type: ignore[type-arg]
    with pytest.raises(PressingError):
        plan_press(scene("worked scene")).confidence(**wrong)
