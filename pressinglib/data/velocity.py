"""Velocities from places over time."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
HALF_WINDOW_S = 0.15  # long enough to smooth the measurement, short against a turn (own choice)


def velocity(time_s: Floats, xy: Floats, most_mps: float) -> Floats:
    """Central differences over about 0.3 s; one-sided beside a gap, a missing place, and at both ends.

    Parameters
    ----------
    time_s : ndarray, (T,)
        Rising, at least two.
    xy : ndarray, (T, ..., 2)
        Metres.
    most_mps : float
        Faster values are slowed to this.

    Returns
    -------
    ndarray, (T, ..., 2)
        m/s; 0 where a place is missing (NaN), or has no other near enough in time. A gap is a step of more than twice
        the usual one: no difference reaches across it.

    Examples
    --------
    >>> t = np.arange(6) * 0.1
    >>> velocity(t, np.stack([2 * t, 0 * t], axis=-1), 10.0)[[0, 3]].round(6).tolist()
    [[2.0, 0.0], [2.0, 0.0]]
    >>> velocity(t, np.stack([90 * t, 0 * t], axis=-1), 10.0)[3].round(6).tolist()
    [10.0, 0.0]
    """
    before, after = _window(time_s)
    missing = [np.isnan(xy[rows]).any(-1, keepdims=True) for rows in (before, after)]
    times = [time_s[rows].reshape(-1, *[1] * (xy.ndim - 1)) for rows in (before, after, slice(None))]
    start, end = (np.where(lost, xy, xy[rows]) for lost, rows in zip(missing, (before, after), strict=True))
    start_s, end_s = (np.where(lost, times[2], time) for lost, time in zip(missing, times, strict=False))
    pace = np.nan_to_num((end - start) / np.maximum(end_s - start_s, 1e-9))
    pace = np.where(np.isnan(xy).any(-1, keepdims=True), 0.0, pace)
    speed = np.hypot(pace[..., :1], pace[..., 1:])
    return np.asarray(pace * np.minimum(1.0, most_mps / np.maximum(speed, 1e-9)))


def _window(time_s: Floats) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """The two moments that each difference is taken between: neither lies across a gap."""
    reach = max(round(HALF_WINDOW_S / float(np.median(np.diff(time_s)))), 1)
    rows, starts = np.arange(len(time_s)), np.flatnonzero(gaps(time_s))
    first = np.append(0, starts)[np.searchsorted(starts, rows, side="right")]
    last = np.append(starts, len(rows))[np.searchsorted(starts, rows, side="right")] - 1
    return np.maximum(rows - reach, first), np.minimum(rows + reach, last)


def gaps(time_s: Floats) -> Bools:
    """(T,) a moment follows the one before by more than twice the usual step.

    Examples
    --------
    >>> gaps(np.array([0, 0.1, 0.2, 0.9, 1.0])).tolist()
    [False, False, False, True, False]
    """
    step = np.diff(time_s)
    return np.append(False, step > 2.0 * np.median(step))


def jumps(time_s: Floats, xy: Floats, most_mps: float) -> Bools:
    """(T, ...) a place that cannot be reached from the one before at `most_mps`, and not across a gap.

    Examples
    --------
    >>> places = np.array([[0.0, 0], [0.5, 0], [30.0, 0], [30.5, 0]])
    >>> jumps(np.arange(4) * 0.1, places, 10.0).tolist()
    [False, False, True, False]
    """
    way = np.diff(xy, axis=0)
    away_m = np.hypot(way[..., 0], way[..., 1])
    limit = (most_mps * np.diff(time_s)).reshape(-1, *[1] * (away_m.ndim - 1))
    fast = np.nan_to_num(away_m) > limit
    fast &= ~gaps(time_s)[1:].reshape(-1, *[1] * (away_m.ndim - 1))
    return np.concatenate([np.zeros_like(fast[:1]), fast])
