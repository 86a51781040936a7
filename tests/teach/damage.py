"""Valid files of plain values, and what can be wrong with them: damage at every place, so that each is tried."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from typing import Any

BIG = "a number of 5000 figures"  # stands for itself until the file is written: no library writes such a number
DEEP = "a list in a list without end"
RAW = {BIG: "9" * 5000, DEEP: "[" * 3000 + "]" * 3000}
NAMES = ("cls", "self", "named", "maker", "value", "values", "key", "version", "__class__", "", "\ud800", "\x1b[31m",
         "x" * 999)
WRONG = (None, True, False, 0, -1, 3, 99, 2.5, -1e9, 1e308, 10**400, float("nan"), float("inf"), BIG, DEEP, "", " ",
         "9", "x", "x" * 5000, "\ud800", "\x00", "\u202e", "<b>", "{cover}", [], [1], [1, 2], ["9"], [[]],
         [[[[[[[[[[1]]]]]]]]]], {}, {"x": 1}, {"": {}}, *({name: 1} for name in NAMES))


def places(value: Any, inside: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every value, the whole first."""
    yield inside
    for key, part in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from places(part, (*inside, key))


def damaged(document: Any, dice: random.Random) -> bytes:
    """The document with one to three things wrong, as a file; now and then its bytes are hurt too."""
    document = json.loads(json.dumps(document))
    for _ in range(dice.choice((1, 1, 1, 2, 3))):
        document = dice.choice(HARM)(document, dice)
    text = json.dumps(document)
    for word, raw in RAW.items():
        text = text.replace(json.dumps(word), raw)
    content = text.encode()
    return dice.choice(BYTES)(content, dice) if dice.random() < 0.15 else content


def _at(document: Any, dice: random.Random, change: Callable[[Any, Any], None]) -> Any:
    """Change something inside at random."""
    *way, last = dice.choice([place for place in places(document) if place] or [(None,)])
    inside = document
    for key in way:
        inside = inside[key]
    if last is not None:
        change(inside, last)
    return document


def _replaced(document: Any, dice: random.Random) -> Any:
    return _at(document, dice, lambda inside, key: inside.__setitem__(key, dice.choice(WRONG)))


def _dropped(document: Any, dice: random.Random) -> Any:
    return _at(document, dice, lambda inside, key: inside.__delitem__(key))


def _named(document: Any, dice: random.Random) -> Any:
    """A name too many, or one changed."""
    def change(inside: Any, key: Any) -> None:
        if isinstance(inside, dict):
            value = inside.pop(key) if dice.random() < 0.5 else dice.choice(WRONG)
            inside[dice.choice(NAMES)] = value

    return _at(document, dice, change)


def _repeated(document: Any, dice: random.Random) -> Any:
    """A part of a list often, or inside itself."""
    def change(inside: Any, key: Any) -> None:
        if isinstance(inside, list):
            inside += [inside[key]] * dice.choice((1, 50, 3000))
        else:
            inside[key] = dice.choice(([inside[key]], {key: inside[key]}))

    return _at(document, dice, change)


def _moved(document: Any, dice: random.Random) -> Any:
    """A value of somewhere else."""
    def change(inside: Any, key: Any) -> None:
        other = document
        for step in dice.choice(list(places(document))):
            other = other[step]
        inside[key] = json.loads(json.dumps(other))

    return _at(document, dice, change)


def _scaled(document: Any, dice: random.Random) -> Any:
    """A number that is still one."""
    def change(inside: Any, key: Any) -> None:
        if isinstance(inside[key], int | float):
            inside[key] *= dice.choice((-1, 0, 0.5, 2, 10, 1e6))

    return _at(document, dice, change)


def _whole(document: Any, dice: random.Random) -> Any:
    return dice.choice(WRONG) if dice.random() < 0.1 else document


HARM = (_replaced, _replaced, _dropped, _named, _repeated, _moved, _scaled, _whole)
BYTES: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    lambda content, dice: content[: dice.randrange(len(content) + 1)],
    lambda content, dice: content + dice.choice((b"\x00", b"}", b"{}", b"\xff", b" " * 2_000_001)),
    lambda content, dice: content.replace(b'"version":', b'"version": 1, "version":', 1),
    lambda content, dice: (at := dice.randrange(len(content) + 1), content[:at] + dice.randbytes(3) + content[at:])[1],
    lambda content, dice: b"\xef\xbb\xbf" + content,
)
