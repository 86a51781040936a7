"""The commands of the README's part on match data work with the extra that it names, and say which one is missing.

Here all else is hidden from Python; CI lays environments with one extra alone, in the folder PRESSINGLIB_EXTRAS.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
import sys
import tomllib
from contextlib import suppress
from importlib.metadata import PackageNotFoundError, packages_distributions, requires
from pathlib import Path

import pandas as pd
import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from pressinglib.data import Tracking, save_match
from pressinglib.field.scene_file import save_situation
from pressinglib.field.situation import Situation
from tests.data.made_files import long_columns, write_common

ROOT = Path(__file__).parents[2]
EXTRAS = os.environ.get("PRESSINGLIB_EXTRAS")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
README = (ROOT / "README.md").read_text("utf-8")
COMMANDS = re.findall(r"^    python -m pressinglib (.*?)(?: +#.*)?$", README, re.MULTILINE)
RUN = """import json, sys
blocked, commands = json.loads(sys.argv[1])
class NotInstalled:
    def find_spec(name, path=None, target=None):
        if name in blocked:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
sys.meta_path.insert(0, NotInstalled)
from pressinglib.__main__ import main
for words in commands:
    try:
        main(words)
    except SystemExit as ended:
        print(words[0], ended.code, flush=True)
"""


def brought(needed: list[str]) -> set[str]:
    """Names of all distributions that come with the ones needed."""
    found: set[tuple[str, frozenset[str]]] = set()
    waiting = [(Requirement(text), frozenset({""})) for text in needed]
    while waiting:
        one, extras = waiting.pop()
        known = canonicalize_name(one.name), frozenset({"", *one.extras})
        if known not in found and (one.marker is None or any(one.marker.evaluate({"extra": x}) for x in extras)):
            found.add(known)
            with suppress(PackageNotFoundError):
                waiting += [(Requirement(text), known[1]) for text in requires(one.name) or []]
    return {name for name, _ in found}


def hidden(extra: str | None) -> list[str]:
    """Names of all modules here that do not come with an extra."""
    kept = brought(PROJECT["dependencies"] + (PROJECT["optional-dependencies"][extra] if extra else []))
    blocked = [module for module, homes in packages_distributions().items()
               if module != "pressinglib" and not {canonicalize_name(home) for home in homes} & kept]
    assert {"anywidget", "ipywidgets", "IPython"} <= set(blocked)
    return blocked


def run(folder: Path, extra: str | None, commands: list[list[str]]) -> subprocess.CompletedProcess[str]:
    python = Path(EXTRAS, extra or "none", "bin", "python") if EXTRAS else sys.executable
    words = json.dumps([[] if EXTRAS else hidden(extra), commands])
    return subprocess.run([python, "-c", RUN, words], cwd=folder, text=True, capture_output=True)


def test_the_commands_of_the_readme_work_with_the_extra_for_match_data(invented: Tracking, tmp_path: Path) -> None:
    table = pd.DataFrame(long_columns(invented))
    table.loc[table.period == 2, ["x", "y"]] *= -1  # right,left
    table.to_csv(tmp_path / "match.csv", index=False)
    write_common(invented, tmp_path / "folder_with_jsonl_and_json")
    (tmp_path / "my_rules.py").write_text("def nearest(situation):\n    return '9'\n")
    commands = [shlex.split(line.replace("10576", "100")) for line in COMMANDS]
    assert [words[0] for words in commands] == ["import", "import", "plan", "find", "report", "picture", "compare"]
    answer = run(tmp_path, "match", commands)
    ends = [line for line in answer.stdout.splitlines() if re.fullmatch(r"\w+ \d", line)]
    assert ends == [f"{words[0]} 0" for words in commands], answer.stderr
    better, report = ((tmp_path / name).read_text() for name in ("better.html", "report/report.html"))
    assert "Where nearest (own presser) " in better and "played on in 16 games" in better and "stock rules" in report
    for name in ("frame.png", "differences.png"):
        assert (tmp_path / name).read_bytes().startswith(b"\x89PNG")


@pytest.mark.full
def test_a_season_is_planned_with_its_extra(invented: Tracking, tmp_path: Path) -> None:
    save_match(invented, tmp_path / "matches" / "one")
    answer = run(tmp_path, "season", [["season", "matches", "--to", "plans", "--per-second", "1", "--workers", "1"]])
    assert answer.stdout.endswith("season 0\n"), answer.stderr
    assert "one: planned" in answer.stdout


def test_without_an_extra_commands_say_which_one_to_install(tmp_path: Path) -> None:
    save_situation(Situation.line_up(), tmp_path / "scene.json")
    commands = [["picture", "scene.json", "scene.png"], ["compare", "--set", "steering=inside", "--plot", "c.png"],
                ["import", "match.csv", "--to", "m", "--unit", "m", "--origin", "centre", "--home-attacks", "right"]]
    answer = run(tmp_path, None, commands)
    assert answer.stdout.split() == ["picture", "2", "compare", "2", "import", "2"]
    for package, line in zip(("matplotlib", "matplotlib", "pandas"), answer.stderr.splitlines(), strict=True):
        assert f'expected {package}; got no such package here. Install the extra: pip install "pressinglib[m' in line


@pytest.mark.parametrize("name", ["gz", "parquet"])
def test_a_damaged_table_ends_with_2(tmp_path: Path, name: str) -> None:
    file = tmp_path / {"gz": "match.csv.gz", "parquet": "match.parquet"}[name]
    pd.DataFrame({"frame": range(1000)}).to_csv(file) if name == "gz" else pd.DataFrame({"x": [1]}).to_parquet(file)
    file.write_bytes(file.read_bytes()[:-20])
    answer = subprocess.run([sys.executable, "-m", "pressinglib", "import", file, "--to", tmp_path / "m", "--unit", "m",
                             "--origin", "centre", "--home-attacks", "right"], text=True, capture_output=True)
    assert answer.returncode == 2 and f"table {file.name}: expected a readable table" in answer.stderr
