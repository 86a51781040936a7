"""Who really went to the ball, read from tracking, beside the one whom the rules name."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.possession import HELD, PASS
from pressinglib.data.shares import Share
from pressinglib.data.tracking import Side
from pressinglib.field.slots import GOALKEEPER, LINE_OF_SLOT
from pressinglib.roles.plan_frames import plan_frames

Ints = NDArray[np.int_]
REACHED_M = 2.0  # who comes this near to the man with the ball has gone to him (P: pressed within 1-2 m)
WITHIN_S = 3.0
LINES = ("goalkeeper", "back line", "midfield", "midfield", "midfield", "attack")


@dataclass(frozen=True)
class Going:
    """One man who gets the ball: who was named, who was nearest when asked, who came within 2 m first; None nobody."""

    frame_id: int
    pressing: Side
    named: str | None
    nearest: str
    went: str | None
    line: str  # of who went


@dataclass(frozen=True, eq=False, repr=False)
class WhoWent:
    """All of them; printed, the shares."""

    goings: tuple[Going, ...]

    @property
    def gone(self) -> list[Going]:
        """Those to whom somebody went."""
        return [one for one in self.goings if one.went is not None]

    @property
    def somebody_went(self) -> Share:
        """How often anybody went."""
        return Share(len(self.gone), len(self.goings))

    @property
    def as_named(self) -> Share:
        """How often it was the one whom the rules name."""
        return Share(sum(one.went == one.named for one in self.gone), len(self.gone))

    @property
    def was_nearest(self) -> Share:
        """How often it was the one who stood nearest."""
        return Share(sum(one.went == one.nearest for one in self.gone), len(self.gone))

    def by_line(self) -> dict[str, Share]:
        """From which line they came."""
        counted = Counter(one.line for one in self.gone)
        return {line: Share(counted[line], len(self.gone)) for line in dict.fromkeys(LINES[1:])}

    def __repr__(self) -> str:
        lines = [f"somebody went within {WITHIN_S:g} s: {self.somebody_went}", f"the one named: {self.as_named}",
                 f"the nearest: {self.was_nearest}"]
        return "\n".join([*lines, *(f"from the {line}: {share}" for line, share in self.by_line().items())])


def who_went(plan: MatchPlan, lead_s: float = 0.0) -> WhoWent:
    """For every man who gets the ball: who is named when he gets it, and who comes to him.

    Parameters
    ----------
    plan : MatchPlan
        Of all moments (no `per_second`); with `pressers="anyone"` in its rulebook, as is meant for match data.
    lead_s : float
        Ask the rules so long before he gets it: there the ball travels to him.

    Returns
    -------
    WhoWent

    Notes
    -----
    Own definitions (grade D). A man gets the ball where a stretch of his having it begins. Who is the first outfield
    player within 2 m of him in the next 3 s, while he has it, has gone to him. Men who have somebody within 2 m already
    when the rules are asked are left out: there is nothing left to name. What a player meant to do is not in the data:
    who jogs past counts, and who shut a lane from 3 m does not.
    """
    found: list[Going] = []
    for chunk in plan.chunks:
        for side, whose in SIDES:
            rows = _gets_it(plan, chunk.start, chunk.stop, whose)
            asked = np.searchsorted(plan.match.time_s, plan.match.time_s[rows] - lead_s - 1e-6)
            fits = (asked >= chunk.start) & (plan.whose.team[asked] == whose) & (plan.whose.state[asked] <= PASS)
            found += _goings(plan, chunk.number, side, rows[fits], asked[fits])
    return WhoWent(tuple(sorted(found, key=lambda one: one.frame_id)))


def _gets_it(plan: MatchPlan, start: int, stop: int, whose: int) -> Ints:
    """Rows where a man of the other side begins to have the ball."""
    carrier = np.where((plan.whose.state == HELD) & (plan.whose.team == whose), plan.whose.carrier, -1)
    begins = (carrier >= 0) & (np.append(-1, carrier[:-1]) != carrier)
    rows = np.flatnonzero(begins)
    return rows[(rows >= start) & (rows < stop)]


def _goings(plan: MatchPlan, chunk: int, side: Side, rows: Ints, asked: Ints) -> list[Going]:
    """The goings of one side in a chunk, where nobody is near the man yet when the rules are asked."""
    if not len(rows):
        return []
    frames = plan.frames_of(plan.chunks[chunk], side, asked)
    named = plan_frames(frames, plan.rulebook)["presser"]
    numbers, slots = frames.pressing_numbers, frames.pressing_slots
    found = []
    for k, row in enumerate(rows):
        away_m = _away_m(plan, side, slots, int(row), int(asked[k]))
        if away_m[0].min() > REACHED_M:
            went = _first_within(away_m[row - asked[k]:])
            found.append(Going(int(plan.match.frame_id[row]), side, _number(numbers, int(named[k])),
                               numbers[int(away_m[0].argmin())], _number(numbers, went),
                               LINES[LINE_OF_SLOT.get(slots[went], 3)] if went >= 0 else ""))
    return found


def _number(numbers: tuple[str, ...], index: int) -> str | None:
    return numbers[index] if index >= 0 else None


def _away_m(plan: MatchPlan, side: Side, slots: tuple[str, ...], row: int, asked: int) -> NDArray[np.float64]:
    """How far each outfield player is from the man, from the moment asked for as long as he has it, at most 3 s."""
    ours, theirs = (plan.match.home, plan.match.away) if side == "home" else (plan.match.away, plan.match.home)
    whose, man = plan.whose, int(plan.whose.carrier[row])
    stop = int(np.searchsorted(plan.match.time_s, plan.match.time_s[row] + WITHIN_S, side="right"))
    his = (whose.carrier[row:stop] == man) | (whose.receiver[row:stop] == man)
    his &= whose.team[row:stop] == whose.team[row]
    stop = row + (int(np.argmin(his)) if not his.all() else len(his))
    off = ours.xy[asked:stop] - theirs.xy[asked:stop, man, None]
    outfield = np.array([LINE_OF_SLOT.get(slot) != GOALKEEPER for slot in slots])
    return np.where(outfield, np.nan_to_num(np.hypot(off[..., 0], off[..., 1]), nan=np.inf), np.inf)


def _first_within(away_m: NDArray[np.float64]) -> int:
    """Index of the first one within 2 m, -1 for nobody."""
    there = np.flatnonzero(away_m.min(1) <= REACHED_M)
    return int(away_m[there[0]].argmin()) if len(there) else -1
