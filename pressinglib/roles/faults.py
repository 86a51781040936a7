"""The faults in a picture: who, what, why it hurts, and one change that mends it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pressinglib.errors import BadInput
from pressinglib.field.frames import Frames
from pressinglib.field.player import as_number
from pressinglib.field.situation import Situation
from pressinglib.roles import faults_ball as ball
from pressinglib.roles import faults_ball as cover
from pressinglib.roles import faults_line as line
from pressinglib.roles import faults_line as moving
from pressinglib.roles import faults_shape as shape
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.snapshot import Found, Mend, Movement, Standing

# -- Every kind of fault: its name, how it is found, and when the same picture is none.


Finder = Callable[[Movement], Iterator[Found]]


class FaultKind(NamedTuple):
    """A kind of fault."""

    name: str
    find: Finder
    unless: str  # what a coach would accept


def _as_it_stands(find: Callable[[Standing], Iterator[Found]]) -> Finder:
    """A finder that asks nothing of the picture before."""
    return lambda mv: find(mv.now)


WAITS = ("somebody is on his way, the block waits goal-side on purpose, the ball is beyond its line of confrontation, "
         "or the line is outnumbered")
TRAP = "the man is left free as a trap"
DENIES = "he stands there to deny a man"
NO_SWITCH = "no switch can be played: the ball in the middle, the man behind it, or the carrier facing his own goal"

FAULT_KINDS: tuple[FaultKind, ...] = (
    FaultKind("no pressure on the ball", _as_it_stands(ball.no_pressure), WAITS),
    FaultKind("diving in", moving.diving_in, "the carrier has his back to you, or has let the ball run too far"),
    FaultKind("two press one ball", _as_it_stands(ball.two_press),
              "nobody else is free, it is in front of our goal, or they close a trap"),
    FaultKind("nobody goes", _as_it_stands(ball.nobody_goes), WAITS),
    FaultKind("straight press", _as_it_stands(ball.straight_press), "it is in front of our goal, where he must block"),
    FaultKind("presser opens his own man", _as_it_stands(ball.opens_own_man), f"he is behind the ball, or {TRAP}"),
    FaultKind("flat cover", _as_it_stands(cover.flat_cover),
              f"another covers behind the two, or {DENIES}"),
    FaultKind("cover too near", _as_it_stands(cover.cover_too_near), DENIES),
    FaultKind("cover too far", _as_it_stands(cover.cover_too_far), DENIES),
    FaultKind("cover on the wrong side", _as_it_stands(cover.cover_wrong_side), DENIES),
    FaultKind("gap open", _as_it_stands(cover.gap_open), TRAP),
    FaultKind("gap open with a man in it", _as_it_stands(cover.gap_open_with_man), TRAP),
    FaultKind("full-back steps, nobody slides", _as_it_stands(line.full_back_steps),
              "somebody is with the runner in time, or on his way across"),
    FaultKind("far side too narrow", _as_it_stands(shape.far_side_too_narrow), NO_SWITCH),
    FaultKind("far side too wide", _as_it_stands(shape.far_side_too_wide),
              "nobody is free in the room he leaves inside"),
    FaultKind("block too long", _as_it_stands(shape.block_too_long),
              "the press is broken and half of us are on the way back, or the line is on the halfway line"),
    FaultKind("front presses, back drops", moving.lines_part,
              "the line holds, the press is broken, the line is outnumbered, or the ball is in the air"),
    FaultKind("line steps with an open ball", moving.line_steps_open,
              "the ball goes back, is too far off to be played behind the line, or nobody is there to run"),
    FaultKind("line drops with a covered ball", moving.line_drops_covered,
              "the ball comes on as fast, is in the air, a runner goes, or the line is outnumbered"),
    FaultKind("broken line", _as_it_stands(line.broken_line),
              "the ball is open, then one may be deeper; or the line is running back"),
    FaultKind("keeper too high", _as_it_stands(line.keeper_too_high), "the ball is at nobody's feet"),
    FaultKind("keeper too deep", _as_it_stands(line.keeper_too_deep), "the line or the pass itself wins the race"),
    FaultKind("late jump", moving.late_jump, "he takes the ball with his back to you, or has not got it under control"),
    FaultKind("striker presses, midfield stays", _as_it_stands(ball.midfield_stays), TRAP),
    FaultKind("not goal-side after loss", _as_it_stands(shape.not_goal_side), "the ball is still far from our goal"),
    FaultKind("no balance", _as_it_stands(shape.no_balance), NO_SWITCH),
)


# -- The faults in many frames, without the ways to mend them.


FRAMES_AT_ONCE = 32  # measured together


class FrameFault(NamedTuple):
    """A fault in one frame: its kind, and the numbers of the players concerned."""

    frame: int
    kind: str
    players: tuple[str, ...]


def faults_in_frames(frames: Frames, rulebook: Rulebook | None = None, before: Sequence[Situation | None] = (),
                     before_s: float = 1.0) -> list[FrameFault]:
    """The faults that `find_faults` finds in each frame, as rows.

    Parameters
    ----------
    frames : Frames
    rulebook : Rulebook, optional
    before : sequence of Situation or None, optional
        The picture before each frame, as for `find_faults`; None where there is none.
    before_s : float
        How long before.

    Returns
    -------
    list of FrameFault
        In the order of the frames. None of the changes that `find_faults` proposes is worked out, which saves time.

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(10, 20))
    >>> faults_in_frames(Frames.of([s, s.with_ball((-30, 0))]))
    [FrameFault(frame=0, kind='far side too narrow', players=('7',))]
    """
    rules, found = rulebook or Rulebook(), []
    for f, now in enumerate(_standing(frames, rules)):
        if now.in_play:
            earlier = before[f] if f < len(before) else None
            moving = Movement(now, None if earlier is None else Standing.of(earlier, rules), before_s)
            found += [FrameFault(f, kind.name, tuple(now.name(n) for n in fault.players))
                      for kind in FAULT_KINDS for fault in kind.find(moving)]
    return found


def _standing(frames: Frames, rules: Rulebook) -> Iterator[Standing]:
    for start in range(0, len(frames), FRAMES_AT_ONCE):
        yield from Standing.each(frames.take(slice(start, start + FRAMES_AT_ONCE)), rules)


# -- The faults in a picture: who, what, why it hurts, and one change that mends it.


KINDS: tuple[str, ...] = tuple(kind.name for kind in FAULT_KINDS)
Mended = tuple[Mend, Movement]
BEFORE_S, LEAST_S, MOST_S = 1.0, 0.2, 3.0


class Seen(NamedTuple):
    """A fault that was found, before it is put into words."""

    kind: FaultKind
    names: tuple[str, ...]
    found: Found


@dataclass(frozen=True)
class Fault:
    """What is wrong in a picture."""

    kind: str  # one of `KINDS`
    players: tuple[str, ...]  # numbers of the pressing team
    why: str
    change: str
    changed: Situation | None  # the mended picture; None where one change does not mend it
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
        The picture a short time before, of the same two teams. Without it four kinds are not looked for: late jump,
        front presses and back drops, line steps with an open ball, line drops with a covered ball.
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
    _check(situation, Situation, "picture")
    _check(before if before is not None else situation, Situation, "picture before")
    rules = Rulebook() if rulebook is None else rulebook
    _check(rules, Rulebook, "rulebook")
    mv = _movement(situation, rules, before, before_s, trap)
    seen = _seen(mv)
    return [_fault(mv, one, seen) for one in seen]


def _check(value: object, kind: type, what: str) -> None:
    if not isinstance(value, kind):
        raise BadInput(what, expected=f"a {kind.__name__}", got=type(value).__name__,
                       todo=f"make one with {kind.__name__}(...)")


def _movement(situation: Situation, rules: Rulebook, before: Situation | None, before_s: float,
              trap: str | None) -> Movement:
    seconds = as_number(before_s, "time since the picture before, s", low=LEAST_S, high=MOST_S)
    if trap is not None:
        situation.player("possession", trap)
    if before is not None and before.pitch != situation.pitch:
        raise BadInput("picture before", expected="the same pitch", got="another", todo="take two pictures of one play")
    then = None if before is None else Standing.of(before, rules, trap)
    return Movement(Standing.of(situation, rules, trap), then, seconds)


def _seen(mv: Movement, kinds: tuple[FaultKind, ...] = FAULT_KINDS) -> list[Seen]:
    """Each fault with its kind and the numbers of its players."""
    return [Seen(kind, tuple(mv.now.name(n) for n in found.players), found)
            for kind in kinds if mv.now.in_play for found in kind.find(mv)]


def _fault(mv: Movement, one: Seen, before: list[Seen]) -> Fault:
    """The fault with the change that mends it."""
    tried = ((mend, mv.mended(mend)) for mend in one.found.mends)
    best = _cleanest((pair for pair in tried if _is_mended(one, before, pair[1])), before)
    change = one.found.mends[0].change if best is None else best[0].change
    changed = None if best is None else best[1].now.situation
    return Fault(one.kind.name, one.names, one.found.why, change, changed, one.kind.unless)


def _is_mended(one: Seen, before: list[Seen], changed: Movement) -> bool:
    """Whether the fault is gone and no other of its kind has come instead."""
    was, left = ([q.names for q in some if q.kind is one.kind] for some in (before, _seen(changed, (one.kind,))))
    return len(left) < len(was) and one.names not in left


def _cleanest(mended: Iterator[Mended], before: list[Seen]) -> Mended | None:
    """The first that brings no fault of another kind; else the first; None for none."""
    first, had = None, {q.kind.name for q in before}
    for mend, changed in mended:
        if {q.kind.name for q in _seen(changed)} <= had:
            return mend, changed
        first = first or (mend, changed)
    return first
