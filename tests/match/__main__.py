"""What 20 minutes of open match data say: python -m tests.match [block] [duels] [faults] [passes] [sensitivity].

All parts if none is named.
"""

from __future__ import annotations

import sys

from tests.judge import duels
from tests.judge.frames import match
from tests.match import block, faults, lanes, sensitivity
from tests.match.passes import passes_of

CREDIT = """Data: Deutsche Fussball Liga (DFL). Bassek, Rein, Weber, Memmert 2025, An integrated dataset of
spatiotemporal and event data in elite soccer, Scientific Data, 10.1038/s41597-025-04505-y, CC BY 4.0. 20 minutes of one
match, 12.5 frames a second, two teams in 4-2-3-1."""
LIMITS = """
What this can show: that figures are of the right size; that lanes have to do with where passes go; that on these passes
the physics lane tells completed from failed better than corridor and cone do. Not which of physics and coverage is the
better one: at the thresholds fixed beforehand physics is ahead, in ranking ground passes coverage is, and either lead
comes near to nothing at one end of its interval. What it cannot: two teams, one match, neighbouring frames that say the
same; few failed passes, none out of play, none that a tackle stopped; whom a failed pass was meant for is a guess by
its direction, and passers choose open lanes, so failures are not a fair sample of closed ones. The published shares
come from 69,500 passes with events and other definitions: the two columns stand side by side, they are not a race."""


def main() -> None:
    """Print the parts asked for."""
    tracking = match()
    parts = {"block": lambda: block.print_table(tracking), "duels": lambda: duels.print_table(tracking),
             "faults": lambda: faults.print_table(tracking),
             "passes": lambda: lanes.print_tables([passes_of(tracking, side) for side in ("home", "away")]),
             "sensitivity": lambda: sensitivity.print_table(tracking)}
    print(CREDIT)
    for name in sys.argv[1:] or parts:
        parts[name]()
    print(LIMITS)


if __name__ == "__main__":
    main()
