"""The team in possession: what is done with the ball, and where everybody runs who has it, gets it or seeks a lane."""

from __future__ import annotations

from collections.abc import Sequence as Many
from dataclasses import replace
from math import dist
from typing import Any

import numpy as np

from pressinglib.field.situation import PASSER_M
from pressinglib.physics.lanes import lane_margins, offside_line_x
from pressinglib.physics.pitch_control import least_arrival
from pressinglib.play.actions import Action, Dribble, Pass, Run, Touch
from pressinglib.play.ball_race import DUEL_M, Catch, chaser, in_the_way
from pressinglib.play.game_state import AT_FEET_M, GameState, Travel, passed, touched
from pressinglib.roles.picture import OPEN_S, Floats, norm, turned, unit
from pressinglib.roles.presser import WAY_ANGLES_RAD
from pressinglib.roles.settings import NOBODY, WAYS, Settings

# -- The actions in their order, and who is on a run.

THERE_M = 0.6  # a run of ours is over when he is this near
EARLY_S = 1e-9


class Script:
    """What is still to come, the earliest first; those at one time stay in their order."""

    def __init__(self, actions: Many[Action]) -> None:
        by_time = sorted(actions, key=lambda action: action.at_s)
        self.ball = [a for a in by_time if isinstance(a, (Pass, Dribble, Touch))]
        self.runs = [a for a in by_time if isinstance(a, Run)]
        self.running: dict[tuple[str, int], Run] = {}  # under way

    def next_on_ball(self, time_s: float) -> Pass | Dribble | Touch | None:
        """The next action on the ball, if its time has come."""
        return self.ball[0] if self.ball and self.ball[0].at_s <= time_s + EARLY_S else None

    def start_runs(self, now: GameState) -> None:
        """Send off those whose time has come, and let go of those whose run is over."""
        while self.runs and self.runs[0].at_s <= now.time_s + EARLY_S:
            run = self.runs.pop(0)
            place: Any = now.within(np.array(run.to_xy))
            numbers = getattr(now.sheet, f"{run.team}_numbers")
            self.running[run.team, numbers.index(run.number)] = replace(run, to_xy=place)
        self.running = {who: run for who, run in self.running.items() if not _over(now, who[1], run)}

    def left(self, now: GameState) -> tuple[Action, ...]:
        """What is under way and what is still to come, its times counted from now."""
        dribbles = [] if now.dribble_xy is None else [Dribble(tuple(now.dribble_xy), speed_mps=now.dribble_mps)]
        actions: Any = (*self.running.values(), *dribbles, *self.ball, *self.runs)
        return tuple(replace(one, **{name: max(at_s - now.time_s, 0.0) for name in ("at_s", "until_s")
                                     if (at_s := getattr(one, name, None)) is not None}) for one in actions)

    def of_team(self, team: str) -> dict[int, Run]:
        """Those of one team by index."""
        return {k: run for (side, k), run in self.running.items() if side == team}


def _over(now: GameState, who: int, run: Run) -> bool:
    """At its time; without one as soon as one of us is there."""
    there = run.team == "pressing" and dist(run.to_xy, now.own[who]) < THERE_M
    return there if run.until_s is None else now.time_s >= run.until_s - EARLY_S


# -- What is done with the ball: it is passed, gets away, is run with, is received, lost.

DRIBBLE_M = 15.0  # a dribble along a way out goes this far (D)
BACK_M, LONG_M = 3.0, 30.0  # a pass goes back, or long, from here on (D)
SHORTEST_M, LONGEST_M = 6.0, 35.0  # the lanes a carrier looks at when he chooses himself (D)
STRAY_DEG, STRAY_SHARE = 2.5, 0.05  # with a seed: spread of a pass in direction and speed (D)
FREE_THROWS = (1, 2)  # throw-in and goal kick: no offside (Law 11)


def play_pass(now: GameState, action: Pass, s: Settings, chance: np.random.Generator | None) -> bool:
    """The ball leaves for its receiver; False where there is nobody to pass to."""
    him = look_up(now, s) if action.to is None else now.theirs.index(action.to)
    if him in (NOBODY, now.carrier):
        return False
    offside = now.winner < 0 and now.restart not in FREE_THROWS and bool(now.opp[him, 0] < _offside_x(now) - 1e-9)
    now.travel = _way_of(now, him, action, s, chance)
    _say_pass(now, him, action, least_arrival(now.own, now.own_velocity, now.ball, now.own_running) <= s.covered_s)
    _let_go(now)
    now.receiver = him
    if offside:
        now.say("offside", f"Their {now.theirs[him]} is offside: your ball.", theirs=[him])
    return True


def look_up(now: GameState, s: Settings) -> int:
    """Whom a carrier passes to who chooses himself: of the open lanes the one nearest to our goal, else the most open.

    A simple rule of our own (grade D) over lanes of 6 to 35 m, nobody offside; -1 where there is nobody.
    """
    margin, length = _open_s(now, now.ball, now.opp, s), norm(now.opp - now.ball)
    fits = (length >= SHORTEST_M) & (length <= LONGEST_M) & (now.opp[:, 0] >= _offside_x(now))
    fits[now.carrier] = False
    score = np.where(margin > OPEN_S, -now.goal_m(now.opp), -1e3 + margin)
    return int(np.where(fits, score, -np.inf).argmax()) if fits.any() else NOBODY


def _way_of(now: GameState, him: int, action: Pass, s: Settings, chance: np.random.Generator | None) -> Travel:
    """To the place asked for, or to where the receiver will be when the ball is there; with a seed it strays."""
    def to(aim: Floats) -> Travel:
        return passed(action.kind, now.time_s, now.ball, now.pitch.inside(aim), action.speed_mps, s)

    travel = to(now.opp[him] if action.to_xy is None else np.array(action.to_xy))
    for _ in range(2 * (action.to_xy is None)):
        travel = to(now.opp[him] + now.opp_velocity[him] * travel.travel_s)
    if chance is None:
        return travel
    angle, share = np.radians(STRAY_DEG) * chance.normal(), 1 + STRAY_SHARE * chance.normal()
    aim = travel.start + turned(travel.unit, angle) * travel.length_m
    speed = travel.speed_mps if travel.kind == "ground" else travel.length_m / travel.travel_s
    return passed(action.kind, now.time_s, travel.start, aim, float(np.clip(speed * share, 1.0, 50.0)), s)


def _offside_x(now: GameState) -> float:
    """Whoever of theirs is nearer to our goal line is offside."""
    return float(offside_line_x(now.own[:, 0], now.ball[0], -now.pitch.length_m / 2))


def _say_pass(now: GameState, him: int, action: Pass, pressed: bool) -> None:
    travel, foe = now.flight, now.theirs[him]
    if now.winner >= 0:
        now.say("pass played", f"{now.ours[now.winner]} gives the ball away to their {foe}.", [now.winner], [him])
        return
    back = travel.aim[0] > travel.start[0] + BACK_M
    forced = "back" if back else "long" if travel.kind == "lofted" and travel.length_m >= LONG_M else ""
    kind, how = (f"pass forced {forced}", f": {forced}, under pressure") if pressed and forced else ("pass played", "")
    now.say(kind, f"Their {now.theirs[now.carrier]} passes to their {foe}{how}.", theirs=[now.carrier, him])


def heavy_touch(now: GameState, action: Touch) -> None:
    """The ball gets away: the way he runs, or faces, or towards our goal."""
    k = now.carrier
    way, runs = now.opp_velocity[k], norm(now.opp_velocity[k]) > 1.0
    angle = now.facing_rad[k] if action.angle_deg is None else np.radians(action.angle_deg)
    if action.angle_deg is not None or not runs:
        way = now.goal - now.opp[k] if np.isnan(angle) else turned(np.array([1.0, 0.0]), angle)
    now.travel = touched(now.time_s, now.ball, unit(way), action.by_m)
    now.say("heavy touch", f"The ball gets away from their {now.theirs[k]}.", theirs=[k])
    _let_go(now)


def start_dribble(now: GameState, action: Dribble) -> None:
    """The carrier sets off with the ball."""
    angle = WAY_ANGLES_RAD[WAYS.index(action.way or "straight")] * now.side
    ray = now.ball + turned(unit(now.goal - now.ball), angle) * DRIBBLE_M
    to = ray if action.to_xy is None else np.array(action.to_xy)
    now.dribble_xy, now.dribble_mps = now.pitch.inside(to, 0.5), action.speed_mps
    now.face(now.carrier, to - now.opp[now.carrier])
    now.say("dribble", f"Their {now.theirs[now.carrier]} runs with the ball.", theirs=[now.carrier])


def received(now: GameState, catch: Catch, s: Settings) -> None:
    """The ball is at somebody's feet: at theirs for a first touch, or ours."""
    travel, him = now.flight, now.receiver
    now.travel, now.receiver, now.ball = None, NOBODY, catch.xy
    if catch.ours:
        now.winner = catch.who
        kind, meant, what = ("ball won", [], "is first to the loose ball") if him < 0 else (
            "pass intercepted", [him], f"cuts out the pass to their {now.theirs[him]}")
        now.say(kind, f"{now.ours[catch.who]} {what}.", [catch.who], meant, catch.at_s)
        return
    now.carrier, now.control_until_s, now.dribble_xy = catch.who, catch.at_s + s.control_time_s, None
    now.at_feet(catch.xy, AT_FEET_M)
    if norm(catch.xy - now.opp[catch.who]) > PASSER_M:  # within a long step he has run on
        now.carry_ball()
    now.face(catch.who, travel.start - now.opp[catch.who])
    now.say("pass received", f"Their {now.theirs[catch.who]} has the ball.", theirs=[catch.who], at_s=catch.at_s)


def dispossessed(now: GameState, who: int, how: str) -> None:
    """One of us takes the ball off the carrier."""
    him = now.carrier
    now.winner, now.carrier, now.dribble_xy = who, NOBODY, None
    now.say("ball won", f"{now.ours[who]} {how} their {now.theirs[him]}.", [who], [him])


def _let_go(now: GameState) -> None:
    """Nobody has the ball any more; who stood how far from it as it left decides what his shadow hides."""
    now.kicked_m = now.ball_m
    now.passer, now.barred = now.carrier, np.arange(len(now.own)) == now.winner
    now.carrier, now.winner, now.receiver = NOBODY, NOBODY, NOBODY
    now.dribble_xy, now.restart, now.out_until_s = None, 0, np.zeros(len(now.own))


# -- Where everybody runs: the carrier, the receiver, those on a run, and those who seek an open lane.

SEEK_M = 4.0  # how far to a side they look for an open lane (D)
SEEK_WITHIN_M = 32.0  # of the ball
SHAPE_M = 8.0  # ... and no further than this from where their last task has left them: they keep their shape (D)
SEEK_GAIN_S = 0.3  # a lane this much more open is worth the way (D)
SEEK_MPS = 4.5
ROOM_M = 6.0  # they keep this far from their own (D)
ANGLES = np.arange(8) * np.pi / 4
SEES_S = 0.5  # ... and counts with where that one will be after this time (D)
SHIELD_M = 1.3  # a carrier keeps the ball this far from whoever is in his way (D: just out of his reach)


Aims = tuple[Floats, Floats, Floats]  # (K, 2) where players head, (K,) how far they have to go, how fast they want to


def aims(now: GameState, script: Script, sought_xy: Floats, shape_xy: Floats, s: Settings) -> Aims:
    """Where everybody of theirs heads: who is not told to do anything stays, or goes where he sought a lane.

    `sought_xy` and `shape_xy` (M, 2) follow those who have a task, so that they stay where it has taken them.
    """
    busy = [now.carrier] if now.carrier >= 0 else []
    xy, pace = sought_xy.copy(), np.full(len(now.opp), SEEK_MPS)
    for k, run in script.of_team("possession").items():
        xy[k], pace[k] = run.to_xy, run.speed_mps or np.inf
        busy.append(k)
    if now.travel is not None:
        him, meet = chaser(now, s)
        xy[him], pace[him] = _to_the_ball(now, him, meet.at_s[him], meet.xy[him], s), np.inf
        busy.append(him)
    left = norm(xy - now.opp)
    if now.carrier >= 0:
        xy[now.carrier], left[now.carrier], pace[now.carrier] = _carriers_aim(now)
    sought_xy[busy] = shape_xy[busy] = now.opp[busy]
    return xy, left, pace


def _to_the_ball(now: GameState, him: int, at_s: float, place: Floats, s: Settings) -> Floats:
    """The aim of the pass if he gets there in time, else where he first meets the ball, else after it."""
    travel = now.flight
    left_s = travel.begun_s + travel.travel_s - now.time_s
    in_time = left_s > 0 and now.opp_running.at(him).time(now.opp[him], now.opp_velocity[him], travel.aim) <= left_s
    if travel.kind != "loose" and in_time:
        return travel.aim
    return place if np.isfinite(at_s) else now.ball


def _carriers_aim(now: GameState) -> tuple[Floats, float, float]:
    """Where he dribbles: he stops before whoever is in his way; with the ball just received, or no order, he stands."""
    him = now.opp[now.carrier]
    if now.dribble_xy is None or not now.under_control:
        return him, 0.0, 0.0
    coming = np.maximum((now.own_velocity * unit(now.ball - now.own)).sum(-1), 0.0) * SEES_S
    ahead = np.where(in_the_way(now) & now.outfield, now.ball_m - SHIELD_M - coming, np.inf)
    left = min(float(norm(now.dribble_xy - him)), max(float(ahead.min()), 0.0))
    return now.dribble_xy, left, now.dribble_mps


def seek_lanes(now: GameState, shape_xy: Floats, s: Settings) -> Floats:
    """(M, 2) within 4 m of where he is, the place with the most open lane, if it is clearly more open.

    A simple rule of our own (grade D): nobody offside, nobody nearer than 6 m to his own or than 4 m to the ball, nor
    further than 8 m from his place in the shape (M, 2); the goalkeeper and those further than 32 m from the ball stay.
    """
    origin = now.opp[now.receiver] if now.receiver >= 0 else now.ball  # of the next pass
    ring = SEEK_M * np.stack([np.cos(ANGLES), np.sin(ANGLES) * now.side], axis=-1)
    tries = now.pitch.inside(now.opp[:, None] + np.concatenate([np.zeros((1, 2)), ring]), 1.0)
    open_s = _open_s(now, origin, tries.reshape(-1, 2), s).reshape(tries.shape[:2])
    apart = norm(tries[:, :, None] - now.opp)
    apart = np.where(np.eye(len(tries), dtype=bool)[:, None], np.inf, apart).min(-1)
    allowed = (tries[..., 0] >= _offside_x(now)) & (apart >= ROOM_M) & (norm(tries - origin) >= 2 * DUEL_M)
    allowed &= norm(tries - shape_xy[:, None]) <= SHAPE_M
    allowed[:, 0] = True  # to stay always is
    open_s = np.where(allowed, open_s, -np.inf)
    moves = (open_s.max(1) > open_s[:, 0] + SEEK_GAIN_S) & (norm(now.opp - now.ball) <= SEEK_WITHIN_M)
    moves &= ~now.their_keeper
    return np.where(moves[:, None], tries[np.arange(len(tries)), open_s.argmax(1)], now.opp)


def _open_s(now: GameState, origin: Floats, places: Floats, s: Settings) -> Floats:
    """How open the lanes from a place to others (K, 2) are."""
    return lane_margins(origin, places, now.own, now.own_velocity, s.reach_m, s.reaction_s, s.ball_mps,
                        running=now.own_running).min(-1)

