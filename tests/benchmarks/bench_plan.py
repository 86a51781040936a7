"""What a plan costs. Run by hand: python -m tests.benchmarks.bench_plan"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from time import process_time

import numpy as np

from pressinglib import Frames, Situation, plan_frames, plan_press
from pressinglib.field.scene_file import scene, scene_names
from tests.judge.frames import defending_frames
from tests.judge.steadiness import random_frames

Pictures = Sequence[Situation]


def random_pictures(count: int) -> Pictures:
    many = random_frames(-(-count // 4), np.random.default_rng(1))
    return [frames.situation(i) for frames in many for i in range(len(frames))]


def whole(situation: Situation) -> None:
    """A plan with every table of it touched."""
    plan = plan_press(situation)
    plan.to_dict()


def board(situation: Situation) -> None:
    """What the board shows while a hand drags: who does what where, and the words."""
    plan = plan_press(situation)
    assert plan.assignments and plan.words


def show(name: str, call: Callable[[Situation], object], pictures: Pictures, repeats: int) -> None:
    call(pictures[0])
    times = []
    for picture in [p for p in pictures for _ in range(repeats)]:
        start = process_time()
        call(picture)
        times.append(process_time() - start)
    median, late, worst = np.quantile(times, [0.5, 0.95, 1.0]) * 1e3
    print(f"{name:<44}{median:8.2f} ms{late:8.2f} ms at p95{worst:8.2f} ms at worst")


def show_frames(name: str, frames: Frames) -> None:
    plan_frames(frames.take(slice(32)))
    start = process_time()
    plan_frames(frames)
    print(f"{name:<44}{(process_time() - start) / len(frames) * 1e3:8.2f} ms a frame, {len(frames)} frames")


def main() -> None:
    scenes = [scene(name) for name in scene_names()]
    made = random_pictures(200)
    for words, pictures, repeats in (("named scenes", scenes, 10), ("random pictures", made, 1)):
        show(f"plan_press, {words}", plan_press, pictures, repeats)
        show(f"with assignments and words, {words}", board, pictures, repeats)
        show(f"with every table, {words}", whole, pictures, repeats)
    match_frames = defending_frames(900)[0]
    for count in (1, 8, 32, 256):
        show_frames("plan_frames, match", match_frames.take(slice(count)))


if __name__ == "__main__":
    main()
