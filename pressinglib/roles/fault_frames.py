"""The faults in many frames, without the ways to mend them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles.fault_kinds import FAULT_KINDS
from pressinglib.roles.movement import Movement
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.standing import Standing

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
