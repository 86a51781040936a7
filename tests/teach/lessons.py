"""All exercises there are: of every lesson, and one of every kind; with the answers to try on them."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import replace
from types import ModuleType

import pytest

from pressinglib.teach import lessons
from pressinglib.teach.exercise import Exercise
from tests.teach.keys import kinds
from tests.teach.keys.key import Key


def lesson_modules() -> dict[str, ModuleType]:
    """By name, "lesson_00" first."""
    names = sorted(found.name for found in pkgutil.iter_modules(lessons.__path__))
    return {name: importlib.import_module(f"{lessons.__name__}.{name}") for name in names}


def mirrored(exercise: Exercise) -> Exercise:
    """The same task with left and right swapped in the picture."""
    return replace(exercise, situation=exercise.situation.mirrored())


def exercises_of(module: ModuleType) -> dict[str, Exercise]:
    """By name, in the order in which they are written down."""
    return {name: value for name, value in vars(module).items() if isinstance(value, Exercise)}


def keys_of(lesson: str) -> dict[str, Key]:
    """The answers to try, from tests/teach/keys/<lesson>.py."""
    keys: dict[str, Key] = importlib.import_module(f"tests.teach.keys.{lesson}").KEYS
    return keys


KIND = "kind, "  # how the names of those begin that stand for all of their kind
ALL: dict[str, tuple[Exercise, Key]] = {f"{KIND}{name}": (kinds.KINDS[name], key) for name, key in kinds.KEYS.items()}
for _lesson, _module in lesson_modules().items():
    for _name, _exercise in exercises_of(_module).items():
        ALL[f"{_lesson}, {_name}"] = (_exercise, keys_of(_lesson)[_name])


def marked(name: str) -> list[pytest.MarkDecorator]:
    """Where all of a kind are judged alike one stands for them; the others only with --full."""
    return [] if name.startswith(KIND) else [pytest.mark.full]
