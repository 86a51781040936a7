"""What the commands share: how they speak, what they end with, and how rules are asked for."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable

Command = Callable[[argparse.Namespace], int]
CLEAN, SKIPPED, FAILED = 0, 1, 2  # how a command ends: all well, something left out, nothing done


def say(words: object) -> None:
    """A line to the reader."""
    sys.stdout.write(f"{words}\n")


def add_rules(parser: argparse.ArgumentParser, words: str = "") -> None:
    """Settings and own rules."""
    parser.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", dest="settings",
                        help=f"a setting{words}, such as pressers=anyone (the one for match data)")
    parser.add_argument("--rule", action="append", default=[], metavar="NAME=FILE.py:FUNCTION", dest="rules",
                        help=f"an own rule{words}, such as choose_presser=my_rules.py:nearest; the file is run")
