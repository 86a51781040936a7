"""The pictures that are judged: the named scenes, and frames of an open match in which a team defends."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np

from pressinglib.data import Tracking, open_match
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names

MATCH = Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open"
AT_ONCE = 32


@cache
def match() -> Tracking:
    """DFL; Bassek, Rein, Weber, Memmert 2025, 10.1038/s41597-025-04505-y, CC BY 4.0."""
    return open_match(MATCH)


def defending_frames(count: int, tracking: Tracking | None = None) -> list[Frames]:
    """`count` frames, evenly drawn from all in which either side defends; one Frames a side."""
    tracking = tracking or match()
    both = [tracking.defending("home"), tracking.defending("away")]
    share = round(count * len(both[0]) / sum(map(len, both)))
    return [frames.take(np.linspace(0, len(frames) - 1, n).round().astype(int))
            for frames, n in zip(both, (share, count - share), strict=True)]


def scene_frames() -> list[Frames]:
    """Each named scene, one Frames each."""
    return [Frames.of([scene(name)]) for name in scene_names()]


def in_parts(many: list[Frames]) -> Iterator[Frames]:
    """A few frames at a time, so that memory stays small."""
    for frames in many:
        for k in range(0, len(frames), AT_ONCE):
            yield frames.take(slice(k, k + AT_ONCE))
