"""The lessons: one file each, with its scenes and exercises; the notebooks show them. Each is loaded when asked for."""

from importlib import import_module
from types import ModuleType


def __getattr__(name: str) -> ModuleType:
    if name.startswith("lesson_"):
        return import_module(f"{__name__}.{name}")
    raise AttributeError(name)
