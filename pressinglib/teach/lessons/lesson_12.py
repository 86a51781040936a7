"""Lesson 12: the rules beside 20 minutes of a real match.

The pictures are frames of open data, with numbers and no names. Data: Deutsche Fussball Liga (DFL). Bassek, M.,
Rein, R., Weber, H., Memmert, D. (2025). An integrated dataset of spatiotemporal and event data in elite soccer.
Scientific Data. doi:10.1038/s41597-025-04505-y. Licence CC BY 4.0. Changes: single frames, turned so that the team
that presses attacks to the right, velocities worked out, rounded, numbers instead of names.
"""

from collections.abc import Callable, Mapping
from functools import cache, partial
from pathlib import Path

import numpy as np

from pressinglib import Plan, Rulebook, Situation, load_situation
from pressinglib.data import MatchPlan, Share, Tracking, fault_rates, first_presser, open_match, spot_adherence
from pressinglib.data.match_statistics import ShareTable
from pressinglib.tables import Table
from pressinglib.teach import Choose, Exercise, Finding, MarkGaps, NameFault, PlacePlayers, SetNumber, WhoPresses
from pressinglib.teach.charts import Chart, share_chart
from pressinglib.teach.choices import Band, one_holds
from pressinglib.teach.criteria import goal_side, guards_far_side, leaves_ball
from pressinglib.teach.explanation import asks_of

PACKAGED = Path(__file__).parents[2] / "_notebooks"
MATCH = (PACKAGED if PACKAGED.is_dir() else Path(__file__).parents[3] / "notebooks") / "data" / "dfl-open"
ANYONE = Rulebook().with_settings(pressers="anyone")  # in real matches the back line goes as well
ask = partial(asks_of("lesson_12.md"), rulebook=ANYONE)
# As the lesson counts them, half a second before the ball comes, or once a second.
PLANNED, NAMED, NEAREST, MISSING = Share(8920, 15000), Share(51, 62), Share(48, 62), Share(106, 710)
NEARER = {"pressure": 63, "cover": 48, "balance": 64, "back line": 60}  # of 100
A_COIN = (47, 53)  # of 100: as good as heads or tails, with so many cases
ROUGHLY = 4.0  # percentage points that a good estimate may be off (own choice)
GUESSED = 10.0  # and a guess in the blue


# -- The match, read once.


@cache
def match() -> Tracking:
    """The 20 minutes."""
    return open_match(MATCH)


@cache
def whole() -> MatchPlan:
    """All frames, planned."""
    return MatchPlan.of(match(), ANYONE, with_faults=False)


@cache
def seconds() -> MatchPlan:
    """One frame a second, planned, with the faults."""
    return MatchPlan.of(match(), ANYONE, per_second=1)


def counts() -> Table:
    """What there is to plan."""
    return Table(("what", "frames"), [(words, count) for words, count in whole().counts().items() if count])


@cache
def went(lead_s: float = 0.5) -> ShareTable:
    """Who went to whoever got the ball, the rules asked so long before."""
    return first_presser(whole(), lead_s=lead_s)


def leads() -> Chart:
    """The one named and the nearest, at three moments."""
    return share_chart({f"{who}, {lead:g} s before": went(lead).shares[who]
                        for who in ("the one named", "the nearest") for lead in (0.0, 0.5, 1.0)})


@cache
def missing() -> ShareTable:
    """How often balance is missing."""
    return fault_rates(seconds())


@cache
def followed() -> ShareTable:
    """How often each role came nearer to its spots."""
    return spot_adherence(seconds())


def followed_chart() -> Chart:
    """The same, drawn."""
    return share_chart(followed().shares)


def read() -> str:
    """All of it read and counted, so that later answers come at once."""
    leads(), missing(), followed()
    return f"Read, planned and counted: {whole().counts()['frames']} frames."


# -- What is right.


def _frame(number: int) -> Situation:
    return load_situation(MATCH / "scenes" / f"frame_{number}.json")


def _near(best: float, off: float) -> Callable[[Plan], Band]:
    """What is near enough to a number."""
    return lambda plan: Band(best - off, best, best + off)


def _of_100(name: str, share: Share, off: float) -> Exercise:
    """A share to be guessed, as so many of 100 moments."""
    return ask(name, _frame(36864), SetNumber, "moments", _near(100 * share.hits / share.of, off),
               names_players=False, slider=(0.0, 100.0), share=lambda moments: (0.0, moments))


def _beside_nearest(plan: Plan) -> Mapping[str, Finding]:
    """More or less often than the nearest only where the intervals do not overlap."""
    (low, high), (least, most) = NAMED.interval, NEAREST.interval
    right = "clearly more often" if low > most else "clearly less often" if high < least else "about as often"
    return one_holds(("clearly more often", "about as often", "clearly less often"), right,
                     f"The player named went in {NAMED.hits} of {NAMED.of} cases, the nearest in {NEAREST.hits}.")


def _not_nearer(plan: Plan) -> dict[str, Finding]:
    """Those for whom a coin would have said as much."""
    return {role: Finding(A_COIN[0] <= share <= A_COIN[1], f"{role.capitalize()}: nearer in {share} of 100 cases.")
            for role, share in NEARER.items()}


planned = _of_100("planned", PLANNED, GUESSED)

going = ask("going", _frame(36864), WhoPresses())

how_often = ask("how_often", _frame(36864), Choose, "answer", _beside_nearest, turns=False)

def _about(points: float) -> tuple[float, float]:
    """An interval so wide about the share."""
    return 100 * NAMED.hits / NAMED.of - points / 2, 100 * NAMED.hits / NAMED.of + points / 2


how_sure = ask("how_sure", _frame(36864), SetNumber, "points", _near(100 * float(np.ptp(NAMED.interval)), ROUGHLY),
    names_players=False, share=_about)

fault = ask("fault", _frame(27886),
    NameFault("gap open with a man in it", ("no pressure on the ball", "two press one ball", "block too long",
                                            "far side too narrow")),
    others=(_frame(24896),))

how_missing = _of_100("how_missing", MISSING, ROUGHLY + 1.0)

gaps = ask("gaps", _frame(18360), MarkGaps())

far_side = ask("far_side", _frame(24896), PlacePlayers, ("27",),
    (guards_far_side("27", "40"), goal_side("27", "40"), leaves_ball("27")))

not_nearer = ask("not_nearer", _frame(24896), Choose, "role", _not_nearer, turns=False)
