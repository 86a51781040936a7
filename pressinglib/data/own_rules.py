"""A rulebook from the words of a command line: settings by name, own rules from a file."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput, PressingError
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings


def rulebook_of(settings: Iterable[str] = (), rules: Iterable[str] = ()) -> Rulebook:
    """The stock rulebook with some settings and rules replaced.

    Parameters
    ----------
    settings : iterable of str
        "steering=inside", "covers_at_least=3".
    rules : iterable of str
        "choose_presser=my_rules.py:nearest": a function of a Python file of the user's own, which is run.

    Raises
    ------
    PressingError

    Examples
    --------
    >>> rulebook_of(["steering=inside", "covers_at_least=3"]).settings.covers_at_least
    3.0
    >>> rulebook_of(["steering"])
    Traceback (most recent call last):
    pressinglib.errors.BadInput: setting: expected name=value; got 'steering'. ...
    """
    told = dict(_pair(text, "setting") for text in settings)
    chosen = {name: _value(name, text) for name, text in told.items()}
    own = {name: _function(text) for name, text in (_pair(text, "rule") for text in rules)}
    return Rulebook().with_settings(**chosen).with_rules(**own)


def _pair(text: str, what: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not (name and sign and value):
        raise BadInput(what, expected="name=value", got=repr(text), todo="write it like steering=inside")
    return name.strip(), value.strip()


def _value(name: str, text: str) -> Any:
    """Words for settings that want words, numbers else."""
    field = {row["setting"]: row for row in Settings.table()}.get(name)
    if field is None or isinstance(field["default"], str):
        return text
    if text.lower() == "none":
        return None
    try:
        numbers = tuple(float(part) for part in text.split(","))
    except ValueError as error:
        todo = "write it like 3 or 2.5,4,6,8"
        raise BadInput(f"setting {name}", expected="a number", got=repr(text), todo=todo) from error
    return numbers if isinstance(field["default"], tuple) else numbers[0]


def _function(text: str) -> Callable[..., Any]:
    """The function in a file of the user's own."""
    place, _, name = text.rpartition(":")
    file = Path(place)
    if not (place and file.is_file() and file.suffix == ".py"):
        raise BadInput("own rule", expected="file.py:function", got=repr(text), todo="check the file and the colon")
    spec = importlib.util.spec_from_file_location(f"own_rules_{file.stem}", file)
    assert spec is not None and spec.loader is not None  # a .py file always has both
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except PressingError:
        raise
    except Exception as error:
        raise BadInput(f"own rule, {file.name}", expected="a file that runs", got=f"{type(error).__name__}: {error}",
                       todo="run the file by itself first") from error
    found = getattr(module, name, None)
    if not callable(found):
        raise BadInput(f"own rule, {file.name}", expected="a function of this name", got=repr(name),
                       todo="check the spelling")
    return found
