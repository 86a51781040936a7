"""The command `compare`: rules of one's own against the stock rules, on scenes or on a match."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pressinglib.data.command import add_rules
from pressinglib.data.compare_match import compare_match
from pressinglib.data.match_folder import open_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.own_rules import rulebook_of
from pressinglib.data.progress import Bar
from pressinglib.data.tables import write_table
from pressinglib.roles.compare import Comparison, compare_rulebooks


def add_compare(parser: argparse.ArgumentParser) -> None:
    """What `compare` asks for."""
    parser.description = "Set rules against the stock rules, on the named scenes or on the moments of a match."
    add_rules(parser, " to try")
    parser.add_argument("--both", action="append", default=[], metavar="NAME=VALUE", help="a setting for both sides")
    parser.add_argument("--match", type=Path, help="folder made by import; without it the named scenes")
    parser.add_argument("--per-second", type=float, default=0.2, metavar="N", help="moments a second (0.2)")
    parser.add_argument("--no-faults", action="store_true", help="leave faults out: much quicker")
    parser.add_argument("--to", type=Path, metavar="TABLE", help="write the rows: .csv, .csv.gz or .parquet")
    parser.add_argument("--plot", type=Path, metavar="PICTURE", help="draw the differences: .png")
    parser.add_argument("--quiet", action="store_true", help="no bar")


def compared(told: argparse.Namespace) -> Comparison:
    """The comparison that was asked for."""
    stock = rulebook_of(told.both)
    tried = rulebook_of([*told.both, *told.settings], told.rules)
    names = ("stock rules", ", ".join([*told.settings, *told.rules]) or "the same rules")
    if told.match is None:
        return compare_rulebooks(stock, tried, None, names, not told.no_faults)
    plan = MatchPlan.of(open_match(told.match), stock, told.per_second, not told.no_faults)
    with Bar("comparing", told.quiet) as bar:
        return compare_match(plan, tried, names, bar.show)


def write_rows(comparison: Comparison, path: Path) -> None:
    """The rows of a comparison as a table."""
    columns: Mapping[str, Any] = {key: [_plain(row[key]) for row in comparison.rows] for key in comparison.rows[0]}
    write_table(columns, path)


def _plain(value: Any) -> Any:
    return ", ".join(value) if isinstance(value, tuple) else value
