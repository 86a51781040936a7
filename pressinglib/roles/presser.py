"""Who presses and in time or late, to which side he steers, where and on what angle he ends, who takes over."""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import GOAL_WIDTH_M, PENALTY_AREA_M, third
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import bearing_rad
from pressinglib.roles import settings as v
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.measures import to_ball_s
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, once, pick, turned

DRIBBLE_MPS = 5.0  # speed of a carrier on his way (D)
REACH_M = 1.0
WAY_ANGLES_RAD = np.radians([-45.0, 0.0, 45.0])  # outside, straight, inside: the ball side is y >= 0, goal at -x
STEPS_S = np.arange(0.0, 4.01, 0.25)


def way_points(p: Picture) -> Floats:
    """(F, 3, T, 2) where the carrier is on each way out at the times STEPS_S; he stops at the lines."""
    ways = turned(p.goal_way[:, None], WAY_ANGLES_RAD)
    return p.pitch.inside(p.focus[:, None, None] + ways[:, :, None] * (DRIBBLE_MPS * STEPS_S)[:, None])


@once
def way_times(p: Picture) -> Floats:
    """(F, N, 3) least time at which each player is on the way of a carrier who runs at once; inf if never.

    By straight lines between the last step at which he is late and the first at which he is not.
    """
    reaction_s, law = p.settings.reaction_s, p.own_running.at(np.s_[..., None, None])
    points, own, velocity = way_points(p)[:, None], p.own[:, :, None, None], p.own_velocity[:, :, None, None]
    on_time = law.is_there(STEPS_S, own, velocity, points, reaction_s, REACH_M)
    first = on_time.argmax(-1)
    around = np.stack([np.maximum(first - 1, 0), first], axis=-1)
    step_s = STEPS_S[around]
    late = law.time(own, velocity, np.take_along_axis(points, around[..., None], 3), reaction_s, REACH_M) - step_s
    with np.errstate(invalid="ignore"):
        share = np.clip(late[..., 0] / np.maximum(late[..., 0] - late[..., 1], 1e-12), 0.0, 1.0)
    time = step_s[..., 0] + np.where(first > 0, share, 1.0) * (step_s[..., 1] - step_s[..., 0])
    return np.where(on_time.any(-1), time, np.inf)


def take_over(p: Picture, d: Decisions) -> tuple[Ints, Floats]:
    """Next presser and his time by way out (outside, straight, inside): (F, 3) index and seconds; not the keeper."""
    free = p.outfield & ~d.presses
    time = np.where(free[..., None], way_times(p), np.inf)
    best = time.min(1)
    return np.where(np.isfinite(best), time.argmin(1), v.NOBODY), best


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
    time = np.where(p.outfield, p.to_focus_s - TIE_S * p.goal_side, np.inf)
    if p.settings.pressers == "front":
        time = np.where(_in_his_way(p, d), np.where(p.outfield, way_times(p)[..., STRAIGHT], np.inf), time)
        time = time + _round_him_s(p) + np.where(outnumbered(p)[:, None], LEAVES_RUNNER_S, LEAVES_S) * _has_a_man(p)
    best = np.where(eligible(p, time), time, np.inf)
    nobody = (p.state == v.WON) | ~np.isfinite(best.min(1)) | beyond_confrontation(p)
    return np.where(nobody, v.NOBODY, best.argmin(1))


def eligible(p: Picture, time: Floats) -> Bools:
    """(F, N) who may press, given everyone's time to the ball."""
    if p.settings.pressers == "anyone":
        return p.outfield
    first, front = time.min(1, keepdims=True), p.front
    near_enough = time <= first + np.where(p.goal_side, p.settings.step_out_s, FRONT_LEAD_S)
    front_goes = (front & near_enough).any(1, keepdims=True) & (p.ball_goal_m > ANYONE_M)[:, None]
    # One of the line who stands at the carrier does not run away from him.
    at_him = p.back & p.goal_side & (norm(p.own - p.focus[:, None]) <= HIS_MAN_M)
    front_s = np.where(front, time, np.inf).min(1, keepdims=True)
    front_goes &= ~(at_him & (time + LEAVES_S < front_s)).any(1, keepdims=True)
    return np.where(front_goes, front, p.outfield)


def _in_his_way(p: Picture, d: Decisions) -> Bools:
    """(F, 1) outnumbered, with room to give way, and somebody gets into the carrier's straight way."""
    anybody = np.where(p.outfield, way_times(p)[..., STRAIGHT], np.inf).min(1) < np.inf
    room = give_way_m(p, line_height_m(p, p.back & p.goal_side)) > p.settings.contain_distance_m
    return np.asarray(outnumbered(p) & room & anybody)[:, None]


def _has_a_man(p: Picture) -> Bools:
    """(F, N) players who stand by an opponent without the ball, nearer to him than anybody else of ours.

    That is within 4 m; outnumbered, a runner is his within 12 m who is goal-side of him.
    """
    last = outnumbered(p)[:, None, None] & p.goal_side[..., None] & with_ball(p)[:, None]
    counts = p.opp_here[:, None] & ~p.is_holder[:, None] & p.outfield[..., None]
    apart = np.where(counts & (p.goal_side[..., None] | ~outnumbered(p)[:, None, None]), p.apart_m, np.inf)
    near = apart <= np.where(last, HIS_RUNNER_M, HIS_MAN_M)
    return np.asarray((near & (apart <= apart.min(1, keepdims=True))).any(-1))


def _round_him_s(p: Picture) -> Floats:
    """(F, N) what it costs a beaten player to get round a carrier and goal-side of him (D)."""
    behind = (p.own_goal_m - p.ball_goal_m[:, None]) / ROUND_HIM_M
    return np.asarray(ROUND_HIM_S * np.clip(np.nan_to_num(behind), 0.0, 1.0) * (p.holder >= 0)[:, None], float)


def confrontation_x(p: Picture) -> Floats:
    """(F,) where pressing begins; 10 m lower for each man short."""
    line, short = p.settings.confrontation_x_m, np.maximum(p.opp_here.sum(1) - p.own_here.sum(1), 0)
    everywhere = np.where(short > 0, HIGH_SHORT_X, np.inf)
    return np.asarray((everywhere if line is None else line) - METRES_LOWER * short, float)


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
    in_time = np.where(p.receiver >= 0, time <= pass_s, pick(way_times(p)[..., STRAIGHT], d.presser) <= s.in_time_s)
    in_time = np.where(p.state == v.LOOSE, time <= theirs_s(p), in_time)
    hold = (d.presser < 0) | p.is_state(v.GOAL_KICK, v.KEEPER_HOLDS)
    return np.where(hold, v.HOLD, np.where(in_time & ~outnumbered(p) & ~into_open(p, d), v.IN_TIME, v.LATE))


@once
def theirs_s(p: Picture) -> Floats:
    """(F,) when the first opponent is within reach of the ball; inf if there is none."""
    s = p.settings
    time = p.opp_running.time(p.opp, p.opp_velocity, p.focus[:, None], s.reaction_s, s.reach_m)
    return np.asarray(np.nan_to_num(time, nan=np.inf).min(1))


def into_open(p: Picture, d: Decisions) -> Bools:
    """(F,) a back-line player would have to run out for long to press a carrier: he drops and delays instead."""
    time = pick(p.to_focus_s, d.presser)
    last = pick(p.back & ~p.front, d.presser) & (d.presser >= 0)
    return np.asarray(last & (time > INTO_OPEN_S) & (p.receiver < 0) & (p.state == v.OPEN_PLAY))


@once
def outnumbered(p: Picture) -> Bools:
    """(F,) bypassed, and nobody on the ball within 1 s."""
    return np.asarray(bypassed(p) & (to_ball_s(p).min(1) > p.settings.covered_s))


@once
def bypassed(p: Picture) -> Bools:
    """(F,) no more defenders goal-side of the ball than attackers with it: its holder, who is ahead of it or level."""
    defenders = (p.outfield & (p.own[..., 0] < p.origin[:, :1])).sum(1)
    few = (defenders <= MOST_BYPASSED) & (defenders <= with_ball(p).sum(1))
    return np.asarray(few & (p.ball_goal_m < p.pitch.length_m * 0.6) & (p.state == v.OPEN_PLAY))


@once
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


CENTRE_M = 0.5  # within this of the middle line neither touchline is nearer (own choice)
INSIDE_LEAD = 2.0  # steer inside only if the surplus leads by this much (D)
LEAST_WEIGHT_M = 8.0  # options nearer than this count alike (D)
INTO_SHADOW_DEG = 5.0  # how far inside the shadow's edge an option is put (D)
HIDES_S = 8.0  # an option 8 m off in the shadow is worth a second (D)
OPENS, NEXT_MOST_S, NEAR_DECAY_M = 2.0, 3.0, 40.0  # price of the straight way; the next man counts as this late at most
AWAY_DEG = 45.0  # options that bear more than this off the ball-goal line are away-side options (D)
OFF_LINE_M = 2.0  # Law 15: opponents stand at least 2 m from the place of a throw-in
NEAR_GOAL_M = 25.0


@frame_rule
def choose_steer(p: Picture, d: Decisions) -> Ints:
    """Sign of the y to which the carrier is steered, 0 for none; (F,).

    Outside in the own third; elsewhere outside too unless the inside surplus leads by 2, or the press is broken and the
    ball is not near a touchline. Contested among coaches: settings steering="outside" and "inside".
    """
    central = np.abs(p.origin[:, 1]) < CENTRE_M
    out = np.where(central, 0, np.where(p.origin[:, 1] >= 0, 1, -1))
    if p.settings.steering != "to_surplus":
        return np.where(d.presser < 0, 0, out if p.settings.steering == "outside" else -out)
    left, right = surplus(p, d)
    lead = left - right
    by_surplus = np.where(central, np.sign(lead), np.where(-out * lead >= INSIDE_LEAD, -out, out))
    near_line = p.pitch.width_m / 2 - np.abs(p.origin[:, 1]) < p.settings.touchline_m
    back_in = broken(p) & ~near_line & ~central
    side = np.where(third(p.pitch, p.origin[:, 0]) == 0, out, np.where(back_in, -out, by_surplus))
    side = np.where((side == 0) & central, np.sign(np.nansum(p.own[..., 1], axis=1).round(6)), side)
    return np.where((d.presser < 0) | (p.state == v.LOOSE), 0, side).astype(int)


def surplus(p: Picture, d: Decisions) -> tuple[Floats, Floats]:
    """Own players minus opponents near the ball on its left (y above) and right; the touchline counts as 2."""
    ours = p.outfield & ~d.presses
    theirs = p.opp_here & ~p.opp_keeper & ~p.is_holder
    off = np.concatenate([p.own, p.opp], axis=1) - p.origin[:, None]
    counts = np.concatenate([1.0 * ours, -1.0 * theirs], axis=1) * (norm(off) <= p.settings.surplus_radius_m)
    edge = p.pitch.width_m / 2 - p.settings.touchline_m
    left, right = ((counts * (sign * off[..., 1] > 0)).sum(1) + (sign * p.origin[:, 1] > edge)
                   * p.settings.touchline_counts for sign in (1, -1))
    return left, right


def broken(p: Picture) -> Bools:
    """(F,) half or more of the midfielders and forwards are further from our goal than the ball."""
    beaten = p.front & ~p.goal_side
    return np.asarray((2 * beaten.sum(1) >= p.front.sum(1)) & p.front.any(1))


@frame_rule
def place_presser(p: Picture, d: Decisions) -> Floats:
    """Where the presser ends: goal-side, on the side to be denied, his shadow on the most away-side options; (F, 2).

    We know of no study that ties the approach angle to success; this is geometry (grade D). Who gives way further off
    stays in the ball's path: no further across than one who contains.
    """
    distance, contain = end_distance_m(p, d), p.settings.contain_distance_m
    angle = np.radians(approach_offset_deg(p, d)) * d.steer  # counter-clockwise is towards -y
    angle = np.arcsin(np.sin(angle) * contain / np.maximum(distance, contain))
    spot = p.focus + turned(p.goal_way, angle) * distance[:, None]
    return kept_out(p, p.pitch.inside(spot, 0.5))


def end_distance_m(p: Picture, d: Decisions) -> Floats:
    """(F,) pressed, contained when late, 2 m at a throw-in; onto a loose ball that he wins.

    Outnumbered, he gives way in the ball's path, no further off than he is and never behind his line, and engages
    about 20 m from goal.
    """
    s = p.settings
    line = p.back & p.goal_side & ~d.presses
    now = np.maximum(norm(pick(p.own, d.presser) - p.focus), s.contain_distance_m)
    gives_way = outnumbered(p) | into_open(p, d)
    contain = np.where(gives_way, np.minimum(give_way_m(p, line_height_m(p, line)), now), s.contain_distance_m)
    contain = np.where(p.ball_goal_m <= LAST_STAND_M, s.end_distance_m, contain)
    distance = np.where(d.timing == v.LATE, contain, s.end_distance_m)
    distance = np.where(p.state == v.THROW_IN, np.maximum(distance, OFF_LINE_M), distance)
    return np.where((p.state == v.LOOSE) & (d.timing == v.IN_TIME), 0.0, distance)


def kept_out(p: Picture, spot: Floats, some: Ints | slice = slice(None)) -> Floats:
    """Spots (F, ..., 2) of some frames, out of their area at a goal kick (Law 16) and while the keeper holds."""
    edge = p.pitch.length_m / 2 - PENALTY_AREA_M - 0.5
    waits = p.is_state(v.GOAL_KICK, v.KEEPER_HOLDS)[some].reshape(-1, *[1] * (spot.ndim - 2))
    in_area = waits & (spot[..., 0] > edge) & (np.abs(spot[..., 1]) < GOAL_WIDTH_M / 2 + PENALTY_AREA_M)
    return np.stack([np.where(in_area, edge, spot[..., 0]), spot[..., 1]], axis=-1)


def approach_offset_deg(p: Picture, d: Decisions) -> Floats:
    """The offset from the ball-goal line that is worth its price; (F,).

    It gains by what the shadow then hides on the away side, each option by its nearness. It costs the time by which the
    presser comes later, and the straight way that it opens: the more so the nearer the goal, and the later the next man
    gets into that way. All in seconds; of equal ones the smallest.
    """
    # How far each option bears off the line from focus to goal, on the away side.
    off_deg: Floats = np.degrees(bearing_rad(p.goal_way[:, None], p.met - p.focus[:, None])) * d.steer[:, None]
    away = p.opp_here & ~p.is_holder & (off_deg > AWAY_DEG)
    weight = np.where(away, 1 / np.maximum(norm(p.met - p.focus[:, None]), LEAST_WEIGHT_M), 0.0)
    trusted = p.settings.trusted_shadow_deg
    tries = np.clip(np.nan_to_num(off_deg) - (trusted - INTO_SHADOW_DEG), 0.0, offset_limit_deg(p)[:, None])
    tries = np.pad(np.where(weight > 0, tries, 0.0), ((0, 0), (0, 1)))
    hidden = (np.abs(off_deg[:, None] - tries[:, :, None]) <= trusted) * weight[:, None]
    worth = HIDES_S * np.nansum(hidden, axis=2) - _price_s(p, d, tries) - 1e-6 * tries
    best = np.take_along_axis(tries, worth.argmax(1)[:, None], 1)[:, 0]
    return np.where(d.steer == 0, 0.0, best)


def _price_s(p: Picture, d: Decisions, offset_deg: Floats) -> Floats:
    """(F, K) what each offset costs: the presser's delay, and the straight way opened."""
    s, angle = p.settings, np.radians(offset_deg) * d.steer[:, None]
    spots = p.focus[:, None] + turned(p.goal_way[:, None], angle) * s.end_distance_m
    him, his = pick(p.own, d.presser)[:, None], pick(p.own_velocity, d.presser)[:, None]
    late = p.own_running.at((np.arange(len(p)), d.presser, None)).time(him, his, spots)
    others = p.outfield & ~d.presses
    next_s = np.minimum(np.where(others, way_times(p)[..., STRAIGHT], np.inf).min(1), NEXT_MOST_S)
    near = np.exp(-norm(p.focus - p.goal) / NEAR_DECAY_M)
    opened = OPENS * (1 - np.cos(np.radians(offset_deg))) * (near * next_s)[:, None]
    return np.where((d.presser >= 0)[:, None], late - late.min(1, keepdims=True) + opened, 0.0)


def offset_limit_deg(p: Picture) -> Floats:
    """(F,) the largest offset allowed: smaller near the own goal, where the shot comes first."""
    attacking, middle, own, near = p.settings.approach_limits_deg
    by_third = np.array([own, middle, attacking])[third(p.pitch, p.focus[:, 0])]
    return np.where(norm(p.focus - p.goal) < NEAR_GOAL_M, near, by_third)
