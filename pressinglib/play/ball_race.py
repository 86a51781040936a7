"""Who gets the ball: the race for one that travels, and the duel for one at the carrier's feet.

Rules of our own (grade D), without chance.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from pressinglib.physics.motion import Running
from pressinglib.play.game_state import OVERHEAD_M, GameState
from pressinglib.roles.picture import Bools, Floats, norm, unit
from pressinglib.roles.settings import NOBODY, Settings

# -- A ball on its way: who can be there first, who runs for it, and who gets it.

LOOK_AHEAD = 48  # places looked at on the rest of the way
AFTER_AIM_S = 1.0  # ... so long beyond the aim
PAST_AIM_M = 2.0  # a pass that has run this far past its aim is anybody's of theirs
OUT_OF_REACH_S = 0.5  # so long after a heavy touch he who made it has not got it back (D)
GOES_ON_S = 0.1  # who runs to cut out a pass goes on though another is so little earlier (D)


class Meeting(NamedTuple):
    """When (inf: never) and where each player can first meet the ball, and when he is there."""

    at_s: Floats  # (K,)
    xy: Floats  # (K, 2)
    there_s: Floats  # (K,)


def first_meeting(now: GameState, xy: Floats, velocity: Floats, reaction_s: Floats, reach_m: Floats,
                  running: Running) -> Meeting:
    """For players (K, 2) who start for it after their reaction."""
    travel = now.flight
    end = max(travel.begun_s + travel.travel_s - now.time_s, 0.0) + AFTER_AIM_S
    times = now.time_s + np.linspace(0.0, end, LOOK_AHEAD)
    places = travel.xy(times)
    law = running.at(np.s_[:, None])
    run = law.time(xy[:, None], velocity[:, None], places, reaction_s[:, None], reach_m[:, None])
    playable = (travel.height_m(times) <= OVERHEAD_M) & now.pitch.holds(places)
    there = (run <= times - now.time_s) & playable
    first = there.argmax(1)
    rows = np.arange(len(xy))
    return Meeting(np.where(there.any(1), times[first], np.inf), places[first], now.time_s + run[rows, first])


def our_reach_m(now: GameState, s: Settings) -> Floats:
    """(N,) how near each of us must be to a pass: who was beside the passer covers only his trusted shadow."""
    shadow = now.kicked_m * np.sin(np.radians(s.trusted_shadow_deg))
    return np.where(now.flight.kind == "loose", s.reach_m, np.clip(shadow, 0.05, s.reach_m))


def chaser(now: GameState, s: Settings) -> tuple[int, Meeting]:
    """Who of theirs goes to the ball: the receiver, or the first to a loose ball; and when all of them can be there."""
    nobody = np.zeros(len(now.opp))
    meet = first_meeting(now, now.opp, now.opp_velocity, nobody, nobody + s.reach_m, now.opp_running)
    return now.receiver if now.receiver >= 0 else _first(meet.at_s, norm(now.opp - now.ball)), meet


def cutter(now: GameState, aware_s: Floats, last: int, s: Settings) -> tuple[int, Floats, float]:
    """Who of us is at the ball before theirs (-1: nobody), where he meets it, and how long before it he is there."""
    him, theirs = chaser(now, s)
    wait = np.maximum(aware_s - now.time_s, 0.0)
    meet = first_meeting(now, now.own, now.own_velocity, wait, our_reach_m(now, s), now.own_running)
    goes = (np.arange(len(now.own)) == last) & (meet.there_s == theirs.there_s[him])
    first_to_wait = (meet.at_s == theirs.at_s[him]) & ((meet.there_s < theirs.there_s[him]) | goes)
    in_time = np.isfinite(meet.at_s) & ~now.barred & ((meet.at_s < theirs.at_s[him]) | first_to_wait)
    if not in_time.any():
        return NOBODY, now.ball, 0.0
    first = _first(np.where(in_time, meet.at_s, np.inf), now.ball_m)
    if last >= 0 and in_time[last] and meet.at_s[last] <= meet.at_s[first] + GOES_ON_S:
        first = last
    return first, meet.xy[first], float(meet.at_s[first] - meet.there_s[first])


class Catch(NamedTuple):
    """Who got the ball, where and when; `ours` says of which team."""

    ours: bool
    who: int
    at_s: float
    xy: Floats


def caught(now: GameState, own_before: Floats, opp_before: Floats, step_s: float, s: Settings) -> Catch | None:
    """Who came within reach of the ball first during the step that ends now; None if it travels on.

    Of two at once theirs has a ball along the ground, for it was meant for him; in the air who stands nearer to where
    it comes down (own choice, grade D).
    """
    travel, begun_s = now.flight, now.time_s - step_s
    ball = travel.xy(begun_s + np.array([0.0, step_s]))
    our_share = np.where(now.barred, np.inf, _touch(own_before, now.own, ball, our_reach_m(now, s)))
    their_share = np.where(_may_take(now), _touch(opp_before, now.opp, ball, s.reach_m), np.inf)
    us, them = _first(our_share, norm(now.own - ball[1])), _first(their_share, norm(now.opp - ball[1]))
    share = min(our_share[us], their_share[them])
    if not np.isfinite(share) or travel.height_m(np.array(begun_s + share * step_s)) > OVERHEAD_M:
        return None
    at_s = float(begun_s + share * step_s)
    place, ours = travel.xy(np.array(at_s)), bool(our_share[us] < their_share[them])
    if travel.kind == "lofted" and np.isfinite(our_share[us]) and np.isfinite(their_share[them]):
        ours = bool(norm(now.own[us] - place) < norm(now.opp[them] - place))
    return Catch(ours, us if ours else them, at_s, place)


def _first(share: Floats, away_m: Floats) -> int:
    """The first; of several at once the nearest."""
    return int(np.lexsort((away_m, share))[0])


def _may_take(now: GameState) -> Bools:
    """(M,) who of theirs takes the ball: the receiver alone, until the ball is loose or past its aim."""
    travel, who = now.flight, np.arange(len(now.opp))
    if travel.kind == "loose":
        return (who != now.passer) | (now.time_s > travel.begun_s + OUT_OF_REACH_S)
    past = norm(now.ball - travel.start) > travel.length_m + PAST_AIM_M
    return who != now.passer if past else who == now.receiver


def _touch(start: Floats, end: Floats, ball: Floats, reach_m: Any) -> Floats:
    """(K,) share of the step after which each player is within reach of the ball, both moving evenly; inf if never."""
    off, change = start - ball[0], (end - start) - (ball[1] - ball[0])
    a, b = (change * change).sum(-1), (off * change).sum(-1)
    c = (off * off).sum(-1) - reach_m**2
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    share = np.where(c <= 0, 0.0, (-b - root) / np.maximum(a, 1e-12))
    meets = (c <= 0) | ((a > 1e-12) & (b * b >= a * c) & (share >= 0) & (share <= 1))
    return np.where(meets, share, np.inf)


# -- The carrier against whoever is on him: contained, beaten, dispossessed.

DUEL_M = 2.0  # so near to the ball he is in the duel (pressed: 1-2 m, common practice)
DIVE_MPS = 3.0  # who comes in faster than this cannot turn with the carrier ...
DIVE_M = 1.5  # ... once he is so near (D)
BLOCK_DEG = 45.0  # he blocks a way that leads past him by less than this (D)
PAST_M = 1.5  # the carrier is past him when he is so much nearer to our goal (D)
DOUBLED_S = 0.5  # two who are on him for so long take the ball (D)


class Duel(NamedTuple):
    """(N,) masks of us: in the carrier's way and set; coming in too fast; near enough to take part; goal-side."""

    blocks: Bools
    dives: Bools
    near: Bools
    goal_side: Bools


def duel(now: GameState) -> Duel:
    """How each of us stands to the carrier."""
    closing = (now.own_velocity * unit(now.ball - now.own)).sum(-1)
    goal_side = now.goal_m(now.own) < now.goal_m(now.opp[now.carrier])
    near = (now.ball_m <= DUEL_M) & now.outfield & (now.time_s >= now.out_until_s - 1e-9)
    dives = near & (now.ball_m <= DIVE_M) & (closing > DIVE_MPS) & goal_side
    return Duel(near & goal_side & ~dives & in_the_way(now), dives, near, goal_side)


def in_the_way(now: GameState) -> Bools:
    """(N,) bearing less than 45 degrees off the way of a dribble; of a carrier who stands: goal-side of him."""
    him = now.opp[now.carrier]
    if now.dribble_xy is None:
        return np.asarray(now.goal_m(now.own) < now.goal_m(him))
    return np.asarray(unit(now.own - him) @ unit(now.dribble_xy - him) >= np.cos(np.radians(BLOCK_DEG)))


def tacklers(now: GameState, s: Settings) -> Bools:
    """(N,) who takes the ball at once: within reach of it while the first touch lasts, or in the way of a dribble."""
    seen = duel(now)
    reach = seen.near & (now.ball_m <= s.reach_m)
    return reach & seen.blocks & (now.dribble_xy is not None) if now.under_control else reach
