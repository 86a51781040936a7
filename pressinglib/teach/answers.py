"""What a learner gives as an answer, read kindly: a number, a side, a place; None where nothing was given yet."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pressinglib.errors import BadInput, shown
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.files import short
from pressinglib.tables import listed

AND = re.compile(r"[,;\s]+(?:and\s+)?")  # between several
NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
DENIED = re.compile(r"\b(not|no|or|never)\b|n't\b")  # then a choice among other words is not what is meant
SHORT, LONGEST = 30, 300  # characters of an answer that are said back; of one that are looked at


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
    return " ".join(str(answer)[:LONGEST].casefold().split()).strip(" .,!?'\"")


def number_of(answer: Any, unit: str) -> float:
    """The one number that is written, also with its unit, other words, or a comma."""
    plain = (isinstance(answer, float) or _is_said(answer)) and len(str(answer)) < SHORT
    said = NUMBER.findall(str(answer)) if plain else []
    if len(said) != 1:
        raise BadInput(f"This is not a number of {unit}", todo="write one, such as 4.5")
    return float(said[0].replace(",", "."))


def _is_said(answer: Any) -> bool:
    """A text, or a whole number; Python writes none of thousands of figures."""
    return isinstance(answer, str) or (
        isinstance(answer, int) and not isinstance(answer, bool) and abs(answer) < 10**SHORT)


def several_of(answer: Any, choices: Iterable[str], what: str) -> list[str]:
    """The choices that are meant, in the order given, each once: a list, or text with commas or spaces between them."""
    choices = list(choices)
    parts = AND.split(answer.strip()) if isinstance(answer, str) and len(answer) < LONGEST else answer
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
    """Where players of the pressing team were put who do not stand as they did; None while all of them do.

    The answer is the board's picture, places by number, or one place (x, y) in metres for a single player; nobody else
    counts. BadInput if a place is none, is off the pitch, or belongs to another picture.
    """
    stood = {n: situation.player("pressing", n).xy for n in numbers}
    if isinstance(answer, Situation):
        if (answer.ball_xy, answer.possession) != (situation.ball_xy, situation.possession):
            raise BadInput("The ball or an opponent has been moved",
                           todo=f"press Reset, then move {listed(numbers)} only")
        answer = {n: answer.player("pressing", n).xy for n in numbers}
    elif not isinstance(answer, Mapping):
        answer = {numbers[0]: answer} if len(numbers) == 1 and not isinstance(answer, str) else {}
    given = {f"{n}": xy for n, xy in answer.items() if f"{n}" in stood}
    if not given:
        raise BadInput(f"This gives no place for {listed(numbers, 'or')}",
                       todo=f"write such as {{{numbers[0]!r}: (20, 5)}}")
    put = {n: situation.moved("pressing", n, xy).player("pressing", n).xy for n, xy in given.items()}
    return {n: put[n] for n in stood if put.get(n, stood[n]) != stood[n]} or None
