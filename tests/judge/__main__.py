"""Print how the method fares: python -m tests.judge [outcomes [rounds]] [rivals] [duels] [steadiness] [plausible].

All parts if none is named.
"""

from __future__ import annotations

import sys

from tests.judge import duels, outcomes, plausible, rivals, steadiness
from tests.judge.frames import defending_frames, match, scene_frames

COUNT = 300


def print_rivals() -> None:
    print("\nThe named scenes")
    rivals.print_tables(rivals.judged(scene_frames()))
    print(f"\n{COUNT} frames of a match in which a team defends")
    rivals.print_tables(rivals.judged(defending_frames(COUNT)))


def print_outcomes() -> None:
    outcomes.print_table(match(), next((int(word) for word in sys.argv[1:] if word.isdigit()), 1))


PARTS = {"outcomes": print_outcomes, "rivals": print_rivals, "duels": lambda: duels.print_table(match()),
         "steadiness": steadiness.print_table, "plausible": lambda: plausible.print_tables(defending_frames(COUNT))}


def main() -> None:
    """Print the parts asked for."""
    for name in [word for word in sys.argv[1:] if not word.isdigit()] or PARTS:
        PARTS[name]()


if __name__ == "__main__":
    main()
