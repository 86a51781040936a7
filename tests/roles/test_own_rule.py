"""An analyst's own rules: taken as plain functions, tried at once, and named when they fail."""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from pressinglib import PressingError, Rulebook, Situation, plan_press
from pressinglib.errors import RuleError
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.picture import Picture
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.plan import plan_pictures
from pressinglib.roles.presser import choose_presser
from pressinglib.roles.rule_contract import check_rule
from pressinglib.roles.rulebook import Job, SoFar


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
    everybody = dict.fromkeys(("2", "3", "4", "5", "6", "7", "8"), (10.0, 5.0))
    plan = plan_press(scene("worked scene"), Rulebook().with_rules(**{rule: lambda situation: everybody}))
    spots = np.array([a.target_xy for a in plan.assignments.values()])
    apart_m = np.linalg.norm(spots[:, None] - spots, axis=-1) + 9 * np.eye(len(spots))
    assert apart_m.min() >= 2.0 and all(scene("worked scene").pitch.holds(spot) for spot in spots)


# Three rules that a club's analyst might write, at most fifteen lines each.


def nearest_goes(situation: Situation) -> str:
    """Whoever is nearest in metres."""
    field = [q for q in situation.pressing if not q.is_goalkeeper]
    return min(field, key=lambda q: (math.dist(q.xy, situation.ball_xy), q.number)).number


def second_behind_the_presser(situation: Situation, so_far: SoFar) -> dict[str, Job]:
    """One cover only: the nearest free man, 6 m behind the presser."""
    if so_far.presser is None:
        return {}
    x, y = so_far.end_xy
    place = (max(x - 6.0, -52.0), 0.9 * y)
    second = min(so_far.free, key=lambda n: (math.dist(situation.player("pressing", n).xy, place), n))
    return {second: Job(place, why=f"Second man: 6 m behind {so_far.presser}.")}


def never_drops(situation: Situation, so_far: SoFar) -> dict[str, Job]:
    """The line shifts as the stock line does, and never goes back."""
    now = {n: situation.player("pressing", n).xy[0] for n in so_far.stock}
    return {n: Job((max(now[n], job.xy[0]), job.xy[1]), job.man, "We hold our height.")
            for n, job in so_far.stock.items()}


OWN: dict[str, Any] = {"choose_presser": nearest_goes, "choose_covers": second_behind_the_presser,
                       "choose_back_line": never_drops}


@pytest.mark.parametrize("name", OWN)
def test_an_own_rule_decides_who_where_and_why(name: str) -> None:
    assert check_rule(OWN[name], name).passed
    for title in scene_names():
        picture = scene(title)
        plan = plan_press(picture, Rulebook().with_rules(**{name: OWN[name]}))
        if name == "choose_presser":
            assert plan.presser in (nearest_goes(picture), None)
        elif name == "choose_covers":
            assert len(plan.in_role("cover")) == (plan.presser is not None)
            assert all(plan.assignments[n].reason.startswith("Second man") for n in plan.in_role("cover"))
        else:
            line = plan.in_role("back line")
            assert all(plan.assignments[n].anchor_xy[0] >= picture.player("pressing", n).xy[0] - 2.5 for n in line)
            assert all(plan.assignments[n].reason == "We hold our height." for n in line)


def test_a_rule_of_a_line_in_their_words_drops_nobody_where_the_stock_line_does() -> None:
    picture = scene("press broken")
    stock, own = (plan_press(picture, rules) for rules in (None, Rulebook().with_rules(choose_back_line=never_drops)))
    assert any(stock.assignments[n].anchor_xy[0] < picture.player("pressing", n).xy[0] - 2.0
               for n in stock.in_role("back line"))
    assert own.in_role("back line") == stock.in_role("back line")


def test_who_is_named_covers_and_nobody_else() -> None:
    plan = plan_press(scene("worked scene"), Rulebook().with_rules(choose_covers=lambda s: {"4": Job((5, 0), man="9")}))
    assert plan.in_role("cover") == ["4"] and plan.assignments["4"].mark == "9"
    assert "own" in plan.assignments["4"].reason and {"10", "11"} <= set(plan.in_role("balance"))
    mirrored = plan_press(scene("worked scene").mirrored(), Rulebook().with_rules(
        choose_covers=lambda s: {"4": (5, 7)}))
    assert np.allclose(mirrored.assignments["4"].target_xy, (5, 7))


@pytest.mark.parametrize(("rule", "answer", "words"), [
    ("choose_covers", {"9": (0, 0)}, "'9', who is the presser"), ("choose_covers", {"1": (0, 0)}, "the goalkeeper"),
    ("choose_covers", {None: (0, 0)}, "nobody"), ("choose_covers", {"4": Job((0, 0), man="77")}, "the man '77'"),
    ("choose_balance", {"10": (0, 0)}, "a cover already"), ("choose_back_line", {"11": (0, 0)}, "a cover already"),
    ("choose_covers", {"4": Job((0, 0), why="x" * 301)}, "at most 300 letters"),
    ("choose_covers", {"4": Job((0, 0), why=5)}, "at most 300 letters")])  # type: ignore[arg-type]
def test_what_cannot_be_carried_out_is_said(rule: str, answer: Any, words: str) -> None:
    with pytest.raises(RuleError, match=words):
        plan_press(scene("worked scene"), Rulebook().with_rules(**{rule: lambda situation: answer}))


def test_many_frames_as_one_by_one_and_the_failing_frame_is_numbered() -> None:
    pictures = Frames.of([scene("worked scene").with_ball((30.0 - k / 2, 10.0)) for k in range(40)])
    rules = Rulebook().with_rules(**OWN)
    columns = plan_frames(pictures, rules)
    for f in (0, 17, 39):
        plan = plan_press(pictures.situation(f), rules)
        targets = dict(zip(pictures.pressing_numbers, columns["target_xy"][f], strict=True))
        assert all(np.allclose(a.target_xy, targets[n]) for n, a in plan.assignments.items())

    def fails_late(situation: Situation) -> None:
        if situation.ball_xy[0] == 30.0 - 35 / 2:
            raise ValueError("too deep")

    with pytest.raises(RuleError, match="picture 35") as caught:
        plan_frames(pictures, Rulebook().with_rules(choose_presser=fails_late))
    assert caught.value.frame == 35


def test_pictures_planned_together_get_the_plans_that_each_gets_alone() -> None:
    pictures = [scene("worked scene").with_ball((30.0 - k, 10.0)) for k in range(3)]
    rules = Rulebook().with_rules(**OWN)
    for picture, plan in plan_pictures(pictures, rules).items():
        alone = plan_press(picture, rules)
        assert same_spots(alone, plan) and alone.in_role("cover") == plan.in_role("cover")


@pytest.mark.parametrize("name", sorted(scene_names()))
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


@pytest.mark.parametrize(("name", "answer"), [
    ("choose_presser", lambda p: np.full(len(p), 99)), ("choose_presser", lambda p: [0] * len(p)),
    ("choose_presser", lambda p: np.zeros(3, int)), ("choose_presser", lambda p: 1 / 0),
    ("choose_covers", lambda p: None),
    ("place_presser", lambda p: np.full((len(p), 2), np.nan)), ("settle_spots", lambda p: np.zeros((len(p), 2)))])
def test_a_rule_for_frames_of_another_form_is_refused(name: str, answer: Callable[[Any], Any]) -> None:
    @frame_rule
    def mine(picture: Any, decisions: Any) -> Any:
        return answer(picture)

    with pytest.raises(RuleError, match=f"rule {name} on some frames: got"):
        plan_press(scene("worked scene"), Rulebook().with_rules(**{name: mine}))
