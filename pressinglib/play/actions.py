"""What is done in a sequence: passes, dribbles, heavy touches and runs; plain values in the frame of the picture."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Sequence as Many
from dataclasses import asdict, dataclass
from typing import Any, ClassVar

from pressinglib.errors import BadInput, as_bool, as_choice, as_items, as_known, as_number, as_whole, as_xy, shown
from pressinglib.field.player import XY
from pressinglib.field.situation import TEAMS, Situation
from pressinglib.roles.settings import WAYS

LATEST_S = 60.0
KINDS = ("ground", "lofted")
BALL_MPS, RUN_MPS, TOUCH_M = (4.0, 40.0), (0.5, 10.0), (1.0, 15.0)  # least and most


class Action:
    """What somebody does, not before a time."""

    word: ClassVar[str]
    at_s: float

    def to_dict(self) -> dict[str, Any]:
        """Plain values, fit for JSON."""
        return {"action": self.word, **asdict(self)}  # type: ignore[call-overload]

    def _put(self, **values: Any) -> None:
        """Write checked values, and the time, into the frozen action."""
        values["at_s"] = _time(self.at_s, self.word)
        for name, value in values.items():
            object.__setattr__(self, name, value)


@dataclass(frozen=True)
class Pass(Action):
    """The ball is passed, not before `at_s`, and as soon as a player of theirs has it under control.

    Parameters
    ----------
    to : str, optional
        Number of the receiver. None: the carrier looks up and takes the team-mate whose lane is most open.
    kind : "ground" or "lofted"
    speed_mps : float, optional
        Off the foot; for a lofted ball its mean speed over the ground. Default: the rulebook's.
    to_xy : tuple of float, optional
        Where the ball is to be met; default: at the receiver, led by as much as he runs.

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
        if self.to is not None:
            _check_number(self.to, "receiver of the pass")
        elif self.to_xy is not None:
            raise BadInput("pass", expected="a receiver for a pass to a place", got="to_xy alone", todo="give `to` too")
        as_choice(self.kind, KINDS, "kind of pass")
        self._put(speed_mps=_speed(self.speed_mps, "pass", BALL_MPS), to_xy=_place(self.to_xy, "aim of the pass"))


@dataclass(frozen=True)
class Dribble(Action):
    """The carrier runs with the ball, to a place or along a way out.

    Parameters
    ----------
    to_xy : tuple of float, optional
    way : "outside", "straight" or "inside", optional
        A ray from the ball, 45 degrees off the line to our goal or along it, as in `plan.take_over`.
    speed_mps : float

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
        _check_either("dribble", to_xy=self.to_xy, way=self.way)
        if self.way is not None:
            as_choice(self.way, WAYS, "way of the dribble")
        self._put(to_xy=_place(self.to_xy, "end of the dribble"), speed_mps=_speed(self.speed_mps, "dribble", RUN_MPS))


@dataclass(frozen=True)
class Touch(Action):
    """A heavy touch: the ball gets away from the carrier and is anybody's.

    Parameters
    ----------
    by_m : float
        How far it is off after 0.8 s, 1 to 15 m; then it rolls out.
    angle_deg : float, optional
        Direction from +x towards +y; default: the way he runs or faces.

    Examples
    --------
    >>> Touch(by_m=4).angle_deg is None
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
        low, high = TOUCH_M
        self._put(by_m=as_number(self.by_m, "length of the touch in m", low=low, high=high), angle_deg=angle)


@dataclass(frozen=True)
class Run(Action):
    """A player of either team runs to a place or along a path, whatever the plan would have him do.

    Parameters
    ----------
    team, number : str
        "pressing" or "possession", and his number.
    to_xy or path : tuple of float, or of points
        Where he runs; places of a path are passed one after another.
    speed_mps : float, optional
        Default: as fast as he can.
    until_s : float, optional
        When it is over. Default: one of us goes back to the plan when he is there; one of theirs stays there.

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
        as_choice(self.team, TEAMS, "team of the run")
        _check_number(self.number, "number of the run")
        _check_either("run", to_xy=self.to_xy, path=self.path)
        self._put(to_xy=_place(self.to_xy, "end of the run"), path=self._points(),
                  speed_mps=_speed(self.speed_mps, "run", RUN_MPS),
                  until_s=None if self.until_s is None else _time(self.until_s, "end of the run"))

    def _points(self) -> tuple[XY, ...] | None:
        if self.path is None:
            return None
        points = tuple(self.path) if isinstance(self.path, Iterable) else ()
        if not points:
            raise BadInput("path of the run", expected="places (x, y)", got=shown(self.path), todo="give at least one")
        return tuple(as_xy(xy, "path of the run") for xy in points)

    @property
    def places(self) -> tuple[XY, ...]:
        """Places to be passed one after another."""
        return self.path or ((self.to_xy,) if self.to_xy is not None else ())


def checked_actions(situation: Situation, actions: Any) -> tuple[Action, ...]:
    """Actions by players of the picture, else BadInput."""
    if isinstance(actions, Action):
        actions = [actions]
    given = as_items(actions, Action, "actions", "a list of Pass, Dribble, Touch or Run", "put them in brackets")
    for action in given:
        if isinstance(action, Pass) and action.to is not None:
            situation.player("possession", action.to)
        if isinstance(action, Run):
            situation.player(action.team, action.number)  # type: ignore[arg-type]
    return given


# -- How a sequence is simulated: the named arguments of `simulate`, checked.

TRIGGERS = ("heavy touch", "back pass", "slow square pass", "receiver facing own goal", "ball to the full-back",
            "lofted ball")
ATTACKERS = ("stay", "seek")
LIMITS = {"step_s": (0.05, 0.5), "duration_s": (0.0, LATEST_S), "late_s": (0.0, 3.0), "counter_press_s": (3.0, 8.0),
          "handover_s": (0.0, 2.0)}


@dataclass(frozen=True)
class SimulationOptions:
    """See `simulate`."""

    step_s: float = 0.1
    duration_s: float | None = None
    late_s: float = 0.0
    seed: int | None = None
    attackers: str = "stay"
    triggers: Many[str] = TRIGGERS
    trap: str | None = None
    just_lost: bool = False
    counter_press_s: float = 5.0
    handover_s: float = 0.4

    def __post_init__(self) -> None:
        for name, (low, high) in LIMITS.items():
            if getattr(self, name) is not None or name != "duration_s":
                object.__setattr__(self, name, as_number(getattr(self, name), name, low=low, high=high))
        as_bool(self.just_lost, "just_lost")
        as_choice(self.attackers, ATTACKERS, "attackers", "use one of the two")
        if self.seed is not None:
            as_whole(self.seed, "seed")
        object.__setattr__(self, "triggers", checked_triggers(self.triggers))


# -- What a value must be, else BadInput.


def checked_triggers(names: Many[str]) -> tuple[str, ...]:
    """The names, or UnknownName for one that is no trigger."""
    if isinstance(names, str) or not isinstance(names, Many):
        raise BadInput("triggers", expected="a list of names", got=shown(names), todo="put them in brackets")
    return tuple(as_known(name, TRIGGERS, "trigger") for name in names)


def _check_number(value: object, what: str) -> None:
    if not (isinstance(value, str) and value.strip()):
        raise BadInput(what, expected="a shirt number in quotes", got=shown(value), todo="write it as on the shirt")


def _check_either(action: str, **given: Any) -> None:
    if sum(value is not None for value in given.values()) != 1:
        raise BadInput(action, expected="either " + " or ".join(given), got="both or neither", todo="give one of them")


def _speed(value: object, what: str, limits: tuple[float, float]) -> float | None:
    low, high = limits
    return None if value is None else as_number(value, f"speed of the {what} in m/s", low=low, high=high)


def _time(value: object, what: str) -> float:
    return as_number(value, f"time of the {what} in s", low=0.0, high=LATEST_S)


def _place(value: object, what: str) -> XY | None:
    return None if value is None else as_xy(value, what)
