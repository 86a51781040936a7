"""The doors: whatever a public function is called with, it answers, or says in a PressingError what was expected.

The cases are made from the signatures: one argument at a time is wrong in every way, the others are as they should be.
A part of them, and with --full all.
"""

from __future__ import annotations

import importlib
import inspect
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

import pressinglib as pl
from pressinglib.doors import door
from pressinglib.errors import BadInput, PressingError

ROOMS = ("field", "physics", "roles", "play", "show", "data", "teach")
ONE_IN = 20  # without --full


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


# What the library makes and hands out; nobody calls it.
ANSWERS = {"Fault", "Plan", "PressingError", "Sequence", "ControlField", "Assignment", "Comparison", "Decisions",
           "FrameFault", "Gaps", "Jobs", "Picture", "RuleCheck", "ShapeMeasures", "Event", "Action", "Band", "Card",
           "ClassResults", "Drawing", "Finding", "Judge", "MatchPlan", "Moment", "Phase", "Possession", "Problem",
           "Progress", "Report", "Team"}
ELSEWHERE = {"plan_season"}  # starts processes: tests/data/test_season.py


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
    from tests.project.right_values import BY_BOTH, BY_KIND, BY_NAME  # takes seconds, which collecting has not

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


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One of every kind of file."""
    from tests.project.right_values import lay_files

    return lay_files(tmp_path_factory.mktemp("doors"))


@pytest.fixture(autouse=True)
def elsewhere(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files that are written land in a folder of their own."""
    monkeypatch.chdir(folder)


@pytest.mark.parametrize("name", DOORS)
def test_it_answers_what_is_right(name: str) -> None:
    DOORS[name](**right(name))


def cases(name: str) -> Iterator[tuple[str, str]]:
    """Every argument and what is wrong with it; what a function of the caller's own raises is his."""
    return ((one.name, wrong) for one in parameters(name) for wrong in WRONG
            if one.name != "progress" or not callable(WRONG[wrong]))


@pytest.mark.parametrize("name", DOORS)
def test_it_says_what_is_wrong(name: str, full: bool) -> None:
    asked = [case for k, case in enumerate(cases(name)) if full or k % ONE_IN == len(name) % ONE_IN]
    assert [bad for case in asked if (bad := fails(name, *case))] == []


def of_ours(number: float, path: str = "") -> float:
    raise FileNotFoundError(2, "gone") if path else TypeError("a mistake in here")


def test_a_mistake_of_our_own_is_not_laid_at_the_callers_door() -> None:
    with pytest.raises(TypeError, match="a mistake in here"):
        door(of_ours)(1.0)
    with pytest.raises(BadInput, match="number of of_ours: expected a finite number; got 'x'"):
        door(of_ours)("x")
    with pytest.raises(PressingError, match="of_ours: got gone. Choose a folder"):
        door(of_ours)(1.0, "nowhere")
