"""Spots: they do not collide, and runs that cross are swapped for shorter ones."""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import Pitch
from pressinglib.roles import settings as v
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned

APART_M, AT_BALL_M = 2.5, 2.0  # between two spots; between two at the ball
A_LITTLE_M = 0.02  # more, so that rounding does not matter
RINGS_M = np.array([0.0, 0.7, 1.4, 2.1, 3.0, 4.2, 6.0, 9.0, 13.0])
PUSH_DIRECTIONS = 12
SWAPS = 6
WORTH_A_SWAP_M = 1.0  # less is not worth changing places for (D)
# Whose spot stands and whose gives way: presser, covers, balance, back line, goalkeeper.
ORDER_OF_ROLE = np.array([0, 2, 3, 1, 4])


def around_m(directions: int) -> Floats:
    """(directions, 2) points 1 m around a place, the first towards the own goal."""
    angles = np.arange(directions) * 2 * np.pi / directions
    return turned(np.broadcast_to(np.array([-1.0, 0.0]), (directions, 2)), angles)


def spread(p: Picture, spot: Floats, role: Ints) -> Floats:
    """Spots (F, N, 2) moved as little as possible until all are 2.5 m apart, 2 m at the ball, and on the pitch."""
    spot = p.pitch.inside(np.where(p.own_here[..., None], spot, np.nan))
    crowded = too_near(spot, p.focus).any((1, 2))
    if crowded.any():
        spot = spot.copy()
        spot[crowded] = _placed_in_turn(p.pitch, p.focus[crowded], spot[crowded], role[crowded])
    return spot


def too_near(spot: Floats, focus: Floats) -> Bools:
    """(F, N, N) pairs of different players whose spots are less than 2.5 m apart, at the ball 2 m."""
    near = _room_m(focus, spot, spot) < 0
    return np.asarray(near & ~np.eye(spot.shape[1], dtype=bool))


def _room_m(focus: Floats, some: Floats, others: Floats) -> Floats:
    """(F, n, m) how much further apart than they must be are places (F, n, 2) and (F, m, 2); inf for who is not there.
    """
    at_ball = [norm(xy - focus[:, None]) <= APART_M for xy in (some, others)]
    least = np.where(at_ball[0][:, :, None] & at_ball[1][:, None], AT_BALL_M, APART_M)
    return np.nan_to_num(norm(some[:, :, None] - others[:, None]) - least, nan=np.inf)


def _placed_in_turn(pitch: Pitch, focus: Floats, spot: Floats, role: Ints) -> Floats:
    """Each player, the most important first, takes the place nearest to his spot that is still free."""
    frames, players = spot.shape[:2]
    order = np.argsort(ORDER_OF_ROLE[role], axis=1, kind="stable")
    offsets = (RINGS_M[:, None, None] * around_m(PUSH_DIRECTIONS)).reshape(-1, 2)
    out, rows = np.full_like(spot, np.nan), np.arange(frames)
    for k in range(players):
        who = order[:, k]
        tries = pitch.inside(spot[rows, who][:, None] + offsets)
        room = _room_m(focus, tries, out).min(-1)
        moved = norm(tries - spot[rows, who][:, None])
        cost = np.where(room >= A_LITTLE_M, moved, 1e3 - room)
        out[rows, who] = tries[rows, np.nan_to_num(cost, nan=0.0).argmin(1)]
    return out


def swapped(p: Picture, d: Decisions) -> None:
    """Two covers or balance players swap men where both together run less, and neither further than either before.

    Runs that cross always get shorter by a swap, so none are left but where somebody would run too far.
    """
    for _ in range(SWAPS):
        a, b, frames = _best_swap(p, d)
        if not len(frames):
            return
        for array in (d.role, d.duty, d.mark, d.anchor):
            array[frames, a], array[frames, b] = array[frames, b].copy(), array[frames, a].copy()


def _best_swap(p: Picture, d: Decisions) -> tuple[Ints, Ints, Ints]:
    """One pair a frame: indices a, b and the frames in which a swap is worth it."""
    movable = ((d.role == v.COVER) | (d.role == v.BALANCE)) & ~p.back & (d.mark >= 0)
    pair = movable[:, :, None] & movable[:, None] & np.triu(np.ones((p.line.shape[1],) * 2, bool), 1)
    run, cross = norm(p.own - d.anchor), norm(p.own[:, :, None] - d.anchor[:, None])
    saved = run[:, :, None] + run[:, None] - cross - cross.swapaxes(1, 2)
    longest = np.maximum(cross, cross.swapaxes(1, 2)) - np.maximum(run[:, :, None], run[:, None])
    saved = np.where(pair & (longest <= 0.0), saved, 0.0)
    best = saved.reshape(len(saved), -1)
    frames = np.flatnonzero(best.max(1, initial=0.0) > WORTH_A_SWAP_M)
    a, b = np.unravel_index(best[frames].argmax(1), saved.shape[1:])
    return a, b, frames


def after_running(p: Picture, target: Floats) -> Floats:
    """(F, N, K, 2) where players are after 2 s of running for their targets (F, N, K, 2), 0.3 s reaction."""
    s = p.settings
    return s.running.reached_xy(p.own[:, :, None], p.own_velocity[:, :, None], target, s.run_time_s, s.reaction_s)


@frame_rule
def settle_spots(p: Picture, d: Decisions) -> Floats:
    """(F, N, 2) the last word on the spots: they are the anchors, unless an own rule says otherwise."""
    return d.spot
