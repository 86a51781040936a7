"""Duties by rule, spots by computation: each player settles near his anchor where the danger is least.

Spots do not collide, and runs that cross are swapped for shorter ones.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from pressinglib.field.pitch import Pitch
from pressinglib.physics.ball import ball_time
from pressinglib.roles import settings as v
from pressinglib.roles.approach import kept_out
from pressinglib.roles.cover import cover_distance_m
from pressinglib.roles.danger import Stakes, Threats, danger_of, stakes, threats
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned

APART_M, AT_BALL_M = 2.5, 2.0  # between two spots; between two at the ball
A_LITTLE_M = 0.02  # more, so that rounding does not matter
RINGS_M = np.array([0.0, 0.7, 1.4, 2.1, 3.0, 4.2, 6.0, 9.0, 13.0])
PUSH_DIRECTIONS = 12
SWAPS = 6
WORTH_A_SWAP_M = 1.0  # less is not worth changing places for (D)
# Whose spot stands and whose gives way: presser, covers, balance, back line, goalkeeper.
ORDER_OF_ROLE = np.array([0, 2, 3, 1, 4])


def around_m(directions: int) -> Floats:
    """(directions, 2) points 1 m around a place, the first towards the own goal."""
    angles = np.arange(directions) * 2 * np.pi / directions
    return turned(np.broadcast_to(np.array([-1.0, 0.0]), (directions, 2)), angles)


def spread(p: Picture, spot: Floats, role: Ints) -> Floats:
    """Spots (F, N, 2) moved as little as possible until all are 2.5 m apart, 2 m at the ball, and on the pitch."""
    spot = p.pitch.inside(np.where(p.own_here[..., None], spot, np.nan))
    crowded = too_near(spot, p.focus).any((1, 2))
    if crowded.any():
        spot = spot.copy()
        spot[crowded] = _placed_in_turn(p.pitch, p.focus[crowded], spot[crowded], role[crowded])
    return spot


def too_near(spot: Floats, focus: Floats) -> Bools:
    """(F, N, N) pairs of different players whose spots are less than 2.5 m apart, at the ball 2 m."""
    near = _room_m(focus, spot, spot) < 0
    return np.asarray(near & ~np.eye(spot.shape[1], dtype=bool))


def _room_m(focus: Floats, some: Floats, others: Floats) -> Floats:
    """(F, n, m) how much further apart than they must be are places (F, n, 2) and (F, m, 2); inf for who is not there.
    """
    at_ball = [norm(xy - focus[:, None]) <= APART_M for xy in (some, others)]
    least = np.where(at_ball[0][:, :, None] & at_ball[1][:, None], AT_BALL_M, APART_M)
    return np.nan_to_num(norm(some[:, :, None] - others[:, None]) - least, nan=np.inf)


def _placed_in_turn(pitch: Pitch, focus: Floats, spot: Floats, role: Ints) -> Floats:
    """Each player, the most important first, takes the place nearest to his spot that is still free."""
    frames, players = spot.shape[:2]
    order = np.argsort(ORDER_OF_ROLE[role], axis=1, kind="stable")
    offsets = (RINGS_M[:, None, None] * around_m(PUSH_DIRECTIONS)).reshape(-1, 2)
    out, rows = np.full_like(spot, np.nan), np.arange(frames)
    for k in range(players):
        who = order[:, k]
        tries = pitch.inside(spot[rows, who][:, None] + offsets)
        room = _room_m(focus, tries, out).min(-1)
        moved = norm(tries - spot[rows, who][:, None])
        cost = np.where(room >= A_LITTLE_M, moved, 1e3 - room)
        out[rows, who] = tries[rows, np.nan_to_num(cost, nan=0.0).argmin(1)]
    return out


def swapped(p: Picture, d: Decisions) -> None:
    """Two covers or balance players swap men where both together run less, and neither further than either before.

    Runs that cross always get shorter by a swap, so none are left but where somebody would run too far.
    """
    for _ in range(SWAPS):
        a, b, frames = _best_swap(p, d)
        if not len(frames):
            return
        for array in (d.role, d.duty, d.mark, d.anchor):
            array[frames, a], array[frames, b] = array[frames, b].copy(), array[frames, a].copy()


def _best_swap(p: Picture, d: Decisions) -> tuple[Ints, Ints, Ints]:
    """One pair a frame: indices a, b and the frames in which a swap is worth it."""
    movable = ((d.role == v.COVER) | (d.role == v.BALANCE)) & ~p.back & (d.mark >= 0)
    pair = movable[:, :, None] & movable[:, None] & np.triu(np.ones((p.line.shape[1],) * 2, bool), 1)
    run, cross = norm(p.own - d.anchor), norm(p.own[:, :, None] - d.anchor[:, None])
    saved = run[:, :, None] + run[:, None] - cross - cross.swapaxes(1, 2)
    longest = np.maximum(cross, cross.swapaxes(1, 2)) - np.maximum(run[:, :, None], run[:, None])
    saved = np.where(pair & (longest <= 0.0), saved, 0.0)
    best = saved.reshape(len(saved), -1)
    frames = np.flatnonzero(best.max(1, initial=0.0) > WORTH_A_SWAP_M)
    a, b = np.unravel_index(best[frames].argmax(1), saved.shape[1:])
    return a, b, frames


# -- Settling.

RINGS = np.array([1 / 3, 2 / 3, 1.0])
DIRECTIONS = 8
ROUNDS = 14
GOAL_SIDE_M = 0.5
SETTLE_ROOM_M = 3.0  # nobody settles nearer than this to a team-mate (D)
GUARD_BAND_M = 1.5  # how much nearer or further than the cover distance a guard settles (D)
CLEAR_M = 5.0  # who keeps the block leaves the ball to presser and covers (D)


class Search(NamedTuple):
    """What the search reads, a row a frame: places (F, N, K, 2), and what a player at each of them does."""

    stake: Stakes
    threats: Threats
    tries: Floats
    allowed: Bools
    near: Bools  # (F, N, K, N) places too near to where the others are now

    def of(self, frames: Bools) -> Search:
        """Some of the frames."""
        if frames.all():
            return self
        stake = Stakes(self.stake.receiver[frames], self.stake.long[frames], self.stake.ball[frames])
        threats = Threats(*(a[frames] for a in self.threats))
        return Search(stake, threats, self.tries[frames], self.allowed[frames], self.near[frames])

    def move(self, who: Ints, place: Ints) -> None:
        """One player of each frame (F,) goes to one of his places."""
        rows = np.arange(len(who))
        spot = self.tries[rows, who, place]
        self.near[rows, :, :, who] = norm(self.tries - spot[:, None, None]) < SETTLE_ROOM_M
        self.near[rows, who, :, who] = False


def after_running(p: Picture, target: Floats) -> Floats:
    """(F, N, K, 2) where players are after 2 s of running for their targets (F, N, K, 2), 0.3 s reaction."""
    s = p.settings
    return s.running.reached_xy(p.own[:, :, None], p.own_velocity[:, :, None], target, s.run_time_s, s.reaction_s)


@frame_rule
def settle_spots(p: Picture, d: Decisions) -> Floats:
    """(F, N, 2) spots near the anchors in `d.spot`.

    Each round makes the one move, over all players and places, that lowers danger most, if it does so by 2 %; the duty
    must hold at the new place. So the answer does not depend on the order of players, and ties keep the anchor.
    """
    if not p.settings.settle_m and not p.settings.settle_line_m:
        return d.spot
    tries = _tries(p, d)
    return searched(p, tries, _allowed(p, d, tries))


def searched(p: Picture, tries: Floats, allowed: Bools) -> Floats:
    """(F, N, 2) the best of each player's places (F, N, K, 2), from the first of them on, one move at a time."""
    there = after_running(p, tries)
    frames, players, places = tries.shape[:3]
    t = threats(p, there.reshape(frames, players * places, 2))
    t = Threats(*(a.reshape(frames, players, places, *a.shape[2:]) for a in t))
    at = _best_moves(Search(stakes(p), t, tries, allowed, _near(tries, tries[:, :, 0])), p.settings.settle_gain)
    return tries[np.arange(frames)[:, None], np.arange(players), at]


def _tries(p: Picture, d: Decisions) -> Floats:
    """(F, N, K, 2) the anchor, rings around it, and staying put."""
    s = p.settings
    radius = np.array([0.0, s.settle_m, s.settle_m, s.settle_line_m, 0.0])[d.role]
    ring = around_m(DIRECTIONS)
    offsets = np.concatenate([np.zeros((1, 2)), (RINGS[:, None, None] * ring).reshape(-1, 2)])
    around = d.spot[:, :, None] + radius[..., None, None] * offsets
    stay = np.where((norm(p.own - d.spot) <= radius)[..., None], p.own, d.spot)
    tries = np.concatenate([around, stay[:, :, None]], axis=2)
    return kept_out(p, np.concatenate([tries[:, :, :1], p.pitch.inside(tries[:, :, 1:], 0.5)], axis=2))


def _allowed(p: Picture, d: Decisions, tries: Floats) -> Bools:
    """(F, N, K) places at which the duty still holds; the anchor (first) always may stay."""
    man = np.take_along_axis(p.opp, np.maximum(d.mark, 0)[..., None], 1)[:, :, None]
    has, duty = (d.mark >= 0)[..., None], d.duty[..., None]
    goal_side = norm(tries - p.goal) <= norm(man - p.goal) - GOAL_SIDE_M
    s = p.settings  # no first touch: a denied man does not get the ball
    pass_s = ball_time(norm(man - p.origin[:, None, None]), s.ball_mps)
    denied = s.running.rest_time(norm(tries - man) - s.reach_m, s.reaction_s) <= pass_s
    far = norm(tries - man) <= d.far_side_limit_m[:, None, None]
    holds = np.where(duty == v.GUARD_FAR_SIDE, far & goal_side, np.where(duty == v.DROP_ONTO, goal_side, denied))
    bound = has & np.isin(duty, v.ON_A_MAN)
    allowed = ~bound | holds
    in_block = ((d.duty == v.KEEP_BLOCK) | (d.duty == v.RECOVER)) & (d.presser >= 0)[:, None]
    allowed &= ~in_block[..., None] | (norm(tries - p.focus[:, None, None]) >= CLEAR_M)
    off_m = np.abs(norm(tries - d.end_xy[:, None, None]) - cover_distance_m(p)[:, None, None])
    allowed &= ~np.isin(duty, v.GUARDS) | (off_m <= GUARD_BAND_M)
    allowed &= np.where((d.role == v.BACK_LINE)[..., None], _in_line(p, d, tries), True)
    allowed &= ~p.is_state(v.LOOSE, v.WON)[:, None, None]
    allowed[:, :, 0] = True
    return np.asarray(allowed)


def _in_line(p: Picture, d: Decisions, tries: Floats) -> Bools:
    """(F, N, K) within the line's spread of its mean height, so that no two are further apart than it allows."""
    line = d.role == v.BACK_LINE
    height = np.where(line, d.spot[..., 0], 0.0).sum(1) / np.maximum(line.sum(1), 1)
    return np.asarray(np.abs(tries[..., 0] - height[:, None, None]) <= p.settings.line_spread_m / 2)


def _best_moves(search: Search, gain: float) -> Ints:
    """(F, N) the place of each player: greedy search over single moves, all frames together that still get better."""
    at, rows = np.zeros(search.allowed.shape[:2], int), np.arange(len(search.allowed))
    for _ in range(ROUNDS):
        better, who, place = _best_move(search, at[rows], gain)
        if not better.any():
            break
        rows, search, who, place = rows[better], search.of(better), who[better], place[better]
        at[rows, who] = place
        search.move(who, place)
    return at


def _best_move(search: Search, at: Ints, gain: float) -> tuple[Bools, Ints, Ints]:
    """Frames in which one more move is worth it, who makes it, and to which of his places."""
    rows, everyone = np.arange(len(at)), np.arange(at.shape[1])
    now = Threats(*(a[rows[:, None], everyone, at] for a in search.threats))
    value = danger_of(search.stake, *(_without_each(a, b) for a, b in zip(now, search.threats, strict=True)))
    value = np.where(search.allowed & ~search.near.any(-1), value, np.inf)
    before = danger_of(search.stake, *(a.min(1) for a in now))
    best = value.reshape(len(at), -1).argmin(1)
    better = value.reshape(len(at), -1)[rows, best] <= before * (1 - gain)
    who, place = np.unravel_index(best, value.shape[1:])
    return better, who, place


def _without_each(now: Floats, tries: Floats) -> Floats:
    """Least value over the team if player n goes to place k: now (F, N, ...), tries and result (F, N, K, ...)."""
    two = np.partition(now, min(1, now.shape[1] - 1), axis=1)
    first, second = two[:, :1], two[:, min(1, now.shape[1] - 1)][:, None]
    others = np.where(now <= first, second, first) if now.shape[1] > 1 else np.full_like(now, np.inf)
    return np.minimum(others[:, :, None], tries)


def _near(tries: Floats, spot: Floats) -> Bools:
    """(F, N, K, N) places nearer than 3 m to the spots (F, N, 2) of others."""
    with np.errstate(invalid="ignore"):
        near = norm(tries[:, :, :, None] - spot[:, None, None]) < SETTLE_ROOM_M
    return np.asarray(near & ~np.eye(spot.shape[1], dtype=bool)[:, None])
