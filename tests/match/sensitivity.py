"""How much the answer hangs on what counts as a pass: balanced accuracy of the four lanes by other definitions.

A pass may have to be longer, and the man it is meant for may have to stand nearer to its direction or not so near.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pressinglib.data import Tracking
from tests.match import lanes
from tests.match.passes import passes_of

LEAST_M = (5.0, 8.0, 12.0)
WIDEST_DEG = (10.0, 25.0, 45.0)


def shares(tracking: Tracking, least_m: float, widest_deg: float) -> list[float]:
    """Failed and completed ground passes, then the balanced accuracy of each lane in percent."""
    many = [passes_of(tracking, side, least_m, widest_deg) for side in ("home", "away")]
    told = {lane: lanes.told(many, lane, ground_only=True) for lane in lanes.BLOCKED}
    failed = told["physics"][1]
    right = [lanes.balanced_accuracy(value >= lanes.BLOCKED[lane][1], failed)[0] for lane, (value, _) in told.items()]
    return [failed.sum(), (~failed).sum(), *(100.0 * share for share in right)]


def print_table(tracking: Tracking, show: Callable[[str], None] = print) -> None:
    """A row a definition, then from where to where each column goes."""
    show("\nwith other definitions of a pass: ground passes, balanced accuracy in %")
    show(f"{'at least':<10}{'man within':>12}{'failed':>9}{'completed':>11}"
         + "".join(f"{lane:>10}" for lane in lanes.BLOCKED))
    rows = []
    for least_m in LEAST_M:
        for widest_deg in WIDEST_DEG:
            rows.append(shares(tracking, least_m, widest_deg))
            failed, completed, *right = rows[-1]
            show(f"{least_m:>4g} m    {widest_deg:>8g} deg{failed:>9.0f}{completed:>11.0f}"
                 + "".join(f"{share:>10.0f}" for share in right))
    ends = [f"{low:.0f}-{high:.0f}" for low, high in zip(np.min(rows, 0), np.max(rows, 0), strict=True)]
    show(f"{'from - to':<22}{ends[0]:>9}{ends[1]:>11}" + "".join(f"{end:>10}" for end in ends[2:]))
