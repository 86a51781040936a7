"""Short marks of a match and of a rulebook, by which plans of something else are told apart."""

from __future__ import annotations

import hashlib
import inspect
import marshal
from collections.abc import Callable
from dataclasses import asdict, fields
from typing import Any

import numpy as np

from pressinglib.data.tracking import Tracking
from pressinglib.roles.rulebook import Rulebook

LENGTH = 16


def match_print(match: Tracking) -> str:
    """The same for the same places, and for no others."""
    mark = hashlib.sha256()
    for array in (match.time_s, match.ball_xy, match.home.xy, match.away.xy, match.alive, match.given):
        mark.update(np.ascontiguousarray(array).tobytes())
    sheets = [(team.numbers, team.slots) for team in (match.home, match.away)]
    mark.update(repr((match.pitch, sheets)).encode())
    return mark.hexdigest()[:LENGTH]


def rulebook_print(rulebook: Rulebook) -> str:
    """The same for the same settings and rules; an own rule counts by its code.

    Examples
    --------
    >>> stock, other = Rulebook(), Rulebook().with_settings(steering="inside")
    >>> rulebook_print(stock) == rulebook_print(Rulebook()), rulebook_print(stock) == rulebook_print(other)
    (True, False)
    """
    rules = [f"{f.name}={_rule_print(getattr(rulebook, f.name))}" for f in fields(rulebook) if f.name != "settings"]
    text = repr((sorted(asdict(rulebook.settings).items()), rules))
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]


def _rule_print(rule: Callable[..., Any]) -> str:
    plain = inspect.unwrap(rule)
    code = getattr(plain, "__code__", None)
    name = f"{getattr(plain, '__module__', '')}.{getattr(plain, '__qualname__', type(plain).__name__)}"
    return name if code is None else f"{name}:{hashlib.sha256(marshal.dumps(code)).hexdigest()[:LENGTH]}"
