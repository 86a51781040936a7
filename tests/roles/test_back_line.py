"""The back line: one line, across with the ball, up, still or down by the pressure on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Plan, Rulebook, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.back_line import choose_back_line
from pressinglib.roles.decisions import Decisions, Jobs, frame_rule
from pressinglib.roles.picture import Picture
from pressinglib.roles.settings import DROP_LINE, HOLD_LINE, MIND, STEP_UP
from tests.plugin import examples

Spoiled = Callable[..., Situation]
LINE = ("2", "5", "4", "3")


def line(plan: Plan) -> list[str]:
    return [n for n, a in plan.assignments.items() if a.role == "back line"]


def mean(plan: Plan, axis: int) -> float:
    return float(np.mean([plan.assignments[n].anchor_xy[axis] for n in line(plan)]))


def depth_now(situation: Situation) -> float:
    return float(np.mean([situation.player("pressing", n).xy[0] for n in LINE]))


def test_the_line_shifts_with_the_ball() -> None:
    picture = scene("worked scene")
    left, right = (mean(plan_press(picture.with_ball((35, y), carrier=None)), 1) for y in (20.0, -20.0))
    assert left > 2 and right < -2


@examples(60)
@given(data=st.data())
def test_nobody_leaves_his_place_by_more_than_he_may(
    data: st.DataObject, pictures: st.SearchStrategy[Situation]
) -> None:
    """The rule's own places, before crowded ones are set apart: 7 m across, 12 to slide or to his man; to a runner 20.
    """
    asked = {}

    @frame_rule
    def watched(p: Picture, d: Decisions) -> Jobs:
        asked["jobs"] = choose_back_line(p, d)
        return asked["jobs"]

    p = plan_press(data.draw(pictures), Rulebook().with_rules(choose_back_line=watched)).picture
    who, duty, _, anchor = (a[0] for a in asked["jobs"])
    run, in_line = anchor - p.own[0], who & np.isin(duty, (HOLD_LINE, STEP_UP, DROP_LINE))
    assert (np.abs(run[in_line, 1]) <= 12 + 3.5).all()  # who stands off the pitch comes 3 m in, to half a metre from it
    assert (np.hypot(*run[who & (duty == MIND)].T) < 20 + 1e-9).all()


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_it_is_one_line(name: str) -> None:
    """The spread of the method is 2 m, the block's bow of 1 m comes on top; who runs back or minds a man is not in it.
    """
    plan = plan_press(scene(name))
    x = [a.target_xy[0] for a in map(plan.assignments.get, line(plan)) if a and "line" in a.duty]
    assert max(x, default=0.0) - min(x, default=0.0) <= 3.5


def test_pressed_in_time_it_holds() -> None:
    plan = plan_press(scene("worked scene"))
    assert plan.timing == "in time" and {plan.assignments[n].duty for n in LINE} == {"hold the line"}


def open_ball(spoiled: Spoiled) -> Situation:
    """Nobody near a carrier in midfield: our front men are all beaten and far away."""
    far = {"9": (45, 30), "10": (40, -30), "11": (45, 20), "7": (45, -20), "6": (38, 30), "8": (38, -25)}
    theirs = {"8": (16, 2), "10": (-3, -12), "9": (-8, 2), "5": (40, 12)}
    return spoiled({**far, "2": (-12, -16), "5": (-12, -5), "4": (-12, 5), "3": (-12, 17)}, theirs, (16, 2))


def test_an_open_ball_in_range_makes_it_drop(spoiled: Spoiled) -> None:
    picture = open_ball(spoiled)
    plan = plan_press(picture, Rulebook().with_settings(in_time_s=1))
    assert plan.timing == "late"
    stay = [n for n in LINE if plan.assignments[n].role == "back line"]
    assert {plan.assignments[n].duty for n in stay} == {"drop with the line"}
    assert mean(plan, 0) <= float(np.mean([picture.player("pressing", n).xy[0] for n in stay])) - 4.0


def test_a_carrier_who_faces_away_is_covered(spoiled: Spoiled) -> None:
    picture = open_ball(spoiled)
    turned = replace(picture, possession=tuple(replace(q, facing_deg=0.0) if q.number == "8" else q
                                               for q in picture.possession))
    rules = Rulebook().with_settings(in_time_s=1)
    assert mean(plan_press(turned, rules), 0) > mean(plan_press(picture, rules), 0) + 3.0


def test_on_a_back_pass_it_steps_up() -> None:
    picture = scene("worked scene")
    back = replace(picture, ball_xy=(28.0, 8.0), carrier=None, receiver="1", ball_velocity=(12.0, -4.0))
    plan = plan_press(back)
    assert mean(plan, 0) >= depth_now(picture) + 3.5
    assert {plan.assignments[n].duty for n in LINE} == {"step up with the line"}


def moved_across(plan: Plan) -> dict[str, float]:
    return {n: plan.assignments[n].anchor_xy[1] - plan.situation.player("pressing", n).xy[1] for n in line(plan)}


def test_one_steps_out_and_only_the_neighbour_slides_all_the_way(spoiled: Spoiled) -> None:
    """Their winger has the ball, 11 and 6 are beaten or far: 3 goes, and 4, next to him, slides into his place."""
    plan = plan_press(spoiled({"11": (22, 26), "6": (5, 2), "3": (0, 27)}, {"11": (5, 29)}, (5, 29)))
    assert plan.presser == "3" and plan.assignments["3"].duty == "step out and press their 11"
    moved = moved_across(plan)
    assert moved["4"] == pytest.approx(12.0) and max(moved["5"], moved["2"]) <= 7.0 + 1e-6


def test_who_gives_way_before_a_carrier_has_not_left_the_line() -> None:
    plan = plan_press(scene("press broken"))
    assert plan.presser == "2" and plan.assignments["2"].duty == "contain their 3"
    assert min(moved_across(plan).values()) >= -7.0 - 1e-6


def test_outnumbered_it_runs_back_but_not_into_the_goal() -> None:
    picture = scene("counter-attack 4 v 3")
    plan = plan_press(picture)
    stay = line(plan)
    assert mean(plan, 0) < float(np.mean([picture.player("pressing", n).xy[0] for n in stay]))
    assert mean(plan, 0) >= -52.5 + 19.0


def test_it_does_not_step_up_to_a_ball_in_front_of_it() -> None:
    """Nearer than 8 m no line goes towards a ball, though it is covered."""
    near = Situation.line_up(pressing="4-4-2", possession="4-4-2", ball_xy=(-30.0, 0.0))
    for number, xy in {"2": (-40, -10), "5": (-39, -3), "4": (-39, 4), "3": (-40, 11), "6": (-31.5, 1)}.items():
        near = near.moved("pressing", number, xy)
    plan = plan_press(near)
    assert plan.presser == "6" and mean(plan, 0) < depth_now(near) + 1.7


def test_in_front_of_goal_each_stays_goal_side_of_the_man_he_has() -> None:
    corner = scene("our corner")
    plan, goal = plan_press(corner), np.array([-52.5, 0.0])
    held = {n: a.mark for n, a in plan.assignments.items() if a.role == "back line" and a.mark}
    assert held == {"5": "9", "2": "11"}  # and no man has two
    for n, man in held.items():
        there = np.array(corner.player("possession", man).xy)
        spot = plan.assignments[n].target_xy
        assert np.hypot(*(spot - goal)) < np.hypot(*(there - goal)) and np.hypot(*(spot - there)) < 5.0
    assert "is yours" in plan.assignments["2"].reason
