"""The exact versions in binder/, checked without docker: they parse, fit the ranges and leave nothing out."""

from __future__ import annotations

import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
LINES = [line for line in (ROOT / "binder/requirements.txt").read_text("utf-8").splitlines() if line and line[0] != "#"]
PINS = {canonicalize_name(pin.name): pin for pin in map(Requirement, LINES[:-1])}


def ranges() -> dict[str, Requirement]:
    """The version ranges of the project and its lessons, by package."""
    needed = PROJECT["dependencies"] + PROJECT["optional-dependencies"]["lessons"]
    return {canonicalize_name(need.name): need for need in map(Requirement, needed)}


def test_the_project_itself_comes_last_with_its_lessons() -> None:
    assert LINES[-1] == "-e .[lessons]"


def test_every_pin_is_exact() -> None:
    assert [pin for pin in PINS.values() if [part.operator for part in pin.specifier] != ["=="]] == []
    assert len(PINS) == len(LINES) - 1


def test_everything_the_lessons_need_is_pinned_within_its_range() -> None:
    for name, need in ranges().items():
        version = next(iter(PINS[name].specifier)).version
        assert version in need.specifier, f"{name} {version} is outside {need.specifier}"


def test_the_python_is_one_the_project_accepts() -> None:
    runtime = (ROOT / "binder/runtime.txt").read_text("utf-8").strip()
    assert runtime.removeprefix("python-") in Requirement("python" + PROJECT["requires-python"]).specifier
