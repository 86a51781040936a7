"""Four matches (the open 20 minutes each) on one and two workers, and on a bare pool of processes. Run by hand:

    python -m tests.benchmarks.bench_season

Two moments a second are planned, without faults. Starting and stopping Dask's workers is in its times, and printed
alone beside them: it is the same for four matches and for four hundred. Ratios in one run.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from time import perf_counter

from pressinglib.data import save_match
from pressinglib.data.season import plan_one, plan_season
from tests.judge.frames import match

MATCHES, PER_SECOND = 4, 2.0


def seconds(call: Callable[[], object]) -> float:
    """How long a call takes, on the clock on the wall: processes share the work."""
    start = perf_counter()
    call()
    return perf_counter() - start


def pooled(paths: list[Path], to: Path, workers: int) -> None:
    """The same by a pool of the standard library."""
    one = partial(plan_one, to=str(to), settings=[], rules=[], per_second=PER_SECOND, with_faults=False)
    with ProcessPoolExecutor(workers) as pool:
        list(pool.map(one, map(str, paths)))


def main() -> None:
    """Print a row for each way."""
    with tempfile.TemporaryDirectory() as folder:
        place, tracking = Path(folder), match()
        paths = [save_match(tracking, place / f"match_{k}") for k in range(MATCHES)]
        took: dict[str, float] = {}
        for workers in (1, 2):
            season = partial(plan_season, per_second=PER_SECOND, with_faults=False, workers=workers)
            took[f"Dask, {workers}, start"] = seconds(lambda: season([], place / "none"))  # noqa: B023
            took[f"Dask, {workers}"] = seconds(lambda: season(paths, place / f"dask{workers}"))  # noqa: B023
            took[f"pool, {workers}"] = seconds(lambda: pooled(paths, place / f"pool{workers}", workers))  # noqa: B023
        for name, value in took.items():
            print(f"{name:<16}{value:>8.1f} s")
        for way in ("Dask", "pool"):
            print(f"{way}: 2 workers {took[f'{way}, 1'] / took[f'{way}, 2']:.2f} times as fast as 1")


if __name__ == "__main__":
    sys.exit(main())
