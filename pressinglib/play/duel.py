"""The carrier against whoever is on him: contained, beaten, robbed. Rules of our own (grade D), without chance."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from pressinglib.play.moment import Moment
from pressinglib.roles.picture import Bools, Ints, unit
from pressinglib.roles.settings import Settings

DUEL_M = 2.0  # so near to the ball he is in the duel (pressed: 1-2 m, common practice)
DIVE_MPS = 3.0  # who comes in faster than this cannot turn with the carrier ...
DIVE_M = 1.5  # ... once he is so near (D)
BLOCK_DEG = 45.0  # he blocks a way that leads past him by less than this (D)
PAST_M = 1.5  # the carrier is past him when he is so much nearer to our goal (D)
DOUBLED_S = 0.5  # two who are on him for so long take the ball (D)


class Duel(NamedTuple):
    """(N,) masks of us: in the carrier's way and set; coming in too fast; near enough to take part."""

    blocks: Bools
    dives: Bools
    near: Bools


def duel(now: Moment) -> Duel:
    """How each of us stands to the carrier."""
    closing = (now.own_velocity * unit(now.ball - now.own)).sum(-1)
    goal_side = now.goal_m(now.own) < now.goal_m(now.opp[now.carrier])
    near = (now.ball_m <= DUEL_M) & now.outfield & (now.time_s >= now.out_until_s - 1e-9)
    dives = near & (now.ball_m <= DIVE_M) & (closing > DIVE_MPS) & goal_side
    return Duel(near & goal_side & ~dives & in_the_way(now), dives, near)


def in_the_way(now: Moment) -> Bools:
    """(N,) bearing less than 45 degrees off the way of a dribble; of a carrier who stands: goal-side of him."""
    him = now.opp[now.carrier]
    if now.dribble_xy is None:
        return np.asarray(now.goal_m(now.own) < now.goal_m(him))
    cosine = (unit(now.own - him) * unit(now.dribble_xy - him)).sum(-1)
    return np.asarray(cosine >= np.cos(np.radians(BLOCK_DEG)))


def left_behind(now: Moment, engaged: Bools) -> Bools:
    """(N,) those who were in the duel and have the carrier past them."""
    return engaged & (now.goal_m(now.own) > now.goal_m(now.opp[now.carrier]) + PAST_M)


def robber(now: Moment, s: Settings) -> int | None:
    """Who takes the ball at once: within reach of it while the first touch lasts, or in the way of a dribble."""
    reach = duel(now).near & (now.ball_m <= s.reach_m)
    if now.under_control:
        reach = reach & duel(now).blocks & (now.dribble_xy is not None)
    return int(np.where(reach, now.ball_m, np.inf).argmin()) if reach.any() else None


def on_him(now: Moment) -> Ints:
    """Those in the duel, nearest first."""
    near = np.flatnonzero(duel(now).near)
    return near[np.lexsort((now.own[near, 1], now.ball_m[near]))]
