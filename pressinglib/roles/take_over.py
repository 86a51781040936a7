"""Who takes over if the presser is beaten: the first to each way out."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.motion import arrival_time
from pressinglib.roles.decisions import Decisions, is_player
from pressinglib.roles.picture import Floats, Ints, Picture, turned
from pressinglib.roles.vocabulary import NOBODY

DRIBBLE_MPS = 5.0  # speed of a carrier on his way (D)
REACH_M = 1.0
WAY_ANGLES_RAD = np.radians([-45.0, 0.0, 45.0])  # outside, straight, inside: the ball side is y >= 0, goal at -x
STEPS_S = np.arange(0.0, 4.01, 0.25)


def way_points(p: Picture) -> Floats:
    """(F, 3, T, 2) where the carrier is on each way out at the times STEPS_S; he stops at the lines."""
    ways = turned(p.goal_way[:, None], WAY_ANGLES_RAD)
    return p.pitch.inside(p.focus[:, None, None] + ways[:, :, None] * (DRIBBLE_MPS * STEPS_S)[:, None])


def way_times(p: Picture) -> Floats:
    """(F, N, 3) least time at which each player is on the way of a carrier who runs at once; inf if never."""
    s = p.settings
    points = way_points(p)[:, None]
    own, velocity = p.own[:, :, None, None], p.own_velocity[:, :, None, None]
    late = arrival_time(own, velocity, points, s.alpha_per_s, s.top_speed_mps, s.reaction_s, REACH_M) - STEPS_S
    late = np.where(p.own_here[:, :, None, None], late, np.inf)
    return _first_crossing(late)


def _first_crossing(late: Floats) -> Floats:
    """The time at which a player's lateness (..., T) first falls to zero, by straight lines between steps."""
    on_time = late <= 0
    k = on_time.argmax(-1)
    before = np.maximum(k - 1, 0)
    a = np.take_along_axis(late, before[..., None], -1)[..., 0]
    b = np.take_along_axis(late, k[..., None], -1)[..., 0]
    with np.errstate(invalid="ignore"):
        share = np.where((k > 0) & (a > b), a / np.where(a > b, a - b, 1.0), 1.0)
    time = STEPS_S[before] + share * (STEPS_S[k] - STEPS_S[before])
    return np.where(on_time.any(-1), time, np.inf)


def take_over(p: Picture, d: Decisions) -> tuple[Ints, Floats]:
    """Next presser and his time by way out (outside, straight, inside): (F, 3) index and seconds; not the keeper."""
    free = p.outfield & ~is_player(d.presser, p.line.shape[1])
    time = np.where(free[..., None], d.way_s, np.inf)
    best = time.min(1)
    return np.where(np.isfinite(best), time.argmin(1), NOBODY), best
