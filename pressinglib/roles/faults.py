"""The faults in a picture: every kind, who is at fault, why it hurts, and one change that fixes it.

A kind of fault is a table in `faults.toml`, and a finder of its name in faults_ball.py or faults_line.py.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

from pressinglib.errors import BadInput, as_a, as_number
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles import faults_ball, faults_line
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.snapshot import FaultFound, Fix, Snapshot

BEFORE_S, LEAST_S, MOST_S = 1.0, 0.2, 3.0
FRAMES_AT_ONCE = 32  # measured together


TOLD: dict[str, Any] = tomllib.loads(Path(__file__).with_name("faults.toml").read_text("utf-8"))  # by finder
FINDERS = {**vars(faults_ball), **vars(faults_line)}
KINDS: tuple[str, ...] = tuple(told["kind"] for told in TOLD.values())


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
    before : Situation, optional
        The picture `before_s` (0.2 to 3 s) before, of the same two teams. Without it two kinds are not looked for: late
        jump, and line drops with a covered ball. Speeds come from the velocities in the picture, and only where it has
        none from the way since.
    trap : str, optional
        Number of the opponent who is left free on purpose. Nobody need deny him, and two may close him down.

    Notes
    -----
    They come in the order of `KINDS`; there are none where the ball is loose or ours, and at a restart. BadInput for a
    picture before on another pitch, a time out of range, a trap that is no opponent.

    Faults are relations between places, judged by the measures of the plan (grade D): a picture in which the plan has
    been carried out shows none, but for what the plan itself must leave open. Each says when it is none (`unless`).

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(10, 20))
    >>> fault = find_faults(s)[0]
    >>> fault.kind, fault.players, find_faults(fault.changed)
    ('far side too narrow', ('7',), [])
    """
    for value, what in ((situation, "picture"), (situation if before is None else before, "picture before")):
        as_a(value, Situation, what, "make one with Situation(...)")
    rules, seconds = as_rulebook(rulebook), _seconds(before_s)
    if trap is not None:
        situation.player("possession", trap)
    if before is not None and before.pitch != situation.pitch:
        raise BadInput("picture before", expected="the same pitch", got="another", todo="take two pictures of one play")
    then = None if before is None else Snapshot.of(before, rules)
    st = Snapshot.of(situation, rules, trap, then, seconds)
    seen = _seen(st)
    return [_fault(st, one, seen) for one in seen]


def _seconds(before_s: float) -> float:
    return as_number(before_s, "time since the picture before, s", low=LEAST_S, high=MOST_S)


class Seen(NamedTuple):
    """A fault that was found, before a change is chosen."""

    finder: str
    names: tuple[str, ...]
    found: FaultFound


def _seen(st: Snapshot, finders: Iterable[str] = tuple(TOLD)) -> list[Seen]:
    """Each fault with its finder and the numbers of its players."""
    return [Seen(finder, tuple(map(st.name, found.players)), found)
            for finder in finders if st.in_play for found in FINDERS[finder](st)]


def _fault(st: Snapshot, one: Seen, before: list[Seen]) -> Fault:
    """The fault with the change that fixes it."""
    told, (fix, changed) = TOLD[one.finder], _cleanest(st, one, before) or (one.found.fixes[0], None)
    words = dict(all=st.names(one.found.players), carrier=st.carrier, who=st.names(fix.moves))
    why, change = (text.format(*one.names, **words, **one.found.words, **fix.words)
                   for text in (told["why"], told["change"][fix.text]))
    return Fault(told["kind"], one.names, why, change, changed, told["unless"])


def _cleanest(st: Snapshot, one: Seen, before: list[Seen]) -> tuple[Fix, Situation] | None:
    """The first change that fixes it and brings no fault of another kind; else the first that fixes it."""
    first, had = None, {seen.finder for seen in before}
    was = [seen.names for seen in before if seen.finder == one.finder]
    for fix in one.found.fixes:
        changed = st.fixed(fix)
        left = [seen.names for seen in _seen(changed, [one.finder])]
        if len(left) >= len(was) or one.names in left:  # still there, or another of its kind has come instead
            continue
        if {seen.finder for seen in _seen(changed)} <= had:
            return fix, changed.situation
        first = first or (fix, changed.situation)
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
    rules, seconds, found = as_rulebook(rulebook), _seconds(before_s), []
    for start in range(0, len(frames), FRAMES_AT_ONCE):
        together = Snapshot.each(frames.take(slice(start, start + FRAMES_AT_ONCE)), rules)
        for f, st in enumerate(together, start):
            if st.in_play and f < len(before) and (earlier := before[f]) is not None:
                st.before, st.seconds = Snapshot.of(earlier, rules), seconds
            found += [FrameFault(f, TOLD[seen.finder]["kind"], seen.names) for seen in _seen(st)]
    return found
