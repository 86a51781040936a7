"""The doors: whatever a public function is called with, it answers, or says in a PressingError what was expected.

The cases are made from the signatures: one argument at a time is wrong in every way, the others are as they should be.
A part of them, and with --full all.
"""

from __future__ import annotations

import importlib
import inspect
import warnings
from collections.abc import Callable, Iterator
from dataclasses import fields
from math import dist
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

import pressinglib as pl
from pressinglib import PressingError

ROOMS = ("field", "physics", "roles", "play")
ONE_IN = 7  # without --full


class Broken:
    """Can be compared with nothing, and not be written."""

    def __eq__(self, other: object) -> bool:
        raise RuntimeError("compared")

    def __repr__(self) -> str:
        raise RuntimeError("written")

    __hash__ = object.__hash__


WRONG: dict[str, Any] = {
    "None": None, "a text": "x", "no text": "", "a figure as text": "7", "bytes": b"7", "yes": True,
    "an object": object(), "a broken object": Broken(), "a type": int, "a function": len,
    "not a number": float("nan"), "inf": float("inf"),
    "-inf": float("-inf"), "less than nothing": -1, "far less": -1e9, "nought": 0, "far too much": 1e300,
    "an endless number": 10**5000, "a complex number": 1j, "nobody": (), "an empty list": [], "an empty dict": {},
    "a dict": {"x": 1}, "texts": ["x"], "broken objects": [Broken()], "one number": (1.0,), "three": (1, 2, 3),
    "endless numbers": (10**5000, 10**5000), "not numbers": (float("nan"), float("nan")), "ragged": [[1, 2], [3]],
    "a huge array": np.zeros(20_000), "an array of points": np.zeros((3, 2)), "an empty array": np.zeros(0),
    "an array of objects": np.array([Broken()], object), "a lone surrogate": "\ud800", "NUL": "\x00",
    "a long text": "7" * 5000, "a long name": "x" * 300, "a hostile text": '"><script>', "a path": Path("nowhere"),
    "a situation": pl.scene("worked scene"), "a pitch": pl.Pitch(),
}


def nearest(situation: pl.Situation) -> str | None:
    """A rule of one's own."""
    outfield = [p for p in situation.pressing if not p.is_goalkeeper]
    return min(outfield, key=lambda p: dist(p.xy, situation.ball_xy)).number


WORKED = pl.scene("worked scene")
PLAYED = pl.simulate(WORKED, [pl.Pass("6", at_s=0.2)], duration_s=0.5)
RULES = pl.Rulebook()
# What is right, by the name of the argument, else by its kind; what has a default is left as it is.
BY_NAME: dict[str, Any] = {
    "number": "9", "slot": "centre-forward", "team": "pressing", "name": "worked scene", "formation": "4-4-2",
    "slots": ("goalkeeper", "left back"), "points": [(0, 0), (5, 5)], "scenes": [pl.field.SceneFile(WORKED)],
    "path": "a.json", "what": WORKED, "own": [0.5, 0.2], "other": [0.1], "line": [0, 1, 1, 2],
    "passes": 30.0,
    "velocity": (1.0, 0.0), "presser_velocity": [(1.0, 0.0)], "defender_velocity": [(1.0, 0.0)],
    "own_velocity": [(1.0, 0.0)], "opponent_velocity": [(1.0, 0.0)], "attack_s": [1.0], "defence_s": [1.0],
    "carrier_xy": (0.0, 0.0), "goal_xy": (-52.5, 0.0), "ball_xy": (0.0, 0.0), "origin_xy": (0.0, 0.0),
    "receiver_xy": [(20.0, 0.0)], "defender_xy": [(10.0, 1.0)], "places_xy": [(4.0, 0.0)], "points_xy": [(10.0, 1.0)],
    "own_xy": [(20.0, 0.0)], "opponent_xy": [(0.0, 0.0)], "other_xy": [(0.0, 0.0)], "own_x": [-50.0, -20.0],
    "sequence": PLAYED, "frames": PLAYED.frames, "first": RULES, "second": RULES,
}
BY_KIND: dict[str, Any] = {
    "Situation": WORKED, "Pitch": pl.Pitch(), "Rulebook": RULES, "Frames": PLAYED.frames, "Settings": pl.Settings(),
    "float": 1.0, "ArrayLike": 1.0, "XY": (0.0, 0.0), "str": "x",
}
BY_BOTH: dict[str, dict[str, Any]] = {
    "Player": {"xy": (0.0, 0.0)}, "OwnMark": {"kind": "arrow"}, "Run": {"number": "9", "to_xy": (0.0, 0.0)},
    "Dribble": {"way": "inside"}, "Situation": {"pressing": WORKED.pressing, "possession": WORKED.possession,
                                              "ball_xy": WORKED.ball_xy},
    "influence": {"xy": [(0.0, 0.0)], "velocity": [(1.0, 0.0)]},
    "first_there": {"xy": [(0.0, 0.0)], "velocity": [(1, 0)]},
    "shadowed": {"presser_xy": (2.0, 0.0)}, "near_ball": {"xy": [(0.0, 0.0)] * 6}, "near_ball_xy": {"xy": [(0, 0)] * 6},
    "shape_measures": {"xy": [(0.0, 0.0), (5.0, 0.0), (0.0, 7.0)]}, "line_gaps": {"xy": [(0.0, 0.0)] * 4},
    "least_arrival": {"presser_xy": [(2.0, 0.0)]}, "total_oval": {"presser_xy": [(2.0, 0.0)]},
    "joint_chance": {"chance": [0.5, 0.5]}, "check_rule": {"rule": nearest, "name": "choose_presser"},
    "frame_rule": {"rule": lambda picture, decisions: decisions.presser},
    "compare_rulebooks": {"pictures": {"one": WORKED}},
    "Frames": {one.name: getattr(PLAYED.frames, one.name) for one in fields(pl.Frames)[:8]},
    "simulate": {"duration_s": 0.2}, "save_picture": {"path": "a.png"}, "save_page": {"path": "a.html"},
    **dict.fromkeys(("accelerate_then_cruise", "arrival_time", "react_then_run"),
                    {"xy": (0.0, 0.0), "target_xy": (9.0, 0.0)}),
}
# What the library makes and hands out; nobody calls it.
ANSWERS = {"Fault", "Plan", "PressingError", "Sequence", "ControlField", "Assignment", "Comparison", "Decisions",
           "FrameFault", "Gaps", "Jobs", "Picture", "RuleCheck", "ShapeMeasures", "Event", "Action"}
ELSEWHERE = {"TryIt", "Board"}  # the rooms of pictures and of teaching


def doors() -> dict[str, Callable[..., Any]]:
    """Every public function and class by its name."""
    found: dict[str, Callable[..., Any]] = {}
    for room in (pl, *(importlib.import_module(f"pressinglib.{name}") for name in ROOMS)):
        for name in room.__all__:
            value = getattr(room, name)
            if callable(value) and not isinstance(value, ModuleType) and name not in ANSWERS | ELSEWHERE:
                found[name] = value
    return dict(sorted(found.items()))


def parameters(name: str) -> list[inspect.Parameter]:
    """The arguments that it names."""
    kinds = (inspect.Parameter.POSITIONAL_OR_KEYWORD, inspect.Parameter.KEYWORD_ONLY)
    door = DOORS[name]
    call = door.__init__ if name == "Settings" else door
    return [one for one in inspect.signature(call).parameters.values() if one.kind in kinds and one.name != "self"]


def right(name: str) -> dict[str, Any]:
    """Arguments with which it answers."""
    given = {one.name: BY_NAME.get(one.name, BY_KIND.get(str(one.annotation))) for one in parameters(name)
             if one.default is inspect.Parameter.empty}
    return given | BY_BOTH.get(name, {})


DOORS = doors()


def fails(name: str, argument: str, wrong: str) -> str | None:
    """What a call comes to that neither answers nor says what was expected."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RuntimeWarning)  # numbers beyond all bounds may overflow on their way
            DOORS[name](**right(name) | {argument: WRONG[wrong]})
    except PressingError as error:
        str(error).encode("utf-8", "backslashreplace")
    except Exception as error:  # what this test looks for
        return f"{name}({argument}: {wrong}): {type(error).__name__}"
    return None


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files that are written land in a folder of their own."""
    monkeypatch.chdir(tmp_path)
    pl.save_situation(WORKED, "a.json")


@pytest.mark.parametrize("name", DOORS)
def test_it_answers_what_is_right(name: str) -> None:
    DOORS[name](**right(name))


def cases(name: str) -> Iterator[tuple[str, str]]:
    return ((one.name, wrong) for one in parameters(name) for wrong in WRONG)


@pytest.mark.parametrize("name", DOORS)
def test_it_says_what_is_wrong(name: str, request: pytest.FixtureRequest) -> None:
    full = request.config.getoption("--full", default=False)
    asked = [case for k, case in enumerate(cases(name)) if full or k % ONE_IN == len(name) % ONE_IN]
    assert [bad for case in asked if (bad := fails(name, *case))] == []
