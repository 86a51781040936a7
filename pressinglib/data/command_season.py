"""The command `season`: many matches planned, on this machine or by a scheduler."""

from __future__ import annotations

import argparse
from pathlib import Path

from pressinglib.data.command import CLEAN, SKIPPED, add_rules, say
from pressinglib.data.progress import Bar
from pressinglib.data.season import matches_in, plan_season


def add_season(parser: argparse.ArgumentParser) -> None:
    """What `season` asks for."""
    parser.description = """Plan all matches in a folder, each as the command plan does, on Dask: a match is a
        partition. Broken off, the same command goes on where it was. Exit code 1: a match could not be planned."""
    parser.add_argument("matches", type=Path, help="folder of folders made by import")
    parser.add_argument("--to", type=Path, required=True, help="folder for the plans, one folder a match")
    parser.add_argument("--per-second", type=float, metavar="N", help="plan at most N moments a second (default: all)")
    parser.add_argument("--no-faults", action="store_true", help="leave faults out: it then takes half the time")
    parser.add_argument("--workers", type=int, default=2, metavar="N", help="processes on this machine (2)")
    parser.add_argument("--scheduler", metavar="ADDRESS", help="of a Dask scheduler, such as tcp://127.0.0.1:8786")
    parser.add_argument("--quiet", action="store_true", help="no bar")
    add_rules(parser)


def run_season(told: argparse.Namespace) -> int:
    """Plan them and say how each went."""
    with Bar("planning", told.quiet, "matches") as bar:
        found = plan_season(matches_in(told.matches), told.to, told.settings, told.rules, told.per_second,
                            not told.no_faults, told.workers, told.scheduler, bar.show)
    for name, words in found.items():
        say(f"{name}: {words}")
    return CLEAN if set(found.values()) == {"planned"} else SKIPPED
