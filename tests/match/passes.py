"""Passes read from tracking alone: the ball leaves one player and comes to another.

The open data used here carry no events. A spell is an unbroken time in which one player has the ball (nearest of all,
within 1.5 m, ball low and in play). Between two spells of different players the ball has been passed if it was on the
way for 0.2 to 5 s, covered at least 5 m and left at 5 m/s or more. It is completed if the second player is a team-mate
of the first, failed if he is an opponent. Own definitions, fixed before any lane was looked at. A clearance, a throw-in
or a long dribble touch can pass for a pass; passes out of play and what a tackle ends are none.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import Tracking
from pressinglib.field.frames import Frames

FLIGHT_S = (0.2, 5.0)
LEAST_M = 5.0
LEAST_MPS = 5.0
FIRST_WAY_S = 0.3  # the direction of a pass is that of its first 0.3 s
LOFTED_M = 1.0
WIDEST_DEG = 25.0
Ints = NDArray[np.int_]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Passes:
    """Passes of one team at the moment the ball leaves: pictures, and who is concerned.

    `passer`, `meant` and `target` are indexes into the sheet of the team in possession. `meant` is the team-mate who
    stands nearest to the direction in which the ball leaves: the same rule whether the pass arrives or not. -1 where
    nobody is within 25 degrees of it. `target` is who got the ball, -1 for an opponent.
    """

    frames: Frames
    passer: Ints
    meant: Ints
    target: Ints
    lofted: Bools

    def __len__(self) -> int:
        return len(self.passer)

    @property
    def completed(self) -> Bools:
        return self.target >= 0


def spells(tracking: Tracking) -> Ints:
    """Rows (first moment, last moment, player): players of the home side count from 0, of the away side after them."""
    home, away = tracking.carrier("home"), tracking.carrier("away")
    holder = np.where(home >= 0, home, np.where(away >= 0, away + len(tracking.home.numbers), -1))
    starts = np.flatnonzero(np.diff(holder, prepend=-2))
    ends = np.append(starts[1:], len(holder)) - 1
    held = holder[starts] >= 0
    return np.stack([starts, ends, holder[starts]], axis=-1)[held]


def passes_of(tracking: Tracking, side: str, least_m: float = LEAST_M, widest_deg: float = WIDEST_DEG) -> Passes:
    """All passes of the home or the away side, of some length, meant for a man within some angle."""
    rows = spells(tracking)
    leaves, comes = rows[:-1, 1], rows[1:, 0]
    first, second = rows[:-1, 2], rows[1:, 2]
    flight_s = tracking.time_s[comes] - tracking.time_s[leaves]
    way = np.hypot(*(tracking.ball_xy[comes] - tracking.ball_xy[leaves]).T)
    home = len(tracking.home.numbers)
    ours = (first < home) == (side == "home")
    good = ours & (first != second) & (flight_s >= FLIGHT_S[0]) & (flight_s <= FLIGHT_S[1]) & (way >= least_m)
    good &= np.hypot(*_leaving(tracking, leaves).T) >= LEAST_MPS
    good &= np.array([tracking.alive[a : b + 1].all() for a, b in zip(leaves, comes, strict=True)])
    leaves, comes, first, second = (values[good] for values in (leaves, comes, first, second))
    lofted = [tracking.ball_height_m[a : b + 1].max() > LOFTED_M for a, b in zip(leaves, comes, strict=True)]
    passer, target = first % home, np.where((second < home) == (side == "home"), second % home, -1)
    frames = tracking.frames("away" if side == "home" else "home", leaves, passer)
    meant = _meant(frames, passer, _leaving(tracking, leaves), side, widest_deg)
    return Passes(frames, passer, meant, target, np.array(lofted, bool))


def _leaving(tracking: Tracking, rows: Ints) -> NDArray[np.float64]:
    """Mean velocity (P, 2) of the ball in its first 0.3 s, in the frame of the tracking."""
    after = np.minimum(np.searchsorted(tracking.time_s, tracking.time_s[rows] + FIRST_WAY_S), len(tracking) - 1)
    span_s = np.maximum(tracking.time_s[after] - tracking.time_s[rows], 1e-9)
    return (tracking.ball_xy[after] - tracking.ball_xy[rows]) / span_s[:, None]


def _meant(frames: Frames, passer: Ints, leaving: NDArray[np.float64], side: str, widest_deg: float) -> Ints:
    """Team-mate nearest to the direction of the ball; the frames are turned so that the other side attacks +x."""
    turn = -1.0 if side == "home" else 1.0
    off = frames.possession_xy - frames.ball_xy[:, None]
    way = (turn * leaving)[:, None]
    cross = way[..., 0] * off[..., 1] - way[..., 1] * off[..., 0]
    bearing = np.degrees(np.abs(np.arctan2(cross, (way * off).sum(-1))))
    bearing[np.arange(len(passer)), passer] = np.inf
    return np.where(bearing.min(1) <= widest_deg, bearing.argmin(1), -1)
