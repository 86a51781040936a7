"""The ball on its way: along the ground, through the air, or rolling loose."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pressinglib.physics.ball import DRAG_PER_M, ball_time, lofted_time
from pressinglib.roles.picture import LEAST_LOFT_S, SWITCH_ANGLE_DEG, Floats
from pressinglib.roles.settings import Settings

ROLL_MPS2 = 1.0  # a loose ball slows by this (D: 0.7 to 1.5 follow from ball-roll tests, from second hand)
TOUCH_S = 0.8  # after this a heavy touch is as far off as it says (D)
KEPT_ON_LANDING = 0.5  # share of its forward speed that a lofted ball keeps (D)
OVERHEAD_M = 2.2  # nobody plays a ball higher than this, about a jumping header (D)
GRAVITY_MPS2 = 9.8
LONGEST_LOFT_S = 4.5  # no ball is longer in the air (D: its top is then at 25 m)


@dataclass(frozen=True, eq=False)
class Travel:
    """A straight way of the ball, begun at `begun_s`; height and speed follow from its kind."""

    kind: str  # "ground", "lofted" or "loose"
    begun_s: float
    start: Floats  # (2,)
    unit: Floats  # (2,)
    length_m: float  # to where it is aimed
    speed_mps: float  # over the ground, at the start
    flight_s: float = 0.0  # of a lofted ball

    def along_m(self, time_s: Floats) -> Floats:
        """Metres from the start at times (...)."""
        t = np.maximum(np.asarray(time_s, float) - self.begun_s, 0.0)
        if self.kind == "loose":
            return _rolled(self.speed_mps, t)
        if self.kind == "ground":
            return _dragged(self.speed_mps, t)
        return _dragged(self.speed_mps, np.minimum(t, self.flight_s)) + _rolled(
            self._landing_mps, np.maximum(t - self.flight_s, 0.0))

    def xy(self, time_s: Floats) -> Floats:
        """(..., 2) places at times (...)."""
        return np.asarray(self.start + self.along_m(time_s)[..., None] * self.unit)

    def height_m(self, time_s: Floats) -> Floats:
        """Heights at times (...): a throw of the given time in the air (own arithmetic, drag left out)."""
        t = np.asarray(time_s, float) - self.begun_s
        return np.asarray(np.maximum(0.5 * GRAVITY_MPS2 * t * (self.flight_s - t), 0.0))

    def velocity(self, time_s: float) -> Floats:
        """(2,) over the ground."""
        step = 1e-3
        metres = self.along_m(np.array([time_s, time_s + step]))
        return np.asarray(self.unit * (metres[1] - metres[0]) / step)

    @property
    def aim(self) -> Floats:
        """(2,) where it is to be met."""
        return np.asarray(self.start + self.unit * self.length_m)

    @property
    def travel_s(self) -> float:
        """Seconds from the start to the aim."""
        if self.kind == "ground":
            return float(ball_time(self.length_m, self.speed_mps))
        return self.flight_s if self.kind == "lofted" else TOUCH_S

    @property
    def _landing_mps(self) -> float:
        return float(KEPT_ON_LANDING * self.speed_mps * np.exp(-DRAG_PER_M * self.length_m))


def _dragged(speed: float, t: Floats) -> Floats:
    """Way along the ground, slowed by the air (the law of `ball_time`)."""
    return np.asarray(np.log1p(DRAG_PER_M * speed * t) / DRAG_PER_M)


def _rolled(speed: float, t: Floats) -> Floats:
    t = np.minimum(t, speed / ROLL_MPS2)
    return np.asarray(speed * t - 0.5 * ROLL_MPS2 * t * t)


def _way(start: Floats, aim: Floats) -> tuple[Floats, float]:
    """Unit vector and length; a ball aimed at its own place goes towards our goal."""
    way = aim - start
    length = float(np.hypot(*way))
    return (way / length, length) if length > 1e-9 else (np.array([-1.0, 0.0]), 0.0)


def passed(kind: str, begun_s: float, start: Floats, aim: Floats, speed_mps: float | None, s: Settings) -> Travel:
    """A pass to a place; a lofted one takes at least 1 s, like those of the plan, and at most 4.5 s."""
    unit, length = _way(start, aim)
    if kind == "ground":
        return Travel(kind, begun_s, start, unit, length, s.ball_mps if speed_mps is None else speed_mps)
    flight = float(lofted_time(length, s.switch_mps, SWITCH_ANGLE_DEG)) if speed_mps is None else length / speed_mps
    flight = min(max(flight, LEAST_LOFT_S), LONGEST_LOFT_S)
    speed = float(np.expm1(DRAG_PER_M * length) / DRAG_PER_M) / flight
    return Travel(kind, begun_s, start, unit, length, speed, flight)


def touched(begun_s: float, start: Floats, unit: Floats, by_m: float) -> Travel:
    """A heavy touch: `by_m` off after 0.8 s, then it rolls out."""
    return Travel("loose", begun_s, start, unit, by_m, by_m / TOUCH_S + 0.5 * ROLL_MPS2 * TOUCH_S)


def rolling(begun_s: float, start: Floats, velocity: Floats) -> Travel:
    """A loose ball that is already moving, or lies still."""
    speed = float(np.hypot(*velocity))
    unit = velocity / speed if speed > 1e-9 else np.array([-1.0, 0.0])
    return Travel("loose", begun_s, start, unit, 0.0, speed)


def in_flight(travel: Travel, height_m: float) -> Travel:
    """The same lofted ball, already as high as that: its flight began before, and lasts as long as is left of it."""
    gone = 2 * height_m / (GRAVITY_MPS2 * travel.flight_s)
    whole = travel.flight_s + gone
    length = travel.length_m * whole / travel.flight_s
    before = replace(travel, begun_s=travel.begun_s - gone, flight_s=whole, length_m=length)
    behind = float(before.along_m(np.array(travel.begun_s)))
    return replace(before, start=travel.start - travel.unit * behind, length_m=travel.length_m + behind)
