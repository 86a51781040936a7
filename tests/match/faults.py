"""How often each kind of fault shows in frames in which a team of professionals defends: a kind that is nearly always
found is no fault but a wrong threshold, or an exception that was forgotten."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from pressinglib import Fault, Situation, find_faults
from pressinglib.data import Tracking
from pressinglib.roles.faults import BEFORE_S, KINDS

FRAMES_A_SIDE = 100
LOOKED_AT = 0.2  # share of frames above which a kind is looked at


class Found(NamedTuple):
    """One frame, the frame before it, and its faults."""

    now: Situation
    before: Situation
    seconds: float
    faults: list[Fault]


def defending(tracking: Tracking, count: int = FRAMES_A_SIDE) -> Iterator[Found]:
    """`count` frames a side, evenly drawn from all in which the other has the ball, and the frames a second before."""
    for side, other in (("home", "away"), ("away", "home")):
        carrier = tracking.carrier(other)
        rows = np.flatnonzero(carrier >= 0)
        then = np.searchsorted(tracking.time_s, tracking.time_s[rows] - BEFORE_S)
        rows, then = (a[tracking.time_s[rows] - tracking.time_s[then] > 0.9 * BEFORE_S] for a in (rows, then))
        drawn = np.linspace(0, len(rows) - 1, count).astype(int)
        rows, then = rows[drawn], then[drawn]
        now, before = (tracking.frames(side, at, carrier[at]) for at in (rows, then))
        for k, seconds in enumerate(tracking.time_s[rows] - tracking.time_s[then]):
            pair = now.situation(k), before.situation(k)
            yield Found(*pair, float(seconds), find_faults(pair[0], before=pair[1], before_s=float(seconds)))


def shares(found: list[Found]) -> dict[str, float]:
    """By kind: in which share of the frames it shows."""
    shown = Counter(kind for one in found for kind in {fault.kind for fault in one.faults})
    return {kind: shown[kind] / len(found) for kind in KINDS}


def mended(found: list[Found]) -> dict[str, tuple[float, float]]:
    """By kind that shows: which share of its faults one change mends, and mends without bringing another kind."""
    by_kind: dict[str, list[tuple[bool, bool]]] = {}
    for one in found:
        for fault in one.faults:
            after = [] if fault.changed is None else find_faults(fault.changed, None, one.before, one.seconds)
            clean = {q.kind for q in after} <= {q.kind for q in one.faults}
            by_kind.setdefault(fault.kind, []).append((fault.changed is not None, fault.changed is not None and clean))
    return {kind: tuple(np.mean(rows, axis=0)) for kind, rows in by_kind.items()}


def print_table(tracking: Tracking, show: Callable[[str], None] = print) -> None:
    """A row a kind."""
    found = list(defending(tracking))
    none = np.mean([not one.faults for one in found])
    show(f"\nfaults in {len(found)} frames in which a team defends, each with the frame a second before")
    show(f"{'':<32}{'in % of frames':>16}{'one change mends, %':>22}{'and brings no other, %':>26}")
    mends = mended(found)
    for kind, share in shares(found).items():
        cells = [f"{100 * part:.0f}" for part in mends.get(kind, ())] or ["-", "-"]
        show(f"{kind:<32}{100 * share:>16.1f}{cells[0]:>22}{cells[1]:>26}")
    show(f"no fault at all in {100 * none:.0f} %, {np.mean([len(one.faults) for one in found]):.1f} a frame")
