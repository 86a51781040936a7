"""Plans of many frames. Run by hand: python -m tests.benchmarks.bench_match [long]

First `plan_frames` against a loop of `plan_press`, and against one NumPy pass that does no
more than the distances of the same pairs; then its time on 1,000 and 15,000 frames, with "long" also on 135,000 (a
match at 25 frames a second: the open 20 minutes, again and again). All in one run: ratios mean more than times.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from time import process_time

import numpy as np

from pressinglib import Frames, plan_frames, plan_press
from tests.judge.frames import match

LOOPED, TOGETHER, ROUNDS = 100, 1000, 3
COUNTS = (1000, 15000)
MATCH_AT_25_HZ = 135_000


def seconds(call: Callable[[], object], rounds: int = 1) -> float:
    """The least of some rounds, in seconds of processor: other programs do not count."""
    times = []
    for _ in range(rounds):
        start = process_time()
        call()
        times.append(process_time() - start)
    return min(times)


def of_length(frames: Frames, count: int) -> Frames:
    """The frames again and again."""
    return frames.take(np.arange(count) % len(frames))


def distances(frames: Frames) -> object:
    """The raw pass: each player to each opponent."""
    return np.linalg.norm(frames.pressing_xy[:, :, None] - frames.possession_xy[:, None], axis=-1)


def print_ratios(frames: Frames) -> None:
    many = of_length(frames, TOGETHER)
    apart = [frames.situation(i) for i in np.linspace(0, len(frames) - 1, LOOPED).astype(int)]
    raw = seconds(lambda: distances(many), 20) / TOGETHER
    print(f"{'':<16}{'loop, ms a frame':>18}{'together, ms':>14}{'loop / together':>17}{'together / distances':>22}")
    loop = seconds(lambda: [plan_press(s) for s in apart], ROUNDS) / LOOPED
    ours = seconds(lambda: plan_frames(many), ROUNDS) / TOGETHER
    print(f"{'plans':<16}{loop * 1e3:>18.2f}{ours * 1e3:>14.2f}{loop / ours:>17.1f}{ours / raw:>22.0f}")


def print_growth(frames: Frames, counts: tuple[int, ...]) -> None:
    print(f"\n{'frames':>8}{'whole, s':>12}{'ms a frame':>12}")
    for count in counts:
        took = seconds(lambda: plan_frames(of_length(frames, count)))  # noqa: B023
        print(f"{count:>8}{took:>12.1f}{took / count * 1e3:>12.2f}")


def main() -> None:
    """Print both."""
    frames = match().defending("home")
    print_ratios(frames)
    print_growth(frames, (*COUNTS, MATCH_AT_25_HZ) if "long" in sys.argv[1:] else COUNTS)


if __name__ == "__main__":
    main()
