"""To which side the carrier is steered, and where and on what angle the presser ends."""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import GOAL_WIDTH_M, PENALTY_AREA_M, third
from pressinglib.physics.lanes import bearing_rad
from pressinglib.roles.decisions import Decisions, frame_rule, is_player
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, pick, turned
from pressinglib.roles.presser import LAST_STAND_M, STRAIGHT, give_way_m, into_open, line_height_m, outnumbered
from pressinglib.roles.settings import GOAL_KICK, IN_TIME, KEEPER_HOLDS, LATE, LOOSE, THROW_IN

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
    fixed = {"outside": 1, "inside": -1}.get(p.settings.steering)
    central = np.abs(p.origin[:, 1]) < CENTRE_M
    out = np.where(central, 0, np.where(p.origin[:, 1] >= 0, 1, -1))
    if fixed is not None:
        return np.where(d.presser < 0, 0, fixed * out)
    left, right = surplus(p, d)
    lead = left - right
    by_surplus = np.where(central, np.sign(lead), np.where(-out * lead >= INSIDE_LEAD, -out, out))
    back_in = broken(p) & ~_near_touchline(p) & ~central
    side = np.where(third(p.pitch, p.origin[:, 0]) == 0, out, np.where(back_in, -out, by_surplus))
    side = np.where((side == 0) & central, np.sign(np.nansum(p.own[..., 1], axis=1).round(6)), side)
    return np.where((d.presser < 0) | (p.state == LOOSE), 0, side).astype(int)


def surplus(p: Picture, d: Decisions) -> tuple[Floats, Floats]:
    """Own players minus opponents near the ball on its left (y above) and right; the touchline counts as 2."""
    ours = p.outfield & ~is_player(d.presser, p.line.shape[1])
    theirs = p.opp_here & ~p.opp_keeper & ~p.is_holder
    sides = []
    for sign in (1, -1):
        count = _near(p, p.own, ours, sign) - _near(p, p.opp, theirs, sign)
        line = p.pitch.width_m / 2 - sign * p.origin[:, 1] < p.settings.touchline_m
        sides.append(count + line * p.settings.touchline_counts)
    return sides[0], sides[1]


def _near(p: Picture, xy: Floats, who: Bools, sign: int) -> Floats:
    off = xy - p.origin[:, None]
    near = who & (norm(off) <= p.settings.surplus_radius_m) & (sign * off[..., 1] > 0)
    return np.asarray(near.sum(1, dtype=float))


def broken(p: Picture) -> Bools:
    """(F,) half or more of the midfielders and forwards are further from our goal than the ball."""
    beaten = p.front & ~p.goal_side
    return np.asarray((2 * beaten.sum(1) >= p.front.sum(1)) & p.front.any(1))


def _near_touchline(p: Picture) -> Bools:
    return np.asarray(p.pitch.width_m / 2 - np.abs(p.origin[:, 1]) < p.settings.touchline_m)


@frame_rule
def place_presser(p: Picture, d: Decisions) -> Floats:
    """Where the presser ends: goal-side, on the side to be denied, his shadow on the most away-side options; (F, 2).

    No study ties the approach angle to success; this is geometry (grade D). Who gives way further off stays in the
    ball's path: no further across than one who contains.
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
    line = p.back & p.goal_side & ~is_player(d.presser, p.line.shape[1])
    now = np.maximum(norm(pick(p.own, d.presser) - p.focus), s.contain_distance_m)
    gives_way = outnumbered(p) | into_open(p, d)
    contain = np.where(gives_way, np.minimum(give_way_m(p, line_height_m(p, line)), now), s.contain_distance_m)
    contain = np.where(p.ball_goal_m <= LAST_STAND_M, s.end_distance_m, contain)
    distance = np.where(d.timing == LATE, contain, s.end_distance_m)
    distance = np.where(p.state == THROW_IN, np.maximum(distance, OFF_LINE_M), distance)
    return np.where((p.state == LOOSE) & (d.timing == IN_TIME), 0.0, distance)


def kept_out(p: Picture, spot: Floats) -> Floats:
    """Spots (F, ..., 2) moved out of their penalty area at a goal kick or while their keeper holds the ball."""
    edge = p.pitch.length_m / 2 - PENALTY_AREA_M - 0.5
    waits = p.is_state(GOAL_KICK, KEEPER_HOLDS).reshape(-1, *[1] * (spot.ndim - 2))
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
    weight = np.where(_away_side(p, off_deg), 1 / np.maximum(norm(p.met - p.focus[:, None]), LEAST_WEIGHT_M), 0.0)
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
    others = p.outfield & ~is_player(d.presser, p.line.shape[1])
    next_s = np.minimum(np.where(others, d.way_s[..., STRAIGHT], np.inf).min(1), NEXT_MOST_S)
    near = np.exp(-norm(p.focus - p.goal) / NEAR_DECAY_M)
    opened = OPENS * (1 - np.cos(np.radians(offset_deg))) * (near * next_s)[:, None]
    return np.where((d.presser >= 0)[:, None], late - late.min(1, keepdims=True) + opened, 0.0)


def _away_side(p: Picture, off_deg: Floats) -> Bools:
    return p.opp_here & ~p.is_holder & (off_deg > AWAY_DEG)


def offset_limit_deg(p: Picture) -> Floats:
    """(F,) the largest offset allowed: smaller near the own goal, where the shot comes first."""
    attacking, middle, own, near = p.settings.approach_limits_deg
    by_third = np.array([own, middle, attacking])[third(p.pitch, p.focus[:, 0])]
    return np.where(norm(p.focus - p.goal) < NEAR_GOAL_M, near, by_third)
