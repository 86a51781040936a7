"""What is done with the ball: it is passed, gets away, is run with, is taken, comes to rest at somebody's feet."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.lanes import lane_margins
from pressinglib.physics.offside import offside_line_x
from pressinglib.play.actions import Dribble, Pass, Touch
from pressinglib.play.contest import Catch
from pressinglib.play.events import Log
from pressinglib.play.moment import AT_FEET_M, Moment
from pressinglib.play.travel import Travel, passed, touched
from pressinglib.roles.options import OPEN_S
from pressinglib.roles.picture import Floats, norm, turned, unit
from pressinglib.roles.settings import Settings
from pressinglib.roles.take_over import WAY_ANGLES_RAD
from pressinglib.roles.vocabulary import NOBODY, WAYS

DRIBBLE_M = 15.0  # a dribble along a way out goes this far (D)
BACK_M, LONG_M = 3.0, 30.0  # a pass goes back, or long, from here on (D)
SHORTEST_M, LONGEST_M = 6.0, 35.0  # the lanes a carrier looks at when he chooses himself (D)
STRAY_DEG, STRAY_SHARE = 2.5, 0.05  # with a seed: spread of a pass in direction and speed (D)
FREE_THROWS = (1, 2)  # throw-in and goal kick: no offside (Law 11)


def play_pass(now: Moment, action: Pass, pressure_s: float, log: Log, s: Settings,
              chance: np.random.Generator | None) -> bool:
    """The ball leaves for its receiver; False where there is nobody to pass to."""
    him = look_up(now, s) if action.to is None else now.opponent(action.to)
    if him in (NOBODY, now.carrier):
        return False
    offside = _is_offside(now, him)
    now.travel = _way_of(now, him, action, s, chance)
    _say_pass(now, him, action, pressure_s <= s.covered_s, log)
    _let_go(now)
    now.receiver = him
    if offside:
        log.say(now, "offside", f"Their {now.foe(him)} is offside: our ball.", theirs=[him])
    return True


def look_up(now: Moment, s: Settings) -> int:
    """Whom a carrier passes to who chooses himself: of the open lanes the one nearest to our goal, else the most open.

    A simple rule of our own (grade D) over lanes of 6 to 35 m, nobody offside; -1 where there is nobody.
    """
    margin = lane_margins(now.ball, now.opp, now.own, now.own_velocity, s.reach_m, s.reaction_s, s.ball_mps).min(-1)
    length = norm(now.opp - now.ball)
    line = float(offside_line_x(now.own[:, 0], now.ball[0], -now.pitch.length_m / 2))
    fits = (length >= SHORTEST_M) & (length <= LONGEST_M) & (now.opp[:, 0] >= line)
    fits[now.carrier] = False
    if not fits.any():
        return NOBODY
    free = fits & (margin > OPEN_S)
    score = np.where(free, -now.goal_m(now.opp), np.where(fits, -1e3 + margin, -np.inf))
    return int(score.argmax())


def _way_of(now: Moment, him: int, action: Pass, s: Settings, chance: np.random.Generator | None) -> Travel:
    """To the place asked for, or to where the receiver will be when the ball is there."""
    def to(aim: Floats) -> Travel:
        return passed(action.kind, now.time_s, now.ball, now.pitch.inside(aim), action.speed_mps, s)

    if action.to_xy is not None:
        travel = to(np.array(action.to_xy))
    else:
        travel = to(now.opp[him])
        for _ in range(2):
            travel = to(now.opp[him] + now.opp_velocity[him] * travel.travel_s)
    return travel if chance is None else _strayed(now, travel, action, s, chance)


def _strayed(now: Moment, travel: Travel, action: Pass, s: Settings, chance: np.random.Generator) -> Travel:
    angle, share = np.radians(STRAY_DEG) * chance.normal(), 1 + STRAY_SHARE * chance.normal()
    aim = travel.start + turned(travel.unit, angle) * travel.length_m
    speed = travel.speed_mps if travel.kind == "ground" else travel.length_m / travel.flight_s
    return passed(action.kind, now.time_s, travel.start, aim, float(np.clip(speed * share, 1.0, 50.0)), s)


def _is_offside(now: Moment, him: int) -> bool:
    line = float(offside_line_x(now.own[:, 0], now.ball[0], -now.pitch.length_m / 2))
    return now.winner < 0 and now.restart not in FREE_THROWS and bool(now.opp[him, 0] < line - 1e-9)


def _say_pass(now: Moment, him: int, action: Pass, pressed: bool, log: Log) -> None:
    travel, foe = now.travel, now.foe(him)
    assert travel is not None
    if now.winner >= 0:
        log.say(now, "pass played", f"{now.name(now.winner)} gives the ball away to their {foe}.", [now.winner], [him])
        return
    words = f"Their {now.foe(now.carrier)} passes to {foe}"
    if pressed and travel.aim[0] > travel.start[0] + BACK_M:
        log.say(now, "pass forced back", f"{words}: back, under pressure.", theirs=[now.carrier, him])
    elif pressed and travel.kind == "lofted" and travel.length_m >= LONG_M:
        log.say(now, "pass forced long", f"{words}: long, under pressure.", theirs=[now.carrier, him])
    else:
        log.say(now, "pass played", f"{words}.", theirs=[now.carrier, him])


def heavy_touch(now: Moment, action: Touch, log: Log) -> None:
    """The ball gets away: the way he runs, or faces, or towards our goal."""
    k = now.carrier
    way = now.opp_velocity[k] if norm(now.opp_velocity[k]) > 1.0 else _facing(now, k)
    if action.angle_deg is not None:
        way = _pointing(np.radians(action.angle_deg))
    now.travel = touched(now.time_s, now.ball, unit(way), action.by_m)
    log.say(now, "heavy touch", f"The ball gets away from their {now.foe(k)}.", theirs=[k])
    _let_go(now)


def start_dribble(now: Moment, action: Dribble, log: Log) -> None:
    """The carrier sets off with the ball."""
    if action.to_xy is not None:
        to = np.array(action.to_xy)
    else:
        angle = WAY_ANGLES_RAD[WAYS.index(str(action.way))] * now.side
        to = now.ball + turned(unit(now.goal - now.ball), angle) * DRIBBLE_M
    now.dribble_xy, now.dribble_mps = now.pitch.inside(to, 0.5), action.speed_mps
    now.face(now.carrier, to - now.opp[now.carrier])
    log.say(now, "dribble", f"Their {now.foe(now.carrier)} runs with the ball.", theirs=[now.carrier])


def taken(now: Moment, catch: Catch, log: Log, s: Settings) -> None:
    """The ball is at somebody's feet: at theirs for a first touch, or ours."""
    travel, him = now.travel, now.receiver
    assert travel is not None
    now.travel, now.receiver, now.ball = None, NOBODY, catch.xy
    if catch.ours:
        now.winner = catch.who
        meant = [him] if him >= 0 else []
        what = f"cuts out the pass to their {now.foe(him)}" if meant else "is first to the loose ball"
        kind = "pass intercepted" if meant else "ball won"
        log.say(now, kind, f"{now.name(catch.who)} {what}.", [catch.who], meant, catch.at_s)
        return
    now.carrier, now.control_until_s, now.dribble_xy = catch.who, catch.at_s + s.control_time_s, None
    now.feet = catch.xy - now.opp[catch.who]
    now.feet = now.feet * min(1.0, AT_FEET_M / max(float(norm(now.feet)), 1e-9))
    now.face(catch.who, travel.start - now.opp[catch.who])
    log.say(now, "pass received", f"Their {now.foe(catch.who)} has the ball.", theirs=[catch.who], at_s=catch.at_s)


def robbed(now: Moment, who: int, log: Log, how: str) -> None:
    """One of us takes the ball off the carrier."""
    him = now.carrier
    now.winner, now.carrier, now.dribble_xy = who, NOBODY, None
    log.say(now, "ball won", f"{now.name(who)} {how} their {now.foe(him)}.", [who], [him])


def _let_go(now: Moment) -> None:
    """Nobody has the ball any more; who stood how far from it as it left decides what his shadow hides."""
    now.kicked_m = now.ball_m
    now.passer, now.barred = now.carrier, np.arange(len(now.own)) == now.winner
    now.carrier, now.winner, now.receiver = NOBODY, NOBODY, NOBODY
    now.dribble_xy, now.restart, now.out_until_s = None, 0, np.zeros(len(now.own))


def _facing(now: Moment, k: int) -> Floats:
    angle = now.facing_rad[k]
    return now.goal - now.opp[k] if np.isnan(angle) else _pointing(angle)


def _pointing(angle_rad: float) -> Floats:
    return np.array([np.cos(angle_rad), np.sin(angle_rad)])
