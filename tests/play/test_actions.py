"""Actions are plain values; whatever cannot be one is told so, with what to do."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

import pytest

from pressinglib import PressingError, simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Dribble, Pass, Run, Touch
from tests.play.conftest import mirrored

EVERY = [Pass("6"), Pass(), Pass("3", "lofted", 20, 1.5, (20, -30)), Dribble(way="inside"), Dribble((20, 5)),
         Touch(4, 180, 0.5), Touch(), Run("pressing", "9", (30, 0)),
         Run("possession", "9", (-30, 5), speed_mps=6, at_s=1, until_s=3)]


@pytest.mark.parametrize("action", EVERY, ids=repr)
def test_an_action_is_a_plain_value(action: Any) -> None:
    assert type(action)(**json.loads(json.dumps(asdict(action)))) == action
    assert action.word == type(action).__name__.lower()
    assert mirrored(mirrored(action)) == action


BAD: list[tuple[Any, dict[str, Any], str]] = [
    (Pass, {"to": 6}, "shirt number in quotes"),
    (Pass, {"to": "6", "kind": "chip"}, "ground, lofted"),
    (Pass, {"to": "6", "speed_mps": 90}, "from 4 to 40"),
    (Pass, {"to": "6", "at_s": -1}, "from 0 to 60"),
    (Pass, {"to": "6", "at_s": float("nan")}, "from 0 to 60"),
    (Pass, {"to": "6", "to_xy": (1, float("inf"))}, "two finite numbers"),
    (Pass, {"to_xy": (1, 2)}, "receiver"),
    (Dribble, {}, "either to_xy or way"),
    (Dribble, {"to_xy": (1, 2), "way": "inside"}, "either to_xy or way"),
    (Dribble, {"way": "backwards"}, "outside, straight, inside"),
    (Dribble, {"way": "inside", "speed_mps": 0}, "from 0.5 to 10"),
    (Touch, {"by_m": 40}, "from 1 to 15"),
    (Touch, {"angle_deg": "left"}, "a number"),
    (Run, {"team": "home", "number": "9", "to_xy": (1, 2)}, "pressing, possession"),
    (Run, {"team": "pressing", "number": "", "to_xy": (1, 2)}, "shirt number"),
    (Run, {"team": "pressing", "number": "9", "to_xy": 3}, "two finite numbers"),
]


@pytest.mark.parametrize(("kind", "values", "says"), BAD)
def test_bad_values_say_what_was_expected(kind: Any, values: dict[str, Any], says: str) -> None:
    with pytest.raises(PressingError, match=says):
        kind(**values)


@pytest.mark.parametrize(("actions", "options", "says"), [
    ([Pass("99")], {}, "expected one of"),
    ([Run("pressing", "99", (0, 0))], {}, "expected one of"),
    (["pass to 6"], {}, "Pass, Dribble, Touch or Run"),
    ("pass", {}, "list"),
    ([], {"step_s": 0.01}, "step_s"),
    ([], {"duration_s": 1000}, "duration_s"),
    ([], {"late_s": -1}, "late_s"),
    ([], {"seed": 1.5}, "whole number"),
    ([], {"attackers": "run"}, "one of stay, seek"),
    ([], {"trap": "99"}, "number of the possession team"),
    ([], {"rulebook": "stock"}, "Rulebook"),
])
def test_bad_questions_say_what_was_expected(actions: Any, options: dict[str, Any], says: str) -> None:
    with pytest.raises(PressingError, match=says):
        simulate(scene("worked scene"), actions, **options)


def test_a_picture_is_needed() -> None:
    with pytest.raises(PressingError, match="Situation"):
        simulate("worked scene", [])  # type: ignore[arg-type]


def test_one_action_needs_no_brackets() -> None:
    sequence = simulate(scene("worked scene"), Pass("6"), duration_s=0.2)  # type: ignore[arg-type]
    assert sequence.actions == (Pass("6"),)


def test_what_cannot_be_done_is_left_out_and_said() -> None:
    """A dribble from a throw-in, and a pass to himself."""
    thrown = simulate(scene("throw-in"), [Dribble(way="inside", at_s=0.2)], duration_s=1)
    himself = simulate(scene("worked scene"), [Pass("5", at_s=0.2)], duration_s=1)
    assert [e.kind for e in thrown.events] == [e.kind for e in himself.events] == ["action left out"]
