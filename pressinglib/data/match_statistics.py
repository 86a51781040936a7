"""What is counted over a match: faults, spots and who goes to the ball, with how sure each share is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Self

import numpy as np

from pressinglib.data.ball_possession import HELD, PASS
from pressinglib.data.match_plan import SIDES, Chunk, MatchPlan
from pressinglib.data.match_planning import Progress
from pressinglib.data.tracking import Floats, Ints, Side
from pressinglib.errors import BadInput, RuleError, as_known, as_number
from pressinglib.field.player import GOALKEEPER, LINE_OF_SLOT
from pressinglib.roles.compare import Comparison, compare_rulebooks
from pressinglib.roles.faults import KINDS, faults_in_frames
from pressinglib.roles.picture import norm
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import ROLES
from pressinglib.tables import Table

BALANCE = ("far side too narrow", "gap open with a man in it", "no balance")
LATER_S = 2.0  # the running after which spots are judged
REACHED_M = 2.0  # who comes this near to the man with the ball has gone to him (P: pressed within 1-2 m)
WITHIN_S = 3.0
LINES = ("goalkeeper", "back line", "midfield", "midfield", "midfield", "attack")
FORMATS = {"%": ".0f", "from": ".0f", "to": ".0f", "m off": ".1f", "m off later": ".1f"}


@dataclass(frozen=True)
class Share:
    """So many of so many; printed, with its 95 % interval (Wilson 1927, 10.1080/01621459.1927.10502953, grade A).

    It takes the cases for independent, which neighbouring frames of a match are not: there it is too narrow.

    >>> Share(8, 10), Share(0, 0)
    (8 of 10: 80 % (49-94), 0 of 0)
    """

    hits: int
    of: int

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


@dataclass(frozen=True, repr=False)
class ShareTable(Table):
    """A table with a share a row; `shares` gives them by name, for a chart; `goings`, one by one, who went."""

    shares: Mapping[str, Share] = field(default_factory=dict)
    goings: Sequence[Going] = ()

    @classmethod
    def of(cls, name: str, counted: str, shares: Mapping[str, Share], more: Mapping[str, Sequence[float]],
           **given: Any) -> Self:
        """Rows under `name`, with columns of more numbers before those that are counted."""
        counts = [(s.hits, s.of, 100 * s.hits / s.of if s.of else None, *(100 * edge for edge in s.interval))
                  for s in shares.values()]
        rows = [(words, *(values[k] for values in more.values()), *counts[k]) for k, words in enumerate(shares)]
        return cls((name, *more, counted, "of", "%", "from", "to"), rows, FORMATS,
                   notes=("from, to: 95 % interval",), shares=shares, **given)


# -- how often a fault is seen -----------------------------------------------------------------------------------------


def fault_rates(plan: MatchPlan, kinds: Sequence[str] = BALANCE) -> ShareTable:
    """In how many of the planned moments each kind of fault is seen, and any of them; by default those of balance.

    Seen from one picture each (grade D): what a team leaves open on purpose counts as well. UnknownName for a kind that
    `pressinglib.roles.faults.KINDS` does not name.
    """
    for kind in kinds:
        as_known(kind, KINDS, "fault")
    seen: Counter[str] = Counter()
    for chunk, side, _ in _pressing(plan):
        faults = faults_in_frames(plan.frames(chunk, side)[1], plan.rulebook)
        found = {(fault.frame, fault.kind) for fault in faults if fault.kind in kinds}
        seen.update([*(kind for _, kind in found), *("any of these" for _ in {frame for frame, _ in found})])
    shares = {kind: Share(seen[kind], len(plan.rows)) for kind in (*kinds, "any of these")}
    return ShareTable.of("fault", "seen", shares, {})


def _pressing(plan: MatchPlan) -> Iterator[tuple[Chunk, Side, int]]:
    """Each chunk, for each side that presses in it, with whose ball it is then."""
    return ((chunk, side, whose) for chunk in plan.chunks for side, whose in SIDES)


# -- what the rules say against what the players did: where each was sent, and where he was two seconds later ----------


def spot_adherence(plan: MatchPlan) -> ShareTable:
    """For each role: how far the player was from his spot, how far 2 s later (medians), how often he came nearer.

    Only moments after which the same side still presses for 2 s are counted. The spots are those for the ball as it
    was; meanwhile it has moved, and good players went with it. So to have come nearer is a hint that they ran as the
    rules say, and not to have come nearer is no fault (own measure, grade D).
    """
    parts = [_off(plan, *of) for of in _pressing(plan)]
    role, asked, left = (np.concatenate(values) for values in zip(*parts, strict=True))
    of = {word: role == code for code, word in enumerate(ROLES) if (role == code).any()}
    nearer = {word: Share(int((left < asked)[his].sum()), int(his.sum())) for word, his in of.items()}
    medians = {name: [float(np.median(values[his])) for his in of.values()]
               for name, values in (("m off", asked), ("m off later", left))}
    return ShareTable.of("role", "nearer", nearer, medians)


def _off(plan: MatchPlan, chunk: Chunk, side: Side, whose: int) -> tuple[Ints, Floats, Floats]:
    """Role, distance to the spot, and distance to the same spot later, one a player and moment."""
    rows, frames = plan.frames(chunk, side)
    time = plan.match.time_s
    then = np.minimum(np.searchsorted(time, time[rows] + LATER_S - 1e-6), len(time) - 1)
    fits = (then < chunk.phase.stop) & (plan.whose.team[then] == whose)
    fits &= np.abs(time[then] - time[rows] - LATER_S) < LATER_S / 4
    frames, then = frames.take(fits), then[fits]
    columns, (ours, _, turn) = plan_frames(frames, plan.rulebook), plan.match.sides(side)
    asked = norm(columns["target_xy"] - frames.pressing_xy)
    left = norm(columns["target_xy"] - turn * ours.xy[then])
    known = (columns["role"] >= 0) & np.isfinite(left)
    return columns["role"][known], asked[known], left[known]


# -- who really went to the ball, beside the one whom the rules name ---------------------------------------------------


@dataclass(frozen=True)
class Going:
    """One man who gets the ball: who was named, who was nearest when asked, who came within 2 m first; None nobody."""

    frame_id: int
    pressing: Side
    named: str | None
    nearest: str
    went: str | None
    line: str  # of who went


def first_presser(plan: MatchPlan, lead_s: float = 0.0) -> ShareTable:
    """For every man who gets the ball: how often somebody went; of these, the one named, the nearest, by line.

    Parameters
    ----------
    plan : MatchPlan
        Of all moments (no `per_second`); with `pressers="anyone"` in its rulebook, as is meant for match data.
    lead_s : float
        Ask the rules so long before he gets it: there the ball travels to him.

    Own definitions (grade D). A man gets the ball where a stretch of his having it begins. Who is the first outfield
    player within 2 m of him in the next 3 s, while he has it, has gone to him. Men who have somebody within 2 m already
    when the rules are asked are left out: there is nothing left to name. What a player meant to do is not in the data:
    who jogs past counts, and who shut a lane from 3 m does not.
    """
    lead_s = as_number(lead_s, "lead_s", low=0.0)
    found: list[Going] = []
    for chunk, side, whose in _pressing(plan):
        rows = _gets_it(plan, chunk, whose)
        asked = np.searchsorted(plan.match.time_s, plan.match.time_s[rows] - lead_s - 1e-6)
        fits = (asked >= chunk.start) & (plan.whose.team[asked] == whose) & (plan.whose.state[asked] <= PASS)
        found += _goings(plan, chunk, side, rows[fits], asked[fits])
    goings = tuple(sorted(found, key=lambda one: one.frame_id))
    gone = [one for one in goings if one.went is not None]
    lines = Counter(one.line for one in gone)
    counts = {"the one named": sum(one.went == one.named for one in gone),
              "the nearest": sum(one.went == one.nearest for one in gone),
              **{f"from the {line}": lines[line] for line in dict.fromkeys(LINES[1:])}}
    shares = {f"somebody went within {WITHIN_S:g} s": Share(len(gone), len(goings)),
              **{words: Share(n, len(gone)) for words, n in counts.items()}}
    return ShareTable.of("who went", "cases", shares, {}, goings=goings)


def _gets_it(plan: MatchPlan, chunk: Chunk, whose: int) -> Ints:
    """Rows of a chunk where a man of the other side begins to have the ball."""
    carrier = np.where((plan.whose.state == HELD) & (plan.whose.team == whose), plan.whose.carrier, -1)
    begins = (carrier >= 0) & (np.append(-1, carrier[:-1]) != carrier)
    return chunk.start + np.flatnonzero(begins[chunk.start : chunk.stop])


def _goings(plan: MatchPlan, chunk: Chunk, side: Side, rows: Ints, asked: Ints) -> list[Going]:
    """The goings of one side in a chunk, where nobody is near the man yet when the rules are asked."""
    frames = plan.frames_of(chunk, side, asked)
    named = plan_frames(frames, plan.rulebook)["presser"]
    numbers, slots = (*frames.pressing_numbers, None), frames.pressing_slots  # -1 is nobody
    found = []
    for k, row in enumerate(rows):
        off_m = away_m(plan, side, slots, int(row), int(asked[k]))
        if off_m[0].min() > REACHED_M:
            went, _ = first_within(off_m[row - asked[k]:])
            found.append(Going(int(plan.match.frame_id[row]), side, numbers[named[k]],
                               str(numbers[off_m[0].argmin()]), numbers[went],
                               LINES[LINE_OF_SLOT.get(slots[went], 3)] if went >= 0 else ""))
    return found


def away_m(plan: MatchPlan, side: Side, slots: tuple[str, ...], row: int, asked: int) -> Floats:
    """How far each outfield player is from the man, from the moment asked for as long as he has it, at most 3 s."""
    ours, theirs, _ = plan.match.sides(side)
    whose, man = plan.whose, int(plan.whose.carrier[row])
    stop = int(np.searchsorted(plan.match.time_s, plan.match.time_s[row] + WITHIN_S, side="right"))
    his = (whose.carrier[row:stop] == man) | (whose.receiver[row:stop] == man)
    his &= whose.team[row:stop] == whose.team[row]
    stop = row + (int(np.argmin(his)) if not his.all() else len(his))
    off = ours.xy[asked:stop] - theirs.xy[asked:stop, man, None]
    outfield = np.array([LINE_OF_SLOT.get(slot) != GOALKEEPER for slot in slots])
    return np.where(outfield, np.nan_to_num(norm(off), nan=np.inf), np.inf)


def first_within(off_m: Floats) -> tuple[int, int]:
    """Index of the first one within 2 m, and in which row; -1 for nobody."""
    there = np.flatnonzero(off_m.min(1) <= REACHED_M)
    return (int(off_m[there[0]].argmin()), int(there[0])) if len(there) else (-1, -1)


def receptions(plan: MatchPlan, side: Side) -> Iterator[tuple[tuple[str, ...], int]]:
    """Where a man of the other side begins to have the ball: the slots of those who press him, and the row."""
    for chunk in plan.chunks:
        slots = chunk.phase.home_slots if side == "home" else chunk.phase.away_slots
        yield from ((slots, int(row)) for row in _gets_it(plan, chunk, dict(SIDES)[side]))


# -- two rulebooks on the moments of a match ---------------------------------------------------------------------------


def compare_match(plan: MatchPlan, other: Rulebook, names: tuple[str, str] = ("these rules", "others"),
                  progress: Progress | None = None, failing: list[str] | None = None) -> Comparison:
    """The rulebook of a match plan against another, on its moments; `picture` is the number of the frame.

    `progress` is told the moments done and how many there are; `failing` gets what is said of each frame on which an
    own rule fails, and which is left out: without it that is raised. BadInput if no moment has a plan.
    """
    rows: list[dict[str, Any]] = []
    for chunk, side, _ in _pressing(plan):
        moments, frames = plan.frames(chunk, side)
        for rules in (plan.rulebook, other) if failing is not None else ():
            moments, frames, _ = plan.planned(chunk, side, moments, failing, rules)
        if len(moments):
            try:
                found = compare_rulebooks(plan.rulebook, other, frames, names, plan.with_faults)
            except RuleError:
                plan.planned(chunk, side, moments, None, other)  # says on which frame of the match
                raise
            rows += [{**row, "picture": int(plan.match.frame_id[k]), "pressing": side}
                     for k, row in zip(moments, found.rows, strict=True)]
        if progress is not None:
            progress(len(rows), len(plan.rows))
    if not rows:
        raise BadInput("match", expected="a moment in which a team has the ball", got="none",
                       todo="check what the import counted, or ask for more moments a second")
    return Comparison(names, tuple(sorted(rows, key=lambda row: (row["time_s"], row["pressing"]))))
