"""Many pictures over time, as frozen arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, as_a, as_array, as_items
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import Player
from pressinglib.field.situation import PASSER_M, RESTARTS, Situation

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
SHEETS = ("pressing_numbers", "pressing_slots", "possession_numbers", "possession_slots")


@dataclass(frozen=True, eq=False)
class Frames:
    """Pictures of the same two teams over F moments; NaN stands for an absent player.

    Parameters
    ----------
    pitch : Pitch
    pressing_numbers, pressing_slots, possession_numbers, possession_slots : tuple of str
        The team sheets, N and M long.
    pressing_xy, possession_xy : ndarray, (F, N, 2) and (F, M, 2)
        Metres; the pressing team defends x = -length/2.
    ball_xy : ndarray, (F, 2)
    pressing_velocity, possession_velocity, ball_velocity : ndarray, optional
        m/s; at rest where not given.
    carrier, receiver : ndarray of int, (F,), optional
        Index into the possession sheet, -1 for nobody. Carrier -2: the nearest within reach has the ball.
    ball_height_m, time_s : ndarray, (F,), optional
    facing_deg : ndarray, (F, M), optional
        Body direction of the team in possession; NaN is unknown.
    restart : ndarray of int, (F,), optional
        0 in play, 1 throw-in, 2 goal kick, 3 keeper holds.
    pressing_top_mps, possession_top_mps : ndarray, (F, N) and (F, M), optional
        Top speed of each player; NaN: as everybody.

    BadInput if shapes do not fit each other.

    >>> s = Situation.line_up(ball_xy=(30, 10))
    >>> frames = Frames.of([s, s.with_ball((20, 0))])
    >>> len(frames), frames.situation(1).ball_xy
    (2, (20.0, 0.0))
    """

    pitch: Pitch
    pressing_numbers: tuple[str, ...]
    pressing_slots: tuple[str, ...]
    possession_numbers: tuple[str, ...]
    possession_slots: tuple[str, ...]
    pressing_xy: Floats
    possession_xy: Floats
    ball_xy: Floats
    pressing_velocity: Floats = None  # type: ignore[assignment]
    possession_velocity: Floats = None  # type: ignore[assignment]
    ball_velocity: Floats = None  # type: ignore[assignment]
    carrier: Ints = None  # type: ignore[assignment]
    receiver: Ints = None  # type: ignore[assignment]
    ball_height_m: Floats = None  # type: ignore[assignment]
    facing_deg: Floats = None  # type: ignore[assignment]
    restart: Ints = None  # type: ignore[assignment]
    time_s: Floats = None  # type: ignore[assignment]
    pressing_top_mps: Floats = None  # type: ignore[assignment]
    possession_top_mps: Floats = None  # type: ignore[assignment]

    def __post_init__(self) -> None:
        as_a(self.pitch, Pitch, "pitch of frames", "use Pitch()")
        for name in SHEETS:
            texts = as_items(getattr(self, name), str, f"frames, {name}", "a list of texts", "give one a player")
            object.__setattr__(self, name, texts)
        ours, theirs = len(self.pressing_numbers), len(self.possession_numbers)
        object.__setattr__(self, "ball_xy", np.atleast_1d(as_array(self.ball_xy, "frames, ball_xy")))
        blank: dict[str, tuple[tuple[int, ...], float]] = {
            "pressing_xy": ((ours, 2), 0.0), "possession_xy": ((theirs, 2), 0.0), "ball_xy": ((2,), 0.0),
            "pressing_velocity": ((ours, 2), 0.0), "possession_velocity": ((theirs, 2), 0.0),
            "ball_velocity": ((2,), 0.0), "carrier": ((), -2), "receiver": ((), -1), "ball_height_m": ((), 0.0),
            "facing_deg": ((theirs,), np.nan), "restart": ((), 0), "time_s": ((), 0.0),
            "pressing_top_mps": ((ours,), np.nan), "possession_top_mps": ((theirs,), np.nan)}
        for name, (of_one, fill) in blank.items():
            shape, given = (len(self.ball_xy), *of_one), getattr(self, name)
            kind = int if name in ("carrier", "receiver", "restart") else float
            array = frozen(f"frames, {name}", np.full(shape, fill) if given is None else given, kind, shape)
            object.__setattr__(self, name, array)

    def __len__(self) -> int:
        return len(self.ball_xy)

    def __repr__(self) -> str:
        pitch, ours, theirs = self.pitch, self.pressing_numbers, self.possession_numbers
        until = f", {self.time_s[0]:.3g} to {self.time_s[-1]:.3g} s" if len(self) else ""
        return (f"Frames: {len(self)} pictures{until}, pitch {pitch.length_m:g} x {pitch.width_m:g} m\n"
                f"pressing: {', '.join(ours)}\npossession: {', '.join(theirs)}")

    def take(self, index: Any) -> Frames:
        """The frames of an index, slice or mask."""
        rows: dict[str, Any] = {f.name: getattr(self, f.name)[index] for f in fields(self)[5:]}
        return replace(self, **rows)

    @classmethod
    def of(cls, situations: Sequence[Situation]) -> Frames:
        """Frames of pictures that share their two team sheets."""
        if not situations:
            raise BadInput("frames", expected="at least one picture", got="none", todo="give a list of Situation")
        shared = sheets_of(situations[0])
        if any(sheets_of(s) != shared for s in situations):
            raise BadInput("frames", expected="the same pitch and team sheets in every picture", got="different ones",
                           todo="plan such pictures one by one")
        return cls(*shared, **_arrays(situations))

    def situation(self, i: int) -> Situation:
        """Frame `i` as a Situation; absent players are left out, and to a far carrier the ball is on its way."""
        def team(side: str, *known: Floats) -> tuple[Player, ...]:
            numbers, slots, xy, v = (getattr(self, f"{side}_{what}") for what in ("numbers", "slots", "xy", "velocity"))
            own = [[None if np.isnan(value) else float(value) for value in values[i]] for values in known]
            here = np.isfinite(xy[i]).all(-1)
            sheet = zip(here, numbers, slots, map(tuple, xy[i]), map(tuple, v[i]), *own, strict=True)
            return tuple(Player(*values) for there, *values in sheet if there)

        def number(k: int) -> str | None:
            return self.possession_numbers[k] if k >= 0 else None

        restart, unknown = int(self.restart[i]), np.full_like(self.pressing_top_mps, np.nan)
        carrier, receiver = int(self.carrier[i]), int(self.receiver[i])
        if carrier >= 0 > receiver and np.linalg.norm(self.possession_xy[i, carrier] - self.ball_xy[i]) > PASSER_M:
            carrier, receiver = -1, carrier
        return Situation(
            self.pitch, team("pressing", unknown, self.pressing_top_mps),
            team("possession", self.facing_deg, self.possession_top_mps),
            tuple(self.ball_xy[i]), number(carrier), number(receiver),
            tuple(self.ball_velocity[i]), float(self.ball_height_m[i]), RESTARTS[restart - 1] if restart else None)


def frozen(what: str, values: Any, kind: type, shape: tuple[int, ...]) -> NDArray[Any]:
    """Values as an array of this shape that nobody changes, else BadInput."""
    array: NDArray[Any] = as_array(values, what, kind)
    if array.shape != shape:
        raise BadInput(what, expected=f"shape {shape}", got=f"shape {array.shape}",
                       todo="give one row a moment and one column a player of the sheet")
    array.setflags(write=False)
    return array


def sheets_of(s: Situation) -> tuple[Any, ...]:
    """Pitch and team sheets."""
    return (s.pitch, *(tuple(getattr(p, what) for p in team)
                       for team in (s.pressing, s.possession) for what in ("number", "slot")))


def _arrays(situations: Sequence[Situation]) -> dict[str, Any]:
    numbers = [p.number for p in situations[0].possession]

    def index(number: str | None, none: int) -> int:
        return none if number is None else numbers.index(number)

    def of_team(team: str, what: str) -> list[Any]:
        return [[getattr(p, what) for p in getattr(s, team)] for s in situations]

    def known(team: str, what: str) -> list[Any]:
        return [[np.nan if value is None else value for value in row] for row in of_team(team, what)]

    return {
        **{f"{team}_{what}": of_team(team, what) for team in ("pressing", "possession") for what in ("xy", "velocity")},
        **{name: [getattr(s, name) for s in situations] for name in ("ball_xy", "ball_velocity", "ball_height_m")},
        **{f"{team}_top_mps": known(team, "top_speed_mps") for team in ("pressing", "possession")},
        "carrier": [index(s.carrier, -2) for s in situations], "receiver": [index(s.receiver, -1) for s in situations],
        "facing_deg": known("possession", "facing_deg"),
        "restart": [0 if s.restart is None else 1 + RESTARTS.index(s.restart) for s in situations]}
