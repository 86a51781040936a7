"""Laws that hold for the plan of any picture: what is always there, and what changes nothing."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import dist

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pressinglib import Pitch, Plan, Player, PressingError, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.settings import ROLES, STATES, TIMINGS
from tests.plugin import examples

APART_M = 2.0
many = examples(80)
Pictures = st.SearchStrategy[Situation]


def words(plan: Plan) -> dict[str, tuple[str, str, str | None]]:
    return {number: (a.role, a.duty, a.mark) for number, a in plan.assignments.items()}


def targets(plan: Plan) -> dict[str, np.ndarray]:
    return {number: a.target_xy for number, a in plan.assignments.items()}


def same_plan(plan: Plan, other: Plan, mirrored: bool = False) -> None:
    """The same duties and places (of the mirrored picture: mirrored)."""
    flip = {"left": "right", "right": "left", "none": "none"} if mirrored else {w: w for w in ("left", "right", "none")}
    assert (plan.presser, plan.timing, plan.state) == (other.presser, other.timing, other.state)
    assert flip[plan.steer] == other.steer
    assert words(plan) == words(other)
    assert plan.account == other.account
    for number, xy in targets(plan).items():
        np.testing.assert_allclose(xy * ((1, -1) if mirrored else 1), targets(other)[number], atol=1e-6)


def check_always(picture: Situation, plan: Plan) -> None:
    """What holds for every plan."""
    assert list(plan.assignments) == [q.number for q in picture.pressing]
    assert plan.state in STATES and plan.timing in TIMINGS and plan.steer in ("left", "right", "none")
    roles = [a.role for a in plan.assignments.values()]
    assert set(roles) <= set(ROLES)
    assert roles.count("pressure") == (plan.presser is not None)
    assert plan.presser is None or plan.assignments[plan.presser].role == "pressure"
    assert {n for n, a in plan.assignments.items() if a.role == "goalkeeper"} >= {
        q.number for q in picture.pressing if q.is_goalkeeper}
    for a in plan.assignments.values():
        for xy in (a.anchor_xy, a.target_xy, a.path):
            assert np.isfinite(xy).all()
        assert picture.pitch.holds(a.anchor_xy) and picture.pitch.holds(a.target_xy)
        np.testing.assert_allclose(a.path[[0, -1]], [picture.player("pressing", a.number).xy, a.target_xy], atol=1e-9)
        assert np.isfinite(a.arrival_s) and a.arrival_s >= 0 and a.reason
    assert all(dist(a, b) >= APART_M for a, b in combinations(targets(plan).values(), 2))


@many
@given(data=st.data())
def test_any_picture_gets_a_whole_plan(data: st.DataObject, pictures: Pictures) -> None:
    picture = data.draw(pictures)
    plan = plan_press(picture)
    check_always(picture, plan)
    assert set(plan.account) == {q.number for q in picture.possession}
    assert np.isfinite(plan.danger).all() and plan.words and plan.to_dict()


@many
@given(data=st.data())
def test_mirrored_picture_gets_the_mirrored_plan(data: st.DataObject, leaning: Pictures) -> None:
    picture = data.draw(leaning)
    same_plan(plan_press(picture), plan_press(picture.mirrored()), mirrored=True)


@many
@given(data=st.data())
def test_order_of_players_changes_nothing(data: st.DataObject, pictures: Pictures) -> None:
    picture = data.draw(pictures)
    mixed = replace(picture, pressing=tuple(data.draw(st.permutations(picture.pressing))),
                    possession=tuple(data.draw(st.permutations(picture.possession))))
    same_plan(plan_press(picture), plan_press(mixed))


@many
@given(data=st.data())
def test_renaming_changes_only_names(data: st.DataObject, told_apart: Pictures) -> None:
    picture = data.draw(told_apart)
    new = {q.number: f"n{k}" for k, q in enumerate(data.draw(st.permutations(picture.pressing)))}
    renamed = replace(picture, pressing=tuple(replace(q, number=new[q.number]) for q in picture.pressing))
    plan, other = plan_press(picture), plan_press(renamed)
    assert {new[n]: w for n, w in words(plan).items()} == words(other)
    for number, xy in targets(plan).items():
        np.testing.assert_allclose(xy, targets(other)[new[number]], atol=1e-6)


@pytest.mark.parametrize("ours", [7, 11])
@pytest.mark.parametrize("spot", [(0.0, 0.0), (-52.5, 0.0), (52.5, 34.0)])
def test_all_players_on_one_point(ours: int, spot: tuple[float, float]) -> None:
    team = tuple(Player(str(n), "outfield", spot) for n in range(11))
    picture = Situation(scene("worked scene").pitch, team[:ours], team, spot)
    check_always(picture, plan_press(picture))


@many
@given(xy=st.tuples(st.floats(-54, 54), st.floats(-36, 36)), name=st.sampled_from(sorted(scene_names())))
def test_ball_anywhere(xy: tuple[float, float], name: str) -> None:
    picture = replace(scene(name).with_ball(xy), restart=None)
    check_always(picture, plan_press(picture))


@many
@given(data=st.data(), name=st.sampled_from(sorted(scene_names())))
def test_drag_of_any_player_is_answered(data: st.DataObject, name: str) -> None:
    """Whoever is dragged wherever, there is a plan, or an error that says what was expected."""
    picture = scene(name)
    team = data.draw(st.sampled_from(["pressing", "possession"]))
    number = data.draw(st.sampled_from([q.number for q in picture.players(team)]))
    xy = data.draw(st.tuples(st.floats(-60, 60), st.floats(-40, 40)))
    try:
        moved = picture.moved(team, number, xy)
    except PressingError as error:
        assert error.expected
        assume(False)
    check_always(moved, plan_press(moved))


@examples(60)
@given(data=st.data())
def test_order_changes_nothing_for_unknown_slots_on_one_point(data: st.DataObject) -> None:
    """Whose number breaks a tie is settled by the numbers, never by the order of the sheet."""
    spots = st.sampled_from([(0.0, 0.0), (0.0, 5.0), (-20.0, 0.0), (-20.0, 10.0)])
    places = data.draw(st.lists(spots, min_size=7, max_size=11))
    ours = tuple(Player(str(k + 1), "outfield", xy) for k, xy in enumerate(places))
    theirs = scene("worked scene").possession
    picture = Situation(Pitch(), ours, theirs, theirs[0].xy)
    shuffled = replace(picture, pressing=tuple(data.draw(st.permutations(ours))))
    one, other = plan_press(picture).assignments, plan_press(shuffled).assignments
    for number, a in one.items():
        b = other[number]
        assert (a.role, a.duty, a.mark, *a.target_xy) == (b.role, b.duty, b.mark, *b.target_xy)


def test_of_two_on_the_ball_the_first_number_has_it_whatever_the_order() -> None:
    worked = scene("worked scene")
    theirs = tuple(replace(q, number="20", xy=(35, 10)) if q.number == "1" else q for q in worked.possession)
    for team in (theirs, theirs[::-1]):
        picture = Situation(worked.pitch, worked.pressing, team, (35, 10))
        assert picture.on_ball == "20"
        assert plan_press(picture).account["20"] == "pressed"
