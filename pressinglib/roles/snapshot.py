"""A picture as it stands: who is on the ball, who covers him, which opponents are free; and what was a moment before.

The questions are those of the plan, asked with everybody at the place where he is: a standing presser, standing covers.
So a picture in which the plan has been carried out is judged by the plan's own measures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple, SupportsInt

import numpy as np

from pressinglib.errors import as_xy
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation, Team
from pressinglib.physics.lanes import bearing_rad
from pressinglib.roles.back_line import faces_away, openness
from pressinglib.roles.balance import beaten, minding_places
from pressinglib.roles.decisions import BEHIND_BALL_M, CUT_BACK_M, Decisions, in_shadow, undecided
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, picture_of, unit
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
    pass starts; way_s (1, N, 3) is the time of each player to each way of the carrier out; `trap` is the number of the
    opponent who is left free on purpose.
    """

    def __init__(self, situation: Situation, rulebook: Rulebook, p: Picture, way_s: Floats, trap: str | None = None,
                 before: Snapshot | None = None, seconds: float = 1.0) -> None:
        self.situation, self.rulebook, self.p, self.way_s = situation, rulebook, p, way_s
        self.trap, self.before, self.seconds = trap, before, seconds
        self.own, self.opp, self.ball, self.line = p.own[0], p.opp[0], p.origin[0], p.line[0]
        self.to_goal, self.goal_m = p.goal_way[0], float(p.ball_goal_m[0])
        self.outfield: Ints = np.flatnonzero(p.outfield[0])
        self.in_play = bool(p.state[0] == OPEN_PLAY)  # an opponent has the ball, or it travels to him
        self.at_feet = self.in_play and bool(p.carrier[0] >= 0)

    @classmethod
    def of(cls, situation: Situation, rulebook: Rulebook, trap: str | None = None, before: Snapshot | None = None,
           seconds: float = 1.0) -> Snapshot:
        """The picture read without lead time: the ball is where it is."""
        rules = as_it_lies(rulebook)
        picture = picture_of(Frames.of([situation]), rules.settings)
        return cls(situation, rules, picture, way_times(picture), trap, before, seconds)

    @classmethod
    def each(cls, frames: Frames, rulebook: Rulebook) -> Iterator[Snapshot]:
        """The same of every frame, measured together."""
        rules = as_it_lies(rulebook)
        together = picture_of(frames, rules.settings)
        way_s = way_times(together)
        for f in range(len(frames)):
            yield cls(frames.situation(f), rules, together.one(f), way_s[f:f + 1])

    # -- places ------------------------------------------------------------------------------------------------------

    @cached_property
    def ball_m(self) -> Floats:
        """(N,) distance of each player to the ball; the goalkeeper's counts for nothing."""
        return np.where(self.p.outfield[0], norm(self.own - self.ball), np.inf)

    def bearing_deg(self, xy: Floats) -> Floats:
        """(...,) how far places (..., 2) bear off the line from the ball to the goal, degrees, towards -y positive."""
        return np.degrees(bearing_rad(self.to_goal, xy - self.ball))

    def apart_m(self, n: int, other: int) -> float:
        """Distance between two players."""
        return float(norm(self.own[n] - self.own[other]))

    # -- who does what -----------------------------------------------------------------------------------------------

    @cached_property
    def presser(self) -> int | None:
        """Who is on the ball: the nearest outfield player, goal-side of it or beside it and within 4 m."""
        near = np.where(self.p.own_goal_m[0] < self.p.ball_goal_m[0] + LEVEL_M, self.ball_m, np.inf)
        first = int(near.argmin())
        return first if self.at_feet and near[first] <= ENGAGED_M else None

    @cached_property
    def covers(self) -> tuple[int, ...]:
        """Those nearest to the presser who are not beaten, two at most."""
        presser = self.presser
        if presser is None:
            return ()
        pool = [int(n) for n in self.outfield if n != presser and not beaten(self.p)[0, n]]
        pool.sort(key=lambda n: self.apart_m(n, presser))
        return tuple(pool[:2])

    @cached_property
    def d(self) -> Decisions:
        """The decisions of the plan as if everybody had been sent to where he stands."""
        d = undecided(self.p)
        d.way_s = self.way_s
        if self.presser is not None:
            d.presser = np.array([self.presser])
            d.end_xy = self.own[None, self.presser]
            d.role[0, self.presser] = PRESSURE
            d.role[0, list(self.covers)] = COVER
        d.take_over, d.take_over_s = take_over(self.p, d)
        return d

    def sent(self, presser: int | None = None, late: bool = False) -> tuple[int | None, Floats]:
        """Who goes by the rulebook (or the player given), and where he ends; late, he holds the carrier up."""
        rules, p = self.rulebook, self.p
        d = replace(self.d, presser=np.array([-1 if presser is None else presser]))
        if presser is None:
            d.presser = rules.choose_presser(p, d)
        d.timing = np.where(d.presser < 0, HOLD, LATE if late else IN_TIME)
        d.steer = rules.choose_steer(p, d)
        goes = int(d.presser[0])
        return None if goes < 0 else goes, rules.place_presser(p, d)[0]

    # -- the ball ----------------------------------------------------------------------------------------------------

    @cached_property
    def covered_ball(self) -> bool:
        """By the back line's measure: somebody there within a second, or the holder cannot play forward."""
        return bool(openness(self.p)[0] <= OPEN_BALL)

    @cached_property
    def faces_away(self) -> bool:
        """The holder's body is turned from our goal; unknown counts as facing it."""
        return bool(faces_away(self.p)[0])

    # -- opponents, (M,) ---------------------------------------------------------------------------------------------

    @cached_property
    def counted(self) -> Bools:
        """Those who may be passed to: not the holder, not offside, not their goalkeeper."""
        p = self.p
        return np.asarray(p.opp_here & ~p.is_holder & ~p.offside & ~p.opp_keeper)[0]

    @cached_property
    def to_deny(self) -> Bools:
        """Those of them who are to be denied: all but the man in the trap."""
        return self.counted & ~np.array([self.is_bait(m) for m in range(len(self.opp))], bool)

    def is_bait(self, m: int) -> bool:
        """Whether he is the opponent who is left free on purpose."""
        return self.trap is not None and bool(self.p.opp_here[0, m]) and self.p.opp_number(0, m) == self.trap

    @cached_property
    def near(self) -> Bools:
        """Those to deny in the short radius."""
        return np.asarray(self.to_deny & (self.pass_m <= self.rulebook.settings.short_pass_m))

    @cached_property
    def short(self) -> Bools:
        """Those of them who are not far behind the ball."""
        goal_m = self.p.opp_goal_m[0]
        return np.asarray(self.near & ((goal_m <= self.goal_m + BEHIND_BALL_M) | (goal_m <= CUT_BACK_M)))

    @cached_property
    def pass_m(self) -> Floats:
        """Length of the pass to each."""
        return norm(self.opp - self.ball)

    @cached_property
    def to_opp_s(self) -> Floats:
        """(N, M) time of each outfield player to each; inf for the goalkeeper."""
        return np.where(self.p.outfield[0][:, None], self.p.marking_s[0], np.inf)

    @cached_property
    def denies(self) -> Bools:
        """(N, M) who is at which opponent before a pass is."""
        return np.asarray((self.to_opp_s <= self.p.pass_s[0]) & self.counted)

    @cached_property
    def reached(self) -> Bools:
        """Those whom somebody reaches no later than their first touch."""
        return np.asarray((self.to_opp_s <= self.p.pass_s[0] + self.p.settings.control_time_s).any(0))

    @cached_property
    def free(self) -> Bools:
        """Those with an open lane, out of the presser's shadow, whom nobody reaches before the first touch."""
        return np.asarray(self.to_deny & self.lane_open & ~self.reached)

    @cached_property
    def lane_open(self) -> Bools:
        """Nobody cuts out the ground pass; the presser only by his trusted shadow."""
        others = np.arange(len(self.own)) != self.presser
        return np.asarray(~self.p.cut_out[0][:, others].any(1) & ~in_shadow(self.p, self.d)[0])

    # -- since the picture before ------------------------------------------------------------------------------------

    def _then(self, team: Team, numbers: Iterable[str]) -> Floats:
        """(n, 2) places in the picture before."""
        was = {} if self.before is None else {q.number: q.xy for q in self.before.situation.players(team)}
        return np.array([was.get(number, (np.nan, np.nan)) for number in numbers]) * (1.0, float(self.p.side[0]))

    @cached_property
    def own_way(self) -> Floats:
        """(N, 2) way of each player since the picture before."""
        return self.own - self._then("pressing", map(self.name, range(len(self.own))))

    @cached_property
    def own_run(self) -> Floats:
        """(N, 2) m/s. A picture without velocities: what they are at least, by the way since the picture before."""
        return self._run(self.p.own_velocity[0], self.own_way)

    @cached_property
    def opp_run(self) -> Floats:
        """(M, 2) the same of the opponents."""
        numbers = (self.p.opp_number(0, m) for m in range(len(self.opp)))
        return self._run(self.p.opp_velocity[0], self.opp - self._then("possession", numbers))

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
        return self.p.own_number(0, int(n))

    def names(self, players: Iterable[int]) -> str:
        """Numbers of some players."""
        return listed(sorted(map(self.name, players), key=by_number))

    def foe(self, m: SupportsInt) -> str:
        """An opponent, as a coach calls him."""
        return f"their {self.p.opp_number(0, int(m))}"

    @property
    def carrier(self) -> str:
        """Number of the opponent with the ball at his feet."""
        return self.p.opp_number(0, int(self.p.carrier[0]))

    def side(self, sign: float) -> str:
        """The word for a side of the picture `p`, as the pressing team sees it."""
        return "left" if sign * self.p.side[0] > 0 else "right"

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


def as_it_lies(rulebook: Rulebook) -> Rulebook:
    """The rules without lead time."""
    return replace(rulebook, settings=replace(rulebook.settings, lead_time_s=0.0))
