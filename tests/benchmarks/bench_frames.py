"""Arrival, lanes and control field on 1, 1,000 and 15,000 frames. Run by hand: python tests/benchmarks/bench_frames.py

Ours is set against a plain loop of scipy and shapely calls that works out the same numbers, and against one NumPy pass
that does no more than the distances of the same pairs. All in one run, and in time of the processor, which other work
disturbs least: ratios mean more than times. The loop is timed on a few frames (one place in a few for the field) and
scaled up; what it finds is compared with ours.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from shapely import LineString, Point, shortest_line

from pressinglib.field.pitch import Pitch
from pressinglib.physics import ball_time, control_at, grid, interception_probability, lane_margins
from pressinglib.physics.motion import RUNNING

Floats = NDArray[np.float64]
ALPHA, TOP = 1.3, 7.8
COUNTS = (1, 1000, 15000)
STEP_M = {1: 1.0, 1000: 10.0, 15000: 10.0}
AT_ONCE = 100  # frames, so that arrays stay in the cache
CONTROL_AT_ONCE = 20


def frames(count: int) -> tuple[Floats, ...]:
    """Ball, own places and velocities, opponents' places and velocities."""
    random = np.random.default_rng(1)
    places = [random.uniform((-50, -32), (50, 32), (count, 11, 2)) for _ in range(2)]
    paces = [random.normal(0, 2, (count, 11, 2)) for _ in range(2)]
    return random.uniform((-40, -30), (40, 30), (count, 2)), places[0], paces[0], places[1], paces[1]


# -- ours --------------------------------------------------------------------------------------------------------------


def our_arrival(ball: Floats, own: Floats, pace: Floats, opp: Floats, _: Floats) -> Floats:
    """(F, 11, 11) each player to each opponent."""
    return RUNNING.time(own[:, :, None], pace[:, :, None], opp[:, None])


def our_lanes(ball: Floats, own: Floats, pace: Floats, opp: Floats, _: Floats) -> Floats:
    """(F, 11, 11) lanes to each opponent, each player."""
    return lane_margins(ball, opp, own, pace)


def our_field(places: Floats) -> Callable[..., Floats]:
    """(F, P)"""
    return lambda ball, own, pace, opp, opp_pace: control_at(places, own, pace, opp, opp_pace, ball)


def in_parts(call: Callable[..., Floats], arrays: tuple[Floats, ...], at_once: int) -> Floats:
    starts = range(0, len(arrays[0]), at_once)
    return np.concatenate([call(*(array[k : k + at_once] for array in arrays)) for k in starts])


# -- a loop of scipy and shapely calls ---------------------------------------------------------------------------------


def one_arrival(xy: Floats, velocity: Floats, target: Floats, reaction_s: float = 0.0, reach_m: float = 0.0) -> float:
    """Root of |x - c(t)| = r(t) by scipy; before it the straight run of the reaction, by the roots of its square."""
    met = passed(target - xy, velocity, reaction_s, reach_m)
    if met is not None:
        return met
    way = target - xy - velocity * reaction_s

    def late(t: float) -> float:
        drift = (1.0 - np.exp(-ALPHA * t)) / ALPHA
        return np.hypot(*(way - velocity * drift)) - TOP * (t - drift) - reach_m

    return reaction_s + (brentq(late, 0.0, 60.0, xtol=1e-7) if late(0.0) > 0.0 else 0.0)


def passed(way: Floats, velocity: Floats, reaction_s: float, reach_m: float) -> float | None:
    """When he comes within reach while he still reacts; None if he does not."""
    if np.hypot(*way) <= reach_m:
        return 0.0
    roots = np.roots([velocity @ velocity, -2.0 * (way @ velocity), way @ way - reach_m**2]) if reaction_s else []
    times = [float(root.real) for root in roots if abs(root.imag) < 1e-12 and 0.0 <= root.real <= reaction_s]
    return min(times, default=None)


def loop_arrival(ball: Floats, own: Floats, pace: Floats, opp: Floats, _: Floats) -> Floats:
    return np.array([[one_arrival(xy, v, target) for target in opp] for xy, v in zip(own, pace, strict=True)])


def loop_lanes(ball: Floats, own: Floats, pace: Floats, opp: Floats, _: Floats) -> Floats:
    return np.array([[one_lane(ball, receiver, xy, v) for xy, v in zip(own, pace, strict=True)] for receiver in opp])


def one_lane(ball: Floats, receiver: Floats, xy: Floats, velocity: Floats) -> float:
    """Least margin over 11 points of a shapely line and the one nearest to the defender."""
    line = LineString([ball, receiver])
    run = LineString([xy, xy + 0.3 * velocity])
    nearest = line.project(Point(shortest_line(run, LineString([ball, receiver])).coords[0]))
    places = [*np.linspace(min(1.0, line.length), line.length, 11), max(nearest, 1.0)]
    points = [np.array(line.interpolate(place).coords[0]) for place in places]
    return min(one_arrival(xy, velocity, point, 0.3, 0.9) - float(ball_time(place))
               for place, point in zip(places, points, strict=True))


def loop_distances(ball: Floats, own: Floats, pace: Floats, opp: Floats, _: Floats) -> Floats:
    """Only how far each player stands off each lane, by shapely: a far simpler question."""
    return np.array([[LineString([ball, receiver]).distance(Point(xy)) for xy in own] for receiver in opp])


def loop_field(places: Floats) -> Callable[..., Floats]:
    """The race at each place by scipy's solver of differential equations."""

    def field(ball: Floats, own: Floats, pace: Floats, opp: Floats, opp_pace: Floats) -> Floats:
        return np.array([one_place(place, ball, own, pace, opp, opp_pace) for place in places])

    return field


def one_place(place: Floats, ball: Floats, own: Floats, pace: Floats, opp: Floats, opp_pace: Floats) -> float:
    players, paces = np.concatenate([own, opp]), np.concatenate([pace, opp_pace])
    times = np.array([one_arrival(xy, v, place, 0.3) for xy, v in zip(players, paces, strict=True)])
    rates = 3.99 * np.repeat([1.72, 1.0], len(own))
    start = float(ball_time(np.hypot(*(place - ball))))

    def motion(time: float, shares: Floats) -> Floats:
        return (1.0 - shares.sum()) * rates * interception_probability(time, times, 0.54)

    race = solve_ivp(motion, (start, max(start, times.min()) + 5.0), np.zeros(len(times)), rtol=1e-4, atol=1e-6)
    return float(race.y[: len(own), -1].sum())


# -- timed -------------------------------------------------------------------------------------------------------------


def seconds(call: Callable[[], object], repeats: int) -> float:
    """The best of some runs."""
    times = []
    for _ in range(repeats):
        start = process_time()
        call()
        times.append(process_time() - start)
    return min(times)


def distances(one: Floats, other: Floats) -> Floats:
    """One NumPy pass over all pairs (F, N, M)."""
    way = one[:, :, None] - other[:, None]
    return np.sqrt(way[..., 0] ** 2 + way[..., 1] ** 2)


def show(name: str, count: int, ours: float, loop: float, raw: float, apart: float) -> None:
    print(f"{name:<34}{count:>7}{ours * 1e3:>12.2f}{ours / count * 1e6:>13.1f}{loop / ours:>14.0f}{ours / raw:>16.1f}"
          f"{apart:>14.1e}")


def compare(name: str, ours: Callable[..., Floats], loop: Callable[..., Floats], sample: int) -> None:
    """A row a number of frames; the loop runs on `sample` frames."""
    for count in COUNTS:
        data = frames(count)
        looked = min(sample, count)
        repeats = 20 if count == 1 else 1
        time = seconds(lambda d=data: in_parts(ours, d, AT_ONCE), repeats)
        raw = seconds(lambda d=data: in_parts(lambda _b, own, _p, opp, _o: distances(own, opp), d, AT_ONCE), repeats)
        found: list[Floats] = []
        looped = seconds(lambda d=data, n=looked, f=found: f.extend(loop(*(a[k] for a in d)) for k in range(n)), 1)
        apart = np.abs(np.array(found) - ours(*(array[:looked] for array in data))).max()
        show(name, count, time, looped / looked * count, raw, apart)


def compare_field(places_looped: int) -> None:
    for count in COUNTS:
        data, (x, y) = frames(count), grid(Pitch(), STEP_M[count])
        places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        ours = our_field(places)
        time = seconds(lambda d=data, f=ours: in_parts(f, d, CONTROL_AT_ONCE), 5 if count == 1 else 1)
        everybody = np.concatenate([data[1], data[3]], axis=1)
        raw = seconds(lambda e=everybody, p=places: [distances(p[None], part) for part in
                                                     np.array_split(e, max(len(e) // CONTROL_AT_ONCE, 1))], 1)
        few = np.linspace(0, len(places) - 1, places_looped).astype(int)
        found: list[float] = []
        looped = seconds(lambda d=data, p=places[few], f=found: f.extend(loop_field(p)(*(a[0] for a in d))), 1)
        apart = np.abs(np.array(found) - ours(*(array[:1] for array in data))[0, few]).max()
        whole = looped / len(few) * len(places) * count
        show(f"control field, cells of {STEP_M[count]:g} m", count, time, whole, raw, apart)


def main() -> None:
    print(f"{'':<34}{'frames':>7}{'ours, ms':>12}{'us a frame':>13}{'loop / ours':>14}{'ours / distances':>17}"
          f"{'apart':>13}")
    compare("arrival, 11 x 11", our_arrival, loop_arrival, 5)
    compare("lanes, 11 receivers x 11", our_lanes, loop_lanes, 3)
    compare_field(40)
    data = frames(200)
    ours = seconds(lambda: in_parts(our_lanes, data, AT_ONCE), 3)
    loop = seconds(lambda: [loop_distances(*(array[k] for array in data)) for k in range(200)], 3)
    print("\nThe loop solves the same race. A loop of shapely calls that only measures how far each player stands off\n"
          f"each lane, a simpler question without time and ball, takes {loop / ours:.1f} times as long as our race.")


if __name__ == "__main__":
    main()
