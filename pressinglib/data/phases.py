"""Phases of a match: stretches with the same players, each with its goalkeepers and formations read from places."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.possession import possession
from pressinglib.data.tracking import Team, Tracking
from pressinglib.field.block import lined_up_xy
from pressinglib.field.formations import KNOWN, formation_slots
from pressinglib.field.pitch import Pitch
from pressinglib.field.slots import OUTFIELD

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
SHORTEST_S = 30.0  # changes closer than this belong together (own choice)
FEWEST_OUTFIELD = 6
HERE_SHARE = 0.2  # who is seen in less of a phase is not fitted (own choice)


@dataclass(frozen=True)
class Phase:
    """The moments from `start` up to `stop`, and what each side plays in them; "unknown" where too few are seen."""

    start: int
    stop: int
    period: int
    home: str
    away: str
    home_slots: tuple[str, ...]
    away_slots: tuple[str, ...]

    def of(self, match: Tracking) -> Tracking:
        """This part of the match."""
        return match.part(self.start, self.stop, self.home_slots, self.away_slots)


def find_phases(match: Tracking, known_slots: bool = False) -> tuple[Phase, ...]:
    """Cut a match at its periods and substitutions, and read who keeps goal and what each side plays.

    Parameters
    ----------
    match : Tracking
    known_slots : bool
        Keep the slots of the sheets; only the cuts are made.

    Returns
    -------
    tuple of Phase

    Notes
    -----
    The goalkeeper is the player who is on average nearest to the goal line of his side. The others are laid over the
    zonal block of every formation that the library knows, centred and scaled, by optimal assignment (Hungarian method);
    the nearest formation gives the slots. Mean places are taken while the other side has the ball, else over the whole
    phase. Within one phase a team may change its shape, which this does not see (grade D).

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(20, 0))
    >>> def team(players):
    ...     xy = np.tile([p.xy for p in players], (9, 1, 1))
    ...     return Team(tuple(p.number for p in players), (OUTFIELD,) * 11, xy)
    >>> t = np.arange(9) * 0.1
    >>> match = Tracking(Pitch(), team(s.pressing), team(s.possession), t, np.tile(s.ball_xy, (9, 1)), 0 * t,
    ...                  t >= 0, np.arange(9))
    >>> phase, = find_phases(match)
    >>> phase.home, phase.home_slots == tuple(p.slot for p in s.pressing), phase.away_slots.count("goalkeeper")
    ('4-4-2', True, 1)
    """
    whose = possession(match).team
    cuts = _cuts(match)
    both = zip(cuts[:-1], cuts[1:], strict=True)
    return tuple(_phase(match, whose, start, stop, known_slots) for start, stop in both)


def _phase(match: Tracking, whose: Ints, start: int, stop: int, known_slots: bool) -> Phase:
    sides = ((match.home, -1, 1.0), (match.away, 1, -1.0))
    if known_slots:
        fitted = [("as given", match.home.slots), ("as given", match.away.slots)]
    else:
        fitted = [_fitted(team, turn, slice(start, stop), whose[start:stop] == theirs) for team, theirs, turn in sides]
    (home, home_slots), (away, away_slots) = fitted
    return Phase(start, stop, int(match.period[start]), home, away, home_slots, away_slots)


def _cuts(match: Tracking) -> list[int]:
    """Rows where a phase begins, and the number of rows."""
    edges = np.flatnonzero(np.diff(match.period, prepend=match.period[0] - 1))
    cuts: list[int] = [*map(int, edges), len(match)]
    clock = np.append(match.time_s, match.time_s[-1])
    for start, stop in zip(edges, [*edges[1:], len(match)], strict=True):
        for row in sorted(_changes(match, int(start), int(stop))):
            cuts += [row] if np.abs(clock[row] - clock[cuts]).min() >= SHORTEST_S else []
    return sorted(cuts)


def _changes(match: Tracking, start: int, stop: int) -> set[int]:
    """Rows of a period at which a player is seen for the first time, or has been for the last time."""
    found: set[int] = set()
    for team in (match.home, match.away):
        here = np.isfinite(team.xy[start:stop, :, 0])
        for n in np.flatnonzero(here.any(0)):
            first, last = int(here[:, n].argmax()), len(here) - 1 - int(here[::-1, n].argmax())
            found |= {start + first, start + last + 1}
    return found - {start, stop}


def _fitted(team: Team, turn: float, rows: slice, defending: NDArray[np.bool_]) -> tuple[str, tuple[str, ...]]:
    """Formation and slots of a side in some rows."""
    xy = team.xy[rows]
    here = np.isfinite(xy[..., 0])
    seen = here.mean(0)
    who = np.flatnonzero((seen > 0) & (seen >= HERE_SHARE * seen.max(initial=0.0)))
    slots = [OUTFIELD] * len(team.numbers)
    if len(who) <= FEWEST_OUTFIELD:
        return "unknown", tuple(slots)
    chosen = xy[defending] if here[defending][:, who].any(0).all() else xy
    mean = turn * np.nanmean(chosen[:, who], axis=0)
    keeper = int(mean[:, 0].argmin())
    slots[who[keeper]] = "goalkeeper"
    outfield = np.delete(np.arange(len(who)), keeper)
    most = outfield[np.argsort(-seen[who[outfield]], kind="stable")[:10]]
    formation, fits = fitted_formation(mean[most])
    for n, slot in zip(most, fits, strict=True):
        slots[who[n]] = slot
    return formation, tuple(slots)


def fitted_formation(xy: Floats) -> tuple[str, tuple[str, ...]]:
    """The known formation that fits mean places (n, 2) of outfield players best, and each one's slot in it.

    Examples
    --------
    >>> places = lined_up_xy(formation_slots("3-5-2")[1:], (0.0, 0.0), Pitch())
    >>> fitted_formation(places)[0], fitted_formation(places)[1][0]
    ('3-5-2', 'right wing-back')
    """
    from scipy.optimize import linear_sum_assignment

    best = (np.inf, "", np.empty(0, int))
    for name in KNOWN:
        block = lined_up_xy(formation_slots(name)[1:], (0.0, 0.0), Pitch())
        cost = ((_centred(xy)[:, None] - _centred(np.asarray(block))) ** 2).sum(-1)
        rows, spots = linear_sum_assignment(cost)
        total = round(float(cost[rows, spots].sum()), 9)
        best = min(best, (total, name, spots), key=lambda found: found[0])
    return best[1], tuple(formation_slots(best[1])[1:][k] for k in best[2])


def _centred(xy: Floats) -> Floats:
    """About their mean, in units of their spread in each direction."""
    off = np.asarray(xy) - np.mean(xy, axis=0)
    return np.asarray(off / np.maximum(np.sqrt((off**2).mean(0)), 1.0))
