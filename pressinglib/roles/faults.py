"""The faults in a picture: every kind, who is at fault, why it hurts, and one change that fixes it.

A kind of fault is a line in `FAULT_KINDS` and a finder in faults_ball.py, faults_line.py or faults_shape.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from pressinglib.errors import BadInput, as_a, as_items, as_number
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles import faults_ball, faults_line, faults_shape
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.snapshot import FaultFound, Fix, Snapshot

BEFORE_S, LEAST_S, MOST_S = 1.0, 0.2, 3.0
FRAMES_AT_ONCE = 32  # measured together


class FaultKind(NamedTuple):
    """A kind of fault."""

    name: str
    find: Callable[[Snapshot], Iterator[FaultFound]]
    unless: str  # what a coach would accept


WAITS = ("somebody is on his way, the block waits goal-side on purpose and the ball is not in our third, the ball is "
         "beyond its line of confrontation, or the line is outnumbered")
TRAP = "the man is left free as a trap"
DENIES = "he stands there to deny a man"
NO_SWITCH = "no switch can be played: the ball in the middle, the man behind it, or the carrier facing his own goal"

FAULT_KINDS: tuple[FaultKind, ...] = (
    FaultKind("no pressure on the ball", faults_ball.no_pressure, WAITS),
    FaultKind("diving in", faults_line.diving_in, "the carrier has his back to you, or has let the ball run too far"),
    FaultKind("two press one ball", faults_ball.two_press,
              "nobody else is free, it is in front of our goal, or they close a trap"),
    FaultKind("three at one ball", faults_ball.three_at_ball, "nobody else is free, or it is in front of our goal"),
    FaultKind("two in one place", faults_ball.two_in_one_place, "each has a man there, or they run past each other"),
    FaultKind("nobody goes", faults_ball.nobody_goes, WAITS),
    FaultKind("presser opens his own man", faults_ball.opens_own_man,
              f"a pass to him goes back, their goalkeeper has it, or {TRAP}"),
    FaultKind("flat cover", faults_ball.flat_cover, f"another covers behind the two, or {DENIES}"),
    FaultKind("cover on the wrong side", faults_ball.cover_wrong_side, DENIES),
    FaultKind("gap open", faults_ball.gap_open, TRAP),
    FaultKind("gap open with a man in it", faults_ball.gap_open_with_man, TRAP),
    FaultKind("full-back steps, nobody slides", faults_line.full_back_steps,
              "somebody is with the runner in time, or on his way across"),
    FaultKind("far side too narrow", faults_shape.far_side_too_narrow, NO_SWITCH),
    FaultKind("far side too wide", faults_shape.far_side_too_wide, "nobody is free in the room he leaves inside"),
    FaultKind("far side runs out", faults_shape.far_side_runs_out,
              "a switch would reach somebody out there first, or his man goes"),
    FaultKind("block too long", faults_shape.block_too_long,
              "the press is broken and half of us are on the way back, or the line is on the halfway line"),
    FaultKind("runs up with an open ball", faults_line.runs_up_open,
              "he goes to the ball, it goes back or is too far off to be played behind, or nobody is there to run"),
    FaultKind("line drops with a covered ball", faults_line.line_drops_covered,
              "the ball comes on as fast, is in the air, a runner goes, or the line is outnumbered"),
    FaultKind("broken line", faults_line.broken_line,
              "the ball is open, then one may be deeper; or the line is running back"),
    FaultKind("keeper too high", faults_line.keeper_too_high, "the ball is at nobody's feet"),
    FaultKind("keeper too deep", faults_line.keeper_too_deep, "the line or the pass itself wins the race"),
    FaultKind("late jump", faults_line.late_jump,
              "he takes the ball with his back to you, or has not got it under control"),
    FaultKind("striker presses, midfield stays", faults_ball.midfield_stays, TRAP),
    FaultKind("not goal-side after loss", faults_shape.not_goal_side, "the ball is still far from our goal"),
    FaultKind("no balance", faults_shape.no_balance, NO_SWITCH),
)
KINDS: tuple[str, ...] = tuple(kind.name for kind in FAULT_KINDS)


@dataclass(frozen=True)
class Fault:
    """What is wrong in a picture."""

    kind: str  # one of `KINDS`
    players: tuple[str, ...]  # numbers of the pressing team
    why: str
    change: str
    changed: Situation | None  # the picture once it is fixed; None where one change does not fix it
    unless: str = ""  # when the same picture is no fault


def find_faults(situation: Situation, rulebook: Rulebook | None = None, before: Situation | None = None,
                before_s: float = BEFORE_S, trap: str | None = None) -> list[Fault]:
    """The faults of the pressing team in a picture, judged by where everybody stands, and by how he came there.

    Parameters
    ----------
    situation : Situation
    rulebook : Rulebook, optional
        The stock rules and settings if left out.
    before : Situation, optional
        The picture a short time before, of the same two teams. Without it two kinds are not looked for: late jump,
        and line drops with a covered ball.
    before_s : float
        How long before, 0.2 to 3 s. Speeds come from the velocities in the picture, and only where it has none from the
        way since `before`.
    trap : str, optional
        Number of the opponent who is left free on purpose. Nobody need deny him, and two may close him down.

    Returns
    -------
    list of Fault
        In the order of `KINDS`; empty where the ball is loose or ours, and at a restart.

    Raises
    ------
    BadInput
        For anything that is not a Situation or a Rulebook, a picture before on another pitch, a time out of range and a
        trap that is no opponent; an own rule that fails is a RuleError.

    Notes
    -----
    Faults are relations between places, judged by the measures of the plan (grade D): a picture in which the plan has
    been carried out shows none, but for what the plan itself must leave open. Each says when it is none (`unless`): a
    ball beyond the line of confrontation, a block that waits goal-side well off the ball, a trap that was declared,
    a switch that cannot be played, a line that gives way because it is outnumbered.

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(10, 20))
    >>> fault = find_faults(s)[0]
    >>> fault.kind, fault.players
    ('far side too narrow', ('7',))
    >>> [other.kind for other in find_faults(fault.changed)]
    []
    >>> find_faults(s.with_ball((-30, 0)))
    []
    """
    for value, what in ((situation, "picture"), (situation if before is None else before, "picture before")):
        as_a(value, Situation, what, "make one with Situation(...)")
    rules = as_rulebook(rulebook)
    seconds = as_number(before_s, "time since the picture before, s", low=LEAST_S, high=MOST_S)
    if trap is not None:
        situation.player("possession", trap)
    if before is not None and before.pitch != situation.pitch:
        raise BadInput("picture before", expected="the same pitch", got="another", todo="take two pictures of one play")
    then = None if before is None else Snapshot.of(before, rules, trap)
    st = Snapshot.of(situation, rules, trap, then, seconds)
    seen = _seen(st)
    return [_fault(st, one, seen) for one in seen]


class Seen(NamedTuple):
    """A fault that was found, before a change is chosen."""

    kind: FaultKind
    names: tuple[str, ...]
    found: FaultFound


def _seen(st: Snapshot, kinds: tuple[FaultKind, ...] = FAULT_KINDS) -> list[Seen]:
    """Each fault with its kind and the numbers of its players."""
    return [Seen(kind, tuple(map(st.name, found.players)), found)
            for kind in kinds if st.in_play for found in kind.find(st)]


def _fault(st: Snapshot, one: Seen, before: list[Seen]) -> Fault:
    """The fault with the change that fixes it."""
    best = _cleanest(st, one, before)
    change = one.found.fixes[0].change if best is None else best[0].change
    return Fault(one.kind.name, one.names, one.found.why, change, None if best is None else best[1].situation,
                 one.kind.unless)


def _cleanest(st: Snapshot, one: Seen, before: list[Seen]) -> tuple[Fix, Snapshot] | None:
    """The first change that fixes it and brings no fault of another kind; else the first that fixes it."""
    first, had = None, {seen.kind.name for seen in before}
    was = [seen.names for seen in before if seen.kind is one.kind]
    for fix in one.found.fixes:
        changed = st.fixed(fix)
        left = [seen.names for seen in _seen(changed, (one.kind,))]
        if len(left) >= len(was) or one.names in left:  # still there, or another of its kind has come instead
            continue
        if {seen.kind.name for seen in _seen(changed)} <= had:
            return fix, changed
        first = first or (fix, changed)
    return first


class FrameFault(NamedTuple):
    """A fault in one frame: its kind, and the numbers of the players concerned."""

    frame: int
    kind: str
    players: tuple[str, ...]


def faults_in_frames(frames: Frames, rulebook: Rulebook | None = None, before: Sequence[Situation | None] = (),
                     before_s: float = BEFORE_S) -> list[FrameFault]:
    """The faults that `find_faults` finds in each frame, as rows in the order of the frames.

    `before` holds the picture before each frame, as for `find_faults`; None where there is none. No change is worked
    out, which saves time.

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(10, 20))
    >>> faults_in_frames(Frames.of([s, s.with_ball((-30, 0))]))
    [FrameFault(frame=0, kind='far side too narrow', players=('7',))]
    """
    as_a(frames, Frames, "frames", "make them with Frames.of(...)")
    before = as_items(before, (Situation, type(None)), "pictures before", "a Situation or None a frame", "see Frames",
                      most=len(frames))
    seconds = as_number(before_s, "time since the picture before, s", low=LEAST_S, high=MOST_S)
    rules, found = as_rulebook(rulebook), []
    for start in range(0, len(frames), FRAMES_AT_ONCE):
        together = Snapshot.each(frames.take(slice(start, start + FRAMES_AT_ONCE)), rules)
        for f, st in enumerate(together, start):
            earlier = before[f] if f < len(before) and st.in_play else None
            if earlier is not None:
                st = replace(st, before=Snapshot.of(earlier, rules), seconds=seconds)
            found += [FrameFault(f, seen.kind.name, seen.names) for seen in _seen(st)]
    return found
