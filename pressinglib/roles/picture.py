"""Frames as arrays over a leading frame axis, which is what every rule reads.

A picture is turned over (y -> -y) where the ball lies on the right, so that the ball side is always y >= 0, and players
are sorted by place: so a mirrored picture gets the mirrored plan, and neither order nor names of players change one.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, wraps
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.formations import infer_lines
from pressinglib.field.frames import Frames
from pressinglib.field.player import BACK, GOALKEEPER, LINE_OF_SLOT, OUTFIELD, WING_BACKS
from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.lanes import cut_out, offside_line_x
from pressinglib.physics.motion import Running
from pressinglib.roles.settings import GOAL_KICK, LOOSE, NOBODY, OPEN_PLAY, THROW_IN, WON, Settings

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
Bools = NDArray[np.bool_]
ABSENT_LINE, UNKNOWN_LINE = -1, -2
SWITCH_ANGLE_DEG = 25.0
OPEN_S = 0.2  # a lane is open above this margin, closed below its negative (D)
LEAST_LOFT_S = 1.0  # nobody lifts the ball for less (D)


def pick(values: NDArray[Any], index: Ints) -> NDArray[Any]:
    """`values[f, index[f]]` for values (F, N) or (F, N, 2); index -1 gives the last one, so mask it."""
    return np.asarray(values[np.arange(len(values)), index])


def norm(vector: Floats) -> Floats:
    """Length along the last axis, faster than by the general norm."""
    return np.sqrt(vector[..., 0] * vector[..., 0] + vector[..., 1] * vector[..., 1])


def unit(vector: Floats) -> Floats:
    """The vector at length 1; a vector of no length points at the own goal (-1, 0)."""
    length = norm(vector)
    safe = np.where(length > 1e-9, length, 1.0)[..., None]
    return np.where(length[..., None] > 1e-9, vector / safe, (-1.0, 0.0))


def turned(vector: Floats, angle_rad: Any) -> Floats:
    """The vector (..., 2) turned by an angle (...), counter-clockwise."""
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    x, y = vector[..., 0], vector[..., 1]
    return np.stack([c * x - s * y, s * x + c * y], axis=-1)


def toward(start: Floats, target: Floats, most_m: Floats | float) -> Floats:
    """The target, or the point `most_m` on the way to it."""
    way = target - start
    return np.asarray(start + unit(way) * np.minimum(norm(way), most_m)[..., None])


def once(measure: Callable[[Picture], Any]) -> Any:
    """A measure of a picture (F, ...) that is worked out once for each picture."""
    @wraps(measure)
    def kept(p: Picture) -> Any:
        if measure.__name__ not in vars(p):
            vars(p)[measure.__name__] = measure(p)
        return vars(p)[measure.__name__]
    return kept


class Picture:
    """F pictures: pressing team (F, N), team in possession (F, M); metres, m/s; NaN where absent.

    Turned to the ball's side, each team sorted by place.
    """

    def __init__(self, frames: Frames, settings: Settings) -> None:
        self.frames, self.pitch, self.settings = frames, frames.pitch, settings  # frames: as they came
        self.side = side_of(frames)  # (F,) +1, or -1 where the picture was turned over
        flip, rows = np.stack([np.ones_like(self.side), self.side], axis=-1)[:, None], np.arange(len(frames))[:, None]
        own, opp = frames.pressing_xy * flip, frames.possession_xy * flip
        self.own_order = _by_place(own, frames.pressing_numbers)  # (F, N) place in the sheet of the i-th player here
        self.opp_order = _by_place(opp, frames.possession_numbers)  # (F, M)
        self.own: Floats = own[rows, self.own_order]
        self.own_velocity: Floats = (frames.pressing_velocity * flip)[rows, self.own_order]
        self.line = _lines(frames, self.own_order, self.own)  # (F, N) codes of `field.player`, -1 absent
        self.wing_back: Bools = np.array([s in WING_BACKS for s in frames.pressing_slots])[self.own_order]
        self.opp: Floats = opp[rows, self.opp_order]
        self.opp_velocity: Floats = (frames.possession_velocity * flip)[rows, self.opp_order]
        theirs = np.array([LINE_OF_SLOT.get(s) == GOALKEEPER for s in frames.possession_slots])
        self.opp_keeper: Bools = theirs[self.opp_order]  # (F, M); a direction that is not known is NaN
        self.facing_rad: Floats = np.radians(frames.facing_deg)[rows, self.opp_order] * self.side[:, None]
        self.ball, self.ball_velocity = frames.ball_xy * flip[:, 0], frames.ball_velocity * flip[:, 0]  # (F, 2)
        self.ball_height_m = frames.ball_height_m
        carrier, self.state = _ball_state(frames, settings.control_m)  # (F,) code of STATES
        self.carrier = _placed(carrier, self.opp_order)  # (F,) index, -1 nobody
        self.receiver = _placed(frames.receiver, self.opp_order)
        self.given = tuple(vars(self))
        self._measure()

    def but(self, **changed: Any) -> Picture:
        """The same with some of what is given changed, and measured anew."""
        other = object.__new__(Picture)
        vars(other).update({name: vars(self)[name] for name in self.given} | changed, given=self.given)
        other._measure()
        return other

    def _measure(self) -> None:
        self.own_here: Bools = self.line != ABSENT_LINE  # (F, N) players of the pressing team who are in the picture
        self.opp_here: Bools = np.isfinite(self.opp[..., 0])  # (F, M) opponents who are
        self.outfield: Bools = self.line > GOALKEEPER  # (F, N) all but the goalkeeper
        self.back: Bools = self.line == BACK  # (F, N) the back line
        # (F, N) Midfield and attack, and a wing-back on the ball's side (common practice).
        self.front: Bools = (self.line > BACK) | (self.wing_back & (self.own[..., 1] > 0) & (self.ball[:, 1:] > 2))
        # (F,) The opponent who has the ball or is about to; (F, M) the same as a mask. (F, 2) Where the next pass
        # starts: the receiver while a pass travels to him, else the ball.
        travels = self.receiver >= 0
        self.holder: Ints = np.where(travels, self.receiver, self.carrier)
        self.is_holder: Bools = np.arange(self.opp.shape[1]) == self.holder[:, None]
        self.origin: Floats = np.where(travels[:, None], pick(self.opp, self.receiver), self.ball)
        # After the lead time, on the pitch: (F, 2) the one to be pressed, (F, M, 2) the opponents, who are met there.
        velocity = np.where((self.holder >= 0)[:, None], pick(self.opp_velocity, self.holder), self.ball_velocity)
        self.focus: Floats = self.pitch.inside(self.origin + self.settings.lead_time_s * velocity)
        self.met: Floats = self.pitch.inside(self.opp + self.settings.lead_time_s * self.opp_velocity)
        # (F, 2) Unit vector from the focus to our goal; (F, N), (F, M), (F,) distances to it: ours, theirs, the origin.
        self.goal_way = unit(self.goal - self.focus)
        self.own_goal_m, self.opp_goal_m, self.ball_goal_m = (
            norm(xy - self.goal) for xy in (self.own, self.opp, self.origin))
        self.goal_side: Bools = self.own_goal_m < self.ball_goal_m[:, None]  # (F, N) nearer our goal than the ball
        self.apart_m: Floats = np.nan_to_num(norm(self.own[:, :, None] - self.opp[:, None]), nan=np.inf)  # (F, N, M)
        # (F, M) In an offside position (Law 11), nobody is from a throw-in or goal kick; who may be passed to: not the
        # holder, nor who is offside, nor their goalkeeper.
        line = np.asarray(offside_line_x(self.own[..., 0], self.ball[:, 0], -self.pitch.length_m / 2))
        in_play = self.opp_here & ~self.is_holder & ~self.is_state(THROW_IN, GOAL_KICK)[:, None]
        self.offside: Bools = (self.opp[..., 0] < line[:, None] - 1e-9) & in_play
        self.receivers: Bools = self.opp_here & ~self.is_holder & ~self.offside & ~self.opp_keeper
        # (F, M) Length of the next pass to each opponent as he stands; time of the quickest, ground or lofted, to where
        # he is met, without his first touch.
        self.pass_m = norm(self.opp - self.origin[:, None])
        s, length = self.settings, norm(self.met - self.focus[:, None])
        lofted = lofted_time(length, s.switch_mps, SWITCH_ANGLE_DEG)
        self.pass_s: Floats = np.minimum(ball_time(length, s.ball_mps), np.maximum(lofted, LEAST_LOFT_S))

    def __len__(self) -> int:
        return len(self.ball)

    def is_state(self, *codes: int) -> Bools:
        """(F,) the state is one of these."""
        return np.asarray((self.state[:, None] == codes).any(1))

    @cached_property
    def own_running(self) -> Running:
        """The law of running, with the top speeds of ours (F, N) that are known."""
        return self.settings.running.of(self.frames.pressing_top_mps[np.arange(len(self))[:, None], self.own_order])

    @cached_property
    def opp_running(self) -> Running:
        """The same of opponents (F, M)."""
        return self.settings.running.of(self.frames.possession_top_mps[np.arange(len(self))[:, None], self.opp_order])

    @property
    def goal(self) -> Floats:
        """(2,) centre of the pressing team's goal."""
        return np.array(self.pitch.own_goal_xy)

    @cached_property
    def to_focus_s(self) -> Floats:
        """(F, N) time of each player to where the one to be pressed will be, no reaction; inf where absent."""
        return self.own_arrival(self.focus[:, None])

    @cached_property
    def marking_s(self) -> Floats:
        """(F, N, M) time of each player of ours to within reach of each opponent where he stands, 0.3 s reaction."""
        return self.own_arrival(self.met[:, None], self.settings.reaction_s, self.settings.reach_m)

    @cached_property
    def cut_out(self) -> Bools:
        """(F, M, N) who of ours, as he runs now, keeps the lane to each opponent from being open."""
        s = self.settings
        return cut_out(self.origin, self.opp, self.own, self.own_velocity, OPEN_S, s.reach_m, s.reaction_s, s.ball_mps,
                       self.own_running)

    def one(self, f: int) -> Picture:
        """Frame f alone, everything worked out for all frames together, which costs hardly more than for one."""
        rows, part = slice(f, f + 1), object.__new__(Picture)
        known = {name: getattr(self, name) for name in MEASURES} | vars(self)
        vars(part).update({name: value[rows] for name, value in known.items() if isinstance(value, np.ndarray)},
                          frames=self.frames.take(rows), pitch=self.pitch, settings=self.settings, given=self.given)
        return part

    def own_arrival(self, target_xy: Floats, reaction_s: float = 0.0, reach_m: float = 0.0) -> Floats:
        """Times of the pressing team (F, N, ...) to targets that broadcast to (F, N, ..., 2); inf where absent."""
        own = (np.s_[:], np.s_[:], *[None] * (target_xy.ndim - 3))
        time = self.own_running.at(own).time(self.own[own], self.own_velocity[own], target_xy, reaction_s, reach_m)
        return np.where(self.own_here[own], time, np.inf)

    def own_number(self, f: int, n: Any) -> Any:
        """Number of the n-th player of the pressing team in frame f; None for -1, nobody."""
        return None if n < 0 else self.frames.pressing_numbers[self.own_order[f, n]]

    def opp_number(self, f: int, m: Any) -> Any:
        """Number of the m-th opponent in frame f; None for -1."""
        return None if m < 0 else self.frames.possession_numbers[self.opp_order[f, m]]

    def own_index(self, f: int, number: str) -> int:
        """Which player of the pressing team in frame f has this number."""
        return self.own_order[f].tolist().index(self.frames.pressing_numbers.index(number))

    def opp_index(self, f: int, number: str) -> int:
        """Which opponent in frame f has this number."""
        return self.opp_order[f].tolist().index(self.frames.possession_numbers.index(number))

    def turned_back(self, xy: Floats) -> Floats:
        """Points (F, ..., 2) in the frame of the picture as it came."""
        side = self.side.reshape(-1, *[1] * (xy.ndim - 2))
        return np.stack([xy[..., 0], xy[..., 1] * side], axis=-1)


MEASURES = [name for name, value in vars(Picture).items() if isinstance(value, cached_property)]


def side_of(frames: Frames) -> Floats:
    """+1 where the ball lies on the left, else -1; on the middle line by its way, then by where the teams lean."""
    terms = (xy[..., 0] ** a * xy[..., 1] ** b for a, b in ((0, 1), (1, 1), (0, 3))
             for xy in (frames.pressing_xy, frames.possession_xy))
    sign = np.zeros(len(frames))
    for lean in (frames.ball_xy[:, 1], frames.ball_velocity[:, 1], *(np.nansum(term, axis=1) for term in terms)):
        sign = np.where((sign == 0) & (np.abs(lean) > 1e-9), np.sign(lean), sign)
    return np.where(sign < 0, -1.0, 1.0)


def _by_place(xy: Floats, numbers: tuple[str, ...]) -> Ints:
    """(F, N) order by x, then y, then number; absent players (NaN) come last."""
    rank = np.broadcast_to(np.argsort(np.argsort(np.array(numbers))), xy.shape[:2])
    return np.lexsort((rank, xy[..., 1], xy[..., 0]), axis=-1)


def _placed(index: Ints, order: Ints) -> Ints:
    """Where the sheet's player `index` (F,) stands in the sorted order."""
    return np.where(index >= 0, np.argmax(order == index[:, None], axis=1), NOBODY)


def _lines(frames: Frames, order: Ints, own: Floats) -> Ints:
    """(F, N) line of each player as sorted, fitted on the turned places where it is unknown; absent players -1."""
    sheet = np.array([UNKNOWN_LINE if s == OUTFIELD else LINE_OF_SLOT[s] for s in frames.pressing_slots])
    here = np.isfinite(own[..., 0])
    lines = np.where(here, sheet[order], ABSENT_LINE)
    if (sheet == UNKNOWN_LINE).any():
        lines = np.where(lines == UNKNOWN_LINE, infer_lines(own, here & (lines != GOALKEEPER)), lines)
    return lines


def _ball_state(frames: Frames, control_m: float) -> tuple[Ints, Ints]:
    """(carrier, state): the carrier given, else the nearest in reach, of several the first number, as `on_ball`."""
    theirs = np.nan_to_num(norm(frames.possession_xy - frames.ball_xy[:, None]), nan=np.inf)
    ours = np.nan_to_num(norm(frames.pressing_xy - frames.ball_xy[:, None]), nan=np.inf)
    near, rival = theirs.min(1), ours.min(1)
    by_number = np.argsort(np.array(frames.possession_numbers))
    nearest = by_number[theirs[:, by_number].argmin(1)]
    found = np.where((near <= control_m) & (near <= rival), nearest, NOBODY)
    carrier = np.where(frames.carrier == -2, found, frames.carrier)
    carrier = np.where(frames.receiver >= 0, NOBODY, carrier)
    held = (carrier >= 0) | (frames.receiver >= 0)
    state = np.where(held, OPEN_PLAY, np.where(rival <= control_m, WON, LOOSE))
    return carrier, np.where(frames.restart > 0, frames.restart + 2, state)
