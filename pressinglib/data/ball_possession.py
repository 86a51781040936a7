"""Whose ball it is in every frame; and phases, stretches with the same players, with their formations."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pressinglib.data.tracking import Bools, Floats, Ints, Tracking, gaps
from pressinglib.field.formations import KNOWN
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import OUTFIELD
from pressinglib.field.zonal_block import lined_up_xy

GAIN_S = 0.2  # a team has the ball once one of its players was nearest within reach for so long (own choice)
FLIGHT_S = 5.0  # a ball that takes longer from one man to the next is no pass (own choice)
HELD, PASS, LOOSE, DEAD = range(4)
BALL_STATES = ("held", "pass", "loose", "dead")
EPSILON_S = 1e-6
SHORTEST_S = 30.0  # changes closer than this belong together (own choice)
FEWEST_OUTFIELD = 6
HERE_SHARE = 0.2  # who is seen in less of a phase is not fitted (own choice)


@dataclass(frozen=True, eq=False, repr=False)
class Possession:
    """By frame (T,): `team` 1 home, -1 away, 0 nobody; `state`, a place in BALL_STATES; `carrier` and `receiver`,
    indexes into the sheet of the team that has the ball, -1 for nobody."""

    team: Ints
    state: Ints
    carrier: Ints
    receiver: Ints

    def __repr__(self) -> str:
        return "Frames: " + ", ".join(f"{n} {word}" for word, n in self.counts().items())

    @property
    def planned(self) -> Bools:
        """(T,) a team has the ball, or it travels to one of its players: there is something to plan."""
        return self.state <= PASS

    def counts(self) -> dict[str, int]:
        """Frames by state of the ball."""
        return {word: int((self.state == code).sum()) for code, word in enumerate(BALL_STATES)}


def possession(match: Tracking) -> Possession:
    """Who has the ball, from places alone where the source does not say.

    A team has the ball from the moment when one of its players is the nearest to it within 1.5 m, if he stays it for
    0.2 s, and keeps it until the other team has it, the ball is out of play, or the recording breaks off. Where the
    source says whose ball it is, that holds. A pass is a ball that goes from one player to the next of his team within
    5 s: its receiver is who gets it in the end, which is hindsight. Held by a man of the other team, or on its way to
    one, a ball is loose: such frames, and those without a ball, have no plan (own definitions, grade D).
    """
    home, away = match.carrier("home"), match.carrier("away")
    near = np.where(home >= 0, 1, np.where(away >= 0, -1, 0))
    dead = ~match.alive | ~np.isfinite(match.ball_xy).all(1)
    breaks = gaps(match.time_s) | (np.diff(match.period, prepend=match.period[0]) != 0) | dead
    team = np.where(dead, 0, np.where(match.given != 0, match.given, _kept(match, near, breaks)))
    who = np.where(near == team, np.where(team > 0, home, away), -1)
    man = np.where(near == 0, -1, np.where(near > 0, home, away + len(match.home.numbers)))
    receiver = _receivers(match, man, team, breaks)
    held = (team != 0) & (who >= 0)
    state = np.select([dead, held, receiver >= 0], [DEAD, HELD, PASS], LOOSE)
    return Possession(team, state, np.where(held, who, -1), np.where(state == PASS, receiver, -1))


def _kept(match: Tracking, near: Ints, breaks: Bools) -> Ints:
    """(T,) the team that had the ball last: stretches of one team's men that last long enough, carried forward."""
    starts = np.flatnonzero((np.diff(near, prepend=near[0] - 1) != 0) | breaks)
    ends = np.append(starts[1:], len(near)) - 1
    lasts_s = match.time_s[ends] - match.time_s[starts] + np.median(np.diff(match.time_s))
    gained = starts[(lasts_s >= GAIN_S - EPSILON_S) & (near[starts] != 0)]
    last = _latest(np.isin(np.arange(len(near)), gained), breaks)
    return np.where(last >= 0, near[last], 0)


def _latest(marked: Bools, breaks: Bools) -> Ints:
    """(T,) the latest row that is marked, -1 if there is none since the latest break (which comes before its row)."""
    rows = np.arange(len(marked))
    last, since = (np.maximum.accumulate(np.where(at, rows, none)) for at, none in ((marked, -1), (breaks, 0)))
    return np.where(last >= since, last, -1)


def _receivers(match: Tracking, man: Ints, team: Ints, breaks: Bools) -> Ints:
    """(T,) index of the team-mate to whom a ball on its way comes in the end, -1 where none who is seen gets it."""
    home, count = len(match.home.numbers), len(man)
    before = _latest(man >= 0, breaks)
    after = count - 1 - _latest(man[::-1] >= 0, np.append(breaks[1:], False)[::-1])[::-1]  # count: there is none
    whole = (before >= 0) & (after < count) & (team != 0)
    after = np.minimum(after, count - 1)
    whole &= match.time_s[after] - match.time_s[before] <= FLIGHT_S
    for end in (before, after):
        whole &= np.where(man[end] < home, 1, -1) == team
    whole &= np.isfinite(np.concatenate([match.home.xy, match.away.xy], axis=1)[np.arange(count), man[after], 0])
    return np.where(whole, man[after] - np.where(team > 0, 0, home), -1)


# -- phases ------------------------------------------------------------------------------------------------------------


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


def find_phases(match: Tracking, whose: Possession | None = None) -> tuple[Phase, ...]:
    """Cut a match at its periods and substitutions, and read who keeps goal and what each side plays.

    The goalkeeper is the player who is on average nearest to the goal line of his side. The others are laid over the
    zonal block of every formation that the library knows, centred and scaled, by optimal assignment (Hungarian method);
    the nearest formation gives the slots. Mean places are taken while the other side has the ball, else over the whole
    phase. Within one phase a team may change its shape, which this does not see (grade D). Slots that are known stay.
    """
    team, phases = (whose or possession(match)).team, []
    known = any(slot != OUTFIELD for side in (match.home, match.away) for slot in side.slots)
    for start, stop in pairwise(_cuts(match)):
        (home, home_slots), (away, away_slots) = (
            ("as given", side.slots) if known else _fitted(side.xy[start:stop], turn, team[start:stop] == -turn)
            for side, turn in ((match.home, 1.0), (match.away, -1.0)))
        phases.append(Phase(start, stop, int(match.period[start]), home, away, home_slots, away_slots))
    return tuple(phases)


def _cuts(match: Tracking) -> list[int]:
    """Rows where a phase begins, and the number of rows."""
    cuts = [*np.flatnonzero(np.diff(match.period, prepend=match.period[0] - 1)).tolist(), len(match)]
    clock = np.append(match.time_s, match.time_s[-1])
    for start, stop in [*pairwise(cuts)]:
        for row in sorted(_changes(match, start, stop)):
            cuts += [row] if np.abs(clock[row] - clock[cuts]).min() >= SHORTEST_S else []
    return sorted(cuts)


def _changes(match: Tracking, start: int, stop: int) -> set[int]:
    """Rows of a period at which a player is seen for the first time, or has been for the last time."""
    found: set[int] = set()
    for team in (match.home, match.away):
        here = np.isfinite(team.xy[start:stop, :, 0])
        here = here[:, here.any(0)]
        found |= {*(start + here.argmax(0)).tolist(), *(stop - here[::-1].argmax(0)).tolist()}
    return found - {start, stop}


def _fitted(xy: Floats, turn: float, defending: Bools) -> tuple[str, tuple[str, ...]]:
    """Formation and slots of a side, of its places (T, N, 2)."""
    here = np.isfinite(xy[..., 0])
    seen, slots = here.mean(0), [OUTFIELD] * xy.shape[1]
    who = np.flatnonzero((seen > 0) & (seen >= HERE_SHARE * seen.max(initial=0.0)))
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
    """The known formation that fits mean places (n, 2) of outfield players best, and each one's slot in it."""
    from scipy.optimize import linear_sum_assignment

    best = (np.inf, "", np.empty(0, int))
    for name, slots in KNOWN.items():
        block = lined_up_xy(slots, (0.0, 0.0), Pitch())
        cost = ((_centred(xy)[:, None] - _centred(np.asarray(block))) ** 2).sum(-1)
        rows, spots = linear_sum_assignment(cost)
        total = round(float(cost[rows, spots].sum()), 9)
        best = min(best, (total, name, spots), key=lambda found: found[0])
    return best[1], tuple(KNOWN[best[1]][k] for k in best[2])


def _centred(xy: Floats) -> Floats:
    """About their mean, in units of their spread in each direction."""
    off = np.asarray(xy) - np.mean(xy, axis=0)
    return np.asarray(off / np.maximum(np.sqrt((off**2).mean(0)), 1.0))
