"""The attackers of a game that is played on: how able they are, what a carrier chooses, where the others go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.judge.openings import GOAL, PITCH, TEAM, Array, Bools, Ints

if TYPE_CHECKING:
    from tests.judge.playout import Play

CARRIERS = ("sees everything", "patient", "direct", "blind")
SEES, PATIENT, DIRECT, BLIND = range(4)
HELD, ROLLS, FLIES, LOOSE = range(4)
STEP_S, ACCELERATES, BRAKES, TURNS, TOP_MPS = 0.1, 5.0, 5.0, 6.0, 7.5  # s, m/s2 and m/s
ROLL_OUT = 1.2  # m/s2 that a rolling ball loses
FLIGHT_MPS, LIFT_S, HANGS_S = 18.0, 0.4, 0.8
REACH_M, LOSS = 0.9, 0.012


@dataclass(frozen=True)
class Strength:
    """How able the attackers are."""

    name: str
    pass_mps: float
    error_deg: float  # standard deviation of a pass's direction, unpressed
    touch_s: float
    tackled: float  # chances of the tackler count so much
    beats_man: float
    top_mps: float
    misjudges: float  # noise on what he thinks of an option


WEAK = Strength("weaker", 13.0, 4.0, 0.6, 1.3, 0.7, 7.2, 0.5)
MIDDLE = Strength("middling", 14.5, 2.8, 0.45, 1.0, 1.0, 7.5, 0.3)
STRONG = Strength("stronger", 16.0, 1.8, 0.3, 0.75, 1.3, 7.8, 0.15)
STRENGTHS = (WEAK, MIDDLE, STRONG)


# -- laws of running and of the ball ----------------------------------------------------------------------------------


def norm(v: Array) -> Array:
    return np.sqrt(v[..., 0] ** 2 + v[..., 1] ** 2)


def unit(v: Array) -> Array:
    return v / np.maximum(norm(v), 1e-9)[..., None]


def goal_m(xy: Array) -> Array:
    """Distance to goal; wide places count as further off."""
    return np.hypot(xy[..., 0] - GOAL[0], 1.3 * xy[..., 1])


def threat(xy: Array) -> Array:
    """What the ball is worth at a place before anybody defends."""
    return 0.004 + 0.25 * np.exp(-goal_m(xy) / 14.0)


def standing(ball: Array, own: Array, keeper: Bools) -> Array:
    """(G,) what the ball is worth where it is, with so many men goal-side of it and somebody on it or not."""
    men = np.where(keeper, np.nan, own[..., 0])
    behind = (men < ball[:, None, 0]).sum(1)
    pressed = np.nan_to_num(norm(own - ball[:, None]), nan=99.0).min(1) < 2.0
    return threat(ball) * (0.4 + 0.6 * np.exp(-behind / 4.0)) * np.where(pressed, 0.8, 1.0)


def run_s(distance: Array, toward_mps: Array, top: float) -> Array:
    """Time over a distance by even acceleration, then cruising."""
    v = np.clip(toward_mps, 0.0, top)
    sprint = (top**2 - v**2) / (2 * ACCELERATES)
    short = (np.sqrt(v**2 + 2 * ACCELERATES * np.minimum(distance, sprint)) - v) / ACCELERATES
    return short + np.maximum(distance - sprint, 0.0) / top


def reach_s(xy: Array, velocity: Array, to: Array, top: float, reach: float = 0.0, late: float = 0.2) -> Array:
    """Time of players to within reach of places; all broadcast; absent ones never get there."""
    way = to - (xy + late * velocity)
    far = norm(way)
    toward = (velocity * way).sum(-1) / np.maximum(far, 1e-9)
    return np.nan_to_num(late + run_s(np.maximum(far - reach, 0.0), toward, top), nan=99.0)


def stride(xy: Array, velocity: Array, target: Array, top: Array) -> tuple[Array, Array]:
    """One step: nobody speeds up, brakes or turns at will; who nears his target brakes so that he stops there."""
    way = target - xy
    far = norm(way)
    wanted = unit(way) * np.minimum(top, np.sqrt(2 * BRAKES * far))[..., None]
    ahead = np.where((norm(velocity) > 0.3)[..., None], unit(velocity), unit(way))
    change = wanted - velocity
    along = (change * ahead).sum(-1, keepdims=True)
    across = change - along * ahead
    across *= np.minimum(1.0, TURNS * STEP_S / np.maximum(norm(across), 1e-9))[..., None]
    after = velocity + np.clip(along, -BRAKES * STEP_S, ACCELERATES * STEP_S) * ahead + across
    return xy + 0.5 * (velocity + after) * STEP_S, after


def first_meeting(ahead_s: Array, points: Array) -> tuple[Array, Bools, Array]:
    """(..., 2) first point that a player reaches before the ball, whether there is one, and how early he is there."""
    there = ahead_s <= 0.0
    k = np.where(there.any(-1), there.argmax(-1), ahead_s.argmin(-1))
    point = np.take_along_axis(np.broadcast_to(points, (*ahead_s.shape, 2)), k[..., None, None], -2)[..., 0, :]
    return point, there.any(-1), np.where(there.any(-1), k, 99)


def _mask(index: Ints, count: int) -> Bools:
    mask = np.zeros(count, bool)
    mask[index] = True
    return mask


def _logistic(x: Array) -> Array:
    return 1 / (1 + np.exp(-np.clip(x, -40, 40)))


def roll_s(length: Array, pace: Array | float) -> Array:
    """Time of a rolling ball over a length; it stops at last."""
    return (pace - np.sqrt(np.maximum(pace**2 - 2 * ROLL_OUT * length, 0.01))) / ROLL_OUT


def distance_to_segment(xy: Array, a: Array, b: Array) -> Array:
    """(G, N) distance of players to the ways (G, 2) from a to b."""
    way = (b - a)[:, None]
    share = ((xy - a[:, None]) * way).sum(-1) / np.maximum((way**2).sum(-1), 1e-9)
    return np.nan_to_num(norm(xy - a[:, None] - way * np.clip(share, 0, 1)[..., None]), nan=99.0)


# -- what attackers do -----------------------------------------------------------------------------------------------


def line_x(g: Play) -> Array:
    """(G,) where the offside line is (Law 11): second-last of ours, or the ball, never beyond halfway."""
    second = np.sort(np.nan_to_num(g.own[..., 0], nan=99.0), axis=1)[:, 1]
    return np.minimum(np.minimum(second, g.ball[:, 0]), 0.0)

def under_pressure(g: Play) -> Bools:
    return np.nan_to_num(norm(g.own - g.ball[:, None]), nan=99.0).min(1) < 2.5

def off_the_ball(g: Play) -> Array:
    """(G, 11, 2) where attackers go: along with the ball, to where they are free; some run behind the line."""
    o, line = g.o, line_x(g)[:, None]
    moved = g.ball - o.ball
    base = o.opp + 0.8 * o.opp_velocity + (moved * (0.8, 0.5))[:, None]
    angle = np.arange(8) * np.pi / 4
    around = np.concatenate([np.zeros((1, 2)), 4.0 * np.stack([np.cos(angle), np.sin(angle)], -1)])
    tries = PITCH.inside(base[:, :, None] + around, 1.0)
    free = np.nan_to_num(norm(tries[:, :, :, None] - g.own[:, None, None]), nan=99.0).min(-1)
    score = 0.4 * np.minimum(free, 6.0) - 0.1 * norm(around) - 0.05 * tries[..., 0]
    best = np.take_along_axis(tries, np.nan_to_num(score).argmax(-1)[..., None, None], 2)[:, :, 0]
    best[..., 0] = np.maximum(best[..., 0], np.minimum(line + 0.4, base[..., 0] + 99.0))
    g.runner = np.random.default_rng((g.seed, int(10 * g.time) + 5000)).random((len(o), TEAM))
    high = np.nan_to_num(g.opp[..., 0], nan=99.0)
    ahead = (high.argsort(1).argsort(1) < 4) & ~o.opp_keeper & ~under_pressure(g)[:, None]
    runs = ahead & (g.runner < 0.35)
    best[..., 0] = np.where(runs, line + 0.4, best[..., 0])
    keeper = np.stack([np.minimum(o.opp[..., 0], g.ball[:, None, 0] + 25.0), 0.5 * o.opp[..., 1]], -1)
    return np.where(o.opp_keeper[..., None], keeper, best)

def carriers(g: Play) -> None:
    """Those whose moment has come shoot, pass, run or wait."""
    ask = np.flatnonzero((g.phase == HELD) & ~g.over & (g.think <= g.time))
    if not len(ask):
        return
    g.think[ask] = g.time + 0.3
    man, who = g.opp[ask, g.holder[ask]], g.holder[ask]
    aims, time, chance, lofted = options(g, ask)
    worth = threat(aims) * (0.6 + 0.4 * chance)
    score = rated(g, ask, aims, chance, worth, man)
    way, run = dribble(g, ask, man)
    pressed = under_pressure(g)[ask]
    shot = shot_value(g, ask, man)
    kind, best = g.kind[ask], score.argmax(1)
    stay = run * np.where(pressed, 0.75, 1.0) * np.where(kind == PATIENT, 1.0, 0.9)
    stay = np.where((kind == BLIND) & (g.chance[ask, 40] < 0.25), -np.inf, np.where(kind == BLIND, np.inf, stay))
    shoots = (shot > 0.05) & ((shot > np.maximum(score.max(1), run)) | (kind == BLIND) | (kind == DIRECT))
    passes = ~shoots & (score.max(1) > stay) & np.isfinite(score.max(1))
    value = np.zeros(len(g.rows))
    value[ask] = shot
    g.finish(_mask(ask[shoots], len(g.rows)), value, False)
    waits = (kind == PATIENT) & ~pressed
    g.way[ask] = np.where(waits[:, None], man + 0.3 * (way - man), way)
    games, j = ask[passes], best[passes]
    strike(g, games, who[passes], j, aims[passes, j], time[passes, j], lofted[passes, j], pressed[passes])

def options(g: Play, ask: Ints) -> tuple[Array, Array, Array, Bools]:
    """Aims (A, 22, 2), to feet and into space; the ball's time, the chance as seen, and whether it is lofted."""
    s, opp, v, ball = g.strength, g.opp[ask], g.opp_v[ask], g.ball[ask]
    ahead = np.clip(norm(opp - ball[:, None]) / s.pass_mps, 0.2, 1.2)
    feet = opp + v * 0.7 * ahead[..., None]
    space = opp + v * 0.5 + 8.0 * unit(GOAL - opp)
    aims = PITCH.inside(np.concatenate([feet, space], 1), 0.5)
    length = norm(aims - ball[:, None])
    two = np.concatenate([opp, opp], 1), np.concatenate([v, v], 1)
    meets = reach_s(*two, aims, s.top_mps, 0.5)
    rolls, flies = roll_s(length, s.pass_mps), length / FLIGHT_MPS + LIFT_S
    own, own_v = g.own[ask][:, None], g.own_v[ask][:, None]
    share = np.array([0.1, 0.25, 0.4, 0.55, 0.7, 0.85, 1.0])
    points = ball[:, None, None] + (aims - ball[:, None])[:, :, None] * share[:, None]
    cut = reach_s(own[:, :, None], own_v[:, :, None], points[:, :, :, None], TOP_MPS, REACH_M)
    passed = np.maximum(rolls, meets)[..., None] * share
    ground = _logistic((cut - passed[..., None]).min((-1, -2)) / 0.3)
    lands = reach_s(own, own_v, aims[:, :, None], TOP_MPS, REACH_M).min(-1)
    loft = 0.85 * _logistic((lands - np.maximum(flies, meets)) / 0.35) * (length > 15.0)
    chance = np.where(loft > ground, loft, ground * np.exp(-length / 120.0))
    offside = (opp[..., 0] < line_x(g)[ask][:, None]) & (opp[..., 0] < 0.0)
    mine = np.arange(TEAM) == g.holder[ask][:, None]
    out = offside | mine | ~np.isfinite(opp[..., 0])
    chance = np.where(np.concatenate([out, out], 1) | (length < 3.0), -1.0, chance)
    time = np.where(loft > ground, np.clip(meets, flies, flies + HANGS_S), np.maximum(rolls, meets))
    return aims, time, chance, loft > ground

def rated(g: Play, ask: Ints, aims: Array, chance: Array, worth: Array, man: Array) -> Array:
    """(A, 22) what each kind of carrier thinks of his options; -inf for none."""
    kind, noise = g.kind[ask][:, None], g.noise[ask, :2 * TEAM]
    seen = np.clip(chance + 0.3 * g.strength.misjudges * noise, 0.0, 1.0)
    gain = (norm(man - GOAL)[:, None] - norm(aims - GOAL)) / 30.0
    sees = seen * worth * (1 + 0.5 * g.strength.misjudges * noise) - (1 - seen) * LOSS
    patient = np.where(seen > 0.8, worth * seen, worth * 0.1 * seen - LOSS)
    direct = np.where(gain > 0.1, seen * (worth + 0.02 * gain) - 0.4 * (1 - seen) * LOSS, sees - LOSS)
    near = norm(aims - man[:, None]) + np.where(np.arange(2 * TEAM) < TEAM, 0.0, 99.0)
    near = np.where(chance < 0, 999.0, near)
    five = near.argsort(1).argsort(1) < 5
    blind = np.where(five, 1.0 + 0.2 * noise, -np.inf)
    score = np.select([kind == SEES, kind == PATIENT, kind == DIRECT], [sees, patient, direct], blind)
    return np.where(chance < 0, -np.inf, score)

def dribble(g: Play, ask: Ints, man: Array) -> tuple[Array, Array]:
    """Where the carrier would run, and what that is worth to him: threat there, less where ours come first."""
    angle = np.arange(8) * np.pi / 4
    tries = PITCH.inside(man[:, None] + 6.0 * np.stack([np.cos(angle), np.sin(angle)], -1), 0.5)
    first = reach_s(g.own[ask][:, None], g.own_v[ask][:, None], tries[:, :, None], TOP_MPS, 1.0, 0.0).min(-1)
    chance = _logistic((first - 1.1) / 0.3)
    score = chance * threat(tries) - (1 - chance) * LOSS
    return np.take_along_axis(tries, score.argmax(1)[:, None, None], 1)[:, 0], score.max(1)

def shot_value(g: Play, ask: Ints, man: Array) -> Array:
    """(A,) the chance of a shot from here; men in the way and at the ball lower it."""
    own = np.where(g.keeper[ask][..., None], np.nan, g.own[ask])
    way = distance_to_segment(own, man, man + 5.0 * unit(GOAL - man)) < 1.0
    close = np.nan_to_num(norm(own - man[:, None]), nan=99.0).min(1) < 1.5
    return 0.55 * np.exp(-goal_m(man) / 10.0) * 0.6 ** way.sum(1) * np.where(close, 0.75, 1.0)

def strike(g: Play, games: Ints, who: Ints, j: Ints, aim: Array, time: Array, lofted: Bools, pressed: Bools) -> None:
    """The pass leaves, not quite where it was aimed."""
    error = np.radians(g.strength.error_deg) * np.where(pressed, 1.7, 1.0) * g.noise[games, 30]
    off = aim - g.ball[games]
    way = np.stack([off[:, 0] * np.cos(error) - off[:, 1] * np.sin(error),
                    off[:, 0] * np.sin(error) + off[:, 1] * np.cos(error)], -1)
    g.start[games] = g.ball[games]
    g.aim[games] = g.ball[games] + way * np.where(lofted, 1 + 1.5 * error * g.noise[games, 31], 1.0)[:, None]
    g.phase[games], g.to[games] = np.where(lofted, FLIES, ROLLS), j % TEAM
    pace = np.minimum(norm(off) / time + 0.5 * ROLL_OUT * time, g.strength.pass_mps)  # so that he runs onto it
    g.since[games], g.speed[games], g.flight[games] = g.time, pace, time
    g.tried[games], g.holder[games] = False, who
    g.behind[games] = (g.own[games, :, 0] < g.ball[games, None, 0]) & ~g.keeper[games]
