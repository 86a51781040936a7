"""The style of the code: ruff everywhere, mypy strict outside show."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("command", ["ruff check", "mypy"])
def test_has_no_complaint(command: str) -> None:
    answer = subprocess.run([sys.executable, "-m", *command.split()], cwd=ROOT, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stdout + answer.stderr
