"""The contract of an own rule: each promise is broken by some rule, and a sound rule keeps them all."""

from __future__ import annotations

import sys
from itertools import count
from math import dist
from typing import Any

import pytest

from pressinglib import PressingError, Rulebook, Situation, plan_press
from pressinglib.roles.rule_contract import check_rule
from pressinglib.roles.rulebook import Job

KIND, PLAYERS, TWICE, ORDER, MIRROR = range(5)


def nearest(situation: Situation) -> str:
    """The outfield player nearest to the ball; level ones by number."""
    return min((dist(q.xy, situation.ball_xy), q.number) for q in situation.pressing if not q.is_goalkeeper)[1]


def spot(situation: Situation) -> tuple[float, float]:
    return situation.ball_xy[0] - 2.0, situation.ball_xy[1] * 0.9


SOUND: dict[str, Any] = {
    "choose_presser": nearest,
    "choose_timing": lambda situation: "late",
    "choose_steer": lambda situation: "left" if situation.ball_xy[1] > 0 else "right",
    "place_presser": spot,
    "place_goalkeeper": lambda situation: (-45.0, 0.0),
    "choose_covers": lambda situation: {},
    "choose_balance": lambda situation, so_far: {n: Job(job.xy, job.man) for n, job in so_far.stock.items()},
    "choose_back_line": lambda situation, so_far: {
        n: (-20.0, situation.player("pressing", n).xy[1]) for n in so_far.stock},
    "settle_spots": lambda situation: {},
}


@pytest.mark.parametrize("name", SOUND)
def test_sound_rule_keeps_every_promise(name: str) -> None:
    check = check_rule(SOUND[name], name, mirrors=True)
    assert check.passed and len(check.promises) == 5
    assert str(check).count("passed") == 5 and "failed" not in str(check)


def test_rule_that_passes_is_one_that_the_plan_takes() -> None:
    from pressinglib.field.scene_file import scene, scene_names

    assert check_rule(nearest).passed
    rules = Rulebook().with_rules(choose_presser=nearest)
    assert all(plan_press(scene(name), rules).presser in (nearest(scene(name)), None) for name in scene_names())


@pytest.mark.parametrize("answer", [7, ["9"], 3.5, True])
def test_presser_must_be_a_number_in_quotes(answer: Any) -> None:
    check = check_rule(lambda situation: answer)
    assert not check.passed and not check.promises[KIND].kept
    assert repr(answer) in str(check.promises[KIND].cause)


@pytest.mark.parametrize(("name", "answer"), [
    ("choose_timing", "soon"), ("choose_steer", "outside"), ("place_presser", "there"), ("place_presser", (200.0, 0.0)),
    ("place_goalkeeper", (float("nan"), 0.0)), ("choose_covers", ["10"]), ("choose_balance", {"10": 3})])
def test_answers_of_the_wrong_kind(name: str, answer: Any) -> None:
    assert not check_rule(lambda situation: answer, name).promises[KIND].kept


def test_unknown_player() -> None:
    check = check_rule(lambda situation: "99")
    assert check.promises[KIND].kept and not check.promises[PLAYERS].kept
    assert "'99'" in str(check.promises[PLAYERS]) and len(check.promises) == 2
    assert not check_rule(lambda situation: {"99": (0.0, 0.0)}, "choose_covers").promises[PLAYERS].kept


def test_rule_that_fails_names_cause_and_scene() -> None:
    check = check_rule(lambda situation: situation.player("pressing", "10").slots)  # type: ignore[attr-defined]
    assert "AttributeError" in str(check.promises[KIND].cause) and check.promises[KIND].scene == "worked scene"


def test_rule_that_leaves_the_program_has_failed() -> None:
    assert "SystemExit: enough" in str(check_rule(lambda situation: sys.exit("enough")).promises[KIND].cause)


def test_rule_that_fails_only_on_some_scenes_is_found() -> None:
    check = check_rule(lambda situation: {"throw-in": 9}.get(str(situation.restart), "9"))
    assert check.promises[KIND].scene == "throw-in"


def test_same_answer_twice() -> None:
    calls = count()
    check = check_rule(lambda situation: ("9", "1")[next(calls) % 2])
    assert check.promises[KIND].kept and not check.promises[TWICE].kept


def test_same_answer_in_another_order() -> None:
    check = check_rule(lambda situation: situation.pressing[-1].number)
    assert [promise.kept for promise in check.promises] == [True, True, True, False]


def test_rule_that_breaks_down_in_another_order() -> None:
    first = {"situation": "pressing"}

    def fussy(situation: Situation) -> str:
        if situation.pressing[0].number != "1":
            raise KeyError(str(first))
        return "1"

    check = check_rule(fussy)
    assert not check.promises[ORDER].kept and "KeyError" in str(check.promises[ORDER].cause)


def test_mirrored_answer_only_if_claimed() -> None:
    def leftmost(situation: Situation) -> str:
        return max((q.xy[1], q.number) for q in situation.pressing)[1]

    assert check_rule(leftmost).passed
    check = check_rule(leftmost, mirrors=True)
    assert not check.promises[MIRROR].kept and "expected" in str(check.promises[MIRROR].cause)


def test_mirrored_places() -> None:
    assert check_rule(spot, "place_presser", mirrors=True).passed
    assert not check_rule(lambda situation: (0.0, 5.0), "place_presser", mirrors=True).passed


def test_is_no_function() -> None:
    assert not check_rule("9").promises[KIND].kept  # type: ignore[arg-type]


def test_misspelt_name() -> None:
    with pytest.raises(TypeError, match="choose_presser") as error:
        check_rule(nearest, "chose_presser")
    assert isinstance(error.value, PressingError)
