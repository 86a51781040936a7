"""Writers to be killed, each in a process of its own; plans are worked out before, so that all time is writing."""

from __future__ import annotations

import multiprocessing
import random
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pressinglib.data import MatchPlan, Tracking, plan_match, save_match

SPAWN = multiprocessing.get_context("forkserver")
# All that they import is there before they start: they are killed at their work, not on their way to it.
SPAWN.set_forkserver_preload(["tests.data.killed", "tests.teach.test_nothing_lost", "pandas", "scipy.optimize"])


@dataclass(frozen=True, eq=False, repr=False)
class Planned(MatchPlan):
    """A plan whose tables are there already."""

    ready: Any = None

    def tables(self, chunk: Any, failing: Any = None, progress: Any = None) -> Any:
        return self.ready[chunk.number]


def planned(plan: MatchPlan) -> Planned:
    """The same plan, worked out."""
    return Planned(plan.match, plan.rulebook, plan.whose, plan.rows, plan.chunks, plan.with_faults,
                   {chunk.number: plan.tables(chunk) for chunk in plan.chunks})


def write_plans(plan: Planned, folder: Path, kind: str) -> None:
    plan_match(plan, folder, kind)


def write_match(match: Tracking, folder: Path, kind: str) -> None:
    save_match(match, folder, kind)


def killed(dice: random.Random, longest_s: float, write: Any, *given: Any) -> bool:
    """Start a writer and kill it after a while; whether it was killed before its end."""
    writer = SPAWN.Process(target=write, args=given)
    writer.start()
    time.sleep(dice.uniform(0, longest_s))
    writer.kill()
    writer.join()
    return writer.exitcode != 0
