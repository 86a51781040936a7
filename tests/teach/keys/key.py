"""Answers known to be wrong and right, by exercise: what the generic tests try."""

from __future__ import annotations

from typing import Any, NamedTuple


class Key(NamedTuple):
    """Two answers that are wrong in different ways, two that are right in different ways (or written differently)."""

    wrong: tuple[Any, Any]
    right: tuple[Any, Any]
