"""Checks of the model parameters; positions are never checked, NaN means absent and flows through."""

from __future__ import annotations

from typing import Any

import numpy as np

from pressinglib.errors import BadInput


def above_zero(**parameters: Any) -> None:
    """Raise BadInput unless every named parameter is a finite number above zero (or an array of such).

    Examples
    --------
    >>> above_zero(speed_mps=15.0)
    >>> above_zero(speed_mps=0.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: speed_mps: expected a number above 0; got 0.0. Give a positive value.
    """
    for name, value in parameters.items():
        if not (type(value) is float and 0.0 < value < np.inf):
            _check(name, value, above=True)


def not_negative(**parameters: Any) -> None:
    """Raise BadInput unless every named parameter is a finite number of at least zero (or an array of such).

    Examples
    --------
    >>> not_negative(reaction_s=0.0)
    >>> not_negative(reaction_s=-0.1)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: reaction_s: expected a number of at least 0; got -0.1. Give zero or more.
    """
    for name, value in parameters.items():
        if not (type(value) is float and 0.0 <= value < np.inf):
            _check(name, value, above=False)


def no_negative_distance(**distances: Any) -> None:
    """Raise BadInput if any of the named distances is below zero; NaN, an absent player, passes.

    Examples
    --------
    >>> no_negative_distance(distance_m=[0.0, float("nan")])
    >>> no_negative_distance(distance_m=-1.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: distance_m: expected metres of at least 0; got -1.0. Give zero or more.
    """
    for name, value in distances.items():
        if np.any(np.asarray(value, dtype=float) < 0.0):
            raise BadInput(name, expected="metres of at least 0", got=repr(value), todo="give zero or more")


def _check(name: str, value: Any, *, above: bool) -> None:
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        numbers = np.array(np.nan)
    if not np.all(np.isfinite(numbers) & ((numbers > 0) if above else (numbers >= 0))):
        wanted, todo = ("above 0", "give a positive value") if above else ("of at least 0", "give zero or more")
        raise BadInput(name, expected=f"a number {wanted}", got=repr(value), todo=todo)
