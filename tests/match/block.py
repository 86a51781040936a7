"""How long, wide and deep two teams stand while they defend, beside the published figures.

Forcher et al. 2024, 10.1177/17479541231172695 (published: mean and deviation over professional matches). Whether the
three behind the striker of a 4-2-3-1 count as midfield or as forwards, the part of the paper that we know does not say:
both are given. The published gaps fit the second count (lines of 4, 2 and 4) and not the first (4, 5 and 1); so the
table sets them beside the second, and the bands of the tests keep it: a choice made after looking.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import Tracking
from pressinglib.field.frames import Frames
from pressinglib.field.player import ATTACKING, BACK, FORWARD, GOALKEEPER, HOLDING, LINE_OF_SLOT, MIDFIELD

Floats = NDArray[np.float64]
PUBLISHED = {"length": (32.5, 8.7), "width": (37.3, 4.8), "defence to midfield": (10.2, 3.8),
             "midfield to forwards": (13.3, 4.2)}
# Which line each slot's line is counted to; both teams of the data play 4-2-3-1.
FRONT_FOUR = {BACK: 0, HOLDING: 1, MIDFIELD: 1, ATTACKING: 2, FORWARD: 2}
LONE_STRIKER = {BACK: 0, HOLDING: 1, MIDFIELD: 1, ATTACKING: 1, FORWARD: 2}


def shapes(frames: Frames) -> dict[str, Floats]:
    """Metres in each frame (F,), by name; the goalkeeper is left out."""
    line = np.array([LINE_OF_SLOT[slot] for slot in frames.pressing_slots])
    outfield = frames.pressing_xy[:, line != GOALKEEPER]
    nearest = np.linalg.norm(outfield - frames.ball_xy[:, None], axis=-1).argsort(-1)[:, :5]
    five = np.take_along_axis(outfield, nearest[..., None], axis=-2)
    whole, near = np.nanmax(outfield, 1) - np.nanmin(outfield, 1), np.ptp(five, axis=1)
    four, lone = (line_gaps(frames.pressing_xy, [lines.get(int(one), -1) for one in line])
                  for lines in (FRONT_FOUR, LONE_STRIKER))
    return {"length": whole[:, 0], "width": whole[:, 1],
            "defence to midfield": four[:, 0], "midfield to forwards": four[:, 1],
            "defence to midfield (4|5|1)": lone[:, 0], "midfield to forwards (4|5|1)": lone[:, 1],
            "length of the five nearest": near[:, 0], "width of the five nearest": near[:, 1]}


def line_gaps(xy: Floats, lines: list[int]) -> Floats:
    """(F, lines - 1) depth, metres, between the mean x of neighbouring lines 0, 1, ... of players (F, N, 2)."""
    return np.diff([np.nanmean(xy[:, np.array(lines) == one, 0], axis=1) for one in range(max(lines) + 1)], axis=0).T


def both(tracking: Tracking) -> Iterator[tuple[str, dict[str, Floats]]]:
    """The two sides while they defend."""
    for side in ("home", "away"):
        yield side, shapes(tracking.defending(side))


def print_table(tracking: Tracking, show: Callable[[str], None] = print) -> None:
    """A row a measure, a column a side."""
    sides = dict(both(tracking))
    counts = {side: len(values["length"]) for side, values in sides.items()}
    show("\nthe block while defending, m: mean +- deviation over frames (12.5 a second, so far from independent)")
    show(f"{'':<32}" + "".join(f"{f'{side}, {counts[side]} frames':>24}" for side in sides) + f"{'published':>16}")
    for name in sides["home"]:
        cells = [f"{values[name].mean():.1f} +- {values[name].std():.1f}" for values in sides.values()]
        published = "{} +- {}".format(*PUBLISHED[name]) if name in PUBLISHED else ""
        show(f"{name:<32}" + "".join(f"{cell:>24}" for cell in cells) + f"{published:>16}")
