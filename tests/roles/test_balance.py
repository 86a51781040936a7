"""Balance: men behind the gaps, the far side, the block; and nobody sprints to be late."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, hypot

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Plan, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.lanes import gap_limit
from tests.plugin import examples

Spoiled = Callable[..., Situation]


def jobs(plan: Plan, *starts: str) -> dict[str, str | None]:
    return {n: a.mark for n, a in plan.assignments.items() if a.duty.startswith(starts)}


def test_the_men_behind_the_gaps_are_taken() -> None:
    plan = plan_press(scene("worked scene"))
    assert jobs(plan, "drop onto") == {"6": "8", "8": "10"}
    assert {frozenset(gap["between"]): gap["filled_by"] for gap in plan.gaps} == {
        frozenset({"11", "10"}): "6", frozenset({"10", "9"}): "8"}


def test_gap_rows_follow_the_gap_rule() -> None:
    """Reach 1 m, ball 15 m/s, 0.3 s, 5 m/s (teaching rule, own arithmetic); width between the two spots' anchors."""
    plan = plan_press(scene("worked scene"))
    ball = np.array(plan.situation.ball_xy)
    for gap in plan.gaps:
        a, b = (plan.assignments[n].anchor_xy for n in gap["between"])
        assert gap["width_m"] == pytest.approx(hypot(*(a - b)), abs=0.01)
        assert gap["limit_m"] == pytest.approx(float(gap_limit(hypot(*((a + b) / 2 - ball)))), abs=0.01)


def test_a_gap_with_nobody_to_reach_is_empty_and_comes_last(spoiled: Spoiled) -> None:
    behind = {"8": (40, 20), "10": (44, -12), "9": (46, 8), "11": (44, -25), "7": (45, 28), "3": (47, -30)}
    states = [gap["state"] for gap in plan_press(spoiled(theirs=behind)).gaps]
    assert "empty" in states
    assert states == sorted(states, key=lambda state: state == "empty")


def test_far_side_limit_is_what_the_switch_allows() -> None:
    """Flight of 28 m/s at 25 degrees scaled to the distance, 0.5 s control, 0.3 s reaction, from rest."""
    plan = plan_press(scene("worked scene"))
    ball, man = np.array(plan.situation.ball_xy), np.array(plan.situation.player("possession", "3").xy)
    assert jobs(plan, "guard the far side") == {"7": "3"}
    run_s = float(lofted_time(hypot(*(man - ball)), 28.0, 25.0)) + 0.5 - 0.3
    assert plan.far_side_limit_m == pytest.approx(7.8 * (run_s - (1 - exp(-1.3 * run_s)) / 1.3), abs=1e-6)
    assert hypot(*(plan.assignments["7"].target_xy - man)) <= plan.far_side_limit_m + 1e-9


def test_without_a_man_on_the_far_side_nobody_guards_it(spoiled: Spoiled) -> None:
    plan = plan_press(spoiled(theirs={"3": (30, 20), "11": (2, 0), "10": (6, 16), "4": (36, -5)}))
    assert jobs(plan, "guard the far side") == {} and plan.far_side_limit_m is None


@examples(60)
@given(data=st.data())
def test_nobody_is_sent_far_to_be_late(data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    """More than 15 m only if the run ends soon after the first touch (spacing may move a crowded anchor)."""
    plan = plan_press(data.draw(pictures))
    ball = plan.picture.turned_back(plan.picture.origin[:, None])[0, 0]
    for a in plan.assignments.values():
        if not a.duty.startswith("drop onto"):
            continue
        man, mine = plan.situation.player("possession", a.mark).xy, plan.situation.player("pressing", a.number).xy
        length = hypot(man[0] - ball[0], man[1] - ball[1])
        quickest = min(float(ball_time(length)), max(float(lofted_time(length, 28.0, 25.0)), 1.0))
        run = hypot(*(a.anchor_xy - np.array(mine)))
        assert run <= 15 + 14 or a.arrival_s <= quickest + 2.0


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_who_keeps_the_block_leaves_the_ball_alone(name: str) -> None:
    plan = plan_press(scene(name))
    focus = plan.picture.turned_back(plan.picture.focus[:, None])[0, 0]  # the ball, half a second on
    for a in plan.assignments.values():
        if a.duty in ("keep the block", "run back goal-side"):
            assert hypot(*(a.target_xy - focus)) >= 4.9


def test_a_wing_back_with_nothing_to_do_stays_in_the_line() -> None:
    for ball in ((-10.0, 15.0), (10.0, -20.0), (30.0, 5.0)):
        plan = plan_press(Situation.line_up(pressing="5-3-2", possession="4-3-3", ball_xy=ball))
        for q in plan.situation.pressing:
            if "wing-back" in q.slot:
                a = plan.assignments[q.number]
                assert a.role == "back line" or a.mark is not None or a.role in ("pressure", "cover")
