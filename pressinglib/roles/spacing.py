"""Spots that do not collide, and runs that are not swapped for shorter ones."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned
from pressinglib.roles.vocabulary import BALANCE, COVER

APART_M = 2.0
ROOM_M = 2.02  # a little more, so that rounding does not matter
RINGS_M = np.array([0.0, 0.7, 1.4, 2.1, 3.0, 4.2, 6.0, 9.0, 13.0])
DIRECTIONS = 12
SWAPS = 6
WORTH_A_SWAP_M = 1.0  # less is not worth changing places for (D)
# Whose spot stands and whose gives way: presser, covers, balance, back line, goalkeeper.
ORDER_OF_ROLE = np.array([0, 2, 3, 1, 4])


def around_m(directions: int) -> Floats:
    """(directions, 2) points 1 m around a place, the first towards the own goal."""
    angles = np.arange(directions) * 2 * np.pi / directions
    return turned(np.broadcast_to(np.array([-1.0, 0.0]), (directions, 2)), angles)


def spread(p: Picture, spot: Floats, role: Ints) -> Floats:
    """Spots (F, N, 2) moved as little as possible until all are 2 m apart and on the pitch."""
    spot = p.pitch.inside(np.where(p.own_here[..., None], spot, np.nan))
    crowded = too_near(spot).any((1, 2))
    if crowded.any():
        spot = spot.copy()
        spot[crowded] = _placed_in_turn(p, spot[crowded], role[crowded])
    return spot


def too_near(spot: Floats) -> Bools:
    """(F, N, N) pairs of different players whose spots are less than 2 m apart."""
    with np.errstate(invalid="ignore"):
        near = norm(spot[:, :, None] - spot[:, None]) < APART_M
    return np.asarray(near & ~np.eye(spot.shape[1], dtype=bool))


def _placed_in_turn(p: Picture, spot: Floats, role: Ints) -> Floats:
    """Each player, the most important first, takes the place nearest to his spot that is still free."""
    frames, players = spot.shape[:2]
    order = np.argsort(ORDER_OF_ROLE[role], axis=1, kind="stable")
    offsets = (RINGS_M[:, None, None] * around_m(DIRECTIONS)).reshape(-1, 2)
    out, rows = np.full_like(spot, np.nan), np.arange(frames)
    for k in range(players):
        who = order[:, k]
        tries = p.pitch.inside(spot[rows, who][:, None] + offsets)
        gap = np.nan_to_num(norm(tries[:, :, None] - out[:, None]), nan=np.inf).min(-1)
        moved = norm(tries - spot[rows, who][:, None])
        cost = np.where(gap >= ROOM_M, moved, 1e3 - gap)
        out[rows, who] = tries[rows, np.nan_to_num(cost, nan=0.0).argmin(1)]
    return out


def swapped(p: Picture, d: Decisions) -> None:
    """Two covers or balance players swap duties where both together run less, and neither further than either before.

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
    movable = ((d.role == COVER) | (d.role == BALANCE)) & ~p.back
    pair = movable[:, :, None] & movable[:, None] & np.triu(np.ones((p.line.shape[1],) * 2, bool), 1)
    run, cross = norm(p.own - d.anchor), norm(p.own[:, :, None] - d.anchor[:, None])
    saved = run[:, :, None] + run[:, None] - cross - cross.swapaxes(1, 2)
    longest = np.maximum(cross, cross.swapaxes(1, 2)) - np.maximum(run[:, :, None], run[:, None])
    saved = np.where(pair & (longest <= 0.0), saved, 0.0)
    best = saved.reshape(len(saved), -1)
    frames = np.flatnonzero(best.max(1, initial=0.0) > WORTH_A_SWAP_M)
    a, b = np.unravel_index(best[frames].argmax(1), saved.shape[1:])
    return a, b, frames
