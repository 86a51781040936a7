"""A picture as it stands: who is on the ball, who covers him, which opponents are free; and what was a moment before.

The questions are those of the plan, asked with everybody at the place where he is: a standing presser, standing covers.
So a picture in which the plan has been carried out is judged by the plan's own measures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from types import MappingProxyType
from typing import Any, NamedTuple, SupportsInt

import numpy as np

from pressinglib.errors import as_xy
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation, Team
from pressinglib.physics.lanes import bearing_rad
from pressinglib.roles.back_line import openness
from pressinglib.roles.balance import beaten, minding_places
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.measures import easy, in_shadow
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, unit
from pressinglib.roles.presser import take_over, way_times
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import COVER, HOLD, IN_TIME, LATE, OPEN_PLAY, PRESSURE
from pressinglib.tables import by_number, listed

ENGAGED_M = 4.0  # further off is no effective pressure (P)
LEVEL_M = 1.0  # beside the ball counts as goal-side of it (D)
COMES_MPS = 3.0  # who comes faster than this has gone, whether he is there in a second or in two (D)
OPEN_BALL = 0.5  # of the back line's measure from 0 covered to 1 open


class Fix(NamedTuple):
    """One change: who stands where once it is made, and which of the changes in `faults.toml` says it."""

    moves: Mapping[int, Floats]
    text: int = 0
    words: Mapping[str, object] = MappingProxyType({})


class FaultFound(NamedTuple):
    """A fault as its finder sees it, players by index, the ways to fix it, the simplest first, and what it tells."""

    players: tuple[int, ...]
    fixes: tuple[Fix, ...]
    words: Mapping[str, object]


def move(n: int, place: Floats, text: int = 0, **words: object) -> Fix:
    """One player goes to a place."""
    return Fix({n: place}, text, words)


def found(players: Iterable[int], *fixes: Fix, **words: object) -> FaultFound:
    """The fault of some players."""
    return FaultFound(tuple(players), fixes, words)


class Snapshot:
    """One picture and what the faults ask of it; players and opponents by their index in the picture `p`.

    `before` is the picture `seconds` before, of the same two teams. Arrays have no frame axis; those of the picture
    before are in the order of this one and turned to its side, NaN for who was not there. The ball is where the next
    pass starts; `trap` is the number of the opponent who is left free on purpose.
    """

    def __init__(self, situation: Situation, rulebook: Rulebook, p: Picture, trap: str | None = None,
                 before: Snapshot | None = None, seconds: float = 1.0) -> None:
        self.situation, self.rulebook, self.p = situation, rulebook, p
        self.trap, self.before, self.seconds = trap, before, seconds
        self.own, self.opp, self.ball, self.line = p.own[0], p.opp[0], p.origin[0], p.line[0]
        self.to_goal, self.goal_m = p.goal_way[0], float(p.ball_goal_m[0])
        self.outfield: Ints = np.flatnonzero(p.outfield[0])
        self.in_play = bool(p.state[0] == OPEN_PLAY)  # an opponent has the ball, or it travels to him
        self.at_feet = self.in_play and bool(p.carrier[0] >= 0)
        self.carrier = p.opp_number(0, p.carrier[0])  # number of the opponent with the ball at his feet
        # (N,) distance of each player to the ball; the goalkeeper's counts for nothing. On the ball is the nearest
        # outfield player, goal-side of it or beside it and within 4 m.
        self.ball_m: Floats = np.where(p.outfield[0], norm(self.own - self.ball), np.inf)
        near = np.where(p.own_goal_m[0] < self.goal_m + LEVEL_M, self.ball_m, np.inf)
        first = int(near.argmin())
        self.presser = first if self.at_feet and near[first] <= ENGAGED_M else None
        # (M,) opponents who may be passed to, and of these who is to be denied; in the short radius; not far behind.
        self.counted: Bools = p.receivers[0]
        self.bait = p.opp_index(0, trap) if trap is not None else -1
        self.to_deny: Bools = self.counted & (np.arange(len(self.opp)) != self.bait)
        self.near: Bools = self.to_deny & (p.pass_m[0] <= p.settings.short_pass_m)
        self.short: Bools = self.near & easy(p)[0]
        # (N, M) time of each outfield player to each, and who is at whom before a pass is; (M,) those whom somebody
        # reaches no later than their first touch.
        self.to_opp_s: Floats = np.where(p.outfield[0][:, None], p.marking_s[0], np.inf)
        self.denies: Bools = (self.to_opp_s <= p.pass_s[0]) & self.counted
        self.reached: Bools = (self.to_opp_s <= p.pass_s[0] + p.settings.control_time_s).any(0)

    @classmethod
    def of(cls, situation: Situation, rulebook: Rulebook, *since: Any) -> Snapshot:
        """The picture read without lead time: the ball is where it is."""
        rules = rulebook.with_settings(lead_time_s=0.0)
        return cls(situation, rules, Picture(Frames.of([situation]), rules.settings), *since)

    @classmethod
    def each(cls, frames: Frames, rulebook: Rulebook) -> Iterator[Snapshot]:
        """The same of every frame, measured together."""
        rules = rulebook.with_settings(lead_time_s=0.0)
        together = Picture(frames, rules.settings)
        way_times(together)
        return (cls(frames.situation(f), rules, together.one(f)) for f in range(len(frames)))

    def bearing_deg(self, xy: Floats) -> Floats:
        """(...,) how far places (..., 2) bear off the line from the ball to the goal, degrees, towards -y positive."""
        return np.degrees(bearing_rad(self.to_goal, xy - self.ball))

    def apart_m(self, n: int, other: int) -> float:
        """Distance between two players."""
        return float(norm(self.own[n] - self.own[other]))

    # -- who does what -----------------------------------------------------------------------------------------------

    @cached_property
    def covers(self) -> list[int]:
        """Those nearest to the presser who are not beaten, two at most."""
        if self.presser is None:
            return []
        gone = beaten(self.p)[0]
        pool = [int(n) for n in self.outfield if n != self.presser and not gone[n]]
        return sorted(pool, key=lambda n: self.apart_m(n, self.presser))[:2]  # type: ignore[arg-type]

    @cached_property
    def d(self) -> Decisions:
        """The decisions of the plan as if everybody had been sent to where he stands."""
        d = Decisions(self.p)
        if self.presser is not None:
            d.presser = np.array([self.presser])
            d.end_xy = self.own[None, self.presser]
            d.role[0, self.presser], d.role[0, self.covers] = PRESSURE, COVER
        d.take_over, d.take_over_s = take_over(self.p, d)
        return d

    def sent(self, presser: int | None = None, late: bool = False) -> tuple[int | None, Floats]:
        """Who goes by the rulebook (or the player given), and where he ends; late, he holds the carrier up."""
        rules, p = self.rulebook, self.p
        d = self.d.but(presser=np.array([-1 if presser is None else presser]))
        if presser is None:
            d.presser = rules.choose_presser(p, d)
        d.timing = np.where(d.presser < 0, HOLD, LATE if late else IN_TIME)
        d.steer = rules.choose_steer(p, d)
        goes = int(d.presser[0])
        return None if goes < 0 else goes, rules.place_presser(p, d)[0]

    @cached_property
    def covered_ball(self) -> bool:
        """By the back line's measure: somebody there within a second, or the holder cannot play forward."""
        return bool(openness(self.p)[0] <= OPEN_BALL)

    @cached_property
    def lane_open(self) -> Bools:
        """(M,) nobody cuts out the ground pass; the presser only by his trusted shadow."""
        others = np.arange(len(self.own)) != self.presser
        return np.asarray(~self.p.cut_out[0][:, others].any(1) & ~in_shadow(self.p, self.d)[0])

    @cached_property
    def free(self) -> Bools:
        """(M,) those with an open lane, out of the presser's shadow, whom nobody reaches before the first touch."""
        return self.to_deny & self.lane_open & ~self.reached

    # -- since the picture before ------------------------------------------------------------------------------------

    @cached_property
    def own_way(self) -> Floats:
        """(N, 2) way of each player since the picture before."""
        return self._way("pressing", self.own, self.p.own_number)

    @cached_property
    def own_run(self) -> Floats:
        """(N, 2) m/s. A picture without velocities: what they are at least, by the way since the picture before."""
        return self._run(self.p.own_velocity[0], self.own_way)

    @cached_property
    def opp_run(self) -> Floats:
        """(M, 2) the same of the opponents."""
        return self._run(self.p.opp_velocity[0], self._way("possession", self.opp, self.p.opp_number))

    def _way(self, team: Team, now: Floats, number_of: Callable[[int, int], str]) -> Floats:
        was = {} if self.before is None else {q.number: q.xy for q in self.before.situation.players(team)}
        then = np.array([was.get(number_of(0, n), (np.nan, np.nan)) for n in range(len(now))])
        return now - then * (1.0, float(self.p.side[0]))

    def _run(self, velocity: Floats, way: Floats) -> Floats:
        """Who has run `way` has now at least his mean speed, less what full braking all the time takes off."""
        moving = np.nan_to_num(self.p.own_velocity).any() or np.nan_to_num(self.p.opp_velocity).any()
        if moving or self.before is None:
            return np.nan_to_num(velocity)
        mean_mps = norm(way) / self.seconds
        least_mps = np.maximum(mean_mps - self.p.settings.deceleration_mps2 * self.seconds / 2, 0.0)
        return np.nan_to_num(way / self.seconds * (least_mps / np.maximum(mean_mps, 1e-9))[:, None])

    @cached_property
    def closing_mps(self) -> Floats:
        """(N,) how fast each comes nearer to the ball at a carrier's feet, by his own run alone.

        A carrier who runs at somebody who stands is not dived at; one who is chased and not caught neither.
        """
        way = unit(self.ball - self.own)
        carrier = self.opp_run[int(self.p.carrier[0])]
        return np.minimum((self.own_run * way).sum(-1), ((self.own_run - carrier) * way).sum(-1))

    @cached_property
    def up_mps(self) -> Floats:
        """(N,) how fast each goes up, towards the other goal: by his way since the picture before, else by his run."""
        return np.nan_to_num(self.p.own_velocity[0, :, 0] if self.before is None else self.own_way[:, 0] / self.seconds)

    # -- words and changes -------------------------------------------------------------------------------------------

    def name(self, n: int) -> str:
        """Number of a player."""
        return str(self.p.own_number(0, n))

    def names(self, players: Iterable[int]) -> str:
        """Numbers of some players."""
        return listed(sorted(map(self.name, players), key=by_number))

    def foe(self, m: SupportsInt) -> str:
        """An opponent, as a coach calls him."""
        return f"their {self.p.opp_number(0, m)}"

    def onto(self, m: SupportsInt) -> Floats:
        """(2,) where one who takes an opponent stands."""
        return minding_places(self.p)[0, int(m)]

    def fixed(self, fix: Fix) -> Snapshot:
        """The picture once a change is made in it."""
        places = {self.name(n): as_xy(self.p.turned_back(self.p.pitch.inside(xy)[None])[0], "place")
                  for n, xy in fix.moves.items()}
        changed = replace(self.situation, pressing=tuple(
            replace(q, xy=places[q.number], velocity=(0.0, 0.0)) if q.number in places else q
            for q in self.situation.pressing))
        return Snapshot.of(changed, self.rulebook, self.trap, self.before, self.seconds)

