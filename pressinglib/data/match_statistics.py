"""Two rulebooks on the moments of a match."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.ball_possession import HELD, PASS
from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.tracking import Side
from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.player import GOALKEEPER, LINE_OF_SLOT
from pressinglib.roles.compare import Comparison, compare_rulebooks
from pressinglib.roles.faults import KINDS, faults_in_frames
from pressinglib.roles.plan_frames import plan_frames
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import ROLES

# -- Shares with their intervals: how sure a count is.


@dataclass(frozen=True)
class Share:
    """So many of so many; printed, with its 95 % interval.

    Parameters
    ----------
    hits, of : int

    Raises
    ------
    BadInput
        Unless 0 <= hits <= of.

    Notes
    -----
    Interval of Wilson 1927, 10.1080/01621459.1927.10502953 (grade A). It takes the cases for independent, which
    neighbouring frames of a match are not: there it is too narrow.

    Examples
    --------
    >>> Share(8, 10)
    8 of 10: 80 % (49-94)
    >>> Share(0, 0)
    0 of 0
    """

    hits: int
    of: int

    def __post_init__(self) -> None:
        if not 0 <= self.hits <= self.of:
            raise BadInput("share", expected="hits from 0 to the number of cases", got=f"{self.hits} of {self.of}",
                           todo="check the counts")

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval of the share; 0 and 1 of no cases."""
        if not self.of:
            return 0.0, 1.0
        from scipy.stats import binomtest

        low, high = binomtest(self.hits, self.of).proportion_ci(method="wilson")
        return float(low), float(high)

    def __repr__(self) -> str:
        if not self.of:
            return "0 of 0"
        low, high = self.interval
        return f"{self.hits} of {self.of}: {100 * self.hits / self.of:.0f} % ({100 * low:.0f}-{100 * high:.0f})"


# -- How often something is missing in a match: faults by the moments in which they are seen.


BALANCE = ("far side too narrow", "gap open with a man in it", "no balance")


@dataclass(frozen=True, repr=False)
class FaultRates:
    """For each kind of fault its share of the moments, and the share of moments with any of them."""

    shares: dict[str, Share] = field(default_factory=dict)
    any_of_them: Share = field(default_factory=lambda: Share(0, 0))

    def __repr__(self) -> str:
        rows = [*self.shares.items(), ("any of these", self.any_of_them)]
        return "\n".join(f"{words}: {share}" for words, share in rows)


def fault_rates(plan: MatchPlan, kinds: Sequence[str] = BALANCE) -> FaultRates:
    """In how many of the planned moments each fault is seen.

    Parameters
    ----------
    plan : MatchPlan
        Its `per_second` says how many moments are looked at; about 7 ms each.
    kinds : sequence of str
        As `pressinglib.roles.faults.KINDS` names them. By default those of missing balance.

    Returns
    -------
    FaultRates

    Raises
    ------
    UnknownName

    Notes
    -----
    Faults are seen from one picture each (grade D): what a team leaves open on purpose counts as well.
    """
    for kind in kinds:
        if kind not in KINDS:
            raise UnknownName("fault", kind, KINDS)
    seen: dict[str, int] = dict.fromkeys(kinds, 0)
    moments = with_any = 0
    for chunk in plan.chunks:
        for side, _ in SIDES:
            rows, frames = plan.frames(chunk, side)
            faults = faults_in_frames(frames, plan.rulebook)
            found = {(fault.frame, fault.kind) for fault in faults if fault.kind in seen}
            moments += len(rows)
            with_any += len({frame for frame, _ in found})
            for _, kind in found:
                seen[kind] += 1
    return FaultRates({kind: Share(seen[kind], moments) for kind in kinds}, Share(with_any, moments))


# -- What the rules say against what the players did: where each was sent, and where he was two seconds later.


Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
LATER_S = 2.0  # the running after which spots are judged


@dataclass(frozen=True)
class Followed:
    """One role: medians of how far its spots were off, and how far two seconds later; how often he came nearer."""

    role: str
    asked_m: float
    left_m: float
    nearer: Share

    def __repr__(self) -> str:
        return f"{self.role}: {self.asked_m:.1f} m off, {self.left_m:.1f} m two seconds later; nearer {self.nearer}"


def spot_adherence(plan: MatchPlan, later_s: float = LATER_S) -> list[Followed]:
    """For each role: how far the player was from his spot, and how far after a while.

    Parameters
    ----------
    plan : MatchPlan
    later_s : float
        Only moments after which the same side still presses so long are counted.

    Returns
    -------
    list of Followed
        In the order of the roles; those that nobody had are left out.

    Notes
    -----
    The spots are those for the ball as it was; meanwhile it has moved, and good players went with it. So to have come
    nearer is a hint that they ran as the rules say, and not to have come nearer is no fault (own measure, grade D).
    """
    parts = [_off(plan, k, side, whose, later_s) for k in range(len(plan.chunks)) for side, whose in SIDES]
    role, asked, left = (np.concatenate(values) for values in zip(*parts, strict=True))
    return [_followed(word, asked[role == code], left[role == code]) for code, word in enumerate(ROLES)
            if (role == code).any()]


def _followed(role: str, asked: Floats, left: Floats) -> Followed:
    return Followed(role, float(np.median(asked)), float(np.median(left)), Share(int((left < asked).sum()), len(left)))


def _off(plan: MatchPlan, chunk: int, side: Side, whose: int, later_s: float) -> tuple[Ints, Floats, Floats]:
    """Role, distance to the spot, and distance to the same spot later, one a player and moment."""
    rows, frames = plan.frames(plan.chunks[chunk], side)
    time, phase = plan.match.time_s, plan.chunks[chunk].phase
    then = np.searchsorted(time, time[rows] + later_s - 1e-6)
    fits = (then < phase.stop) & (plan.whose.team[np.minimum(then, len(time) - 1)] == whose)
    fits &= np.abs(time[np.minimum(then, len(time) - 1)] - time[rows] - later_s) < later_s / 4
    frames, then = frames.take(fits), then[fits]
    columns = plan_frames(frames, plan.rulebook)
    ours, turn = (plan.match.home, 1.0) if side == "home" else (plan.match.away, -1.0)
    asked = _length(columns["target_xy"] - frames.pressing_xy)
    left = _length(columns["target_xy"] - turn * ours.xy[then])
    known = (columns["role"] >= 0) & np.isfinite(left)
    return columns["role"][known], asked[known], left[known]


def _length(way: Floats) -> Floats:
    return np.asarray(np.hypot(way[..., 0], way[..., 1]))


# -- Who really went to the ball, read from tracking, beside the one whom the rules name.


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
class FirstPressers:
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


def first_presser(plan: MatchPlan, lead_s: float = 0.0) -> FirstPressers:
    """For every man who gets the ball: who is named when he gets it, and who comes to him.

    Parameters
    ----------
    plan : MatchPlan
        Of all moments (no `per_second`); with `pressers="anyone"` in its rulebook, as is meant for match data.
    lead_s : float
        Ask the rules so long before he gets it: there the ball travels to him.

    Returns
    -------
    FirstPressers

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
    return FirstPressers(tuple(sorted(found, key=lambda one: one.frame_id)))


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


# -- Two rulebooks on the moments of a match.


def compare_match(plan: MatchPlan, other: Rulebook, names: tuple[str, str] = ("these rules", "others"),
                  progress: Any = None) -> Comparison:
    """The rulebook of a match plan against another, on its moments.

    Parameters
    ----------
    plan : MatchPlan
        Its `per_second` says how many moments are compared; `with_faults` whether faults are counted.
    other : Rulebook
    names : (str, str)
    progress : function, optional
        Called with moments done and how many there are.

    Returns
    -------
    Comparison
        `picture` is the number of the frame; every row says who presses as well.

    Raises
    ------
    BadInput
        If no moment has a plan.
    """
    rows: list[dict[str, Any]] = []
    for chunk in plan.chunks:
        for side, _ in SIDES:
            moments, frames = plan.frames(chunk, side)
            if len(moments):
                found = compare_rulebooks(plan.rulebook, other, frames, names, plan.with_faults)
                rows += [{**row, "picture": int(plan.match.frame_id[k]), "pressing": side}
                         for k, row in zip(moments, found.rows, strict=True)]
        if progress is not None:
            progress(len(rows), len(plan.rows))
    if not rows:
        raise BadInput("match", expected="a moment in which a team has the ball", got="none",
                       todo="check what the import counted, or ask for more moments a second")
    return Comparison(names, tuple(sorted(rows, key=lambda row: (row["time_s"], row["pressing"]))))
