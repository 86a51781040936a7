"""The same comparisons as rounds of pytest-benchmark, with spreads and ratios: run by hand, never part of the tests.

    python -m pytest tests/benchmarks/bench_rounds.py --benchmark-group-by=group

In each group ours, the bare distances of the same pairs and, on one frame, the loop of scipy and shapely calls; the
number in brackets behind a time is its ratio to the fastest of the group.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import pytest

from pressinglib.field.pitch import Pitch
from pressinglib.physics import grid
from tests.benchmarks import bench_frames as b

CELLS_M = 10.0
PLACES = np.stack(np.meshgrid(*grid(Pitch(), CELLS_M)), axis=-1).reshape(-1, 2)
OURS = {"arrival": (b.our_arrival, b.AT_ONCE), "lanes": (b.our_lanes, b.AT_ONCE),
        "field": (b.our_field(PLACES), b.CONTROL_AT_ONCE)}
LOOPS = {"arrival": b.loop_arrival, "lanes": b.loop_lanes, "field": b.loop_field(PLACES)}


def timed(benchmark: Any, group: str, call: Callable[[], object], rounds: int) -> None:
    benchmark.group = group
    benchmark.pedantic(call, rounds=rounds, warmup_rounds=1)


@pytest.mark.parametrize("count", b.COUNTS)
@pytest.mark.parametrize("what", OURS)
def test_ours(benchmark: Any, what: str, count: int) -> None:
    call, at_once = OURS[what]
    rounds = 20 if count == 1 else 2
    timed(benchmark, f"{what}, {count} frames", partial(b.in_parts, call, b.frames(count), at_once), rounds)


@pytest.mark.parametrize("count", b.COUNTS)
@pytest.mark.parametrize("what", OURS)
def test_distances(benchmark: Any, what: str, count: int) -> None:
    """One NumPy pass over the pairs: players by players, or for the field places by all 22."""
    data = b.frames(count)
    everybody = np.concatenate([data[1], data[3]], axis=1)
    one, other = (PLACES[None], everybody) if what == "field" else (data[1], data[3])

    def call() -> None:
        for k in range(0, count, b.AT_ONCE):
            b.distances(one if len(one) == 1 else one[k : k + b.AT_ONCE], other[k : k + b.AT_ONCE])

    timed(benchmark, f"{what}, {count} frames", call, 20 if count == 1 else 3)


@pytest.mark.parametrize("what", LOOPS)
def test_loop_of_scipy_and_shapely(benchmark: Any, what: str) -> None:
    frame = [array[0] for array in b.frames(1)]
    timed(benchmark, f"{what}, 1 frames", partial(LOOPS[what], *frame), 2)
