"""Who presses, whether he gets there in time, and who takes over if he is beaten: the first to each way out."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.ball import ball_time
from pressinglib.roles.decisions import Decisions, frame_rule, is_player
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, pick, turned
from pressinglib.roles.settings import GOAL_KICK, HOLD, IN_TIME, KEEPER_HOLDS, LATE, LOOSE, NOBODY, OPEN_PLAY, WON

DRIBBLE_MPS = 5.0  # speed of a carrier on his way (D)
REACH_M = 1.0
WAY_ANGLES_RAD = np.radians([-45.0, 0.0, 45.0])  # outside, straight, inside: the ball side is y >= 0, goal at -x
STEPS_S = np.arange(0.0, 4.01, 0.25)


def way_points(p: Picture) -> Floats:
    """(F, 3, T, 2) where the carrier is on each way out at the times STEPS_S; he stops at the lines."""
    ways = turned(p.goal_way[:, None], WAY_ANGLES_RAD)
    return p.pitch.inside(p.focus[:, None, None] + ways[:, :, None] * (DRIBBLE_MPS * STEPS_S)[:, None])


def way_times(p: Picture) -> Floats:
    """(F, N, 3) least time at which each player is on the way of a carrier who runs at once; inf if never."""
    s = p.settings
    points = way_points(p)[:, None]
    own, velocity = p.own[:, :, None, None], p.own_velocity[:, :, None, None]
    late = p.own_running.at(np.s_[..., None, None]).time(own, velocity, points, s.reaction_s, REACH_M) - STEPS_S
    late = np.where(p.own_here[:, :, None, None], late, np.inf)
    return _first_crossing(late)


def _first_crossing(late: Floats) -> Floats:
    """The time at which a player's lateness (..., T) first falls to zero, by straight lines between steps."""
    on_time = late <= 0
    k = on_time.argmax(-1)
    before = np.maximum(k - 1, 0)
    a = np.take_along_axis(late, before[..., None], -1)[..., 0]
    b = np.take_along_axis(late, k[..., None], -1)[..., 0]
    with np.errstate(invalid="ignore"):
        share = np.where((k > 0) & (a > b), a / np.where(a > b, a - b, 1.0), 1.0)
    time = STEPS_S[before] + share * (STEPS_S[k] - STEPS_S[before])
    return np.where(on_time.any(-1), time, np.inf)


def take_over(p: Picture, d: Decisions) -> tuple[Ints, Floats]:
    """Next presser and his time by way out (outside, straight, inside): (F, 3) index and seconds; not the keeper."""
    free = p.outfield & ~is_player(d.presser, p.line.shape[1])
    time = np.where(free[..., None], d.way_s, np.inf)
    best = time.min(1)
    return np.where(np.isfinite(best), time.argmin(1), NOBODY), best


# -- Who presses.

TIE_S = 1e-7  # goal-side goes first where two are equal
FRONT_LEAD_S = 0.3  # a front player who is this close to the first is taken (D)
ROUND_HIM_S, ROUND_HIM_M = 1.0, 3.0
LEAVES_S, HIS_MAN_M = 0.25, 4.0  # who stands beside a man goes only if he is this much earlier (D)
LEAVES_RUNNER_S, HIS_RUNNER_M = 0.6, 12.0  # ... outnumbered, so much for one who has a runner (D)
STRAIGHT = 1  # of the ways out
MOST_BYPASSED = 6  # with more defenders goal-side nobody is outnumbered (D)
METRES_LOWER = 10.0  # line of confrontation for each man short (D)
HIGH_SHORT_X = 45.0  # a high press with one man short confronts at x = 35 (D)
ANYONE_M = 30.0  # with the ball this near to our goal whoever is first engages (D)
INTO_OPEN_S = 1.5  # a back-line player runs no longer than this into the open to press; he drops and delays (D)
LAST_STAND_M = 20.0  # outnumbered, the nearest goal-side player engages this far from goal (P)
LEVEL_M = 3.0  # an attacker this little behind the ball is level with it (D)
BEFORE_LINE_M = 2.0  # ... and until then waits so far in front of his line (D)


@frame_rule
def choose_presser(p: Picture, d: Decisions) -> Ints:
    """The first to where the carrier (or receiver) will be, midfield and attack before the back line; (F,) index.

    A back-line player steps out only where no midfielder or forward is goal-side of the ball, or the back line gets
    there earlier by more than the setting `step_out_s`. Common practice; in open match data half of the duels are
    engaged by back-line players, so this is a teaching preference. Outnumbered, he goes who is first in the
    carrier's straight way, not who runs after him.
    """
    time = np.where(p.outfield, p.own_arrival(p.focus[:, None]) - TIE_S * p.goal_side, np.inf)
    if p.settings.pressers == "front":
        time = np.where(_in_his_way(p, d), np.where(p.outfield, d.way_s[..., STRAIGHT], np.inf), time)
        time = time + _round_him_s(p) + np.where(outnumbered(p)[:, None], LEAVES_RUNNER_S, LEAVES_S) * _has_a_man(p)
    best = np.where(eligible(p, time), time, np.inf)
    nobody = (p.state == WON) | ~np.isfinite(best.min(1)) | beyond_confrontation(p)
    return np.where(nobody, NOBODY, best.argmin(1))


def eligible(p: Picture, time: Floats) -> Bools:
    """(F, N) who may press, given everyone's time to the ball."""
    if p.settings.pressers == "anyone":
        return p.outfield
    first, front = time.min(1, keepdims=True), p.front
    near_enough = time <= first + np.where(p.goal_side, p.settings.step_out_s, FRONT_LEAD_S)
    front_goes = (front & near_enough).any(1, keepdims=True) & (p.ball_goal_m > ANYONE_M)[:, None]
    return np.where(front_goes, front, p.outfield)


def _in_his_way(p: Picture, d: Decisions) -> Bools:
    """(F, 1) outnumbered, with room to give way, and somebody gets into the carrier's straight way."""
    anybody = np.where(p.outfield, d.way_s[..., STRAIGHT], np.inf).min(1) < np.inf
    room = give_way_m(p, line_height_m(p, p.back & p.goal_side)) > p.settings.contain_distance_m
    return np.asarray(outnumbered(p) & room & anybody)[:, None]


def _has_a_man(p: Picture) -> Bools:
    """(F, N) players who stand by an opponent without the ball, nearer to him than anybody else of ours.

    That is within 4 m; outnumbered, a runner is his within 12 m who is goal-side of him.
    """
    apart = norm(p.own[:, :, None] - p.opp[:, None])
    last = outnumbered(p)[:, None, None] & p.goal_side[..., None] & with_ball(p)[:, None]
    counts = p.opp_here[:, None] & ~p.is_holder[:, None] & p.outfield[..., None]
    apart = np.where(counts & (p.goal_side[..., None] | ~outnumbered(p)[:, None, None]), apart, np.inf)
    near = apart <= np.where(last, HIS_RUNNER_M, HIS_MAN_M)
    return np.asarray((near & (apart <= apart.min(1, keepdims=True))).any(-1))


def _first_opponent_s(p: Picture) -> Floats:
    """(F,) time of the first opponent to within reach of the ball."""
    s = p.settings
    time = p.opp_running.time(p.opp, p.opp_velocity, p.focus[:, None], s.reaction_s, s.reach_m)
    return np.asarray(np.where(p.opp_here, time, np.inf).min(1))


def _round_him_s(p: Picture) -> Floats:
    """(F, N) what it costs a beaten player to get round a carrier and goal-side of him (D)."""
    behind = (p.own_goal_m - p.ball_goal_m[:, None]) / ROUND_HIM_M
    return np.asarray(ROUND_HIM_S * np.clip(np.nan_to_num(behind), 0.0, 1.0) * (p.holder >= 0)[:, None], float)


def confrontation_x(p: Picture) -> Floats:
    """(F,) where pressing begins; 10 m lower for each man short."""
    line, short = p.settings.confrontation_x_m, p.men_short
    if line is None:
        return np.where(short > 0, HIGH_SHORT_X - METRES_LOWER * short, np.inf)
    return np.asarray(line - METRES_LOWER * short, float)


def beyond_confrontation(p: Picture) -> Bools:
    """(F,) the ball is further from our goal than the line of confrontation."""
    return p.focus[:, 0] > confrontation_x(p)


@frame_rule
def choose_timing(p: Picture, d: Decisions) -> Ints:
    """In time, late or hold; (F,) code.

    While a pass travels he must arrive (0.3 s reaction, braking left out) no later than the receiver's first touch.
    With the ball at a carrier's feet he is in time if he can get into the carrier's straight way to goal within the
    setting `in_time_s`: own definition, grade D. At a loose ball he is in time if he is there before any opponent.
    """
    s = p.settings
    time = pick(p.own_arrival(p.focus[:, None], s.reaction_s, s.end_distance_m), d.presser)
    pass_s = ball_time(norm(p.origin - p.ball), s.ball_mps) + s.control_time_s
    in_time = np.where(p.receiver >= 0, time <= pass_s, pick(d.way_s[..., STRAIGHT], d.presser) <= s.in_time_s)
    in_time = np.where(p.state == LOOSE, time <= _first_opponent_s(p), in_time)
    hold = (d.presser < 0) | p.is_state(GOAL_KICK, KEEPER_HOLDS)
    return np.where(hold, HOLD, np.where(in_time & ~outnumbered(p) & ~into_open(p, d), IN_TIME, LATE))


def into_open(p: Picture, d: Decisions) -> Bools:
    """(F,) a back-line player would have to run out for long to press a carrier: he drops and delays instead."""
    time = pick(p.own_arrival(p.focus[:, None]), d.presser)
    last = pick(p.back & ~p.front, d.presser) & (d.presser >= 0)
    return np.asarray(last & (time > INTO_OPEN_S) & (p.receiver < 0) & (p.state == OPEN_PLAY))


def outnumbered(p: Picture) -> Bools:
    """(F,) nobody on the ball within 1 s, and no more defenders goal-side of it than attackers with it.

    With the ball are its holder and all who are ahead of it or level.
    """
    time = np.where(p.outfield, p.to_ball_s, np.inf).min(1)
    defenders = (p.outfield & (p.own[..., 0] < p.origin[:, :1])).sum(1)
    bypassed = (defenders <= MOST_BYPASSED) & (p.ball_goal_m < p.pitch.length_m * 0.6)
    many = with_ball(p).sum(1) >= defenders
    return np.asarray((time > p.settings.covered_s) & many & bypassed & (p.state == OPEN_PLAY))


def with_ball(p: Picture) -> Bools:
    """(F, M) the holder, and opponents ahead of the ball or level with it."""
    level = (p.opp[..., 0] < p.origin[:, :1] + LEVEL_M) & ~p.opp_keeper & ~p.offside
    return np.asarray(p.is_holder | (p.opp_here & level))


def give_way_m(p: Picture, line_m: Floats) -> Floats:
    """(F,) how far off the ball a carrier is met by a side that is outnumbered, its line `line_m` from the goal line.

    In front of the line and in the ball's path, until both are about 20 m from the goal line; there he is contained.
    """
    depth = p.focus[:, 0] + p.pitch.length_m / 2
    deepest = np.maximum(LAST_STAND_M, line_m + BEFORE_LINE_M)
    return np.maximum((depth - deepest) / np.maximum(-p.goal_way[:, 0], 0.5), p.settings.contain_distance_m)


def line_height_m(p: Picture, line: Bools) -> Floats:
    """(F,) how far the deepest of some players (F, N) is from the goal line; 0 where there is none."""
    x = np.where(line, p.own[..., 0] + p.pitch.length_m / 2, np.inf).min(1)
    return np.where(line.any(1), x, 0.0)
