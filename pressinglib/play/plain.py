"""What all actions share: checks of their values, and the way to plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, ClassVar

from pressinglib.errors import BadInput
from pressinglib.field.player import XY, as_number, as_xy

LATEST_S = 60.0


def put(action: object, **values: Any) -> None:
    """Write values into a frozen action."""
    for name, value in values.items():
        object.__setattr__(action, name, value)


def one_of(value: object, choices: tuple[str, ...], what: str) -> None:
    """BadInput unless the value is one of the choices."""
    if value not in choices:
        raise BadInput(what, expected="one of " + ", ".join(choices), got=repr(value), todo="use one of these")


def shirt_number(value: object, what: str, optional: bool = False) -> None:
    """BadInput unless it is a shirt number."""
    if not (isinstance(value, str) and value.strip()) and not (optional and value is None):
        raise BadInput(what, expected="a shirt number in quotes", got=repr(value), todo="write it as on the shirt")


def either(action: str, **given: Any) -> None:
    """BadInput unless exactly one of two values is there."""
    if sum(value is not None for value in given.values()) != 1:
        raise BadInput(action, expected="either " + " or ".join(given), got="both or neither", todo="give one of them")


def speed_of(value: object, what: str, low: float, high: float) -> float | None:
    """The speed as a number, None as it is."""
    return None if value is None else as_number(value, f"speed of the {what} in m/s", low=low, high=high)


def time_of(value: object, what: str) -> float:
    """The time of an action as a number."""
    return as_number(value, f"time of the {what} in s", low=0.0, high=LATEST_S)


def place_of(value: object, what: str) -> XY | None:
    """The place as two numbers, None as it is."""
    return None if value is None else as_xy(value, what)


def flipped(xy: XY | None) -> XY | None:
    """The place on the other side of the pitch."""
    return None if xy is None else (xy[0], -xy[1])


class Plain:
    """Plain values of an action, and back."""

    word: ClassVar[str]

    def to_dict(self) -> dict[str, Any]:
        """Plain values, fit for JSON; `action_from_dict` reads them."""
        values = {name: _listed(value) for name, value in asdict(self).items()}  # type: ignore[call-overload]
        return {"action": self.word, **values}


def _listed(value: Any) -> Any:
    return [_listed(v) for v in value] if isinstance(value, tuple) else value
