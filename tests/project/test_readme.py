"""What the README shows in Python works as it stands there."""

from __future__ import annotations

import re
from pathlib import Path
from textwrap import dedent

import pytest

ROOT = Path(__file__).parents[2]
BLOCKS = [dedent(block) for block in re.findall(r"^ *```python\n(.*?)```", (ROOT / "README.md").read_text("utf-8"),
                                                re.DOTALL | re.MULTILINE)]
WRITTEN = {"run.gif", "plan.svg", "pitch.pdf", "sheet.pdf", "strip.pdf", "plan.png"}


def test_every_block_runs_in_order_and_writes_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "answers").mkdir()
    (tmp_path / "my-exercises").mkdir()
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for block in BLOCKS:
        exec(compile(block, "README.md", "exec"), names)  # noqa: S102  (our own text)
    assert {path.name for path in tmp_path.iterdir() if path.is_file()} == WRITTEN
    assert all(path.stat().st_size > 1000 for path in tmp_path.iterdir() if path.is_file())
