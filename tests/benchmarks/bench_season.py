"""Four matches (the open 20 minutes each) on one and on two workers of this machine. Run by hand:

    python -m tests.benchmarks.bench_season

Two moments a second are planned, without faults. The start of the workers is in the times. Ratios in one run.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from time import perf_counter

from pressinglib.data import save_match
from pressinglib.data.season import plan_season
from tests.judge.frames import match

MATCHES, PER_SECOND = 4, 2.0


def seconds(call: Callable[[], object]) -> float:
    """How long a call takes, on the clock on the wall: processes share the work."""
    start = perf_counter()
    call()
    return perf_counter() - start


def main() -> None:
    """Print a row for each way."""
    with tempfile.TemporaryDirectory() as folder:
        place, tracking = Path(folder), match()
        paths = [save_match(tracking, place / f"match_{k}") for k in range(MATCHES)]
        took = {}
        for workers in (1, 2):
            season = partial(plan_season, per_second=PER_SECOND, with_faults=False, workers=workers)
            took[workers] = seconds(lambda: season(paths, place / f"plans{workers}"))  # noqa: B023
            print(f"{workers} workers{took[workers]:>8.1f} s")
        print(f"2 workers {took[1] / took[2]:.2f} times as fast as 1")


if __name__ == "__main__":
    sys.exit(main())
