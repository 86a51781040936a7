"""Checks of the parameters of a formula; positions are never checked, NaN means absent and flows through."""

from __future__ import annotations

from typing import Any

import numpy as np

from pressinglib.errors import BadInput


def above_zero(**parameters: Any) -> None:
    """Raise BadInput unless every named parameter is a finite number above zero (or an array of such)."""
    for name, value in parameters.items():
        if not (type(value) is float and 0.0 < value < np.inf):
            numbers = _numbers(value)
            if not np.all(np.isfinite(numbers) & (numbers > 0.0)):
                raise BadInput(name, expected="a number above 0", got=repr(value), todo="give a positive value")


def not_negative(**parameters: Any) -> None:
    """Raise BadInput unless every named parameter is a finite number of at least zero (or an array of such)."""
    for name, value in parameters.items():
        if not (type(value) is float and 0.0 <= value < np.inf):
            numbers = _numbers(value)
            if not np.all(np.isfinite(numbers) & (numbers >= 0.0)):
                raise BadInput(name, expected="a number of at least 0", got=repr(value), todo="give zero or more")


def no_negative_distance(**distances: Any) -> None:
    """Raise BadInput if any of the named distances is below zero; NaN, an absent player, passes."""
    for name, value in distances.items():
        if np.any(np.asarray(value, dtype=float) < 0.0):
            raise BadInput(name, expected="metres of at least 0", got=repr(value), todo="give zero or more")


def _numbers(value: Any) -> Any:
    """The value as an array; NaN, which no check passes, where it holds no numbers."""
    try:
        return np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        return np.array(np.nan)
