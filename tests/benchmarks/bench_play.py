"""What a sequence costs. Run by hand: python -m tests.benchmarks.bench_play"""

from __future__ import annotations

import cProfile
import pstats
from time import process_time

from pressinglib import choices, improve, plan_press, simulate, traps
from pressinglib.field.scene_file import scene
from pressinglib.play import Action, Pass

SIX_SECONDS: dict[str, tuple[list[Action], dict[str, object]]] = {
    "nobody told anything": ([], {}),
    "three passes": ([Pass("4", at_s=0.5), Pass("5", at_s=2.5, speed_mps=25), Pass("3", at_s=4.5)], {}),
    "three passes, lanes sought": ([Pass(at_s=0.5), Pass(at_s=2.5), Pass(at_s=4.5)], {"attackers": "seek"}),
    "three passes, a step of 0.2 s": ([Pass("4", at_s=0.5), Pass("5", at_s=2.5), Pass("3", at_s=4.5)], {"step_s": 0.2}),
}
ROUNDS = 5


def main() -> None:
    """Print the best of some rounds, and what the time goes into."""
    for name, (actions, manner) in SIX_SECONDS.items():
        rounds = []
        for _ in range(ROUNDS):
            start = process_time()
            sequence = simulate(scene("worked scene"), actions, duration_s=6, **manner)  # type: ignore[arg-type]
            rounds.append(process_time() - start)
        each = min(rounds) / len(sequence)
        print(f"simulate, {name:<32}{min(rounds):6.2f} s for {len(sequence)} moments{each * 1e3:7.2f} ms a moment")
    start = process_time()
    assert len(sequence.table()) == len(sequence)
    print(f"its table{'':<33}{process_time() - start:6.2f} s")
    start = process_time()
    found = choices(scene("worked scene"))
    print(f"choices, {len(found.names)} of them, 64 copies{'':<10}{process_time() - start:6.2f} s")
    start = process_time()
    found = traps(scene("worked scene"))
    print(f"traps, {len(found.names) - 1} of them, 64 copies{'':<12}{process_time() - start:6.2f} s")
    start = process_time()
    improve(scene("worked scene"))
    print(f"improve, 64 copies{'':<23}{process_time() - start:6.2f} s")
    plan = plan_press(scene("worked scene"))
    rounds = []
    for _ in range(ROUNDS):
        start = process_time()
        plan.confidence()
        rounds.append(process_time() - start)
    print(f"confidence, 64 copies{'':<20}{min(rounds) * 1e3:6.0f} ms")
    _share()


def _share() -> None:
    """How much of it is the plan."""
    profile = cProfile.Profile()
    profile.runcall(simulate, scene("worked scene"), [], duration_s=6)
    rows = pstats.Stats(profile).stats  # type: ignore[attr-defined]
    total = {name: row[3] for (_, _, name), row in rows.items() if name in ("simulate", "decide", "stride", "caught")}
    print("under the profiler: " + ", ".join(f"{name} {s / total['simulate']:.0%}" for name, s in total.items()))


if __name__ == "__main__":
    main()
