"""A whole match planned into a folder: time and peak memory as it grows. Run by hand:

    python -m tests.benchmarks.bench_whole_match [faults | workers]

The open 20 minutes again and again, two moments a second planned, in chunks, each length in a process of its own so
that its peak of memory is its own. With "faults" they are looked for too. Resident memory of an idle process with the
match read is printed beside it. With "workers": the command plan with one process and with two, the
ratio, and the most that the machine allows.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from time import perf_counter, process_time

import numpy as np

from pressinglib.data import MatchPlan, Team, Tracking, plan_match, save_match
from tests.judge.frames import match

LENGTHS = (1_000, 15_000, 135_000)  # moments: the last is a match of 90 minutes at 25 Hz
PER_SECOND = 2.0


def of_length(tracking: Tracking, count: int) -> Tracking:
    """The match again and again, on one clock."""
    rows = np.arange(count) % len(tracking)
    step_s = float(np.median(np.diff(tracking.time_s)))

    def longer(team: Team) -> Team:
        return replace(team, xy=team.xy[rows])

    return replace(tracking, home=longer(tracking.home), away=longer(tracking.away), time_s=np.arange(count) * step_s,
                   ball_xy=tracking.ball_xy[rows], ball_height_m=tracking.ball_height_m[rows],
                   alive=tracking.alive[rows], frame_id=np.arange(count), period=tracking.period[rows],
                   given=tracking.given[rows], clock_s=np.arange(count) * step_s)


def peak_mb() -> float:
    """Peak of resident memory so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def one(count: int, with_faults: bool) -> None:
    """Print a row for one length."""
    long = of_length(match(), count)
    before_mb, start = peak_mb(), process_time()
    plan = MatchPlan.of(long, per_second=PER_SECOND, with_faults=with_faults)
    with tempfile.TemporaryDirectory() as folder:
        plan_match(plan, Path(folder) / "plans")
    took = process_time() - start
    print(f"{count:>9}{len(plan.rows):>9}{took:>10.1f}{took / len(plan.rows) * 1e3:>12.2f}{before_mb:>11.0f}"
          f"{peak_mb():>10.0f}", flush=True)


def shared() -> None:
    """A match of 90 minutes (the open 20, repeated), all moments, by one process and by two that share it.

    Beside it what the machine gives to two that share nothing: half of the match by one process, and by two at once.
    """
    with tempfile.TemporaryDirectory() as folder:
        for name, count in (("match", LENGTHS[-1]), ("half", LENGTHS[-1] // 2)):
            save_match(of_length(match(), count), Path(folder) / name)

        def took_s(what: str, workers: str, *to: str) -> float:
            """One command for each folder of plans, all at once."""
            command = [sys.executable, "-m", "pressinglib", "plan", f"{folder}/{what}", "--no-faults", "--workers",
                       workers, "--quiet", "--to"]
            start = perf_counter()
            running = [subprocess.Popen([*command, f"{folder}/{name}"], stdout=subprocess.DEVNULL) for name in to]
            if sum(one.wait() for one in running):
                raise RuntimeError("a command failed")
            return perf_counter() - start

        one, two = took_s("match", "1", "one"), took_s("match", "2", "two")
        alone, both = took_s("half", "1", "alone"), took_s("half", "1", "left", "right")
    print(f"1 worker {one:.1f} s, 2 workers {two:.1f} s: ratio {one / two:.2f}")
    print(f"half alone {alone:.1f} s, two at once {both:.1f} s: the machine's own ceiling {2 * alone / both:.2f}")


def main() -> None:
    """Every length in a process of its own."""
    if sys.argv[1:2] == ["workers"]:
        shared()
        return
    if sys.argv[1:2] == ["one"]:
        one(int(sys.argv[2]), "faults" in sys.argv)
        return
    print(f"{'moments':>9}{'planned':>9}{'CPU, s':>10}{'ms a plan':>12}{'read, MB':>11}{'peak, MB':>10}", flush=True)
    for count in LENGTHS:
        subprocess.run([sys.executable, "-m", "tests.benchmarks.bench_whole_match", "one", str(count), *sys.argv[1:]],
                       check=True)


if __name__ == "__main__":
    main()
