"""How late is too late, how far is too far: the same sequence again and again, one thing changed a little more."""

from __future__ import annotations

from collections.abc import Sequence as Many
from typing import Any

import numpy as np

from pressinglib.field.player import XY, as_number, as_xy
from pressinglib.field.situation import Situation
from pressinglib.play.actions import Action
from pressinglib.play.events import OURS
from pressinglib.play.run import Run
from pressinglib.play.sequence import Sequence
from pressinglib.play.simulate import simulate

LATE_S = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


def how_late(situation: Situation, actions: Many[Action], late_s: Many[float] = LATE_S,
             **manner: Any) -> list[dict[str, Any]]:
    """The same sequence with the presser starting later and later.

    Parameters
    ----------
    situation, actions
        As in `simulate`.
    late_s : list of float
        Seconds that he starts too late.
    **manner
        Other arguments of `simulate`.

    Returns
    -------
    list of dict
        One row for each: `late_s`; `fails_at_s`, the first moment at which the press fails (None: it does not), and
        `fails`, how (a kind of event); `won_at_s`, when the ball is won (None: it is not); `pressure_s`, the time of
        the first of us to the ball as the first touch of a receiver ends, the greatest of them (None: nobody received
        it); `danger`, the mean over the sequence.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play.actions import Pass
    >>> rows = how_late(scene("their corner"), [Pass("6", at_s=0.3)], (0.0, 1.0), duration_s=3)
    >>> [row["late_s"] for row in rows]
    [0.0, 1.0]
    """
    return [{"late_s": late, **_row(simulate(situation, actions, late_s=late, **manner))} for late in late_s]


def how_far(situation: Situation, actions: Many[Action], number: str, to_xy: XY, metres: Many[float],
            holds_until_s: float = 0.0, **manner: Any) -> list[dict[str, Any]]:
    """The same sequence with one of ours standing further and further from his place, towards another one.

    Parameters
    ----------
    situation, actions
        As in `simulate`.
    number : str
        One of the pressing team.
    to_xy : tuple of float
        Where he is moved towards (a winger who tucks in: the middle; a cover too far off: back to his own line).
    metres : list of float
        How far.
    holds_until_s : float
        So long he stays there, whatever the plan says: he believes that it is right.
    **manner
        Other arguments of `simulate`.

    Returns
    -------
    list of dict
        Rows as of `how_late`, with `metres` in front.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play.actions import Pass
    >>> far = [Pass("2", kind="lofted", at_s=0.3)]
    >>> [row["metres"] for row in how_far(scene("worked scene"), far, "7", (15, 0), (0.0, 8.0), duration_s=1)]
    [0.0, 8.0]
    """
    start = np.array(situation.player("pressing", number).xy)
    way = np.array(as_xy(to_xy, "place he is moved towards")) - start
    unit = way / max(float(np.hypot(*way)), 1e-9)
    rows = []
    for m in metres:
        x, y = start + unit * as_number(m, "metres")
        xy = (float(x), float(y))
        moved, held = situation.moved("pressing", number, xy), _held(number, xy, holds_until_s)
        rows.append({"metres": m, **_row(simulate(moved, [*actions, *held], **manner))})
    return rows


def _held(number: str, xy: XY, until_s: float) -> list[Action]:
    return [Run("pressing", number, xy, until_s=until_s)] if until_s > 0 else []


def _row(sequence: Sequence) -> dict[str, Any]:
    """What became of it."""
    failure = sequence.failure
    won = next((e.time_s for e in sequence.events if e.kind in OURS), None)
    touch_s = sequence.rulebook.settings.control_time_s
    pressure = [float(sequence.pressure_s[sequence.index(e.time_s + touch_s)]) for e in
                sequence.happened("pass received")]
    return {"fails_at_s": None if failure is None else round(failure.time_s, 2),
            "fails": None if failure is None else failure.kind, "won_at_s": None if won is None else round(won, 2),
            "pressure_s": round(max(pressure), 2) if pressure else None,
            "danger": round(float(sequence.danger.mean()), 3)}
