"""Every error a user can meet: what was expected, what came, what to do; and the checks of values that raise them."""

from __future__ import annotations

import errno
from collections.abc import Callable, Collection, Iterable, Sequence
from itertools import islice
from math import isfinite
from operator import ge, gt
from typing import Any, TypeVar

import numpy as np

Kind = TypeVar("Kind")
LONGEST = 200  # characters of a wrong value in a message
MOST_ITEMS, LARGEST = 1000, 2**62
TEXT_OR_COMPLEX = "SUcVmM"  # kinds of arrays that hold no numbers to compute with


class PressingError(Exception):
    """The root of all errors of this library.

    Parameters
    ----------
    what : str
        The thing that is wrong, in a few words ("slot of player 9").
    expected, got, todo : str, optional
        What was expected, what came, what to do. They stay readable as attributes.

    >>> str(PressingError("ball", expected="two numbers", got="one", todo="give x and y in metres"))
    'ball: expected two numbers; got one. Give x and y in metres.'
    >>> str(PressingError("no players"))
    'no players'
    """

    def __init__(self, what: str, *, expected: str = "", got: str = "", todo: str = "") -> None:
        self.what, self.expected, self.got, self.todo = what, expected, got, todo
        super().__init__(self._sentence())

    def __reduce__(self) -> tuple[Any, ...]:
        """What another process is told: the sentence."""
        return PressingError, (str(self),)

    def _render_traceback_(self) -> list[str]:
        """What a notebook shows: the sentence, and no lines of code, which a coach cannot use."""
        return [str(self)]

    def _sentence(self) -> str:
        middle = "; ".join(f"{word} {text}" for word, text in (("expected", self.expected), ("got", self.got)) if text)
        head = f"{self.what}: {middle}" if middle else self.what
        words = f"{head}. {self.todo[0].upper()}{self.todo[1:]}." if self.todo else head
        return words.encode("utf-8", "replace").decode()  # half a sign in a name could not be shown


class BadInput(PressingError, ValueError):
    """A value from outside is not one the library can work with."""


class UnknownName(BadInput, TypeError):
    """A name (of a rule, a setting, a slot ...) is not one of those that exist."""

    def __init__(self, kind: str, name: object, known: Sequence[str], todo: str = "check the spelling") -> None:
        self.name, self.known = name, tuple(known)
        super().__init__(kind, expected="one of " + ", ".join(self.known), got=shown(name), todo=todo)


class PlainFileError(PressingError, ValueError):
    """A file of plain values cannot be read or written; `problems` lists every fault with its place."""

    kind = "file"

    def __init__(self, path: str, problems: Sequence[str], todo: str = "mend these places and load again") -> None:
        self.path, self.problems = path, tuple(problems)
        super().__init__(f"{self.kind} {path}", got="; ".join(self.problems), todo=todo)


class SceneFileError(PlainFileError):
    """A file of a scene, or of a session."""

    kind = "scene file"


class ExerciseFileError(PlainFileError):
    """A file of an exercise."""

    kind = "exercise file"


class PracticeFileError(PlainFileError):
    """A file of a practice."""

    kind = "practice file"


class AnswerFileError(PlainFileError):
    """A file of a learner's answers."""

    kind = "answer file"


REMEDIES = {errno.ENOSPC: "make room on the disk", errno.EDQUOT: "make room on the disk",
            errno.ENAMETOOLONG: "take a shorter name", errno.EINVAL: "take another name"}


def unwritten(what: str, error: OSError) -> PressingError:
    """Why something could not be written, and what to do."""
    todo = REMEDIES.get(error.errno or 0, "choose a folder that you can write to, and close the file if it is open")
    return PressingError(what, got=error.strerror or str(error), todo=todo)


class RuleError(PressingError):
    """An analyst's own rule failed; says which rule, on which picture, and why."""

    def __init__(self, rule: str, scene: str | int, cause: object, todo: str = "mend the rule and try again") -> None:
        self.rule, self.cause, self.todo = rule, cause, todo
        self.frame = scene if isinstance(scene, int) else None  # its place among the frames that were asked
        self.scene = scene if isinstance(scene, str) else f"picture {scene}"
        super().__init__(f"rule {rule} on {self.scene}", got=str(cause), todo=todo)

    def on(self, scene: str | int) -> RuleError:
        """The same, said of a picture by its own name or number."""
        return type(self)(self.rule, scene, self.cause, self.todo)


# -- Values from outside: what they must be, else BadInput.


def shown(value: object) -> str:
    """The value as Python writes it, or its beginning; only its type where it cannot be written."""
    try:
        words = repr(value)
    except Exception:  # a number of thousands of digits, or an object that is broken
        words = f"a {type(value).__name__} that cannot be shown"
    return words if len(words) <= LONGEST else words[: LONGEST - 3] + "..."


def as_bool(value: object, what: str) -> bool:
    """True or False."""
    if not isinstance(value, bool):
        raise BadInput(what, expected="True or False", got=shown(value), todo="write one of the two")
    return value


def as_a(value: object, kind: type[Kind], what: str, todo: str) -> Kind:
    """The value, which is of this kind."""
    if not isinstance(value, kind):
        a = "an" if kind.__name__[0] in "AEIOU" else "a"
        raise BadInput(what, expected=f"{a} {kind.__name__}", got=type(value).__name__, todo=todo)
    return value


def as_items(value: object, kind: type[Kind] | tuple[type[Kind], ...], what: str, expected: str, todo: str,
             fewest: int = 0, most: int = MOST_ITEMS) -> tuple[Kind, ...]:
    """So many things of this kind, which are called what is expected."""
    items = tuple(islice(value, most + 1)) if isinstance(value, Iterable) else None
    if items is None or not fewest <= len(items) <= most or not all(isinstance(item, kind) for item in items):
        got = type(value).__name__ if items is None or not len(items) else f"{len(items)} items"
        raise BadInput(what, expected=expected, got=got, todo=todo)
    return items


def as_known(value: object, known: Collection[str], what: str, todo: str = "check the spelling") -> str:
    """One of the names that there are, else UnknownName."""
    if not isinstance(value, str) or value not in known:
        raise UnknownName(what, value, tuple(known), todo)
    return value


def as_text(value: Any, what: str, least: int = 1, most: int = LONGEST, lines: bool = False,
            todo: str = "write a few words") -> str:
    """A text that can be printed, not only blanks; with line breaks if these are allowed."""
    plain = "".join(value.split()) if lines and isinstance(value, str) else value
    if not (isinstance(value, str) and plain.isprintable() and len(value) <= most and len(value.strip()) >= least):
        raise BadInput(what, expected=f"a text of {least}-{most} printable characters", got=shown(value), todo=todo)
    return value


def as_xy(value: Any, what: str) -> tuple[float, float]:
    """Two finite floats."""
    try:
        x, y = (_float(v) for v in value)
    except (TypeError, ValueError):
        x = y = float("nan")
    if not (isfinite(x) and isfinite(y)):
        raise BadInput(what, expected="two finite numbers (x, y)", got=shown(value), todo="give both in metres")
    return x, y


def as_number(value: object, what: str, *, low: float = float("-inf"), high: float = float("inf")) -> float:
    """One finite float within `low` .. `high`."""
    number = _float(value)
    if not (isfinite(number) and low <= number <= high):
        raise BadInput(what, expected=f"a number from {low:g} to {high:g}", got=shown(value), todo="check the value")
    return number


def as_whole(value: object, what: str, low: int = 0, high: int = LARGEST) -> int:
    """One whole number within `low` .. `high`."""
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or not low <= value <= high:
        raise BadInput(what, expected=f"a whole number from {low} to {high}", got=shown(value), todo="check the value")
    return int(value)


def as_array(value: Any, what: str, kind: type = float) -> Any:
    """An array of numbers; NaN is let in among floats."""
    try:
        given = np.asarray(value)
        if given.dtype.kind not in TEXT_OR_COMPLEX and (kind is float or np.isfinite(given).all()):
            return given.astype(kind)
    except (TypeError, ValueError, OverflowError, RuntimeError):
        pass
    raise BadInput(what, expected="numbers, or an array of them", got=shown(value), todo="check the values")


def _float(value: object) -> float:
    """A float, NaN for whatever is no number: a text, true or false, a number beyond all bounds."""
    if isinstance(value, (bool, str, bytes)) or not hasattr(value, "__float__"):
        return float("nan")
    try:
        return float(value)
    except (OverflowError, TypeError, ValueError):
        return float("nan")


# -- Parameters of a formula, each a number or an array of numbers; of positions NaN means absent and flows through.


def above_zero(**parameters: Any) -> None:
    """Every named parameter is finite and above zero."""
    _every(parameters, gt, "a number above 0", "give a positive value")


def not_negative(**parameters: Any) -> None:
    """Every named parameter is finite and at least zero."""
    _every(parameters, ge, "a number of at least 0", "give zero or more")


def _every(parameters: dict[str, Any], holds: Callable[[Any, float], Any], expected: str, todo: str) -> None:
    for name, value in parameters.items():
        if not (type(value) is float and value < np.inf and holds(value, 0.0)):  # the quick way for most
            numbers = as_array(value, name)
            if not np.all(np.isfinite(numbers) & holds(numbers, 0.0)):
                raise BadInput(name, expected=expected, got=shown(value), todo=todo)


def no_negative_distance(**distances: Any) -> None:
    """No named distance is below zero; NaN, an absent player, passes."""
    for name, value in distances.items():
        if np.any(as_array(value, name) < 0.0):
            raise BadInput(name, expected="metres of at least 0", got=shown(value), todo="give zero or more")
