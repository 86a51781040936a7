"""Does the method name the player who really goes? 52 labelled duels of the open match.

What is fed in: the picture some time before contact, with the engager's side pressing, and who the carrier of the duel
is (the label says so; nobody could know it from that picture alone). He is the carrier where the ball is within 1.5 m
of him then, else the receiver of a ball that is on its way. The labels give one engager a duel.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import Tracking
from pressinglib.field.frames import Frames
from pressinglib.field.player import BACK, LINE_OF_SLOT
from pressinglib.field.situation import CONTROL_M
from pressinglib.physics.motion import RUNNING
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from tests.judge.frames import MATCH

LEADS_S = (0.5, 1.0, 1.5, 2.0)
LARGEST_GAP_M = 4.0
Ints = NDArray[np.int_]


@dataclass(frozen=True, eq=False)
class Duels:
    """Duels of one side some time before contact: the pictures, and who went (index into the pressing sheet)."""

    frames: Frames
    engager: Ints


def duels_before(tracking: Tracking, lead_s: float) -> list[Duels]:
    """The duels with a gap below 4 m, `lead_s` before contact, ball in play; one Duels a side."""
    import pandas

    table = pandas.read_csv(MATCH / "duels.csv")
    table = table[table["gap_m"] < LARGEST_GAP_M]
    rows = _nearest_rows(tracking, table["t_contact"].to_numpy() - lead_s)
    table, rows = table[tracking.alive[rows]], rows[tracking.alive[rows]]
    home = table["engager"].str.startswith("h").to_numpy()
    return [_of_side(tracking, "home", table[home], rows[home]), _of_side(tracking, "away", table[~home], rows[~home])]


def _nearest_rows(tracking: Tracking, time_s: NDArray[np.float64]) -> Ints:
    """Of two moments equally near the earlier: frames are 0.08 s apart, and 1.0 s lies in the middle of two."""
    after = np.clip(np.searchsorted(tracking.time_s, time_s), 1, len(tracking) - 1)
    sooner = time_s - tracking.time_s[after - 1] <= tracking.time_s[after] - time_s + 1e-6
    return np.where(sooner, after - 1, after)


def _of_side(tracking: Tracking, side: str, table: object, rows: Ints) -> Duels:
    ours, theirs = (tracking.home, tracking.away) if side == "home" else (tracking.away, tracking.home)
    engager = np.array([ours.numbers.index(code[1:]) for code in table["engager"]])  # type: ignore[index]
    man = np.array([theirs.numbers.index(code[1:]) for code in table["carrier"]])  # type: ignore[index]
    away = np.hypot(*(theirs.xy[rows, man] - tracking.ball_xy[rows]).T)
    held = away <= CONTROL_M
    frames = tracking.frames(side, rows, np.where(held, man, -1), np.where(held, -1, man))  # type: ignore[arg-type]
    return Duels(frames, engager)


# -- who is named ------------------------------------------------------------------------------------------------------


def by_method(pressers: str) -> Callable[[Frames], Ints]:
    """The method's presser; -1 where nobody goes."""
    rules = Rulebook(settings=Settings(pressers=pressers))
    return lambda frames: plan_frames(frames, rules)["presser"]


def _first(frames: Frames, cost: NDArray[np.float64]) -> Ints:
    outfield = np.array([LINE_OF_SLOT.get(slot) != 0 for slot in frames.pressing_slots])
    return np.where(outfield, cost, np.inf).argmin(1)


def _man(frames: Frames) -> NDArray[np.float64]:
    """(F, 1, 2) where the carrier or receiver is."""
    who = np.maximum(frames.carrier, frames.receiver)
    return frames.possession_xy[np.arange(len(frames)), who][:, None]


def _away_m(frames: Frames, target: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.hypot(*np.moveaxis(frames.pressing_xy - target, -1, 0))


def nearest_to_ball(frames: Frames) -> Ints:
    return _first(frames, _away_m(frames, frames.ball_xy[:, None]))


def nearest_to_carrier(frames: Frames) -> Ints:
    """Plain distance to the man himself."""
    return _first(frames, _away_m(frames, _man(frames)))


def soonest_at_carrier(frames: Frames) -> Ints:
    """By time to where the man is now, drive minus drag, without a lead."""
    return _first(frames, RUNNING.time(frames.pressing_xy, frames.pressing_velocity, _man(frames)))


def react_then_run(frames: Frames) -> Ints:
    """0.7 s straight on, then 5 m/s."""
    return _first(frames, _away_m(frames, _man(frames) - 0.7 * frames.pressing_velocity))


NAMERS: dict[str, Callable[[Frames], Ints]] = {
    "method, anyone": by_method("anyone"), "method, front": by_method("front"),
    "nearest to carrier": nearest_to_carrier, "nearest to ball": nearest_to_ball,
    "soonest at carrier": soonest_at_carrier, "0.7 s, then 5 m/s": react_then_run}


# -- how often ---------------------------------------------------------------------------------------------------------


def wilson(hits: int, n: int, z: float = 1.96) -> tuple[float, float]:
    """95 % interval of a share (Wilson 1927, 10.1080/01621459.1927.10502953)."""
    middle, room = hits + z * z / 2, z * np.sqrt(hits * (n - hits) / n + z * z / 4)
    return (middle - room) / (n + z * z), (middle + room) / (n + z * z)


def hits(tracking: Tracking, lead_s: float, namer: Callable[[Frames], Ints]) -> tuple[int, int]:
    """How many engagers are named, of how many."""
    both = duels_before(tracking, lead_s)
    named = [namer(duels.frames) == duels.engager for duels in both]
    return int(sum(n.sum() for n in named)), sum(len(duels.engager) for duels in both)


def back_line_share(tracking: Tracking) -> tuple[int, int]:
    """How many of the engagers play in the back line, of how many."""
    lines = [LINE_OF_SLOT[d.frames.pressing_slots[n]] for d in duels_before(tracking, 0.0) for n in d.engager]
    return sum(line == BACK for line in lines), len(lines)


def print_table(tracking: Tracking, show: Callable[[str], None] = print) -> None:
    """A row a namer, a column a time before contact."""
    show("\nwho goes: share of engagers named first, with 95 % interval and number of duels")
    show("(the lead of 0.5 s on the target was chosen on the same duels)")
    show(" " * 20 + "".join(f"{f'{lead:g} s before':>22}" for lead in LEADS_S))
    for name, namer in NAMERS.items():
        cells = []
        for lead in LEADS_S:
            k, n = hits(tracking, lead, namer)
            low, high = wilson(k, n)
            cells.append(f"{k / n:8.2f} ({low:.2f}-{high:.2f}) {n:2d}")
        show(f"{name:<20}" + "".join(f"{c:>22}" for c in cells))
    show("engagers from the back line: {} of {}".format(*back_line_share(tracking)))
