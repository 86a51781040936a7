"""To which side the carrier is steered, and where and on what angle the presser ends."""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import GOAL_WIDTH_M, PENALTY_AREA_M, third
from pressinglib.roles.decisions import Decisions, is_player
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned, unit
from pressinglib.roles.presser import give_way_m, line_height_m, outnumbered
from pressinglib.roles.settings import GOAL_KICK, IN_TIME, KEEPER_HOLDS, LATE, LOOSE, THROW_IN

CENTRE_M = 0.5  # within this of the middle line neither touchline is nearer (own choice)
INSIDE_LEAD = 2.0  # steer inside only if the surplus leads by this much (D)
LEAST_WEIGHT_M = 8.0  # options nearer than this count alike (D)
INTO_SHADOW_DEG = 5.0  # how far inside the shadow's edge an option is put (D)
AWAY_DEG = 45.0  # options that bear more than this off the ball-goal line are away-side options (D)
OFF_LINE_M = 2.0  # Law 15: opponents stand at least 2 m from the place of a throw-in
NEAR_GOAL_M = 25.0


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

    Outnumbered, he gives way in the ball's path, never behind his line, and engages about 20 m from goal.
    """
    s = p.settings
    line = p.back & ~is_player(d.presser, p.line.shape[1])
    contain = np.where(outnumbered(p), give_way_m(p, line_height_m(p, line)), s.contain_distance_m)
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
    """The smallest offset from the ball-goal line whose shadow hides the greatest weight of away-side options; (F,)."""
    off_deg = _bearing_deg(p) * d.steer[:, None]  # how far an option bears off the goal line on the away side
    weight = np.where(_away_side(p, off_deg), 1 / np.maximum(norm(p.opp - p.focus[:, None]), LEAST_WEIGHT_M), 0.0)
    trusted = p.settings.trusted_shadow_deg
    tries = np.clip(np.nan_to_num(off_deg) - (trusted - INTO_SHADOW_DEG), 0.0, offset_limit_deg(p)[:, None])
    tries = np.where(weight > 0, tries, 0.0)
    hidden = (np.abs(off_deg[:, None] - tries[:, :, None]) <= trusted) * weight[:, None]
    total = np.nansum(hidden, axis=2)
    best = total >= total.max(1, keepdims=True) - 1e-9
    offset = np.where(best, tries, np.inf).min(1)
    return np.where(d.steer == 0, 0.0, offset)


def _away_side(p: Picture, off_deg: Floats) -> Bools:
    return p.opp_here & ~p.is_holder & (off_deg > AWAY_DEG)


def _bearing_deg(p: Picture) -> Floats:
    """(F, M) bearing of opponents off the line from the focus to the goal, degrees, counter-clockwise."""
    way = unit(p.opp - p.focus[:, None])
    gx, gy = p.goal_way[:, None, 0], p.goal_way[:, None, 1]
    return np.degrees(np.arctan2(gx * way[..., 1] - gy * way[..., 0], gx * way[..., 0] + gy * way[..., 1]))


def offset_limit_deg(p: Picture) -> Floats:
    """(F,) the largest offset allowed: smaller near the own goal, where the shot comes first."""
    attacking, middle, own, near = p.settings.approach_limits_deg
    by_third = np.array([own, middle, attacking])[third(p.pitch, p.focus[:, 0])]
    return np.where(norm(p.focus - p.goal) < NEAR_GOAL_M, near, by_third)
