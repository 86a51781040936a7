"""The faults in a picture: who, what, why it hurts, and one change that mends it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.field.situation import Situation
from pressinglib.roles.fault_kinds import FAULT_KINDS, FaultKind
from pressinglib.roles.movement import Movement
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.standing import Found, Mend, Standing

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
