"""The command `plan`: a whole match planned into a folder."""

from __future__ import annotations

import argparse
from pathlib import Path

from pressinglib.data.command import CLEAN, add_rules, say
from pressinglib.data.match_folder import open_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.own_rules import rulebook_of
from pressinglib.data.plan_match import plan_match
from pressinglib.data.progress import Bar


def add_plan(parser: argparse.ArgumentParser) -> None:
    """What `plan` asks for."""
    parser.description = """Plan a match that was imported: tables of frames, players, lanes, gaps and faults in a
        folder. Broken off, the same command goes on where it was."""
    parser.add_argument("match", type=Path, help="folder made by import")
    parser.add_argument("--to", type=Path, required=True, help="folder for the plans")
    parser.add_argument("--per-second", type=float, metavar="N", help="plan at most N moments a second (default: all)")
    parser.add_argument("--no-faults", action="store_true", help="leave faults out: it then takes half the time")
    parser.add_argument("--table", choices=("parquet", "csv", "csv.gz"), default="parquet", help="kind of table")
    parser.add_argument("--quiet", action="store_true", help="no bar")
    add_rules(parser)


def run_plan(told: argparse.Namespace) -> int:
    """Plan chunk by chunk."""
    plan = MatchPlan.of(open_match(told.match), rulebook_of(told.settings, told.rules), told.per_second,
                        not told.no_faults)
    say(", ".join(f"{n} {words}" for words, n in plan.counts().items()))
    for phase in dict.fromkeys(chunk.phase for chunk in plan.chunks):
        start = plan.match.frame_id[phase.start]
        say(f"from frame {start}, period {phase.period}: home {phase.home}, away {phase.away}")
    with Bar("planning", told.quiet) as bar:
        plan_match(plan, told.to, told.table, bar.show)
    say(f"plans are in {told.to}")
    return CLEAN
