"""An analyst's own rules: taken as plain functions, tried at once, and named when they fail."""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
import pytest

from pressinglib import PressingError, Rulebook, Situation, plan_press
from pressinglib.errors import RuleError
from pressinglib.field.frames import Frames
from pressinglib.field.scenes import SCENES, scene
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.frame_plans import plan_frames
from pressinglib.roles.picture import Picture
from pressinglib.roles.presser import choose_presser


def same_spots(one: Any, other: Any) -> bool:
    return all(np.allclose(a.target_xy, other.assignments[n].target_xy) for n, a in one.assignments.items())


def test_own_presser_is_used() -> None:
    plan = plan_press(scene("worked scene"), Rulebook().with_rules(choose_presser=lambda situation: "10"))
    assert plan.presser == "10" and plan.assignments["10"].role == "pressure"
    assert plan.assignments["9"].role != "pressure"


@frame_rule
def the_second(p: Picture, d: Decisions) -> np.ndarray:
    """For arrays, and not of the library: he who is second at the ball."""
    time = np.where(p.outfield, p.own_arrival(p.focus[:, None]), np.inf)
    return time.argsort(1)[:, 1]


def test_a_marked_rule_from_anywhere_takes_all_frames_at_once() -> None:
    asked: list[int] = []

    @frame_rule
    def counting(p: Picture, d: Decisions) -> np.ndarray:
        asked.append(len(p))
        return the_second(p, d)

    pictures = Frames.of([scene("worked scene"), scene("worked scene").with_ball((20, 0))])
    columns = plan_frames(pictures, Rulebook().with_rules(choose_presser=counting))
    assert asked == [2]
    alone = [plan_press(pictures.situation(f), Rulebook().with_rules(choose_presser=the_second)) for f in range(2)]
    assert [pictures.pressing_numbers[n] for n in columns["presser"]] == [plan.presser for plan in alone]
    assert alone[0].presser != plan_press(scene("worked scene")).presser


def test_the_mark_decides_and_not_where_a_rule_comes_from() -> None:
    def unmarked(situation: Situation) -> str:
        return "10"

    unmarked.__module__ = choose_presser.__module__
    assert plan_press(scene("worked scene"), Rulebook().with_rules(choose_presser=unmarked)).presser == "10"


def test_nobody_may_press() -> None:
    plan = plan_press(scene("worked scene"), Rulebook().with_rules(choose_presser=lambda situation: None))
    assert (plan.presser, plan.timing) == (None, "hold")


def test_own_steer_is_seen_by_the_pressing_team() -> None:
    rules = Rulebook().with_rules(choose_steer=lambda situation: "right")
    assert plan_press(scene("worked scene"), rules).steer == "right"
    assert plan_press(scene("worked scene").mirrored(), rules).steer == "right"


def test_own_places_move_only_those_named() -> None:
    rules = Rulebook().with_rules(settle_spots=lambda situation: {"7": (0, -20)})
    stock, own = plan_press(scene("worked scene")), plan_press(scene("worked scene"), rules)
    assert np.allclose(own.assignments["7"].target_xy, (0, -20))
    others = [n for n in stock.assignments if n != "7"]
    assert all(np.allclose(own.assignments[n].target_xy, stock.assignments[n].target_xy) for n in others)


@pytest.mark.parametrize("rule", ["settle_spots", "choose_balance", "choose_covers", "choose_back_line"])
def test_own_places_on_one_spot_are_set_apart(rule: str) -> None:
    everybody = {q.number: (10.0, 5.0) for q in scene("worked scene").pressing}
    plan = plan_press(scene("worked scene"), Rulebook().with_rules(**{rule: lambda situation: everybody}))
    spots = np.array([a.target_xy for a in plan.assignments.values()])
    apart_m = np.linalg.norm(spots[:, None] - spots, axis=-1) + 9 * np.eye(len(spots))
    assert apart_m.min() >= 2.0 and all(scene("worked scene").pitch.holds(spot) for spot in spots)


@pytest.mark.parametrize("name", sorted(SCENES))
def test_a_rule_that_answers_as_the_stock_does_gives_the_stock_plan(name: str) -> None:
    stock = plan_press(scene(name))
    rules = Rulebook().with_rules(
        choose_presser=lambda situation: plan_press(situation).presser,
        choose_steer=lambda situation: plan_press(situation).steer,
        choose_timing=lambda situation: plan_press(situation).timing)
    own = plan_press(scene(name), rules)
    assert (own.presser, own.steer, own.timing) == (stock.presser, stock.steer, stock.timing)
    assert same_spots(stock, own)


@pytest.mark.parametrize(("rules", "words"), [
    ({"choose_presser": lambda situation: 9}, "in quotes"),
    ({"choose_presser": lambda situation: 1 / 0}, "division by zero"),
    ({"choose_presser": lambda situation: sys.exit("enough")}, "SystemExit: enough"),
    ({"choose_presser": "9"}, "no function"),
    ({"choose_steer": lambda situation: "up"}, "right, none, left"),
    ({"choose_steer": lambda situation: np.array(["left"])}, "right, none, left"),
    ({"choose_timing": lambda situation: np.array([1.0, 2.0])}, "in time"),
    ({"choose_timing": lambda situation: "soon"}, "in time, late, hold"),
    ({"place_presser": lambda situation: (1,)}, "a place (x, y)"),
    ({"place_presser": lambda situation: (90, 0)}, "on the pitch"),
    ({"choose_balance": lambda situation: ["7"]}, "a dict"),
])
def test_a_broken_rule_is_named_where_it_is_written(rules: dict[str, Any], words: str) -> None:
    with pytest.raises(RuleError) as caught:
        Rulebook().with_rules(**rules)
    assert caught.value.rule in str(caught.value) and words.lower() in str(caught.value).lower()


def test_a_rule_that_fails_later_names_picture_and_cause() -> None:
    def fussy(situation: Situation) -> str | None:
        if situation.ball_xy[0] < 0:
            raise ValueError("ball too deep for me")
        return None

    rules = Rulebook().with_rules(choose_presser=fussy)
    with pytest.raises(RuleError, match="ball too deep for me") as caught:
        plan_press(scene("low block"), rules)
    assert isinstance(caught.value.__cause__, ValueError)


def test_a_number_of_another_team_is_found_when_it_is_used() -> None:
    rules = Rulebook().with_rules(choose_presser=lambda situation: "77")
    with pytest.raises(RuleError, match="'77'"):
        plan_press(scene("worked scene"), rules)


@pytest.mark.parametrize("wrong", ["chose_presser", "settings", "_try"])
def test_a_misspelt_rule_is_both_errors(wrong: str) -> None:
    with pytest.raises(TypeError) as caught:
        Rulebook().with_rules(**{wrong: lambda situation: None})
    assert isinstance(caught.value, PressingError) and "choose_presser" in str(caught.value)
