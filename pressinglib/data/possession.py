"""Whose ball it is in every frame, who has it or is about to, and in which frames there is nothing to plan."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.tracking import Tracking
from pressinglib.data.velocity import gaps

Ints = NDArray[np.int_]
Bools = NDArray[np.bool_]
GAIN_S = 0.2  # a team has the ball once one of its players was nearest within reach for so long (own choice)
FLIGHT_S = 5.0  # a ball that takes longer from one man to the next is no pass (own choice)
HELD, PASS, LOOSE, DEAD = range(4)
BALL_STATES = ("held", "pass", "loose", "dead")
EPSILON_S = 1e-6


@dataclass(frozen=True, eq=False)
class Possession:
    """By frame (T,): `team` 1 home, -1 away, 0 nobody; `state`, a place in BALL_STATES; `carrier` and `receiver`,
    indexes into the sheet of the team that has the ball, -1 for nobody."""

    team: Ints
    state: Ints
    carrier: Ints
    receiver: Ints

    @property
    def planned(self) -> Bools:
        """(T,) a team has the ball, or it travels to one of its players: there is something to plan."""
        return self.state <= PASS

    def counts(self) -> dict[str, int]:
        """Frames by state of the ball."""
        return {word: int((self.state == code).sum()) for code, word in enumerate(BALL_STATES)}


def possession(match: Tracking) -> Possession:
    """Who has the ball, from places alone where the source does not say.

    Parameters
    ----------
    match : Tracking

    Returns
    -------
    Possession

    Notes
    -----
    A team has the ball from the moment when one of its players is the nearest to it within 1.5 m, if he stays it for
    0.2 s, and keeps it until the other team has it, the ball is out of play, or the recording breaks off. Where the
    source says whose ball it is, that holds. A pass is a ball that goes from one player to the next of his team within
    5 s: its receiver is who gets it in the end, which is hindsight. Held by a man of the other team, or on its way to
    one, a ball is loose: such frames, and those without a ball, have no plan (own definitions, grade D).

    Examples
    --------
    >>> from pressinglib.data.tracking import Team
    >>> from pressinglib.field.pitch import Pitch
    >>> t = np.arange(12) * 0.1
    >>> home = Team(("4", "6"), ("outfield",) * 2, np.tile([[0.0, 0], [9, 0]], (12, 1, 1)))
    >>> away = Team(("9",), ("outfield",), np.full((12, 1, 2), 40.0))
    >>> ball = np.stack([np.clip(3.0 * np.arange(12) - 9, 0, 9), 0 * t], axis=-1)
    >>> found = possession(Tracking(Pitch(), home, away, t, ball, 0 * t, t >= 0, np.arange(12)))
    >>> "".join("HPLD"[k] for k in found.state), found.receiver[4:7].tolist(), found.team[0]
    ('HHHHPPHHHHHH', [1, 1, -1], np.int64(1))
    """
    home, away = match.carrier("home"), match.carrier("away")
    near = np.where(home >= 0, 1, np.where(away >= 0, -1, 0))
    dead = ~match.alive | ~np.isfinite(match.ball_xy).all(1)
    breaks = gaps(match.time_s) | (np.diff(match.period, prepend=match.period[0]) != 0) | dead
    team = np.where(dead, 0, np.where(match.given != 0, match.given, _kept(match, near, breaks)))
    who = np.where(near == team, np.where(team > 0, home, away), -1)
    man = np.where(near == 0, -1, np.where(near > 0, home, away + len(match.home.numbers)))
    receiver = _receivers(match, man, team, breaks)
    receiver = np.where(_seen(match, team, receiver), receiver, -1)
    held = (team != 0) & (who >= 0)
    state = np.select([dead, held, receiver >= 0], [DEAD, HELD, PASS], LOOSE)
    return Possession(team, state, np.where(held, who, -1), np.where(state == PASS, receiver, -1))


def _seen(match: Tracking, team: Ints, receiver: Ints) -> Bools:
    """(T,) the receiver's place is known."""
    rows = np.arange(len(receiver))
    places = [side.xy[rows, np.minimum(receiver, len(side.numbers) - 1), 0] for side in (match.home, match.away)]
    return np.isfinite(np.where(team > 0, *places))


def _kept(match: Tracking, near: Ints, breaks: Bools) -> Ints:
    """(T,) the team that had the ball last: stretches of one team's men that last long enough, carried forward."""
    starts = np.flatnonzero((np.diff(near, prepend=near[0] - 1) != 0) | breaks)
    ends = np.append(starts[1:], len(near)) - 1
    step_s = np.median(np.diff(match.time_s))
    lasts = match.time_s[ends] - match.time_s[starts] + step_s >= GAIN_S - EPSILON_S
    gained = np.zeros(len(near), int)
    real = lasts & (near[starts] != 0)
    gained[starts[real]] = near[starts[real]]
    return _carried_on(gained, breaks)


def _carried_on(value: Ints, breaks: Bools) -> Ints:
    """The last value that is not 0, forgotten at every break."""
    marks = (value != 0) | breaks
    last = np.maximum.accumulate(np.where(marks, np.arange(len(value)), 0))
    return value[last]


def _receivers(match: Tracking, man: Ints, team: Ints, breaks: Bools) -> Ints:
    """(T,) index of the team-mate to whom a ball on its way comes in the end, -1 where it comes to none."""
    rows, home = np.arange(len(man)), len(match.home.numbers)
    held = np.flatnonzero(man >= 0)
    if not len(held):
        return np.full(len(man), -1)
    place = np.searchsorted(held, rows)
    before, after = held[np.maximum(place - 1, 0)], held[np.minimum(place, len(held) - 1)]
    broken = np.cumsum(breaks)
    whole = (place > 0) & (place < len(held)) & (broken[after] == broken[before])
    whole &= match.time_s[after] - match.time_s[before] <= FLIGHT_S
    sides = [np.where(man[k] < home, 1, -1) for k in (before, after)]
    to = np.where(man[after] < home, man[after], man[after] - home)
    return np.where(whole & (sides[0] == team) & (sides[1] == team) & (team != 0), to, -1)
