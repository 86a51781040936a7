"""A sequence taken up again at any moment, as it was or with somebody standing elsewhere."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from pressinglib.errors import BadInput
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.play.actions import Action, Dribble
from pressinglib.play.run import Run
from pressinglib.play.script import THERE_M
from pressinglib.play.sequence import Sequence
from pressinglib.play.simulate import simulate
from pressinglib.roles.picture import norm

EARLY_S = 1e-9


def replay(sequence: Sequence, time_s: float, situation: Situation | None = None, **changes: Any) -> Sequence:
    """Played on from a moment, with what is left of its actions; times start at 0 again.

    Parameters
    ----------
    sequence : Sequence
    time_s : float
    situation : Situation, optional
        The picture to go on from; default: that of the moment. So a player may have been moved.
    **changes
        Other arguments of `simulate` than the sequence had, such as `late_s` or `rulebook`.

    Raises
    ------
    BadInput
        For anything but a Sequence; and whatever `simulate` raises.

    Notes
    -----
    A first touch that was not over is over, and nobody is surprised any more.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play.actions import Pass
    >>> sequence = simulate(scene("worked scene"), [Pass("4", at_s=0.5), Pass("2", at_s=2)], duration_s=3)
    >>> rest = replay(sequence, 1.0)
    >>> [(a.to, a.at_s) for a in rest.actions], float(rest.times[-1])
    ([('2', 1.0)], 2.0)
    >>> replay("a sequence", 1.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: sequence: expected a Sequence; got str. Make one with simulate(...).
    """
    if not isinstance(sequence, Sequence):
        raise BadInput("sequence", expected="a Sequence", got=type(sequence).__name__,
                       todo="make one with simulate(...)")
    k = sequence.index(time_s)
    now_s = float(sequence.times[k])
    manner = asdict(sequence.manner)
    if manner["duration_s"] is not None:
        manner["duration_s"] = max(manner["duration_s"] - now_s, 0.0)
    manner |= {"just_lost": False, "rulebook": sequence.rulebook} | changes
    return simulate(sequence.situations[k] if situation is None else situation, actions_left(sequence, now_s), **manner)


def actions_left(sequence: Sequence, time_s: float) -> list[Action]:
    """What is still to be done after a moment, counted from it; a dribble or a run under way goes on."""
    ball = sorted((a for a in sequence.actions if not isinstance(a, Run)), key=lambda a: a.at_s)
    gone = [a for t, a in sequence.done if t <= time_s + EARLY_S and not isinstance(a, Run)]
    dropped = [e for e in sequence.happened("action left out") if e.time_s <= time_s + EARLY_S]
    later = [*ball[len(gone) + len(dropped):], *(a for a in sequence.actions if isinstance(a, Run) and a.at_s > time_s)]
    return [*_runs_on(sequence, time_s), *_dribbles_on(sequence, time_s),
            *(_from(a, time_s) for a in later)]


def _from(action: Action, time_s: float) -> Action:
    """The action with its times counted from a moment on."""
    if isinstance(action, Run) and action.until_s is not None:
        action = replace(action, until_s=max(action.until_s - time_s, 0.0))
    return replace(action, at_s=max(action.at_s - time_s, 0.0))


def _dribbles_on(sequence: Sequence, time_s: float) -> list[Action]:
    """The dribble under way, if the same man still has the ball."""
    last = [(t, a) for t, a in sequence.done if t <= time_s + EARLY_S and not isinstance(a, Run)][-1:]
    carrier = sequence.frames.carrier
    return [replace(a, at_s=0.0) for t, a in last if isinstance(a, Dribble)
            and 0 <= carrier[sequence.index(t)] == carrier[sequence.index(time_s)]]


def _runs_on(sequence: Sequence, time_s: float) -> list[Action]:
    """The runs under way, the last of each player, without the places he has passed."""
    runs = {(a.team, a.number): (t, a) for t, a in sequence.done if isinstance(a, Run) and t <= time_s + EARLY_S}
    return [_from(replace(run, to_xy=None, path=_ahead(sequence, run, t, time_s)), time_s) for t, run in runs.values()]


def _ahead(sequence: Sequence, run: Run, from_s: float, to_s: float) -> tuple[XY, ...]:
    """The places that are still ahead of a runner."""
    frames, places = sequence.frames, list(run.places)
    sheet, xy = ((frames.pressing_numbers, frames.pressing_xy) if run.team == "pressing" else
                 (frames.possession_numbers, frames.possession_xy))
    for here in xy[sequence.index(from_s): sequence.index(to_s) + 1, sheet.index(run.number)]:
        while len(places) > 1 and norm(here - places[0]) < THERE_M:
            places.pop(0)
    return tuple(places)
