"""The pictures from which games are played on: named scenes shaken, moments of an open match, and counter-attacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import Tracking
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import GOALKEEPER, LINE_OF_SLOT, WING_BACKS, Player
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from tests.judge.frames import defending_frames

Array = NDArray[np.float64]
Ints = NDArray[np.int_]
Bools = NDArray[np.bool_]
TEAM, PITCH, GOAL = 11, Pitch(), np.array([-52.5, 0.0])
SHAKEN_M = 2.0  # standard deviation of everybody's place about that of the scene
KINDS = ("scenes", "match", "counter-attacks")
ABSENT = -1


@dataclass(frozen=True, eq=False)
class Openings:
    """G pictures, 11 a side (NaN: absent), the side without the ball defending x = -52.5; metres, m/s."""

    own: Array  # (G, 11, 2)
    own_velocity: Array
    line: Ints  # (G, 11) lines of slots.py, -1 absent
    wing_back: Bools
    opp: Array
    opp_velocity: Array
    opp_keeper: Bools
    ball: Array  # (G, 2)
    ball_velocity: Array
    carrier: Ints  # (G,) -1 while the ball travels
    receiver: Ints  # (G,) -1 while it does not
    kind: Ints  # (G,) which of KINDS
    time_s: Array  # (G,) moment of the match; NaN for invented ones

    def __len__(self) -> int:
        return len(self.ball)

    @classmethod
    def of(cls, frames: Frames, kind: int) -> Openings:
        """The openings of some frames; match frames know their time."""
        line = np.array([LINE_OF_SLOT[s] for s in frames.pressing_slots])
        keeper = np.array([LINE_OF_SLOT[s] == GOALKEEPER for s in frames.possession_slots])
        wings = np.array([s in WING_BACKS for s in frames.pressing_slots])
        count = (len(frames), 1)
        here = np.isfinite(frames.pressing_xy[..., 0])
        off = np.hypot(*np.moveaxis(frames.possession_xy - frames.ball_xy[:, None], -1, 0))
        carrier = np.where(frames.carrier >= 0, frames.carrier, np.nan_to_num(off, nan=99.0).argmin(1))
        time = frames.time_s if KINDS[kind] == "match" else np.full(len(frames), np.nan)
        return cls(_filled(frames.pressing_xy, np.nan), _filled(frames.pressing_velocity, 0.0),
                   _filled(np.where(here, line, ABSENT), ABSENT), _filled(np.tile(wings, count), False),
                   _filled(frames.possession_xy, np.nan), _filled(frames.possession_velocity, 0.0),
                   _filled(np.tile(keeper, count), False), np.array(frames.ball_xy),
                   np.array(frames.ball_velocity), carrier, np.full(len(frames), ABSENT),
                   np.full(len(frames), kind), np.array(time))

    def take(self, index: Ints | Bools | slice) -> Openings:
        """Some of them."""
        return Openings(*(getattr(self, f.name)[index] for f in fields(self)))

    def mirrored(self) -> Openings:
        """Left and right changed."""
        def flip(xy: Array) -> Array:
            return xy * (1.0, -1.0)

        return Openings(flip(self.own), flip(self.own_velocity), self.line, self.wing_back, flip(self.opp),
                        flip(self.opp_velocity), self.opp_keeper, flip(self.ball), flip(self.ball_velocity),
                        self.carrier, self.receiver, self.kind, self.time_s)


def _filled(values: NDArray, fill: float) -> NDArray:
    """(G, 11, ...) with places for those who are not there."""
    more = [(0, 0), (0, TEAM - values.shape[1])] + [(0, 0)] * (values.ndim - 2)
    return np.pad(values, more, constant_values=fill)


def joined(many: Sequence[Openings]) -> Openings:
    """All of them, one after another."""
    return Openings(*(np.concatenate([getattr(o, f.name) for o in many]) for f in fields(Openings)))


def openings(tracking: Tracking, each_scene: int = 7, of_match: int = 112, each_counter: int = 1,
             seed: int = 1) -> Openings:
    """Scenes in open play, moments of the match and counter-attacks, so many of each; all shaken but the match."""
    random = np.random.default_rng(seed)
    named = [scene(name) for name in scene_names() if scene(name).state == "open play"]
    invented = [shaken(Openings.of(Frames.of([s] * each_scene), 0), random) for s in named]
    played = [Openings.of(frames, 1) for frames in defending_frames(of_match, tracking)]
    counters = [shaken(Openings.of(Frames.of([s] * each_counter), 2), random, 1.0) for s in counter_attacks()]
    return joined([*invented, *played, *counters])


def shaken(o: Openings, random: np.random.Generator, by_m: float = SHAKEN_M) -> Openings:
    """Everybody a little elsewhere, inside the lines; the ball stays with its carrier."""
    own, opp = (PITCH.inside(xy + random.normal(0, by_m, xy.shape)) for xy in (o.own, o.opp))
    rows = np.arange(len(o))
    opp[rows, o.carrier] = o.opp[rows, o.carrier]
    changed = {**{f.name: getattr(o, f.name) for f in fields(o)}, "own": own, "opp": opp}
    return Openings(**changed)


# -- counter-attacks ---------------------------------------------------------------------------------------------------

NUMBERS = ((2, 1), (2, 2), (3, 2), (4, 3))  # attackers, defenders goal-side of the ball
WAYS_M = {"left": 22.0, "middle": 0.0, "right": -22.0}  # y of the ball, as the defending team sees it
AWAY_M = (15.0, 30.0, 45.0)  # from our goal line


def counter_attacks() -> Iterator[Situation]:
    """The family: every number of men, way and distance."""
    for attackers, defenders in NUMBERS:
        for way in WAYS_M:
            for away in AWAY_M:
                yield counter_attack(attackers, defenders, way, away)


def counter_attack(attackers: int, defenders: int, way: str, away_m: float) -> Situation:
    """A carrier runs at our last men, team-mates beside him; all the others of both sides chase from behind.

    Who is goal-side: centre-back 5, then 4, then the full-back on the ball's side. Shapes of our own, common practice.
    """
    x, y, pace = -52.5 + away_m, WAYS_M[way], 6.0
    left = y >= 0
    last = ["5", "4", "3" if left else "2"][:defenders]
    depth = min(9.0, 0.5 * away_m)
    across = np.linspace(-7, 7, defenders) if defenders > 1 else np.zeros(1)
    # Between ball and goal, spread about the line to the goal, the one on the ball's side nearest to it.
    places = {n: (x - depth, 0.6 * y + float(a)) for n, a in zip(_by_side(last), across, strict=True)}
    behind = [n for n in ("2", "3", "4", "5", "6", "8", "7", "11", "10", "9") if n not in last]
    for k, n in enumerate(behind):
        side = {"2": -22, "7": -18, "3": 22, "11": 18, "9": -4, "10": 6, "6": 7, "8": -7, "4": 5, "5": -5}[n]
        places[n] = (x + 5.0 + 3.0 * k, float(np.clip(side + 0.2 * y, -31, 31)))
    runs = {n: (-2.0, 0.0) if n in last else (-5.0, 0.0) for n in places}
    ours = [Player("1", "goalkeeper", (-52.5 + min(6.0, 0.3 * away_m), 0.15 * y))]
    ours += [Player(n, _SLOTS[n], xy, runs[n]) for n, xy in sorted(places.items(), key=lambda item: int(item[0]))]
    return Situation(PITCH, tuple(ours), _attackers(attackers, x, y, depth, pace), (x - 0.7, y), carrier="10",
                     ball_velocity=(-pace, 0.0))


def _by_side(last: list[str]) -> list[str]:
    """From our right to our left."""
    return sorted(last, key=lambda n: {"2": 0, "5": 1, "4": 2, "3": 3}[n])


_SLOTS = {"2": "right back", "5": "right centre-back", "4": "left centre-back", "3": "left back",
          "6": "left holding midfielder", "8": "right holding midfielder", "7": "right attacking midfielder",
          "11": "left attacking midfielder", "10": "attacking midfielder", "9": "centre-forward"}


def _attackers(count: int, x: float, y: float, depth: float, pace: float) -> tuple[Player, ...]:
    """Their 10 has the ball; 9, 11 and 7 run with him, on the side where there is room first; the rest follow."""
    inside = -1.0 if y >= 0 else 1.0
    other = y - inside * 11.0 if abs(y) < 5 else y + inside * 27
    beside = [(x - 0.5 * depth, y + inside * 13.0), (x - 0.2 * depth, other), (x + 3.0, y + inside * 6.0)]
    with_him = dict(zip(("9", "11", "7"), beside[: count - 1], strict=False))
    players = [Player("1", "goalkeeper", (40.0, 0.0)), Player("10", "attacking midfielder", (x, y), (-pace, 0.0))]
    rest = {"9": (x + 12, y * 0.5), "11": (x + 14, 18.0), "7": (x + 13, -18.0), "8": (x + 10, 4.0), "6": (x + 17, -3.0),
            "3": (x + 22, -24.0), "2": (x + 22, 24.0), "5": (x + 28, 8.0), "4": (x + 28, -8.0)}
    slots = {"9": "centre-forward", "11": "left winger", "7": "right winger", "8": "right holding midfielder",
             "6": "left holding midfielder", "3": "left back", "2": "right back", "5": "right centre-back",
             "4": "left centre-back"}
    for n, xy in rest.items():
        xy = with_him.get(n, xy)
        players.append(Player(n, slots[n], (float(xy[0]), float(np.clip(xy[1], -32, 32))),
                              (-pace if n in with_him else -3.0, 0.0)))
    return tuple(players)
