"""Doors: what a public function cannot work with is said in words; a mistake of our own stays what it was."""

import re
import sys
from collections.abc import Callable, Collection, Mapping, Sequence
from functools import cache, partial, wraps
from inspect import isfunction, signature
from itertools import repeat
from types import NoneType, UnionType
from typing import Any, Literal, ParamSpec, TypeVar, Union, get_args, get_origin, get_type_hints

import lazy_loader
import numpy as np
from numpy.typing import ArrayLike

from pressinglib.errors import BadInput, PressingError, as_array, as_bool, as_number, as_whole, shown, unwritten

Kind = TypeVar("Kind")
Made = TypeVar("Made")
P = ParamSpec("P")
WORDS = {"float": "a finite number", "int": "a whole number", "str": "a text", "bool": "True or False",
         "ArrayLike": "numbers, or an array of them", "Floats": "an array of numbers",
         "Ints": "an array of whole numbers", "Bools": "an array of true and false",
         "Side": '"home" or "away"', "Team": '"pressing" or "possession"'}
UNLIKE_TEXT = re.compile(r"[\0\ud800-\udfff]")


def doors(package: str, stub: str) -> tuple[Any, Any, Any]:
    """The names in the stub of a room, loaded when asked for; every function among them is a `door`."""
    found, listing, names = lazy_loader.attach_stub(package, stub)

    def entered(name: str) -> Any:
        made = found(name)
        value = door(made) if isfunction(made) else made
        setattr(sys.modules[package], name, value)  # the next time it is found at once
        return value

    return entered, listing, names


def door_class(made: Kind) -> Kind:
    """A class whose making is a `door`."""
    made.__init__ = door(made.__init__)  # type: ignore[misc]
    return made


@cache
def door(function: Callable[P, Made]) -> Callable[P, Made]:
    """The function, but an error that is raised by a wrong argument says which one, and what was expected."""
    @wraps(function)
    def told(*given: P.args, **named: P.kwargs) -> Made:
        try:
            return function(*given, **named)
        except PressingError:
            raise
        except Exception as error:
            if (refusal := _refusal(function, given, named, error)) is None:
                raise
            raise refusal from error

    return told


def _refusal(function: Any, given: Any, named: Any, error: Exception) -> PressingError | None:
    """What the caller is told, if it is he who was wrong."""
    kinds, of = get_type_hints(function), function.__qualname__.removesuffix(".__init__")
    try:
        values = signature(function).bind(*given, **named).arguments
    except TypeError:  # what is missing or too much Python says well enough
        return None
    for name, kind in kinds.items():
        if name in values and not _fits(values[name], kind):
            expected = WORDS.get(words := str(function.__annotations__[name]), words)
            return BadInput(f"{name} of {of}", expected=expected, got=shown(values[name]), todo=f"see help({of})")
    if isinstance(error, OSError):
        return unwritten(of, error)
    if isinstance(error, (ValueError, IndexError)) and ArrayLike in kinds.values():
        return BadInput(of, expected="arrays whose shapes fit", got=str(error), todo=f"see help({of})")
    return None


def _fits(value: Any, kind: Any) -> bool:
    """Whether a value is of the kind that stands beside its name; what cannot be told is taken to be."""
    outer, inner = get_origin(kind), get_args(kind)
    if kind in SIMPLE:
        return SIMPLE[kind](value)
    if outer in (Union, UnionType):
        return any(_fits(value, one) for one in inner)
    if outer is Literal:
        return isinstance(value, str) and value in inner
    if kind is Any or not isinstance(outer or kind, type):
        return True
    if outer is tuple:
        every = Ellipsis in inner
        return isinstance(value, Sequence) and (every or len(value) == len(inner)) and all(
            map(_fits, value, repeat(inner[0]) if every else inner))
    if not isinstance(value, outer or kind):
        return False
    values = [value.values()] if isinstance(value, Mapping) else []
    parts = [value, *values] if isinstance(value, Collection) and outer is not np.ndarray else []
    return all(_fits(one, part) for ones, part in zip(parts, inner, strict=False) for one in ones)


def _answers(check: Callable[..., object], value: Any) -> bool:
    """Whether a check lets a value pass."""
    try:
        check(value, "value")
    except PressingError:
        return False
    return True


SIMPLE: dict[Any, Callable[[Any], bool]] = {
    float: partial(_answers, as_number), int: partial(_answers, as_whole), bool: partial(_answers, as_bool),
    NoneType: lambda value: value is None, ArrayLike: lambda value: value is not None and _answers(as_array, value),
    str: lambda value: isinstance(value, str) and not UNLIKE_TEXT.search(value),
}
