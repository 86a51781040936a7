"""Where everything is now: the one thing that changes while a sequence is played."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pressinglib.field.frames import Frames
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import BALL_TOP_MPS, CONTROL_M, HIGHEST_M, Situation
from pressinglib.physics.ball import DRAG_PER_M, GRAVITY_MPS2, ball_time, lofted_time
from pressinglib.roles.picture import LEAST_LOFT_S, SWITCH_ANGLE_DEG, Bools, Floats, norm, side_of, unit
from pressinglib.roles.settings import NOBODY, Settings

# -- The ball on its way: along the ground, through the air, or rolling loose.

ROLL_MPS2 = 1.0  # a loose ball slows by this (D: 0.7 to 1.5 follow from ball-roll tests, from second hand)
TOUCH_S = 0.8  # after this a heavy touch is as far off as it says (D)
KEPT_ON_LANDING = 0.5  # share of its forward speed that a lofted ball keeps (D)
OVERHEAD_M = 2.2  # nobody plays a ball higher than this, about a jumping header (D)
LONGEST_LOFT_S = 4.5  # no ball is longer in the air (D: its top is then at 25 m)
LONGEST_LOFT_M = 110.0  # ... nor comes down further off, at the speed that a picture lets in


@dataclass(frozen=True, eq=False)
class Travel:
    """A straight way of the ball, begun at `begun_s`; height and speed follow from its kind."""

    kind: str  # "ground", "lofted" or "loose"
    begun_s: float
    start: Floats  # (2,)
    unit: Floats  # (2,)
    length_m: float  # to where it is aimed
    speed_mps: float  # over the ground, at the start
    travel_s: float  # from the start to the aim

    def along_m(self, time_s: Floats) -> Floats:
        """Metres from the start at times (...)."""
        t = np.maximum(np.asarray(time_s, float) - self.begun_s, 0.0)
        if self.kind == "loose":
            return _rolled(self.speed_mps, t)
        if self.kind == "ground":
            return _dragged(self.speed_mps, t)
        landing_mps = KEPT_ON_LANDING * self.speed_mps * float(np.exp(-DRAG_PER_M * self.length_m))
        flown, rolls_s = np.minimum(t, self.travel_s), np.maximum(t - self.travel_s, 0.0)
        return _dragged(self.speed_mps, flown) + _rolled(landing_mps, rolls_s)

    def xy(self, time_s: Floats) -> Floats:
        """(..., 2) places at times (...)."""
        return np.asarray(self.start + self.along_m(time_s)[..., None] * self.unit)

    def height_m(self, time_s: Floats | float) -> Floats:
        """Heights at times (...): a throw of the given time in the air (own arithmetic, drag left out)."""
        t = np.asarray(time_s, float) - self.begun_s
        return np.asarray(np.maximum(0.5 * GRAVITY_MPS2 * t * (self.travel_s - t), 0.0) * (self.kind == "lofted"))

    def velocity(self, time_s: float) -> Floats:
        """(2,) over the ground."""
        metres = self.along_m(np.array([time_s, time_s + 1e-3]))
        return np.asarray(self.unit * (metres[1] - metres[0]) / 1e-3)

    @property
    def aim(self) -> Floats:
        """(2,) where it is to be met."""
        return np.asarray(self.start + self.unit * self.length_m)


def _dragged(speed: float, t: Floats) -> Floats:
    """Way along the ground, slowed by the air (the law of `ball_time`)."""
    return np.asarray(np.log1p(DRAG_PER_M * speed * t) / DRAG_PER_M)


def _rolled(speed: float, t: Floats) -> Floats:
    t = np.minimum(t, speed / ROLL_MPS2)
    return np.asarray(speed * t - 0.5 * ROLL_MPS2 * t * t)


def passed(kind: str, begun_s: float, start: Floats, aim: Floats, speed_mps: float | None, s: Settings) -> Travel:
    """A pass to a place; a lofted one takes at least 1 s, like those of the plan, and at most 4.5 s."""
    way, length = unit(aim - start), float(norm(aim - start))
    if kind == "ground":
        speed = s.ball_mps if speed_mps is None else speed_mps
        return Travel(kind, begun_s, start, way, length, speed, float(ball_time(length, speed)))
    flight = float(lofted_time(length, s.switch_mps, SWITCH_ANGLE_DEG)) if speed_mps is None else length / speed_mps
    flight, length = min(max(flight, LEAST_LOFT_S), LONGEST_LOFT_S), min(length, LONGEST_LOFT_M)
    drawn_out_m = float(np.expm1(DRAG_PER_M * length) / DRAG_PER_M)
    flight = max(flight, drawn_out_m / BALL_TOP_MPS)
    return Travel(kind, begun_s, start, way, length, drawn_out_m / flight, flight)


def touched(begun_s: float, start: Floats, way: Floats, by_m: float) -> Travel:
    """A heavy touch: `by_m` off after 0.8 s, then it rolls out."""
    return Travel("loose", begun_s, start, way, by_m, by_m / TOUCH_S + 0.5 * ROLL_MPS2 * TOUCH_S, TOUCH_S)


def rolling(begun_s: float, start: Floats, velocity: Floats) -> Travel:
    """A loose ball that is already moving, or lies still."""
    return Travel("loose", begun_s, start, unit(velocity), 0.0, float(norm(velocity)), TOUCH_S)


def in_flight(travel: Travel, height_m: float) -> Travel:
    """The same lofted ball, already as high as that: its flight began before, and lasts as long as is left of it."""
    gone = 2 * height_m / (GRAVITY_MPS2 * travel.travel_s)
    whole = travel.travel_s + gone
    length = travel.length_m * whole / travel.travel_s
    before = replace(travel, begun_s=travel.begun_s - gone, travel_s=whole, length_m=length)
    behind = float(before.along_m(np.array(travel.begun_s)))
    return replace(before, start=travel.start - travel.unit * behind, length_m=travel.length_m + behind)


# -- What happened.

OURS = ("pass intercepted", "ball won", "offside")  # the ball is ours after these
OVER = (*OURS, "out of play")


@dataclass(frozen=True)
class Event:
    """Something that happened: when, its kind, the numbers of the players concerned, a sentence.

    Kinds: pass played, pass forced back, pass forced long, pass received, receiver free, dribble, heavy touch, trigger
    seen, trap closed, carrier contained, presser beaten, taken over, nobody takes over, press broken, recovered,
    counter-press started, counter-press aborted, pass intercepted, ball won, offside, out of play, action left out.
    """

    time_s: float
    kind: str
    pressing: tuple[str, ...]
    possession: tuple[str, ...]
    words: str


# -- Both teams and the ball.

AT_FEET_M = 0.7  # how far ahead of the carrier the ball lies (D)
EDGE_M = OUTSIDE_M - 0.05  # nobody runs further off the pitch
MOVING_MPS = 0.3
THERE_M = 0.3  # so near to its end a dribble is over
HIGH_M = 1.0  # a ball above this height is in the air


class GameState:
    """Both teams in the order of their sheets, metres and m/s, in the frame of the picture as it came.

    At the beginning the ball is at somebody's feet, on its way to a receiver, or loose.
    """

    def __init__(self, situation: Situation, s: Settings) -> None:
        self.sheet = sheet = Frames.of([situation])  # the first picture: numbers, slots, pitch
        self.pitch, self.goal, self.time_s = sheet.pitch, np.array(sheet.pitch.own_goal_xy), 0.0
        self.ours, self.theirs = sheet.pressing_numbers, sheet.possession_numbers
        self.outfield = np.array(sheet.pressing_slots) != "goalkeeper"
        self.their_keeper = np.array(sheet.possession_slots) == "goalkeeper"
        self.own, self.own_velocity = np.array(sheet.pressing_xy[0]), np.array(sheet.pressing_velocity[0])
        self.opp, self.opp_velocity = np.array(sheet.possession_xy[0]), np.array(sheet.possession_velocity[0])
        self.own_running = s.running.of(sheet.pressing_top_mps[0])
        self.opp_running = s.running.of(sheet.possession_top_mps[0])
        self.facing_rad = np.radians(sheet.facing_deg[0])  # (M,) NaN unknown
        self.ball, self.feet = np.array(situation.ball_xy), np.zeros(2)  # feet: from the carrier to the ball
        self.carrier = self.receiver = self.passer = NOBODY  # of theirs; the passer played the ball last
        self.winner, self.restart = NOBODY, int(sheet.restart[0])  # who of us has the ball
        self.control_until_s, self.dribble_mps = 0.0, 0.0  # the carrier's first touch is over; how fast he runs
        self.travel: Travel | None = None
        self.dribble_xy: Floats | None = None
        self.events: list[Event] = []
        self.kicked_m = self.ball_m  # (N,) how far we were from the ball as it left
        self.out_until_s = np.zeros(len(self.own))  # of those who are beaten
        self.barred = np.zeros(len(self.own), bool)  # who of us gave it away, or has missed it
        if situation.receiver is not None:
            self.receiver = self.theirs.index(situation.receiver)
            self.travel = _on_its_way(situation, self.ball, self.opp[self.receiver], s)
        elif situation.on_ball is not None:
            self.carrier = self.theirs.index(situation.on_ball)
            self.at_feet(self.ball, CONTROL_M)
        elif situation.state == "won":
            self.winner = int(self.ball_m.argmin())
        else:
            self.travel = rolling(0.0, self.ball, np.array(situation.ball_velocity))

    @property
    def flight(self) -> Travel:
        """The way of the ball that travels."""
        assert self.travel is not None
        return self.travel

    @property
    def under_control(self) -> bool:
        """A player of theirs has the ball and his first touch is over."""
        return self.carrier >= 0 and self.time_s >= self.control_until_s - 1e-9

    @property
    def ball_m(self) -> Floats:
        """(N,) how far each of us is from the ball."""
        return norm(self.own - self.ball)

    def nearest(self, who: Bools) -> int:
        """The nearest of them to the ball."""
        return int(np.where(who, self.ball_m, np.inf).argmin())

    @property
    def side(self) -> float:
        """+1 or -1, the ball's side as the plan sees it: what is tried one after another begins there."""
        return float(side_of(self.picture())[0])

    def goal_m(self, xy: Floats) -> Floats:
        """Distance of places (..., 2) to our goal."""
        return norm(xy - self.goal)

    def within(self, xy: Floats) -> Floats:
        """Places kept at most 3 m off the pitch."""
        return self.pitch.inside(xy, -EDGE_M)

    def say(self, kind: str, words: str, ours: Iterable[int] = (), theirs: Iterable[int] = (),
            at_s: float | None = None) -> None:
        """Write down what happened now, or at a time within the step that ends now; players by index."""
        pressing, possession = (tuple(team[k] for k in who) for team, who in ((self.ours, ours), (self.theirs, theirs)))
        self.events.append(Event(self.time_s if at_s is None else at_s, kind, pressing, possession, words))

    def face(self, m: int, way: Floats) -> None:
        """Turn one of theirs."""
        if norm(way) > 1e-6:
            self.facing_rad[m] = float(np.arctan2(way[1], way[0]))

    def at_feet(self, xy: Floats, most_m: float) -> None:
        """The ball lies where it is from the carrier, at most so far off."""
        off = xy - self.opp[self.carrier]
        self.feet = off * min(1.0, most_m / max(float(norm(off)), 1e-9))

    def carry_ball(self) -> None:
        """The ball stays at the carrier's feet: ahead of him on a dribble, else where he took it."""
        velocity = self.opp_velocity[self.carrier]
        if self.dribble_xy is not None and norm(velocity) > MOVING_MPS:
            self.face(self.carrier, velocity)
            self.feet = unit(velocity) * AT_FEET_M
        self.ball = self.within(self.opp[self.carrier] + self.feet)
        if self.dribble_xy is not None and norm(self.dribble_xy - self.opp[self.carrier]) < THERE_M:
            self.dribble_xy = None

    def picture(self) -> Frames:
        """This moment as one frame."""
        nearest = NOBODY if self.winner >= 0 else -2  # as `Frames` has it: who is within reach where nobody is named
        ball_velocity, height_m = self.opp_velocity[self.carrier] if self.carrier >= 0 else np.zeros(2), 0.0
        if self.travel is not None:
            ball_velocity, height_m = self.travel.velocity(self.time_s), float(self.travel.height_m(self.time_s))
        values: dict[str, Any] = {
            "pressing_xy": self.own, "possession_xy": self.opp, "ball_xy": self.ball,
            "pressing_velocity": self.own_velocity, "possession_velocity": self.opp_velocity,
            "ball_velocity": ball_velocity, "carrier": self.carrier if self.carrier >= 0 else nearest,
            "receiver": self.receiver, "ball_height_m": min(height_m, HIGHEST_M),
            "facing_deg": np.degrees(self.facing_rad),
            "restart": self.restart, "time_s": self.time_s}
        rows: dict[str, Any] = {name: np.array(value)[None] for name, value in values.items()}
        return replace(self.sheet, **rows)


def _on_its_way(situation: Situation, start: Floats, aim: Floats, s: Settings) -> Travel:
    """A pass that travels already: to where its receiver stands, at the speed it has."""
    speed, high = float(np.hypot(*situation.ball_velocity)), situation.ball_height_m
    kind = "lofted" if high > HIGH_M else "ground"
    travel = passed(kind, 0.0, start, aim, speed if speed > MOVING_MPS else None, s)
    return in_flight(travel, high) if kind == "lofted" else travel
