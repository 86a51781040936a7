"""Balance: men behind the gaps, the far side, the block; and nobody sprints to be late."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import exp, hypot

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Plan, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.settings import BALANCE, COVER, DUTIES, KEEP_BLOCK, PRESSURE, RECOVER
from tests.plugin import examples

IDLE = (DUTIES[KEEP_BLOCK], DUTIES[RECOVER])
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
        if a.duty in IDLE:
            assert hypot(*(a.target_xy - focus)) >= 4.9


def test_a_wing_back_with_nothing_to_do_stays_in_the_line() -> None:
    for ball in ((-10.0, 15.0), (10.0, -20.0), (30.0, 5.0)):
        plan = plan_press(Situation.line_up(pressing="5-3-2", possession="4-3-3", ball_xy=ball))
        for q in plan.situation.pressing:
            if "wing-back" in q.slot:
                a = plan.assignments[q.number]
                assert a.role == "back line" or a.mark is not None or a.role in ("pressure", "cover")


@examples(60)
@given(data=st.data())
def test_who_has_no_man_is_not_sent_to_where_somebody_is(data: st.DataObject,
                                                         pictures: st.SearchStrategy[Situation]) -> None:
    """He stays 5 m from everybody."""
    plan = plan_press(data.draw(pictures))
    spots = {a.number: a.target_xy for a in plan.assignments.values()}
    for a in plan.assignments.values():
        if a.role == "balance" and a.duty in IDLE:
            apart = min((hypot(*(a.target_xy - xy)) for number, xy in spots.items() if number != a.number), default=9.0)
            assert apart >= 5.0 - 1e-9, a


def test_nobody_of_the_front_runs_past_one_of_the_line_to_his_man() -> None:
    """At a throw-in their 7 stands beside our 3: no midfielder is sent 14 m to him."""
    plan = plan_press(scene("throw-in"))
    assert plan.assignments["3"].mark == "7" and plan.assignments["3"].duty == "deny their 7"
    assert [a.number for a in plan.assignments.values() if a.mark == "7"] == ["3"]


@examples(60)
@given(data=st.data())
def test_in_any_picture_too(data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    """No cover or balance is given a man who is in the hand of one of the line, within 12 m and 6 m nearer."""
    plan = plan_press(data.draw(pictures))
    p, d = plan.picture, plan.decisions
    for n in np.flatnonzero(np.isin(d.role[0], (COVER, BALANCE)) & (d.mark[0] >= 0) & p.front[0]):
        apart = np.hypot(*(p.own[0] - p.met[0, d.mark[0, n]]).T)
        his = p.back[0] & (d.role[0] != PRESSURE) & (apart <= 12.0)
        his &= p.own_goal_m[0] < p.opp_goal_m[0, d.mark[0, n]]
        assert apart[n] <= apart[his].min(initial=np.inf) + 6.0 + 1e-9


def test_the_guard_of_the_far_side_is_not_fetched_from_the_middle() -> None:
    """In a 4-4-2 against their right back the striker does not run 15 m out to their left back: 11 is out there."""
    plan = plan_press(Situation.line_up(pressing="4-4-2", possession="4-4-2", ball_xy=(20.0, -28.0)))
    assert set(jobs(plan, "guard the far side")) == {"11"}


@examples(60)
@given(data=st.data())
def test_at_a_goal_kick_everybody_is_out_of_their_area_and_nobody_offside(
        data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    """Law 16: opponents are outside the penalty area until the ball is in play. Law 11: no offside from a goal kick."""
    situation = replace(data.draw(pictures), restart="goal kick")
    plan = plan_press(situation)
    half_x, area_y = situation.pitch.corner_xy[0], 16.5 + 7.32 / 2
    for a in plan.assignments.values():
        x, y = a.target_xy
        assert x <= half_x - 16.5 + 1e-9 or abs(y) >= area_y - 1e-9, a
    assert "offside" not in plan.account.values()


def test_who_is_beaten_keeps_a_man_he_has_unless_all_are_bypassed() -> None:
    """The pass back to him is dead: else another would run there from goal-side."""
    block = Situation.line_up(pressing="5-4-1", possession="4-3-3", ball_xy=(-8.0, 12.0))
    their_6 = block.player("possession", "6").xy
    with_him = block.moved("pressing", "9", (their_6[0] - 2.0, their_6[1]))
    assert plan_press(with_him).assignments["9"].mark == "6"
    away = plan_press(block.moved("pressing", "9", (their_6[0] + 8.0, their_6[1])))
    assert away.assignments["9"].duty == DUTIES[RECOVER]


def cut_back_scene() -> Situation:
    """Their 7 at our byline in the box, 8 and 10 where he can cut it back, 9 and 11 in front of goal."""
    ours = {"1": (-51, 3), "2": (-44, -9), "5": (-46, -2), "4": (-46, 5), "3": (-45, 14), "6": (-38, 3), "8": (-34, 0)}
    theirs = {"7": (-48.6, 12.3), "9": (-46.5, 1), "11": (-44, -10), "8": (-38, 7), "10": (-36, -4)}
    box = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(-30.0, 12.0))
    for team, places in (("pressing", ours), ("possession", theirs)):
        for number, xy in places.items():
            box = box.moved(team, number, xy)
    return box.with_ball((-49.0, 12.0), carrier="7")


def test_with_the_ball_at_our_byline_the_men_of_the_cut_back_are_taken() -> None:
    plan = plan_press(cut_back_scene())
    assert {"8", "10"} <= {a.mark for a in plan.assignments.values() if a.role in ("cover", "balance")}
    assert plan.account["8"] != "free" and plan.account["10"] != "free"
