"""What a learner gives as an answer, read kindly: a number, a side, a place; None where nothing was given yet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pressinglib.errors import BadInput
from pressinglib.field.player import XY, as_xy
from pressinglib.field.situation import Situation
from pressinglib.teach.card import listed

left, right = "left", "right"  # so that an answer without quotes counts too


def one_of(answer: Any, choices: Iterable[str], what: str) -> str:
    """The choice that is meant; capitals, spaces and the quotes of a number do not matter.

    Raises
    ------
    BadInput
        Lists the choices.

    Examples
    --------
    >>> one_of(9, ["7", "9"], "player"), one_of(" Left ", ["left", "right"], "side")
    ('9', 'left')
    >>> one_of("12", ["7", "9"], "player")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: There is no player '12' here. Choose 7 or 9.
    """
    choices = list(choices)
    meant = str(answer).strip().casefold() if isinstance(answer, str | int) else None
    for choice in choices:
        if choice.strip().casefold() == meant:
            return choice
    wrong = f"There is no {what} {_short(answer)} here" if meant is not None else f"This is not a {what}"
    raise BadInput(wrong, todo=f"choose {listed(choices, 'or')}")


def place_of(answer: Any, situation: Situation, number: str) -> XY | None:
    """Where a player of the pressing team was put; None where he still stands as in the picture of the exercise.

    Parameters
    ----------
    answer : Situation, mapping or point
        The board's picture, or places by number, or one place (x, y) in metres.
    situation : Situation
        The picture of the exercise. Only the one player counts.
    number : str

    Raises
    ------
    BadInput
        If the place is none, is off the pitch, or belongs to another picture.

    Examples
    --------
    >>> s = Situation.line_up(ball_xy=(30, 10))
    >>> place_of(s.moved("pressing", "9", (20, 3)), s, "9"), place_of((20, 3), s, "9"), place_of(s, s, "9")
    ((20.0, 3.0), (20.0, 3.0), None)
    >>> place_of(s.mirrored(), s, "9")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: The ball or an opponent has been moved. Press Reset, then move 9 only.
    """
    if isinstance(answer, Situation):
        if (answer.ball_xy, answer.possession) != (situation.ball_xy, situation.possession):
            raise BadInput("The ball or an opponent has been moved", todo=f"press Reset, then move {number} only")
        answer = answer.player("pressing", number).xy
    elif isinstance(answer, Mapping):
        answer = answer.get(number, answer.get(int(number)) if number.isdecimal() else None)
    place = situation.moved("pressing", number, _point(answer, number)).player("pressing", number).xy
    return None if place == situation.player("pressing", number).xy else place


def _point(answer: Any, number: str) -> XY:
    try:
        return as_xy(answer, number)
    except BadInput:
        why = f"This is not a place for {number}"
        raise BadInput(why, todo="give two numbers in metres, such as (20, 5)") from None


def _short(answer: str | int) -> str:
    text = repr(answer)
    return text if len(text) <= 30 else text[:27] + "..."
