"""Spots that do not collide, and runs that do not cross."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned
from pressinglib.roles.vocabulary import BALANCE, COVER, DENY

APART_M = 2.0
ROOM_M = 2.02  # a little more, so that rounding does not matter
RINGS_M = np.array([0.0, 0.7, 1.4, 2.1, 3.0, 4.2, 6.0, 9.0, 13.0])
DIRECTIONS = 12
SWAPS = 6
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


def uncrossed(p: Picture, d: Decisions) -> None:
    """Two covers or balance players whose runs cross swap duties where their runs together get no longer."""
    for _ in range(SWAPS):
        a, b, frames = _crossing_pairs(p, d)
        if not len(frames):
            return
        for array in (d.role, d.duty, d.mark, d.anchor):
            array[frames, a], array[frames, b] = array[frames, b].copy(), array[frames, a].copy()


def _crossing_pairs(p: Picture, d: Decisions) -> tuple[Ints, Ints, Ints]:
    """One pair a frame: indices a, b and the frames."""
    movable = ((d.role == COVER) & (d.duty == DENY)) | (d.role == BALANCE)
    pair = movable[:, :, None] & movable[:, None] & p.front[:, :, None] & p.front[:, None]
    start, end = p.own, d.anchor
    cross = _cross(start, end) & pair
    straight = norm(start - end)
    swapped = norm(start[:, :, None] - end[:, None])
    longer = np.maximum(swapped, swapped.swapaxes(1, 2)) > np.maximum(straight[:, :, None], straight[:, None]) + 3.0
    cross &= ~longer & np.triu(np.ones(cross.shape[1:], bool), 1)
    flat = cross.reshape(len(cross), -1)
    frames = np.flatnonzero(flat.any(1))
    a, b = np.unravel_index(flat[frames].argmax(1), cross.shape[1:])
    return a, b, frames


def _cross(start: Floats, end: Floats) -> Bools:
    """(F, N, N) straight runs that cross."""
    a, b = start[:, :, None], end[:, :, None]
    c, e = start[:, None], end[:, None]

    def side(u: Floats, v: Floats, w: Floats) -> Floats:
        return (v[..., 0] - u[..., 0]) * (w[..., 1] - u[..., 1]) - (v[..., 1] - u[..., 1]) * (w[..., 0] - u[..., 0])

    with np.errstate(invalid="ignore"):
        return np.asarray((side(a, b, c) * side(a, b, e) < 0) & (side(c, e, a) * side(c, e, b) < 0))
