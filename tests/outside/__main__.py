"""Print all checks against the outside as a table: python -m tests.outside"""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path
from textwrap import fill
from types import ModuleType
from typing import Any

from tests.outside.check import Check, value_of

HEAD = ("check", "source", "grade", "published", "ours", "difference", "allowed")
SHOWN_FROM = 1e-6  # smaller differences are rounding, and not the same on every machine


def sources() -> list[ModuleType]:
    """The files of this folder, one a source."""
    names = sorted(path.stem for path in Path(__file__).parent.glob("test_*.py"))
    modules = [importlib.import_module(f"tests.outside.{name}") for name in names]
    return [module for module in modules if hasattr(module, "CHECKS")]


def rows() -> Iterator[tuple[str, ...]]:
    """A row a check."""
    for number, module in enumerate(sources(), 1):
        for check in module.CHECKS:
            yield _row(number, check)


def _row(number: int, check: Check) -> tuple[str, ...]:
    ours = value_of(check)
    allowed = f"band of {_words(check.within)}" if check.band else _words(check.within)
    values = _words(check.published), _words(ours), _difference(check, ours), allowed
    return check.what, f"[{number}] {check.place}", check.grade, *values


def _difference(check: Check, ours: Any) -> str:
    if ours == check.published:
        return "0"
    if not check.is_number():
        return "differs"
    apart = ours - check.published
    return f"{apart:+.1e}" if abs(apart) >= SHOWN_FROM else f"below {SHOWN_FROM:.0e}"


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6g}" if isinstance(value, (int, float)) else str(value)


def table() -> str:
    """All checks as text that Markdown shows as a table, and the list of sources."""
    lines = [HEAD, ("---",) * len(HEAD), *rows()]
    listed = [fill(f"{number}. {module.SOURCE}", 120, subsequent_indent="   ", break_on_hyphens=False,
                   break_long_words=False) for number, module in enumerate(sources(), 1)]
    return "\n".join([*("| " + " | ".join(line) + " |" for line in lines), "", "Sources:", "", *listed])


if __name__ == "__main__":
    print(table())
