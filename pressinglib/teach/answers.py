"""What a learner gives as an answer, read kindly: a number, a side, a place; None where nothing was given yet."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pressinglib.errors import BadInput, as_xy, shown
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.files import short
from pressinglib.tables import listed

NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
left, right = "left", "right"  # so that an answer without quotes counts too
hold, step, drop = "hold", "step", "drop"
DENIED = re.compile(r"\b(not|no|or|never)\b|n't\b")  # then a choice among other words is not what is meant
SHORT = 30  # characters of an answer that are looked at, or said back


def one_of(answer: Any, choices: Iterable[str], what: str) -> str:
    """The choice that is meant, also inside a few words more, as in "step up"; BadInput lists them.

    Capitals, spaces, full stops and the quotes of a number do not matter.
    """
    choices = list(choices)
    meant = _bare(answer) if _is_said(answer) else None
    for choice in choices:
        if _bare(choice) == meant:
            return choice
    said = [choice for choice in choices if meant and f" {_bare(choice)} " in f" {meant[:2 * SHORT]} "]
    longest = max(said, key=len, default="")
    if said and all(_bare(choice) in _bare(longest) for choice in said) and not DENIED.search(meant or ""):
        return longest
    wrong = f"There is no {what} {short(shown(answer), SHORT)} here" if meant is not None else f"This is not a {what}"
    raise BadInput(wrong, todo=f"choose {listed(choices, 'or')}")


def _bare(answer: str | int) -> str:
    """Without capitals, marks around it, and spaces that are too many."""
    return " ".join(str(answer)[:10 * SHORT].casefold().split()).strip(" .,!?'\"")


def place_of(answer: Any, situation: Situation, number: str) -> XY | None:
    """Where a player of the pressing team was put; None where he still stands as in the picture of the exercise.

    The answer is the board's picture, places by number, or one place (x, y) in metres; only the one player counts.
    BadInput if the place is none, is off the pitch, or belongs to another picture.
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


def number_of(answer: Any, unit: str) -> float:
    """The one number that is written, also with its unit, other words, or a comma."""
    said = NUMBER.findall(str(answer)) if _plain(answer) else []
    if len(said) != 1:
        raise BadInput(f"This is not a number of {unit}", todo="write one, such as 4.5")
    return float(said[0].replace(",", "."))


def _plain(answer: Any) -> bool:
    return (isinstance(answer, float) or _is_said(answer)) and len(str(answer)) < SHORT


def _is_said(answer: Any) -> bool:
    """A text, or a whole number; Python writes none of thousands of figures."""
    return isinstance(answer, str) or (
        isinstance(answer, int) and not isinstance(answer, bool) and abs(answer) < 10**SHORT)


def several_of(answer: Any, choices: Iterable[str], what: str) -> list[str]:
    """The choices that are meant, in the order given, each once: a list, or text with commas or spaces between them."""
    choices = list(choices)
    parts = re.split(r"[,;\s]+", answer.strip()) if isinstance(answer, str) and len(answer) < 10 * SHORT else answer
    if isinstance(parts, int) and not isinstance(parts, bool):
        parts = [parts]
    if not isinstance(parts, list | tuple) or not parts:
        raise BadInput(f"This is no list of {what}s", todo=f"choose from {listed(choices)}, with commas between them")
    found = [one_of(part, choices, what) for part in parts]
    for one in found:
        if found.count(one) > 1:
            raise BadInput(f"{what.capitalize()} {one!r} comes twice", todo="name each once")
    return found


def places_of(answer: Any, situation: Situation, numbers: Sequence[str]) -> dict[str, XY] | None:
    """Where several players were put, those who were left alone too; None while all of them stand as they were.

    The answer is the board's picture, places by number, or a point for a single player.
    """
    if isinstance(answer, Mapping):
        answer = {str(number): xy for number, xy in answer.items()}
        if not set(answer) & set(numbers):
            raise BadInput(f"This gives no place for {listed(list(numbers), 'or')}",
                           todo=f"write such as {{{numbers[0]!r}: (20, 5)}}")
        answer = {n: answer.get(n, situation.player("pressing", n).xy) for n in numbers}
    elif len(numbers) > 1 and not isinstance(answer, Situation):
        raise BadInput(f"This is not a place for {listed(list(numbers))}",
                       todo=f"give each a place, such as {{{numbers[0]!r}: (20, 5)}}")
    found = {n: place_of(answer, situation, n) for n in numbers}
    if not any(found.values()):
        return None
    return {n: xy or situation.player("pressing", n).xy for n, xy in found.items()}
