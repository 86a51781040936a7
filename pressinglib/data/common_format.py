"""The words of the Common Data Format (arXiv 2505.15820), and of the drafts before, as far as a match is read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

PERIODS = {"first_half": 1, "second_half": 2, "first_half_extratime": 3, "second_half_extratime": 4, "shootout": 5}
SHOOTOUT = 5
PLAY_DIRECTIONS = {"left_right": "right", "right_left": "left"}  # of the home side
IN_PLAY = {"true": True, "1": True, "alive": True, "in": True, "in_play": True,
           "false": False, "0": False, "dead": False, "out": False, "out_of_play": False}


class WrongField(Exception):
    """A field of one frame is missing or no value to work with."""

    def __init__(self, field: str, words: str) -> None:
        self.field, self.words = field, words
        super().__init__(f"{field}: {words}")


def shown(value: object) -> str:
    """A value for a message, cut to a sensible length."""
    text = repr(value)
    return text if len(text) <= 40 else f"{text[:37]}..."


def number(value: object, field: str, blank: bool = False) -> float:
    """A finite float; NaN for null where `blank`.

    Examples
    --------
    >>> number(2, "ball.x"), number(None, "ball.x", blank=True)
    (2.0, nan)
    >>> number("2", "ball.x")
    Traceback (most recent call last):
    pressinglib.data.common_format.WrongField: ball.x: expected a number; got '2'
    """
    if value is None and blank:
        return float("nan")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e9:
        raise WrongField(field, f"expected a number; got {shown(value)}")
    return float(value)


def named(document: object, field: str) -> Mapping[str, Any]:
    """An object with named values."""
    if not isinstance(document, dict):
        raise WrongField(field, f"expected an object {{...}}; got {shown(document)}")
    return document


def period_of(value: object) -> int:
    """1 to 5 from the period's word, or from its number in older drafts."""
    if isinstance(value, str) and value in PERIODS:
        return PERIODS[value]
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= SHOOTOUT:
        return value
    raise WrongField("period", f"expected one of {', '.join(PERIODS)}; got {shown(value)}")


def in_play(value: object) -> bool | None:
    """Whether the ball is in play; None where it is not said."""
    if value is None:
        return None
    word = str(value).strip().lower()
    if word not in IN_PLAY:
        raise WrongField("ball.status", f"expected true or false; got {shown(value)}")
    return IN_PLAY[word]
