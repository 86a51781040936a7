"""Velocities from places over time."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
HALF_WINDOW_S = 0.15  # long enough to smooth the measurement, short against a turn (own choice)


def velocity(time_s: Floats, xy: Floats, most_mps: float) -> Floats:
    """Central differences over about 0.3 s; one-sided at both ends.

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
        m/s; 0 where a place is missing (NaN), and where two moments are more than twice as far apart as they should be.

    Examples
    --------
    >>> t = np.arange(6) * 0.1
    >>> velocity(t, np.stack([2 * t, 0 * t], axis=-1), 10.0)[[0, 3]].round(6).tolist()
    [[2.0, 0.0], [2.0, 0.0]]
    >>> velocity(t, np.stack([90 * t, 0 * t], axis=-1), 10.0)[3].round(6).tolist()
    [10.0, 0.0]
    """
    step_s = float(np.median(np.diff(time_s)))
    reach = max(round(HALF_WINDOW_S / step_s), 1)
    rows = np.arange(len(time_s))
    before, after = np.maximum(rows - reach, 0), np.minimum(rows + reach, len(rows) - 1)
    span_s = time_s[after] - time_s[before]
    pace = (xy[after] - xy[before]) / span_s.reshape(-1, *[1] * (xy.ndim - 1))
    pace = np.where((span_s > 4 * reach * step_s).reshape(-1, *[1] * (xy.ndim - 1)), 0.0, np.nan_to_num(pace))
    speed = np.hypot(pace[..., :1], pace[..., 1:])
    return np.asarray(pace * np.minimum(1.0, most_mps / np.maximum(speed, 1e-9)))
