"""The team in possession: the carrier, the receiver, runs, and those who seek an open lane."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from pressinglib.physics.lanes import lane_margins
from pressinglib.physics.motion import arrival_time
from pressinglib.physics.offside import offside_line_x
from pressinglib.play.contest import chaser
from pressinglib.play.duel import DUEL_M, in_the_way
from pressinglib.play.moment import Moment
from pressinglib.play.script import Script
from pressinglib.roles.picture import Bools, Floats, norm, unit
from pressinglib.roles.settings import Settings

SEEK_M = 4.0  # how far to a side they look for an open lane (D)
SEEK_WITHIN_M = 32.0  # of the ball
SHAPE_M = 8.0  # ... and no further than this from where their last task has left them: they keep their shape (D)
SEEK_GAIN_S = 0.3  # a lane this much more open is worth the way (D)
SEEK_MPS = 4.5
ROOM_M = 6.0  # they keep this far from their own (D)
DIRECTIONS = 8
SEES_S = 0.5  # ... and counts with where that one will be after this time (D)
SHIELD_M = 1.3  # a carrier keeps the ball this far from whoever is in his way (D: just out of his reach)


class Aims(NamedTuple):
    """(K, 2) where players head, (K,) how far they have to go, and how fast they want to run."""

    xy: Floats
    left_m: Floats
    pace_mps: Floats


def attackers_aims(now: Moment, script: Script, sought_xy: Floats, shape_xy: Floats, s: Settings) -> Aims:
    """Where everybody of theirs heads: who is not told to do anything stays, or goes where he sought a lane.

    `sought_xy` and `shape_xy` (M, 2) follow those who have a task, so that they stay where it has taken them.
    """
    busy = [now.carrier] if now.carrier >= 0 else []
    xy, pace = sought_xy.copy(), np.full(len(now.opp), SEEK_MPS)
    for k, runner in script.of_team("possession").items():
        xy[k], pace[k] = runner.places[0], runner.speed_mps
        busy.append(k)
    if now.travel is not None:
        him, meet = chaser(now, s)
        xy[him], pace[him] = _to_the_ball(now, him, meet.at_s[him], meet.xy[him], s), np.inf
        busy.append(him)
    left = norm(xy - now.opp)
    if now.carrier >= 0:
        xy[now.carrier], left[now.carrier], pace[now.carrier] = _carriers_aim(now)
    sought_xy[busy] = shape_xy[busy] = now.opp[busy]
    return Aims(xy, left, pace)


def _to_the_ball(now: Moment, him: int, at_s: float, place: Floats, s: Settings) -> Floats:
    """The aim of the pass if he gets there in time, else where he first meets the ball, else after it."""
    travel = now.travel
    assert travel is not None
    left_s = travel.begun_s + travel.travel_s - now.time_s
    if travel.kind != "loose" and left_s > 0:
        run = arrival_time(now.opp[him], now.opp_velocity[him], travel.aim, s.alpha_per_s, s.top_speed_mps)
        if run <= left_s:
            return travel.aim
    return place if np.isfinite(at_s) else now.ball


def _carriers_aim(now: Moment) -> tuple[Floats, float, float]:
    """Where he dribbles: he stops before whoever is in his way; with the ball just received, or no order, he stands."""
    him = now.opp[now.carrier]
    if now.dribble_xy is None or not now.under_control:
        return him, 0.0, 0.0
    coming = np.maximum((now.own_velocity * unit(now.ball - now.own)).sum(-1), 0.0) * SEES_S
    ahead = np.where(in_the_way(now) & now.outfield, now.ball_m - SHIELD_M - coming, np.inf)
    left = min(float(norm(now.dribble_xy - him)), max(float(ahead.min()), 0.0))
    return now.dribble_xy, left, now.dribble_mps


def seek_lanes(now: Moment, shape_xy: Floats, s: Settings) -> Floats:
    """(M, 2) within 4 m of where he is, the place with the most open lane, if it is clearly more open.

    A simple rule of our own (grade D): nobody offside, nobody nearer than 6 m to his own or than 4 m to the ball, nor
    further than 8 m from his place in the shape (M, 2); the goalkeeper and those further than 32 m from the ball stay.
    """
    angles = np.arange(DIRECTIONS) * 2 * np.pi / DIRECTIONS
    ring = SEEK_M * np.stack([np.cos(angles), np.sin(angles) * now.side], axis=-1)
    tries = now.pitch.inside(now.opp[:, None] + np.concatenate([np.zeros((1, 2)), ring]), 1.0)
    open_s = lane_margins(_origin(now), tries.reshape(-1, 2), now.own, now.own_velocity, s.reach_m, s.reaction_s,
                          s.ball_mps).min(-1).reshape(tries.shape[:2])
    open_s = np.where(_allowed(now, tries, shape_xy), open_s, -np.inf)
    best, far = open_s.argmax(1), norm(now.opp - now.ball) > SEEK_WITHIN_M
    better = open_s.max(1) > open_s[:, 0] + SEEK_GAIN_S
    moves = better & ~far & ~now.their_keeper
    return np.where(moves[:, None], tries[np.arange(len(tries)), best], now.opp)


def _allowed(now: Moment, tries: Floats, shape_xy: Floats) -> Bools:
    """(M, K) onside, in the shape, not on top of the ball or of his own; staying always is."""
    line = float(offside_line_x(now.own[:, 0], now.ball[0], -now.pitch.length_m / 2))
    apart = norm(tries[:, :, None] - now.opp)
    apart = np.where(np.eye(len(tries), dtype=bool)[:, None], np.inf, apart).min(-1)
    allowed = (tries[..., 0] >= line) & (apart >= ROOM_M) & (norm(tries - _origin(now)) >= 2 * DUEL_M)
    allowed &= norm(tries - shape_xy[:, None]) <= SHAPE_M
    allowed[:, 0] = True
    return np.asarray(allowed)


def _origin(now: Moment) -> Floats:
    """Where the next pass starts."""
    return now.opp[now.receiver] if now.receiver >= 0 else now.ball
