"""What is done in a sequence: passes, dribbles, heavy touches and runs; plain values in the frame of the picture."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import partial
from typing import Any, ClassVar

from pressinglib.errors import BadInput, as_bool, as_items, as_known, as_number, as_whole, as_xy, shown
from pressinglib.field.player import XY
from pressinglib.field.situation import TEAMS, Situation
from pressinglib.roles.settings import WAYS

LATEST_S = 60.0
TRIGGERS = ("heavy touch", "back pass", "slow square pass", "receiver facing own goal", "ball to the full-back",
            "lofted ball")


def _number(value: object, what: str) -> str:
    if not (isinstance(value, str) and value.strip()):
        raise BadInput(what, expected="a shirt number in quotes", got=shown(value), todo="write it as on the shirt")
    return value


# What each value must be, else BadInput; None is let in where it is the default.
NUMBERS = {"speed_mps": (0.5, 10.0), "speed_mps of the pass": (4.0, 40.0), "by_m": (1.0, 15.0), "step_s": (0.05, 0.5),
           "late_s": (0.0, 3.0),
           **dict.fromkeys(("at_s", "until_s", "duration_s"), (0.0, LATEST_S))}
WORDS = {"kind": ("ground", "lofted"), "way": WAYS, "team": TEAMS, "attackers": ("stay", "seek")}
CHECKS: dict[str, Callable[..., Any]] = {
    **{name: partial(as_number, low=low, high=high) for name, (low, high) in NUMBERS.items()},
    **{name: partial(as_known, known=words) for name, words in WORDS.items()},
    **dict.fromkeys(("to", "number", "trap"), _number), "to_xy": as_xy, "angle_deg": as_number, "seed": as_whole,
    "just_lost": as_bool}


class Checked:
    """Values that are checked by `CHECKS` when they are put together."""

    word: ClassVar[str]

    def __post_init__(self) -> None:
        for one in fields(self):  # type: ignore[arg-type]
            value, what = getattr(self, one.name), f"{one.name} of the {self.word}"
            if value is not None or one.default is not None:
                check = CHECKS.get(what) or CHECKS[one.name]
                object.__setattr__(self, one.name, check(value, what=what))


class Action(Checked):
    """What somebody does, not before a time."""

    at_s: float


@dataclass(frozen=True)
class Pass(Action):
    """The ball is passed, not before `at_s`, and as soon as a player of theirs has it under control.

    `to` is the number of the receiver; None: the carrier looks up and takes the team-mate whose lane is most open.
    `kind` is "ground" or "lofted". `speed_mps` is that off the foot, of a lofted ball its mean over the ground; by
    default the rulebook's. `to_xy` is where it is to be met; by default at the receiver, led by as much as he runs.

    Examples
    --------
    >>> Pass("6", at_s=0.5).kind
    'ground'
    >>> Pass("6", kind="high")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: kind of the pass: expected one of ground, lofted; got 'high'. Check the spelling.
    """

    word: ClassVar[str] = "pass"
    to: str | None = None
    kind: str = "ground"
    speed_mps: float | None = None
    at_s: float = 0.0
    to_xy: XY | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.to is None and self.to_xy is not None:
            raise BadInput("pass", expected="a receiver for a pass to a place", got="to_xy alone", todo="give `to` too")


@dataclass(frozen=True)
class Dribble(Action):
    """The carrier runs with the ball, to a place or along a way out.

    `way` is "outside", "straight" or "inside": a ray from the ball, 45 degrees off the line to our goal or along it, as
    in `plan.take_over`.

    Examples
    --------
    >>> Dribble(way="inside").speed_mps
    5.0
    """

    word: ClassVar[str] = "dribble"
    to_xy: XY | None = None
    way: str | None = None
    speed_mps: float = 5.0
    at_s: float = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        if (self.to_xy is None) == (self.way is None):
            raise BadInput("dribble", expected="either to_xy or way", got="both or neither", todo="give one of them")


@dataclass(frozen=True)
class Touch(Action):
    """A heavy touch: the ball gets away from the carrier and is anybody's.

    `by_m` (1 to 15) is how far it is off after 0.8 s; then it rolls out. `angle_deg` is its direction from +x towards
    +y; default: the way he runs or faces.

    Examples
    --------
    >>> Touch(by_m=40)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: by_m of the touch: expected a number from 1 to 15; got 40. ...
    """

    word: ClassVar[str] = "touch"
    by_m: float = 3.0
    angle_deg: float | None = None
    at_s: float = 0.0


@dataclass(frozen=True)
class Run(Action):
    """A player of either team runs to a place, whatever the plan would have him do; a later run takes its place.

    `team` is "pressing" or "possession"; `speed_mps` is as fast as he can where none is given. It is over at `until_s`;
    without that one of us goes back to the plan when he is there, and one of theirs stays.

    Examples
    --------
    >>> Run("home", "9", (0, 0))
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: team of the run: expected one of pressing, possession; got 'home'. ...
    """

    word: ClassVar[str] = "run"
    team: str
    number: str
    to_xy: XY
    speed_mps: float | None = None
    at_s: float = 0.0
    until_s: float | None = None


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

@dataclass(frozen=True)
class SimulationOptions(Checked):
    """See `simulate`."""

    word: ClassVar[str] = "sequence"
    step_s: float = 0.1
    duration_s: float | None = None
    late_s: float = 0.0
    seed: int | None = None
    attackers: str = "stay"
    trap: str | None = None
    just_lost: bool = False
