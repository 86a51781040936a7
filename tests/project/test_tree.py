"""The tree as git holds it: few things at its top, and nothing that belongs to one machine."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "notebooks", "pressinglib", "tests", "binder"}
BINARY = {".gz", ".png", ".pdf", ".gif"}
FOLDERS = "home|root|Users|tmp|work|mnt|opt|usr|var|etc|private"
FOREIGN = {
    "a path of one machine": re.compile(rf"(?<![\w.:/*~)!-])/(?:{FOLDERS})/\w|\b[A-Z]:\\+(?:Users|Windows)"),
    "a package registry": re.compile(r"https?://[^/\s]*(?:pypi|pythonhosted|npmjs|anaconda|debian|ubuntu)"),
    "a file's address": re.compile(r"\bfile:/+\w"),
    "an index of packages": re.compile(r"--(?:(?:extra-)?index-url|find-links)"),
}
# Put together here, so that this file itself passes.
FOREIGN_TEXTS = [
    "see /" + "tmp/x",
    "'/" + "home/me/a.py'",
    "<file:" + "///x.html>",
    "C:" + r"\Users\me",
    "https:" + "//pypi.example",
    "--index" + "-url x",
]
OWN_TEXTS = ["notebooks/data", "and/or/" + "work/x", "https://doi.org/10.1038/opt/x", "1/2", "tests/tmp/x"]


def tracked() -> list[Path]:
    """Every file that git holds (nothing where the project did not come by git)."""
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True)
    return [Path(name) for name in listing.stdout.split("\0") if name and (ROOT / name).is_file()]


@pytest.fixture
def files() -> list[Path]:
    if not (ROOT / ".git").exists():
        pytest.skip("this copy of the project did not come by git")
    return tracked()


def foreign(text: str) -> list[str]:
    """What in `text` belongs to one machine, in words."""
    return [f"{what}: {found[0]!r}" for what, pattern in FOREIGN.items() for found in pattern.finditer(text)]


def test_the_top_holds_only_what_belongs_there(files: list[Path]) -> None:
    top = {path.parts[0] for path in files}
    assert {name for name in top if not name.startswith(".")} - TOP == set()
    assert {"README.md", "pyproject.toml", "pressinglib", "tests"} <= top


def test_no_text_names_one_machine(files: list[Path]) -> None:
    texts = [path for path in files if path.suffix not in BINARY]
    complaints = {str(path): foreign((ROOT / path).read_text("utf-8")) for path in texts}
    assert {path: found for path, found in complaints.items() if found} == {}


@pytest.mark.parametrize("text", FOREIGN_TEXTS)
def test_what_names_one_machine_is_seen(text: str) -> None:
    assert len(foreign(text)) == 1


@pytest.mark.parametrize("text", OWN_TEXTS)
def test_what_names_no_machine_passes(text: str) -> None:
    assert foreign(text) == []
