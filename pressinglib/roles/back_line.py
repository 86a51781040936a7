"""The back line: shifts with the ball, holds, steps or drops by the pressure on the ball; and the goalkeeper."""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import PENALTY_AREA_M
from pressinglib.field.player import GOALKEEPER
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import Running
from pressinglib.roles import settings as v
from pressinglib.roles.balance import LONG_RUN_M, block_reference, minding_places, recovery_spots
from pressinglib.roles.decisions import Decisions, Jobs, frame_rule
from pressinglib.roles.measures import in_box, least_total, marked, slack_m
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Bools, Floats, Ints, Picture, norm, once, unit
from pressinglib.roles.presser import LAST_STAND_M, into_open, outnumbered, theirs_s, with_ball

# The goalkeeper: on the ball-goal line, high enough for the ball over the top, not so high as to be chipped.
HEIGHTS_M = np.arange(1.0, 26.0)
LANDING_BEHIND_M = np.array([6.0, 12.0, 18.0, 24.0])  # how far behind the line the ball over the top lands
CHIP_MPS, CHIP_DEG = 18.0, 45.0
CHIP_GRACE_S = 0.3  # ... with a short fade (D)
CATCH_M = 1.5  # reach of a goalkeeper at full stretch (P)
BEHIND_LINE_M = 8.0  # he keeps this room to his line: his to sweep (D)
SOFT = 0.35  # how sharply the best height is chosen, in races won (D)


@frame_rule
def place_goalkeeper(p: Picture, d: Decisions) -> Floats:
    """(F, 2) the height that wins most races to the ball over the top among those from which he is not chipped.

    Heights that win about as often are averaged, so that he does not jump by a metre for nothing. To a loose ball that
    is his he comes out.
    """
    way = unit(p.origin - p.goal)
    places = p.goal + way[:, None] * HEIGHTS_M[:, None]
    score = _races_won(p, places) - 4.0 * np.clip(chip_late_s(p, HEIGHTS_M) / CHIP_GRACE_S, 0.0, 1.0)
    weight = np.exp((score - score.max(1, keepdims=True)) / SOFT)
    height = (weight * HEIGHTS_M).sum(1) / weight.sum(1)
    height = np.minimum(height, np.maximum(p.ball_goal_m - 2.0, 0.5))
    line = np.where(d.role == v.BACK_LINE, d.anchor[..., 0], np.inf).min(1) + p.pitch.length_m / 2  # inf: none
    height = np.minimum(height, np.maximum(line - BEHIND_LINE_M, 1.0))
    place = np.where(comes_out(p, d)[:, None], p.focus, p.goal + way * height[:, None])
    return p.pitch.inside(place, 0.5)


def comes_out(p: Picture, d: Decisions) -> Bools:
    """(F,) a loose ball at which the goalkeeper is before any opponent, and nobody else of ours is."""
    time = p.own_arrival(p.focus[:, None], p.settings.reaction_s, p.settings.reach_m)
    time = np.where(p.line == GOALKEEPER, time, np.inf).min(1)
    return np.asarray((p.state == v.LOOSE) & (d.timing == v.LATE) & (time < theirs_s(p)))


def keeper_running(p: Picture) -> Running:
    """The law of running of our goalkeeper (F, 1)."""
    return p.own_running.at((np.arange(len(p)), (p.line == GOALKEEPER).argmax(1), None))


def _races_won(p: Picture, places: Floats) -> Floats:
    """(F, H) soft number of landing places, in the middle and in the channels, that he reaches before any runner."""
    x = np.where(p.back, p.own[..., 0], np.inf).min(1)
    line = np.where(np.isfinite(x), x, -p.pitch.length_m / 2 + 16.5)
    landing = landing_places(p, line, (-14.0, 0.0, 14.0))
    late = sweeping_s(p, places, landing) - first_behind_s(p, landing)[:, None]
    return np.asarray((1 / (1 + np.exp(np.clip(late / 0.3, -50, 50)))).sum(-1))


def landing_places(p: Picture, line_x: Floats, across_m: tuple[float, ...] = (0.0,)) -> Floats:
    """(F, L, 2) where a ball over a line (F,) comes down: in front of the goal line, a little to the ball's side."""
    x = np.maximum(line_x[:, None] - LANDING_BEHIND_M, 2.0 - p.pitch.length_m / 2)
    y = np.array(across_m) + 0.3 * p.origin[:, 1:2]
    return np.stack([np.repeat(x, len(across_m), axis=1), np.tile(y, (1, len(LANDING_BEHIND_M)))], axis=-1)


def first_behind_s(p: Picture, landing: Floats) -> Floats:
    """(F, L) when the first runner is at a landing place (F, L, 2), not before the ball."""
    runner = p.opp_running.at(np.s_[:, :, None]).time(p.opp[:, :, None], p.opp_velocity[:, :, None], landing[:, None])
    fly = lofted_time(norm(landing - p.origin[:, None]), p.settings.switch_mps, SWITCH_ANGLE_DEG)
    return np.maximum(np.where(p.receivers[..., None], runner, np.inf).min(1), fly)


def sweeping_s(p: Picture, places: Floats, landing: Floats) -> Floats:
    """(F, H, L) when a goalkeeper who stands at a place (F, H, 2) is there."""
    gap = norm(places[:, :, None] - landing[:, None]) - p.settings.reach_m
    return keeper_running(p).at(np.s_[..., None]).rest_time(gap) + p.settings.reaction_s


def chip_late_s(p: Picture, height_m: Floats) -> Floats:
    """(F, H) by how much a goalkeeper so far off his goal is back too late for a chip that drops under the bar."""
    fly = lofted_time(p.ball_goal_m, CHIP_MPS, CHIP_DEG)
    return np.asarray(keeper_running(p).rest_time(height_m - CATCH_M) + p.settings.reaction_s - fly[:, None])


# -- The line.

LONG_BALL_M = 45.0  # a ball further from the line than this cannot hurt it at once (D)
FADE_M = 10.0
FADE_S = 0.5  # the line does not wait for the last tenth of a second: it moves by degrees (D)
MOST_UP_M, MOST_BACK_M = 4.0, 5.0  # how far a line moves towards its block height in one picture (D)
BACK_PASS_MPS = 3.0
FACING_AWAY_DEG = 100.0
NARROW = 0.85
DEEPEST_M, BEFORE_BALL_M = (5.0, 11.0), 8.0  # how near the goal line a line drops (P)
MOST_ACROSS_M = 7.0  # how far a line shifts across in one picture, about 2 s (D; measured on match data)
SLIDE_M = 12.0  # ... and the neighbour of one who has left it (D)
MINDS_M, RUNNER_S, RUNNER_DECAY_M = 2.0, 6.0, 20.0  # metres off the runner; what he is worth (D)
HIS_MAN_M, STAYS_M = 12.0, 6.0  # a man this near, and nearest to him, is his; at a throw-in he stays with him (D)


@frame_rule
def choose_back_line(p: Picture, d: Decisions) -> Jobs:
    """Anchors of the back line: across by the block, in depth from where the line is, towards its block height.

    Covered ball: hold, or step up by 4 m on a back pass; open ball: drop by 5 m and narrow. The line is as high as its
    men who are goal-side of the ball; who is not runs back. Outnumbered, each of the last men minds a runner.
    """
    who = p.back & (d.role == v.BACK_LINE)
    late = who & ~p.goal_side & (p.back & p.goal_side).any(1, keepdims=True)
    line = who & ~late
    left, whole = _left(p, d, who), block_reference(p, np.zeros_like(who))
    closed, neighbour = block_reference(p, left) if left.any() else whole, _neighbour(p, left, who)
    reference = np.where(neighbour[..., None], closed, (closed + whole) / 2)
    current, drop, own_line = _mean(line, p.own[..., 0]), drop_m(p), -p.pitch.length_m / 2
    step = p.settings.line_step_m * (_back_pass(p) & (drop < 0.5))
    height = current + np.clip(_mean(line, reference[..., 0]) - current, -MOST_BACK_M, MOST_UP_M)
    height = np.where(drop > 0, np.minimum(height, current - drop), np.maximum(height, current + step))
    # No line steps up to within 8 m of the ball, nor stands deeper than the penalty spot, or a ball nearer to the line.
    height = np.minimum(height, np.maximum(current, p.focus[:, 0] - BEFORE_BALL_M))
    height = np.maximum(height, own_line + np.clip(p.focus[:, 0] - own_line - BEFORE_BALL_M, *DEEPEST_M))
    # Outnumbered, it runs back (at most 10 m in one picture) towards 20 m from goal.
    stand = np.maximum(current - 10.0, own_line + LAST_STAND_M)
    height = np.where(outnumbered(p), np.minimum(height, stand), height)
    anchors = _line_anchors(p, d, line, reference, height, drop)
    most_x = p.own[..., 0] + np.where(drop > 0, 0.0, MOST_UP_M)[:, None]
    anchors[..., 0] = np.where(line, np.minimum(anchors[..., 0], most_x), anchors[..., 0])
    mark, anchors = _minding(p, d, line, height, anchors)
    anchors = np.where(late[..., None], recovery_spots(p), anchors)
    move = (height - current)[:, None]
    moves = np.where(move < -2.0, v.DROP_LINE, np.where(move > 2.0, v.STEP_UP, v.HOLD_LINE))
    duty = np.where(late, v.RECOVER, np.where(mark >= 0, v.MIND, moves))
    # From a throw-in nobody is offside (Law 11), and in front of our goal a line does not help: there who has a man
    # stays with him.
    man, off_m = _his_man(p, d, line)
    in_front = (p.origin[:, :1] < own_line + PENALTY_AREA_M) & in_box(p) & ~marked(p, mark)
    free = p.is_state(v.THROW_IN)[:, None] | np.take_along_axis(in_front, man, 1) & (mark < 0)
    stays = (off_m <= STAYS_M) & free
    anchors = np.where(stays[..., None], np.take_along_axis(minding_places(p), man[..., None], 1), anchors)
    return Jobs(who, np.where(stays, v.DENY, duty), np.where(stays, man, mark), anchors)


def _minding(p: Picture, d: Decisions, line: Bools, height: Floats, anchors: Floats) -> tuple[Ints, Floats]:
    """Outnumbered: each of the last men has a runner, the worst first, and stays between him, the ball and the goal.

    He stands on the runner's way to goal, at the height of the line or goal-side of the runner, whichever is deeper.
    """
    runs = with_ball(p) & ~p.is_holder & ~marked(p, d.mark) & outnumbered(p)[:, None]
    goal_side = unit(p.goal - p.met) * MINDS_M + p.met
    deeper = np.minimum(height[:, None] - goal_side[..., 0], 0.0)
    way = p.goal - goal_side
    places = goal_side + way * np.clip(deeper / np.minimum(way[..., 0], -0.1), 0.0, 1.0)[..., None]
    worth = RUNNER_S * np.exp(-norm(p.met - p.goal) / RUNNER_DECAY_M)
    in_reach = runs[:, None] & (norm(places[:, None] - p.own[:, :, None]) < LONG_RUN_M)
    cost = np.where(in_reach, p.own_arrival(places[:, None]) - worth[:, None], np.inf)
    man = least_total(cost, line, runs)
    place = np.take_along_axis(places, np.maximum(man, 0)[..., None], 1)
    place[..., 0] = np.minimum(place[..., 0], p.own[..., 0])
    return man, p.pitch.inside(np.where((man >= 0)[..., None], place, anchors), 0.5)


def _left(p: Picture, d: Decisions, who: Bools) -> Bools:
    """(F, N) who has left the line; one who gives way before a carrier has not."""
    return p.back & ~who & ~(outnumbered(p) | into_open(p, d))[:, None]


def _neighbour(p: Picture, left: Bools, who: Bools) -> Bools:
    """(F, N) the player of the line next to one who has left it."""
    apart = np.where(who[:, :, None] & left[:, None], np.abs(p.own[:, :, None, 1] - p.own[:, None, :, 1]), np.inf)
    return np.asarray((np.isfinite(apart) & (apart <= apart.min(1, keepdims=True))).any(-1))


def _mean(who: Bools, values: Floats) -> Floats:
    """(F,) of some players; 0 of nobody."""
    return np.where(who, values, 0.0).sum(1) / np.maximum(who.sum(1), 1)


def openness(p: Picture) -> Floats:
    """(F,) 0 for a covered ball, 1 for an open one, with a short fade between."""
    time = np.where(p.outfield, p.own_arrival(p.origin[:, None]), np.inf).min(1)
    time = time - np.where(p.receiver >= 0, norm(p.origin - p.ball) / p.settings.ball_mps, 0.0)
    fade = np.clip((time - p.settings.covered_s) / FADE_S, 0.0, 1.0)
    covered = faces_away(p) | (p.ball_height_m > 1.0) | _back_pass(p)
    if p.settings.open_ball == "playable":
        covered = covered | (p.own_goal_m < p.ball_goal_m[:, None] - 1.0).all(1) & (time < 2.0)
    return np.where(covered | p.is_state(v.THROW_IN, v.GOAL_KICK), 0.0, fade)


def drop_m(p: Picture) -> Floats:
    """(F,) how far the line drops: all of the setting for an open ball within range of a long pass."""
    away = p.focus[:, 0] - _mean(p.back, p.own[..., 0])
    in_range = np.clip((LONG_BALL_M - away) / FADE_M, 0.0, 1.0)
    return p.settings.line_drop_m * openness(p) * in_range


@once
def faces_away(p: Picture) -> Bools:
    """(F,) the holder's body is turned from our goal; unknown counts as facing it."""
    facing = np.where(p.is_holder, np.nan_to_num(p.facing_rad, nan=0.0), 0.0).sum(1)
    known = (p.is_holder & np.isfinite(p.facing_rad)).any(1)
    way = unit(p.goal - p.origin)
    cosine = np.cos(facing) * way[:, 0] + np.sin(facing) * way[:, 1]
    return np.asarray(known & (cosine < np.cos(np.radians(FACING_AWAY_DEG))))


def _back_pass(p: Picture) -> Bools:
    return np.asarray((p.receiver >= 0) & (p.ball_velocity[:, 0] > BACK_PASS_MPS))


def _line_anchors(p: Picture, d: Decisions, who: Bools, reference: Floats, height: Floats, drop: Floats) -> Floats:
    """Across towards the block (at most 7 m), narrower with an open ball; on one line with the block's gentle bow.

    Where somebody has left the line, the others close half the gap: the neighbour slides, the far ones hold.
    """
    middle_x, middle_y = (_mean(who, reference[..., k])[:, None] for k in (0, 1))
    squeeze = 1 - (1 - NARROW) * np.clip(drop / 5.0, 0.0, 1.0)
    x = reference[..., 0] - middle_x + height[:, None]
    y = middle_y + (reference[..., 1] - middle_y) * squeeze[:, None]
    most = np.where(_neighbour(p, _left(p, d, who), who), SLIDE_M, MOST_ACROSS_M)
    y = _with_his_man(p, d, who, p.own[..., 1] + np.clip(y - p.own[..., 1], -most, most), x)
    return p.pitch.inside(np.stack([x, y], axis=-1), 0.5)


def _with_his_man(p: Picture, d: Decisions, who: Bools, y: Floats, x: Floats) -> Floats:
    """(F, N) y of the anchors, drawn out where a player would leave the man he has and nobody else takes him."""
    man, off_m = _his_man(p, d, who)
    there = np.take_along_axis(p.opp, man[..., None], 1)
    limit = np.take_along_axis(slack_m(p, p.settings.control_time_s), man, 1)
    across = np.sqrt(np.maximum(limit**2 - (x - there[..., 0]) ** 2, 0.0))
    return np.where(off_m <= HIS_MAN_M, np.clip(y, there[..., 1] - across, there[..., 1] + across), y)


def _his_man(p: Picture, d: Decisions, who: Bools) -> tuple[Ints, Floats]:
    """(F, N) the nearest opponent to whom he is the nearest of these nobody's yet, and how far; inf: none."""
    apart = np.where(who[..., None], p.apart_m, np.inf)
    free = p.receivers & ~marked(p, d.mark)
    his = np.where(free[:, None] & (apart <= apart.min(1, keepdims=True)), apart, np.inf)
    return his.argmin(-1), his.min(-1)
