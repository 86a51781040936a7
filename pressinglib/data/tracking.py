"""A match in tracking data: both teams and the ball over time, and the frames in which one of them defends."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from pressinglib.doors import door_class
from pressinglib.errors import BadInput, as_known
from pressinglib.field.frames import Frames, frozen
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.field.situation import CONTROL_M
from pressinglib.roles.picture import norm

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int_]
Side = Literal["home", "away"]

SIDES: tuple[Side, Side] = ("home", "away")
LAST_PERIOD = 5  # 1 and 2 the halves, 3 and 4 extra time, 5 the shootout
PLAYER_MPS, BALL_MPS = 10.0, 35.0  # what is faster is a jump of the measurement (own choice)
KINDS = {"time_s": float, "ball_xy": float, "ball_height_m": float, "alive": bool, "frame_id": int, "period": int,
         "given": int, "clock_s": float}
HELD_BELOW_M = 1.0  # a ball above this is at nobody's feet (own choice)
HALF_WINDOW_S = 0.15  # long enough to smooth the measurement, short against a turn (own choice)


# -- velocities from places --------------------------------------------------------------------------------------------


def velocity(time_s: Floats, xy: Floats, most_mps: float) -> Floats:
    """(T, ..., 2) m/s of places (T, ..., 2): central differences over about 0.3 s, at most `most_mps`.

    One-sided beside a gap (a step of more than twice the usual one), beside a missing place (NaN), and at both ends; 0
    where a place is missing or has no other near enough in time.
    """
    reach = max(round(HALF_WINDOW_S / float(np.median(np.diff(time_s)))), 1)
    rows, starts = np.arange(len(time_s)), np.flatnonzero(gaps(time_s))
    part = np.searchsorted(starts, rows, side="right")  # no difference lies across a gap
    reached = (np.maximum(rows - reach, np.append(0, starts)[part]),
               np.minimum(rows + reach, np.append(starts, len(rows))[part] - 1))
    time = np.broadcast_to(time_s.reshape(-1, *[1] * (xy.ndim - 1)), (*xy.shape[:-1], 1))
    lost = [np.isnan(xy[end]).any(-1, keepdims=True) for end in reached]
    start, stop = (np.where(gone, xy, xy[end]) for gone, end in zip(lost, reached, strict=True))
    start_s, stop_s = (np.where(gone, time, time[end]) for gone, end in zip(lost, reached, strict=True))
    pace = np.where(np.isnan(xy), 0.0, np.nan_to_num((stop - start) / np.maximum(stop_s - start_s, 1e-9)))
    return np.asarray(pace * np.minimum(1.0, most_mps / np.maximum(norm(pace)[..., None], 1e-9)))


def gaps(time_s: Floats) -> Bools:
    """(T,) a moment follows the one before by more than twice the usual step."""
    step = np.diff(time_s)
    return np.append(False, step > 2.0 * np.median(step))


def jumps(time_s: Floats, xy: Floats, most_mps: float) -> Bools:
    """(T, ...) a place that cannot be reached from the one before at `most_mps`, and not across a gap."""
    limit_m = np.where(gaps(time_s)[1:], np.inf, most_mps * np.diff(time_s))
    fast = np.nan_to_num(norm(np.diff(xy, axis=0))).T > limit_m
    return np.concatenate([np.zeros_like(fast.T[:1]), fast.T])


# -- the match ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False, repr=False)
class Team:
    """One side: its sheet, N long, and where everybody is over T moments, (T, N, 2); NaN where he is not seen.

    `ids` are the names that the source has for the players; the numbers, where it has none.
    """

    numbers: tuple[str, ...]
    slots: tuple[str, ...]
    xy: Floats
    ids: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return f"{len(self.numbers)} players: {', '.join(self.numbers)}"


@door_class
@dataclass(frozen=True, eq=False, repr=False)
class Tracking:
    """A match, or a part of one: T moments, metres, origin at the centre spot, the home side attacking +x.

    Parameters
    ----------
    pitch : Pitch
    home, away : Team
    time_s, ball_xy, ball_height_m : ndarray, (T,), (T, 2) and (T,)
        Times rise, else BadInput.
    alive, frame_id : ndarray, (T,)
        Whether the ball is in play; the numbers that the source gives its frames.
    period, given : ndarray of int, (T,), optional
        1 and 2 the halves, 3 and 4 extra time, 5 the shootout (1); whose ball it is by the source: 1 home, -1 away, 0
        it does not say (0).
    clock_s : ndarray, (T,), optional
        The source's own clock, by which its events are found; `time_s` if left out.

    >>> nine = Team(("9",), ("centre-forward",), np.array([[[10.0, 0]], [[10.4, 0]]]))
    >>> four = Team(("4",), ("outfield",), np.array([[[14.0, 0]], [[14.0, 0]]]))
    >>> match = Tracking(Pitch(), nine, four, *map(np.array, ([0, 0.1], [[14.5, 0], [10, 0]], [0, 0], [1, 1], [7, 8])))
    >>> match.carrier("home").tolist(), match.carrier("away").tolist()
    ([-1, 0], [0, -1])
    >>> frames = match.defending("away")
    >>> frames.ball_xy.tolist(), frames.possession_velocity.round(1).tolist()
    ([[-10.0, 0.0]], [[[-4.0, 0.0]]])
    """

    pitch: Pitch
    home: Team
    away: Team
    time_s: Floats
    ball_xy: Floats
    ball_height_m: Floats
    alive: Bools
    frame_id: Ints
    period: Ints = None  # type: ignore[assignment]
    given: Ints = None  # type: ignore[assignment]
    clock_s: Floats = None  # type: ignore[assignment]

    def __post_init__(self) -> None:
        count = len(self.time_s)
        blank = {"period": np.ones(count), "given": np.zeros(count), "clock_s": self.time_s}
        for name, kind in KINDS.items():
            shape = (count, 2) if name == "ball_xy" else (count,)
            values = blank[name] if getattr(self, name) is None else getattr(self, name)
            object.__setattr__(self, name, frozen(f"tracking, {name}", values, kind, shape))
        for side in SIDES:
            team = getattr(self, side)
            xy = frozen(f"tracking, {side} places", team.xy, float, (count, len(team.numbers), 2))
            object.__setattr__(self, side, Team(team.numbers, team.slots, xy, team.ids or team.numbers))
        if count < 2 or not (np.diff(self.time_s) > 0).all():
            raise BadInput("tracking, time", expected="at least two moments, each later than the one before",
                           got=f"{count} moments, or a step back", todo="sort the frames by time, each only once")
        if self.period.min() < 1 or self.period.max() > LAST_PERIOD:
            raise BadInput("tracking, period", expected=f"numbers from 1 to {LAST_PERIOD}",
                           got=f"{self.period.min()} to {self.period.max()}", todo="number the periods")

    def __len__(self) -> int:
        return len(self.time_s)

    def __repr__(self) -> str:
        periods = ", ".join(map(str, np.unique(self.period)))
        return (f"Match of {len(self)} frames, {self.time_s[-1] - self.time_s[0]:.1f} s, periods {periods}, pitch "
                f"{self.pitch.length_m:g} x {self.pitch.width_m:g} m\nhome: {self.home!r}\naway: {self.away!r}")

    def carrier(self, side: Side) -> Ints:
        """(T,) index of the nearest of `side`, within 1.5 m of a ball in play below 1 m, nobody nearer; else -1."""
        ours, theirs = (np.nan_to_num(norm(team.xy - self.ball_xy[:, None]), nan=np.inf)
                        for team in self.sides(side)[:2])
        near = ours.min(1, initial=np.inf)
        has = self.alive & (near <= CONTROL_M) & (near <= theirs.min(1, initial=np.inf))
        return np.where(has & (self.ball_height_m < HELD_BELOW_M), ours.argmin(1), -1)

    def frames(self, pressing: Side, rows: Any, carrier: Any = None, receiver: Any = None) -> Frames:
        """Some moments (index, slice or mask) as Frames, turned so that the team that presses attacks +x.

        `carrier` and `receiver` are indexes into the other side's sheet, one a row; left out, the nearest within 1.5 m
        has the ball. Velocities are central differences over about 0.3 s. Players faster than 10 m/s and balls faster
        than 35 m/s are jumps of the measurement and slowed to that; who is more than 3 m off the pitch is put there.
        """
        ours, theirs, turn = self.sides(pressing)

        def placed(xy: Floats) -> Floats:
            return self.pitch.inside(turn * xy[rows], -OUTSIDE_M)

        def pace(xy: Floats, most_mps: float) -> Floats:
            return turn * velocity(self.time_s, xy, most_mps)[rows]

        return Frames(
            self.pitch, ours.numbers, ours.slots, theirs.numbers, theirs.slots, placed(ours.xy), placed(theirs.xy),
            placed(self.ball_xy), pace(ours.xy, PLAYER_MPS), pace(theirs.xy, PLAYER_MPS), pace(self.ball_xy, BALL_MPS),
            carrier, receiver, np.maximum(self.ball_height_m[rows], 0.0), time_s=self.time_s[rows])

    def defending(self, side: Side) -> Frames:
        """The frames in which the other side has the ball, as `frames`; `carrier` says who."""
        carrier = self.carrier("away" if side == "home" else "home")
        rows = np.flatnonzero(carrier >= 0)
        return self.frames(side, rows, carrier[rows])

    def part(self, start: int, stop: int, home_slots: tuple[str, ...], away_slots: tuple[str, ...]) -> Tracking:
        """The moments from `start` up to `stop`, with the slots that the players have in them."""
        rows = slice(start, stop)
        home, away = (replace(team, slots=slots, xy=team.xy[rows])
                      for team, slots in ((self.home, home_slots), (self.away, away_slots)))
        return replace(self, home=home, away=away, **{name: getattr(self, name)[rows] for name in KINDS})

    def sides(self, first: Side) -> tuple[Team, Team, float]:
        """One side, the other, and 1 or -1, by which places are turned so that the first attacks +x."""
        if as_known(first, SIDES, "side") == "home":
            return self.home, self.away, 1.0
        return self.away, self.home, -1.0
