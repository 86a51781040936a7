"""Times of the clocks a plan stands on. Run by hand: python tests/benchmarks/bench_physics.py"""

from collections.abc import Callable
from time import perf_counter

import numpy as np

from pressinglib.physics import (
    Running,
    ball_time,
    control_shares,
    lane_margins,
    loft,
    lofted_time,
    offside_line_x,
    rest_lane_margins,
)

LAW = Running()
RANDOM = np.random.default_rng(1)


def spots(*shape: int) -> np.ndarray:
    return RANDOM.uniform(-30, 30, (*shape, 2))


def paces(*shape: int) -> np.ndarray:
    return RANDOM.normal(0, 3, (*shape, 2))


def show(name: str, call: Callable[[], object], repeats: int = 200) -> None:
    call()
    times = []
    for _ in range(repeats):
        start = perf_counter()
        call()
        times.append(perf_counter() - start)
    median, late = np.quantile(times, [0.5, 0.95]) * 1e3
    print(f"{name:<58}{median:9.3f} ms{late:9.3f} ms at p95")


def main() -> None:
    for count in (20, 100, 2000):
        xy, velocity, target = spots(count), paces(count), spots(count)
        show(f"time, {count} pairs", lambda a=xy, v=velocity, t=target: LAW.time(a, v, t))
        show(
            f"time with reaction and reach, {count} pairs",
            lambda a=xy, v=velocity, t=target: LAW.time(a, v, t, reaction_s=0.3, reach_m=0.9),
        )
    xy, velocity, target = spots(100), paces(100), spots(100)
    show("reached_xy, 100 pairs", lambda: LAW.reached_xy(xy, velocity, target, 2.0, reaction_s=0.3))
    show("braked_time, 100 pairs", lambda: LAW.braked_time(xy, velocity, target, reaction_s=0.3))
    distance = RANDOM.uniform(0, 60, 33_000)
    show("rest_time, 33,000 distances", lambda: LAW.rest_time(distance))
    show("ball_time, 33,000 distances", lambda: ball_time(distance))
    show("lofted_time, 33,000 distances", lambda: lofted_time(distance))
    show("loft, one ball", lambda: loft(25.0, 30.0), repeats=20)
    ball, receivers = spots(), spots(10)
    show("lane_margins, 10 receivers x 11 defenders", lambda: lane_margins(ball, receivers, spots(11), paces(11)))
    candidates = spots(300)
    show("rest_lane_margins, 10 receivers x 11 defenders", lambda: rest_lane_margins(ball, receivers, spots(11)))
    show("rest_lane_margins, 10 receivers x 300 candidates", lambda: rest_lane_margins(ball, receivers, candidates))
    attack, defence = RANDOM.uniform(0, 6, (2, 300, 10, 11))
    show("control_shares, 300 x 10 places", lambda: control_shares(attack, defence, np.ones((300, 10))), repeats=5)
    own, balls = spots(30_000, 11)[..., 0], spots(30_000)[..., 0]
    show("offside_line_x, 30,000 frames", lambda: offside_line_x(own, balls), repeats=20)


if __name__ == "__main__":
    main()
