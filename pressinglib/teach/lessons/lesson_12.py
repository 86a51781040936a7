"""Lesson 12: the rules beside 20 minutes of a real match.

The pictures are frames of open data, with numbers and no names. Data: Deutsche Fussball Liga (DFL). Bassek, M.,
Rein, R., Weber, H., Memmert, D. (2025). An integrated dataset of spatiotemporal and event data in elite soccer.
Scientific Data. doi:10.1038/s41597-025-04505-y. Licence CC BY 4.0. Changes: single frames, turned so that the team
that presses attacks to the right, velocities worked out, rounded, numbers instead of names.
"""

from __future__ import annotations

from pathlib import Path

from pressinglib import Plan, Rulebook, Situation, load_situation
from pressinglib.data import Share
from pressinglib.teach import Band, Exercise, MarkGaps, NameFault, PlacePlayers, SetNumber, WhoPresses
from pressinglib.teach.criteria import leaves_ball, no_fault

PACKAGED = Path(__file__).parents[2] / "_notebooks"
MATCH = (PACKAGED if PACKAGED.is_dir() else Path(__file__).parents[3] / "notebooks") / "data" / "dfl-open"
ANYONE = Rulebook().with_settings(pressers="anyone")  # in real matches the back line goes as well
SOME = Share(51, 62)  # how often the one named by the rules went, as the lesson counts it
ROUGHLY = 4.0  # percentage points that a good estimate may be off (own choice)


def _frame(number: int) -> Situation:
    return load_situation(MATCH / "scenes" / f"frame_{number}.json")


def _width(plan: Plan) -> Band:
    """From end to end of the interval, in percentage points."""
    low, high = (100 * end for end in SOME.interval)
    return Band(high - low - ROUGHLY, high - low, high - low + ROUGHLY)


going = Exercise(
    "Whom do the rules send?", "Write the number of the one who goes to their 6, if anybody may go.",
    _frame(36864), WhoPresses(), "Look at who can be goal-side of the ball, and at who is beaten.", ANYONE)

fault = Exercise(
    "What is missing?",
    "Write one of these, in quotes: gap open with a man in it, two press one ball, block too long.",
    _frame(27886), NameFault("gap open with a man in it", ("two press one ball", "block too long")),
    "Look between the men who are nearest to the ball.", ANYONE)

gaps = Exercise(
    "Which gaps are open?", "Write every open gap between neighbours of presser and covers, such as 4-6, 6-8.",
    _frame(18360), MarkGaps(), "Look from the ball, from one side to the other.", ANYONE)

far_side = Exercise(
    "Who guards the far side?",
    "Drag {numbers} so that a switch finds him in time, and leave the ball to the presser.",
    _frame(24896), PlacePlayers(("27",), (no_fault("far side too narrow"), leaves_ball("27")),
                                "The last one left tucks in only as far as he is there with the switch."),
    "Look at their men on the other side of the pitch.", ANYONE)

how_sure = Exercise(
    "How sure is a count?",
    f"The one named went in {SOME.hits} of {SOME.of} cases. How many percentage points wide is the 95 % interval?",
    _frame(36864),
    SetNumber("points", _width, "So few cases do not say so much.", "Even so few cases say more than that.",
              "About 2 standard errors to either side: each is the root of p (1 - p) / n.", names_players=False),
    "Look at the number of cases: four times as many would halve it.", ANYONE)
