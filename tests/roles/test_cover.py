"""Covers and balance by the next pass: what it is worth, who takes whom, who takes over. Common practice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import dist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Plan, Rulebook, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.physics.ball import ball_time
from pressinglib.physics.motion import RUNNING
from pressinglib.roles.balance import minding_places, shares
from pressinglib.roles.presser import way_times
from tests.plugin import examples

Spoiled = Callable[..., Situation]


def covers(plan: Plan) -> list[str]:
    return [n for n, a in plan.assignments.items() if a.role == "cover"]


def options(plan: Plan) -> set[str]:
    return {plan.picture.opp_number(0, int(m)) for m in np.flatnonzero(plan.decisions.options[0])}


# -- which men are options ---------------------------------------------------------------------------------------------


def test_short_easy_options_of_the_worked_scene() -> None:
    assert options(plan_press(scene("worked scene"))) == {"2", "6"}


@pytest.mark.parametrize(("theirs", "counted"), [
    ({"6": (22, 1)}, True),
    ({"6": (9, -3)}, False),  # 29 m away
    ({"6": (42, 18)}, False),  # more than 4 m behind the ball
    ({"6": (35.5, -5)}, False),  # in the shadow, beside 4
    ({"6": (-4, 6)}, False)])
def test_who_is_a_short_option(spoiled: Spoiled, theirs: tuple[float, float], counted: bool) -> None:
    ours = {"9": (27, -2), "10": (17, 1), "11": (16, 19), "6": (7, 7), "8": (7, -8), "7": (15, -18)}
    assert ("6" in options(plan_press(spoiled(ours, theirs)))) == counted


def test_their_goalkeeper_counts_only_by_the_setting(spoiled: Spoiled) -> None:
    picture = spoiled({"9": (27, -2)}, {"1": (38, 14)})
    counting = Rulebook().with_settings(count_goalkeeper="yes")
    assert "1" not in options(plan_press(picture)) and "1" in options(plan_press(picture, counting))


def test_a_man_the_line_holds_is_no_option(spoiled: Spoiled) -> None:
    low = {"5": (-34, -4), "4": (-34, 4), "2": (-33, -14), "3": (-33, 14), "9": (-22, 4), "10": (-26, -8),
           "6": (-26, 10), "8": (-26, 0), "7": (-24, -18), "11": (-24, 20), "1": (-50, 0)}
    at_the_line = {"5": (-20, 5), "9": (-33, 5.2), "6": (-22, -8), "8": (-22, 16), "4": (-2, 0), "3": (-10, 30)}
    plan = plan_press(spoiled(low, at_the_line, ball=(-20, 5)))
    assert "9" not in options(plan)


# -- who takes whom ----------------------------------------------------------------------------------------------------


def test_who_takes_a_man_within_a_short_pass_is_a_cover_and_further_off_balance() -> None:
    plan = plan_press(scene("worked scene"))
    p = plan.picture
    for a in plan.assignments.values():
        if a.duty.startswith(("deny", "drop onto")) and a.mark is not None:
            m = p.opp_index(0, a.mark)
            near = np.hypot(*(p.met[0, m] - p.focus[0])) <= 25.0
            assert (a.role == "cover") == near, (a.number, a.mark)
    assert {a.mark for a in plan.assignments.values() if a.role == "cover"} == {"2", "6"}


def test_a_man_who_comes_short_is_taken_too(spoiled: Spoiled) -> None:
    ours = {"9": (27, -2), "10": (17, 1), "11": (16, 19), "6": (7, 7), "8": (7, -8), "7": (15, -18)}
    two, three = plan_press(spoiled(ours)), plan_press(spoiled(ours, {"8": (20, 16)}))
    assert options(two) == {"2", "6"} and options(three) == {"2", "6", "8"}
    assert "8" not in {two.assignments[n].mark for n in covers(two)}
    assert "8" in {three.assignments[n].mark for n in covers(three)}


@examples(80)
@given(data=st.data())
def test_nobody_is_taken_twice_and_one_at_most_is_behind_the_presser(
    data: st.DataObject, pictures: st.SearchStrategy[Situation]
) -> None:
    plan = plan_press(data.draw(pictures))
    marks = [a.mark for a in plan.assignments.values() if a.mark and a.role in ("cover", "balance")]
    assert len(set(marks)) == len(marks)
    assert sum(a.duty == "guard the straight way out" for a in plan.assignments.values()) <= 1
    assert plan.presser is not None or not covers(plan)


def test_he_who_has_a_man_keeps_him(spoiled: Spoiled) -> None:
    """8 stands by their 10, and 6 is only a little later there: no swap for nothing."""
    ours = {"8": (4.5, -9), "6": (5, -2)}
    plan = plan_press(spoiled(ours, {"8": (9, 6)}))
    assert plan.assignments["8"].mark == "10"


def test_who_is_offside_or_behind_the_ball_is_not_worth_a_man() -> None:
    plan = plan_press(scene("worked scene"))
    share = dict(zip((plan.picture.opp_number(0, m) for m in range(11)), shares(plan.picture, plan.decisions)[0],
                     strict=True))
    assert share["1"] == share["5"] == 0.0 and max(share.values()) <= 1.0
    offside = plan_press(scene("worked scene").moved("possession", "9", (-20, 1)))
    m = offside.picture.opp_index(0, "9")
    assert offside.picture.offside[0, m] and shares(offside.picture, offside.decisions)[0, m] == 0.0


def test_a_throw_in_reaches_25_metres() -> None:
    """Men beyond are not worth one; nobody is offside from a throw-in (Law 11)."""
    plan = plan_press(scene("throw-in"))
    p = plan.picture
    far = np.hypot(*(p.opp[0] - p.origin[0]).T) > 25.0
    assert far.any() and (shares(p, plan.decisions)[0, far] == 0).all() and not p.offside.any()


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_far_men_are_minded_by_time_and_near_ones_from_near(name: str) -> None:
    """Goal-side of where he will be: 1.5 m near the ball, at most 8 m, further the longer the pass."""
    p = plan_press(scene(name)).picture
    away = np.hypot(*(minding_places(p) - p.met)[0].T)[p.opp_here[0]]
    length = np.hypot(*(p.met[0] - p.focus[0]).T)[p.opp_here[0]]
    inside = np.abs(minding_places(p)[0, p.opp_here[0]]) < np.array(p.pitch.corner_xy) - 0.6
    assert (away <= 8.0 + 1e-9).all() and (away[inside.all(1)] >= 1.5 - 1e-9).all()
    assert np.corrcoef(length, away)[0, 1] > 0.5


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_who_denies_is_there_before_he_turns(name: str) -> None:
    """From his spot: reach 0.9 m, 0.3 s of reaction, no later than a ground pass with the first touch."""
    plan = plan_press(scene(name))
    for a in plan.assignments.values():
        if a.duty.startswith("deny"):
            assert a.mark is not None
            man = plan.situation.player("possession", a.mark).xy
            run = RUNNING.time(a.target_xy, (0, 0), man, reaction_s=0.3, reach_m=0.9)
            length = dist(man, plan.picture.turned_back(plan.picture.origin[:, None])[0, 0])
            assert run <= ball_time(length) + 0.5, (a.number, a.mark)


# -- take-over -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_take_over_names_the_first_on_each_way(name: str) -> None:
    plan = plan_press(scene(name))
    assert list(plan.take_over) == ["outside", "straight", "inside"]
    for number, time_s in plan.take_over.values():
        assert (number is None) == (not np.isfinite(time_s))
        assert number not in (plan.presser, "1") and time_s >= 0
    time = way_times(plan.picture)[0]
    others = plan.picture.outfield[0] & (np.arange(len(time)) != plan.decisions.presser[0])
    np.testing.assert_allclose([s for _, s in plan.take_over.values()], time[others].min(0), atol=0.006)


def test_take_over_meets_a_carrier_on_his_way(spoiled: Spoiled) -> None:
    """A carrier at 5 m/s from (35, 10): on his straight way after 2 s he is 10 m on; a man there has taken over."""
    goal, ball = np.array([-52.5, 0.0]), np.array([35.0, 10.0])
    ten = ball + (goal - ball) / np.hypot(*(goal - ball)) * 11
    plan = plan_press(spoiled({"10": tuple(ten)}))
    number, time_s = plan.take_over["straight"]
    assert number == "10" and time_s < 2


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_the_back_line_does_not_cover(name: str) -> None:
    """Only a wing-back, who counts to midfield too, leaves it to cover; else it goes by its own rule."""
    plan = plan_press(scene(name))
    assert all(q.line != 1 for q in plan.situation.pressing if plan.assignments[q.number].role == "cover")


def test_mirror_changes_no_cover() -> None:
    picture = scene("full-back on the ball")
    plan, other = plan_press(picture), plan_press(picture.mirrored())
    assert covers(plan) == covers(other)
    turned = plan_press(replace(picture, possession=picture.possession[::-1]))
    assert [turned.assignments[n].mark for n in covers(turned)] == [plan.assignments[n].mark for n in covers(plan)]
