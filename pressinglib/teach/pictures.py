"""Pictures for exercises: players put elsewhere, a pass on its way; and fresh pictures near a given one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache, lru_cache
from math import dist
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, PressingError, as_known, as_whole
from pressinglib.field.formations import formation_slots, slot_numbers
from pressinglib.field.player import XY, Player
from pressinglib.field.scene_file import load_session
from pressinglib.field.situation import TEAMS, Situation
from pressinglib.field.zonal_block import lined_up_xy
from pressinglib.roles.plan import plan_press

Places = Mapping[str, XY]  # by number
SHAPES = ("4-2-3-1", "4-4-2", "4-3-3", "4-1-4-1", "3-4-3", "3-5-2", "5-3-2")
SHIFT_M = (5.0, 3.0)  # the whole picture, along and across (own choice)
STEP_M = 0.7  # everybody but the one on the ball, so much to either side (own choice)
SOME = 0.5  # so many of them step further, where pictures further off are looked for (own choice)
FURTHEST_SHIFT = 5.0  # times as far as usual, along the pitch (own choice)
FULL_TEAM = 11
WINGS = {"2": "3", "3": "2", "7": "11", "11": "7"}


@cache
def _drawn() -> dict[str, Situation]:
    return {one.title: one.situation for one in load_session(Path(__file__).with_name("lessons") / "scenes.json")}


def drawn(title: str) -> Situation:
    """The picture of a lesson that has this title in the session beside the lessons; UnknownName for another one."""
    return _drawn()[as_known(title, _drawn(), "picture of a lesson")]


def in_tenths(xy: XY | NDArray[np.float64]) -> XY:
    """A place as it is written."""
    return round(float(xy[0]), 1), round(float(xy[1]), 1)


def towards(start: XY, end: XY, metres: float) -> XY:
    """The place so many metres from one place on the way to another, and beyond it."""
    share = metres / dist(start, end)
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def placed(situation: Situation, ours: Places, theirs: Mapping[str, XY] = {}) -> Situation:
    """The picture with players of the pressing team, and of the other, somewhere else."""
    for team, places in zip(TEAMS, (ours, theirs), strict=True):
        for number, xy in places.items():
            situation = situation.moved(team, number, xy)
    return situation


def pass_on_its_way(situation: Situation, to: str, metres: float, speed_mps: float) -> Situation:
    """The pass from the carrier to a team-mate has come so many metres."""
    start, end = situation.ball_xy, situation.player("possession", to).xy
    way_x, way_y = towards((0.0, 0.0), (end[0] - start[0], end[1] - start[1]), 1.0)
    return replace(situation, ball_xy=in_tenths(towards(start, end, metres)), carrier=None, receiver=to,
                   ball_velocity=in_tenths((speed_mps * way_x, speed_mps * way_y)))


def other_side(situation: Situation) -> Situation:
    """Left and right swapped, the numbers of full-backs and wingers too: by custom 2 and 7 play on the right."""
    s = situation.mirrored()
    ours, theirs = (tuple(replace(p, number=WINGS.get(p.number, p.number)) for p in team)
                    for team in (s.pressing, s.possession))
    on_ball, to = (WINGS.get(number or "", number) for number in (s.carrier, s.receiver))
    return replace(s, pressing=ours, possession=theirs, carrier=on_ball, receiver=to)


once = lru_cache(maxsize=256)  # what one picture says is worked out once, however often it is asked about
plan_of = once(plan_press)


# -- Fresh pictures near a given one: mirrored, shifted, everybody a little elsewhere, the team in another formation.


def fresh_pictures(situation: Situation, seed: int, count: int, keep_formation: bool = True,
                   furthest: float = 1.0) -> Iterator[Situation]:
    """At most `count` pictures near one, to be tried in turn.

    With `keep_formation` the pressing team keeps its numbers, its side and, but for a step, its places. `furthest`
    above 1: the pictures get further and further off; in the last of them half of the players may be so many times as
    far from their places, and the whole picture up to five times as far along the pitch.
    """
    rng = np.random.default_rng(as_whole(seed, "seed"))
    for far in np.linspace(1.0, furthest, count):
        try:
            yield _picture(situation, rng, keep_formation, float(far))
        except PressingError:
            continue  # somebody has left the pitch


def _picture(situation: Situation, rng: np.random.Generator, keep_formation: bool, far: float) -> Situation:
    base = situation if keep_formation or rng.random() < 0.5 else other_side(situation)
    wide = abs(base.ball_xy[1]) > base.pitch.width_m / 2 - 8.0  # such a ball is bound to its touchline
    room = (0.0, 0.0) if base.restart else (1.0, 0.0 if wide else 1.0)
    shift = rng.uniform(-1.0, 1.0, 2) * SHIFT_M * np.array(room) * (min(far, FURTHEST_SHIFT), 1.0)
    moved = _shifted(base, shift, rng, far)
    return moved if keep_formation or len(moved.pressing) < FULL_TEAM or rng.random() < 0.5 else _lined_up(moved, rng)


def _shifted(situation: Situation, shift: np.ndarray, rng: np.random.Generator, far: float) -> Situation:
    """Everybody moved together, then each by a step of his own, some by a long one; who is on the ball goes with it."""
    corner = np.array(situation.pitch.corner_xy)

    def at(player: Player, own: bool) -> Player:
        along = np.clip(shift, np.negative(SHIFT_M), SHIFT_M) if player.is_goalkeeper else shift
        xy = player.xy + along
        if own or player.number not in (situation.on_ball, situation.receiver):
            reach_m = STEP_M * (far if far > 1.0 and rng.random() < SOME else 1.0)
            xy += rng.uniform(-reach_m, reach_m, 2)
        if far > 1.0 and not player.is_goalkeeper and (np.abs(xy) > corner).any():
            raise BadInput(f"{player.number} has left the pitch")
        return player.at(in_tenths(np.clip(xy, -corner, corner)))

    ball = in_tenths(np.asarray(situation.ball_xy) + shift)
    return replace(situation, pressing=tuple(at(p, True) for p in situation.pressing),
                   possession=tuple(at(p, False) for p in situation.possession), ball_xy=ball)


def _lined_up(situation: Situation, rng: np.random.Generator) -> Situation:
    """The pressing team in another formation, in its block for this ball, standing, each within a step of his place."""
    slots = formation_slots(SHAPES[int(rng.integers(len(SHAPES)))])
    places = lined_up_xy(slots, situation.ball_xy, situation.pitch)
    steps = rng.uniform(-2 * STEP_M, 2 * STEP_M, (len(slots), 2))
    team = [Player(number, slot, in_tenths(xy))
            for number, slot, xy in zip(slot_numbers(slots), slots, np.asarray(places) + steps, strict=True)]
    return replace(situation, pressing=tuple(team))
