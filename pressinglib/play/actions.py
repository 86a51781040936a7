"""What is done with the ball: passes, dribbles, heavy touches; plain values in the frame of the picture."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any, ClassVar, TypeAlias

from pressinglib.errors import BadInput
from pressinglib.field.player import XY, as_number, as_xy, known_keys
from pressinglib.roles.settings import WAYS

# -- What all actions share: checks of their values, and the way to plain values.


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


# -- A run of a player of either team.


SLOWEST_RUN_MPS, FASTEST_RUN_MPS = 0.5, 10.0


@dataclass(frozen=True)
class Run(Plain):
    """A player of either team runs to a place or along a path, whatever the plan would have him do.

    Parameters
    ----------
    team : "pressing" or "possession"
    number : str
    to_xy : tuple of float, optional
    path : tuple of points, optional
        Places to be passed one after another.
    speed_mps : float, optional
        Default: as fast as he can.
    at_s : float
    until_s : float, optional
        When it is over. Default: one of us goes back to the plan when he is there; one of theirs stays there.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> Run("possession", "9", path=[(-10, 0), (-30, 5)]).path
    ((-10.0, 0.0), (-30.0, 5.0))
    >>> Run("home", "9", (0, 0))
    Traceback (most recent call last):
    pressinglib.errors.BadInput: team of the run: expected one of pressing, possession; got 'home'. ...
    """

    word: ClassVar[str] = "run"
    team: str
    number: str
    to_xy: XY | None = None
    path: tuple[XY, ...] | None = None
    speed_mps: float | None = None
    at_s: float = 0.0
    until_s: float | None = None

    def __post_init__(self) -> None:
        one_of(self.team, ("pressing", "possession"), "team of the run")
        shirt_number(self.number, "number of the run")
        either("run", to_xy=self.to_xy, path=self.path)
        put(self, to_xy=place_of(self.to_xy, "end of the run"), path=self._points(),
            speed_mps=speed_of(self.speed_mps, "run", SLOWEST_RUN_MPS, FASTEST_RUN_MPS), at_s=time_of(self.at_s, "run"),
            until_s=None if self.until_s is None else time_of(self.until_s, "end of the run"))

    def _points(self) -> tuple[XY, ...] | None:
        if self.path is None:
            return None
        try:
            points = tuple(self.path)
        except TypeError:
            points = ()
        if not points:
            raise BadInput("path of the run", expected="places (x, y)", got=repr(self.path), todo="give at least one")
        return tuple(as_xy(xy, "path of the run") for xy in points)

    @property
    def places(self) -> tuple[XY, ...]:
        """Places to be passed one after another."""
        return self.path if self.path is not None else (self.to_xy,) if self.to_xy is not None else ()

    def mirrored(self) -> Run:
        """Left and right swapped."""
        path = None if self.path is None else tuple((x, -y) for x, y in self.path)
        return replace(self, to_xy=flipped(self.to_xy), path=path)


# -- What is done with the ball: passes, dribbles, heavy touches; plain values in the frame of the picture.


KINDS = ("ground", "lofted")
SLOWEST_BALL_MPS, FASTEST_BALL_MPS = 4.0, 40.0
LONGEST_TOUCH_M = 15.0


@dataclass(frozen=True)
class Pass(Plain):
    """The ball is passed, not before `at_s`, and as soon as a player of theirs has it under control.

    Parameters
    ----------
    to : str, optional
        Number of the receiver. None: the carrier looks up and takes the team-mate whose lane is most open.
    kind : "ground" or "lofted"
    speed_mps : float, optional
        Off the foot; for a lofted ball its mean speed over the ground. Default: the rulebook's.
    at_s : float
    to_xy : tuple of float, optional
        Where the ball is to be met; default: at the receiver, led by as much as he runs.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> Pass("6", at_s=0.5).to_dict()["kind"]
    'ground'
    >>> Pass("6", kind="high")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: kind of pass: expected one of ground, lofted; got 'high'. Use one of these.
    """

    word: ClassVar[str] = "pass"
    to: str | None = None
    kind: str = "ground"
    speed_mps: float | None = None
    at_s: float = 0.0
    to_xy: XY | None = None

    def __post_init__(self) -> None:
        shirt_number(self.to, "receiver of the pass", optional=True)
        one_of(self.kind, KINDS, "kind of pass")
        if self.to is None and self.to_xy is not None:
            raise BadInput("pass", expected="a receiver for a pass to a place", got="to_xy alone", todo="give `to` too")
        put(self, speed_mps=speed_of(self.speed_mps, "pass", SLOWEST_BALL_MPS, FASTEST_BALL_MPS),
            at_s=time_of(self.at_s, "pass"), to_xy=place_of(self.to_xy, "aim of the pass"))

    def mirrored(self) -> Pass:
        """Left and right swapped."""
        return replace(self, to_xy=flipped(self.to_xy))


@dataclass(frozen=True)
class Dribble(Plain):
    """The carrier runs with the ball, to a place or along a way out.

    Parameters
    ----------
    to_xy : tuple of float, optional
    way : "outside", "straight" or "inside", optional
        A ray from the ball, 45 degrees off the line to our goal or along it, as in `plan.take_over`.
    speed_mps : float
    at_s : float

    Raises
    ------
    BadInput
        If both or neither of `to_xy` and `way` are given, or a value is out of range.

    Examples
    --------
    >>> Dribble(way="inside").speed_mps
    5.0
    >>> Dribble()
    Traceback (most recent call last):
    pressinglib.errors.BadInput: dribble: expected either to_xy or way; got both or neither. Give one of them.
    """

    word: ClassVar[str] = "dribble"
    to_xy: XY | None = None
    way: str | None = None
    speed_mps: float = 5.0
    at_s: float = 0.0

    def __post_init__(self) -> None:
        either("dribble", to_xy=self.to_xy, way=self.way)
        if self.way is not None:
            one_of(self.way, WAYS, "way of the dribble")
        put(self, to_xy=place_of(self.to_xy, "end of the dribble"),
            speed_mps=speed_of(self.speed_mps, "dribble", SLOWEST_RUN_MPS, FASTEST_RUN_MPS),
            at_s=time_of(self.at_s, "dribble"))

    def mirrored(self) -> Dribble:
        """Left and right swapped."""
        return replace(self, to_xy=flipped(self.to_xy))


@dataclass(frozen=True)
class Touch(Plain):
    """A heavy touch: the ball gets away from the carrier and is anybody's.

    Parameters
    ----------
    by_m : float
        How far it is off after 0.8 s, 1 to 15 m; then it rolls out.
    angle_deg : float, optional
        Direction from +x towards +y; default: the way he runs or faces.
    at_s : float

    Raises
    ------
    BadInput

    Examples
    --------
    >>> Touch(by_m=4).mirrored().angle_deg is None
    True
    >>> Touch(by_m=40)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: length of the touch in m: expected a number from 1 to 15; got 40. ...
    """

    word: ClassVar[str] = "touch"
    by_m: float = 3.0
    angle_deg: float | None = None
    at_s: float = 0.0

    def __post_init__(self) -> None:
        angle = None if self.angle_deg is None else as_number(self.angle_deg, "direction of the touch in degrees")
        put(self, by_m=as_number(self.by_m, "length of the touch in m", low=1.0, high=LONGEST_TOUCH_M),
            angle_deg=angle, at_s=time_of(self.at_s, "touch"))

    def mirrored(self) -> Touch:
        """Left and right swapped."""
        return replace(self, angle_deg=None if self.angle_deg is None else -self.angle_deg)


Action: TypeAlias = Pass | Dribble | Touch | Run
ACTIONS: Mapping[str, type[Action]] = {"pass": Pass, "dribble": Dribble, "touch": Touch, "run": Run}


def action_from_dict(d: Mapping[str, Any]) -> Action:
    """The action of `to_dict`; unknown words or keys are a BadInput.

    Examples
    --------
    >>> action_from_dict({"action": "pass", "to": "6"})
    Pass(to='6', kind='ground', speed_mps=None, at_s=0.0, to_xy=None)
    >>> action_from_dict({"action": "shot"})
    Traceback (most recent call last):
    pressinglib.errors.BadInput: action: expected one of pass, dribble, touch, run; got 'shot'. Use one of these.
    """
    word = d.get("action") if isinstance(d, Mapping) else d
    if not isinstance(word, str) or word not in ACTIONS:
        raise BadInput("action", expected="one of " + ", ".join(ACTIONS), got=repr(word), todo="use one of these")
    kind = ACTIONS[word]
    names = set(kind.__dataclass_fields__)
    known_keys(dict(d), word, {"action"} | ({"team", "number"} if kind is Run else set()), names)
    return kind(**{name: value for name, value in d.items() if name != "action"})
