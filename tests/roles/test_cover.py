"""Covers: how many, which men they deny, who takes over, and when the full-back is one of them. Common practice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from math import dist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Plan, Rulebook, Situation, plan_press
from pressinglib.field.scenes import SCENES, scene
from pressinglib.physics.ball import ball_time
from pressinglib.physics.motion import RUNNING
from pressinglib.roles.marking import denial_places, sensible, times_to
from tests.plugin import examples

Spoiled = Callable[..., Situation]


def covers(plan: Plan) -> list[str]:
    return [n for n, a in plan.assignments.items() if a.role == "cover"]


def options(plan: Plan) -> set[str]:
    return {plan.picture.opp_number(0, int(m)) for m in np.flatnonzero(plan.decisions.options[0])}


def front(plan: Plan) -> list[str]:
    return [plan.picture.own_number(0, int(n)) for n in np.flatnonzero(plan.picture.front[0])]


# -- which men are options ---------------------------------------------------------------------------------------------


def test_short_easy_options_of_the_worked_scene() -> None:
    assert options(plan_press(scene("worked scene"))) == {"3", "6"}


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


# -- how many ----------------------------------------------------------------------------------------------------------


def test_where_covers_are_few_the_best_option_is_denied() -> None:
    """Their 8 comes short, in the lane to their 3: only 11 is near enough for one of them, and takes the 8."""
    plan = plan_press(scene("worked scene").moved("possession", "8", (30, 20)))
    assert {"3", "8"} <= options(plan)
    assert plan.assignments["11"].mark == "8" and plan.account["8"] == "denied"


def test_two_covers_and_a_third_for_a_third_option(spoiled: Spoiled) -> None:
    ours = {"9": (27, -2), "10": (17, 1), "11": (16, 19), "6": (7, 7), "8": (7, -8), "7": (15, -18)}
    two = plan_press(spoiled(ours))
    three = plan_press(spoiled(ours, {"8": (20, 16)}))
    assert (options(two), sorted(covers(two))) == ({"3", "6"}, ["10", "11"])
    assert options(three) == {"3", "6", "8"} and len(covers(three)) == 3
    assert {a.mark for a in three.assignments.values() if a.role == "cover"} == {"3", "6", "8"}
    fewer = plan_press(spoiled(ours, {"8": (20, 16)}), Rulebook().with_settings(covers_at_most=2))
    assert len(covers(fewer)) == 2


@examples(80)
@given(data=st.data())
def test_balance_remains_and_nobody_covers_twice(data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    plan = plan_press(data.draw(pictures))
    forward = [n for n in covers(plan) if n in front(plan)]
    assert len(forward) <= 4
    if len(front(plan)) > 3:
        assert len(front(plan)) - len(forward) - (plan.presser in front(plan)) >= 1
    marks = [a.mark for a in plan.assignments.values() if a.mark and a.role in ("cover", "balance")]
    assert len(set(marks)) == len(marks)
    assert plan.presser is not None or not covers(plan)


# -- who takes whom ----------------------------------------------------------------------------------------------------


def swap_gain_s(plan: Plan) -> float:
    """By how much the two runs of any pair of covers would be shorter in total with their men swapped.

    Runs that make no sense, too long and too late, are no reason to swap.
    """
    p, d = plan.picture, plan.decisions
    places = denial_places(p)
    time = np.where(sensible(p, places, times_to(p, places)), times_to(p, places), 1e3)[0]
    open_ = set(np.flatnonzero(d.options[0]))
    pairs = [(n, int(d.mark[0, n])) for n in np.flatnonzero(p.front[0] & (d.role[0] == 1)) if d.mark[0, n] in open_]
    pairs = [(n, m) for n, m in pairs if time[n, m] < 1e3]
    return max((time[a, m] + time[b, k] - time[a, k] - time[b, m] for (a, m), (b, k) in combinations(pairs, 2)),
               default=0.0)


@pytest.mark.parametrize("name", sorted(SCENES))
def test_no_swap_of_two_covers_shortens_their_runs(name: str) -> None:
    assert swap_gain_s(plan_press(scene(name))) <= 1e-9


@examples(80)
@given(data=st.data())
def test_no_swap_shortens_the_runs_in_any_picture(
    data: st.DataObject, pictures: st.SearchStrategy[Situation]
) -> None:
    # Crossing runs are swapped where that is hardly longer.
    assert swap_gain_s(plan_press(data.draw(pictures))) <= 0.3


@pytest.mark.parametrize("name", sorted(SCENES))
def test_who_denies_is_there_before_the_ball(name: str) -> None:
    """Arrival within reach 0.9 m, 0.3 s reaction, no later than a ground pass with the first touch."""
    plan = plan_press(scene(name))
    for a in plan.assignments.values():
        if a.duty.startswith("deny"):
            assert a.mark is not None
            man = plan.situation.player("possession", a.mark).xy
            run = RUNNING.time(a.target_xy, (0, 0), man, reaction_s=0.3, reach_m=0.9)
            length = dist(man, plan.picture.turned_back(plan.picture.origin[:, None])[0, 0])
            assert run <= ball_time(length) + 0.5, (a.number, a.mark)


# -- take-over and full-back -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(SCENES))
def test_take_over_names_the_first_on_each_way(name: str) -> None:
    plan = plan_press(scene(name))
    assert list(plan.take_over) == ["outside", "straight", "inside"]
    for number, time_s in plan.take_over.values():
        assert (number is None) == (not np.isfinite(time_s))
        assert number not in (plan.presser, "1") and time_s >= 0
    time = plan.decisions.way_s[0]
    others = plan.picture.outfield[0] & (np.arange(len(time)) != plan.decisions.presser[0])
    np.testing.assert_allclose([s for _, s in plan.take_over.values()], time[others].min(0), atol=0.006)


def test_take_over_meets_a_carrier_on_his_way(spoiled: Spoiled) -> None:
    """A carrier at 5 m/s from (35, 10): on his straight way after 2 s he is 10 m on; a man there has taken over."""
    goal, ball = np.array([-52.5, 0.0]), np.array([35.0, 10.0])
    ten = ball + (goal - ball) / np.hypot(*(goal - ball)) * 11
    plan = plan_press(spoiled({"10": tuple(ten)}))
    number, time_s = plan.take_over["straight"]
    assert number == "10" and time_s < 2


WING = {"9": (20, 10), "10": (17, 6), "11": (9.5, 22), "6": (8, 2), "8": (7, -8), "7": (12, -14), "3": (2, 27),
        "4": (-5, 14), "5": (-6, 3), "2": (-5, -8)}
WING_MEN = {"3": (20, 31), "11": (6, 30), "5": (33, 14), "8": (14, 12), "6": (22, 6), "4": (34, -6)}


def test_full_back_covers_where_only_he_takes_over_on_his_side(spoiled: Spoiled) -> None:
    wide = {**WING, "11": (18.5, 30.5), "6": (2, -4), "10": (12, -2), "9": (25, 8)}
    picture = spoiled(wide, WING_MEN, ball=(20, 31))
    plan = plan_press(picture)
    assert plan.presser == "11" and plan.take_over["outside"][0] == "3"
    three = plan.assignments["3"]
    assert (three.role, three.mark) == ("cover", "11")
    stays = plan_press(spoiled({**wide, "6": (10, 29)}, WING_MEN, ball=(20, 31)))
    assert stays.take_over["outside"][0] == "6" and stays.assignments["3"].role == "back line"


@pytest.mark.parametrize("name", sorted(SCENES))
def test_three_stay_in_the_line_when_a_full_back_covers(name: str) -> None:
    plan = plan_press(scene(name))
    back = [q.number for q in plan.situation.pressing if q.line == 1]
    left_it = [n for n in back if plan.assignments[n].role == "cover"]
    assert not left_it or sum(plan.assignments[n].role == "back line" for n in back) >= 3


def test_mirror_changes_the_side_of_the_full_back() -> None:
    picture = scene("full-back on the ball")
    plan, other = plan_press(picture), plan_press(picture.mirrored())
    assert covers(plan) == covers(other)
    turned = plan_press(replace(picture, possession=picture.possession[::-1]))
    assert turned.assignments["2"].mark == plan.assignments["2"].mark
