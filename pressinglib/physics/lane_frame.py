"""Players as seen along a lane: how far along it and how far aside of it they are, and the points looked at on it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

FIRST_POINT_M = 1.0


def seen_along(origin: ArrayLike, receiver: ArrayLike, defender: ArrayLike) -> tuple[Array, Array, Array, Array]:
    """Direction (..., R, 2) and length (..., R) of the lanes; defenders along and aside of them, (..., R, N)."""
    origin = np.asarray(origin, dtype=float)[..., None, :]
    way = np.asarray(receiver, dtype=float) - origin
    length = np.hypot(way[..., 0], way[..., 1])
    # A receiver on the ball has no direction; any will do.
    unit = np.where((length == 0.0)[..., None], (1.0, 0.0), way / np.where(length == 0.0, 1.0, length)[..., None])
    along, aside = turned(unit, np.asarray(defender, dtype=float) - origin)
    return unit, length, along, aside


def turned(unit: Array, vectors: Array) -> tuple[Array, Array]:
    """Parts of vectors (..., N, 2) along and to the left of the directions (..., R, 2): two arrays (..., R, N)."""
    ux, uy = unit[..., :, None, 0], unit[..., :, None, 1]
    x, y = vectors[..., None, :, 0], vectors[..., None, :, 1]
    return ux * x + uy * y, ux * y - uy * x


def lane_points(length: Array, points: int, own: Array) -> Array:
    """Distances along the lane (..., points, R, N): shared ones, and each defender's own, kept on the lane."""
    first = np.minimum(length, FIRST_POINT_M)
    share = np.linspace(0.0, 1.0, points - 1)[:, None]
    place = np.empty((*own.shape[:-2], points, *own.shape[-2:]))
    place[..., :-1, :, :] = (first[..., None, :] + (length - first)[..., None, :] * share)[..., None]
    place[..., -1, :, :] = np.minimum(np.maximum(own, first[..., None]), length[..., None])
    return place
