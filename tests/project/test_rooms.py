"""The house: a room imports only from the rooms above it, and importing the library stays light."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).parents[2]
LIGHT = {"lazy_loader", "numpy", "shapely"}
ROOMS = [room for room in ("field", "physics", "roles", "play", "data") if (ROOT / "pressinglib" / room).is_dir()]
LOADED = """
import importlib, pkgutil, sys
from importlib.metadata import packages_distributions
before = set(sys.modules)
package = importlib.import_module("pressinglib")
for room in sys.argv[1:]:
    inside = importlib.import_module(f"pressinglib.{room}")
    for module in pkgutil.walk_packages(inside.__path__, inside.__name__ + "."):
        importlib.import_module(module.name)
print(*sorted({name.split(".")[0] for name in set(sys.modules) - before} & set(packages_distributions())))
"""


def run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *command], cwd=ROOT, capture_output=True, text=True)


def test_the_import_contracts_hold() -> None:
    answer = run("-c", "from importlinter.cli import lint_imports_command as lint; lint()", "--no-cache")
    assert answer.returncode == 0, answer.stdout + answer.stderr
    assert "2 kept, 0 broken" in answer.stdout


def test_no_room_below_the_lessons_imports_through_the_front_door() -> None:
    graph = grimp.build_graph("pressinglib", cache_dir=None)
    through = graph.find_modules_that_directly_import("pressinglib")
    assert {name for name in through if not name.startswith("pressinglib.teach")} == set()


@pytest.mark.parametrize("rooms", [[], *([room] for room in ROOMS)], ids=["the front door", *ROOMS])
def test_importing_loads_numpy_and_shapely_only(rooms: list[str]) -> None:
    answer = run("-c", LOADED, *rooms)
    assert answer.returncode == 0, answer.stderr
    loaded = set(answer.stdout.split())
    assert loaded <= LIGHT
    assert ("numpy" in loaded) == bool(rooms)
