"""The gaps between presser and covers, as seen from the ball."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.lanes import bearing_rad, gap_limit
from pressinglib.roles.decisions import Decisions, Gaps, is_player
from pressinglib.roles.marking import BEHIND_BALL_M, held_by_line, in_shadow, marked, worth
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm
from pressinglib.roles.settings import COVER, NOBODY, PRESSURE

BEHIND_M = 1.0  # a man is behind a gap if he is this much further from the ball than its middle
BASE = 0.15
VALUE_DECAY_M = 25.0
LEAST_TOP = 0.08  # a man who matters less than this is never worth all of ... (D)
MAN_S = 4.0  # seconds of running that the most dangerous free man is worth; others in proportion (D)
SHADOW_SHARE = 0.5  # what is left of a man's value in the presser's shadow, which moves (D)


def find_gaps(p: Picture, d: Decisions) -> Gaps:
    """Neighbours of presser and covers by bearing from the ball; width and gap rule; the man who matters behind.

    The limit is the teaching rule: reach 1 m, ball 15 m/s, reaction 0.3 s, players 5 m/s in a straight line.
    """
    spots = np.where(is_player(d.presser, p.line.shape[1])[..., None], d.end_xy[:, None], d.anchor)
    member = (d.role == COVER) | is_player(d.presser, p.line.shape[1])
    bearing = np.where(member, _bearing(p, spots), np.inf)
    order = bearing.argsort(1)[:, : max(int(member.sum(1).max(initial=0)), 1)]
    left, right = order[:, :-1], order[:, 1:]
    here = np.isfinite(np.take_along_axis(bearing, right, 1))
    a, b = (np.take_along_axis(spots, i[..., None], 1) for i in (left, right))
    middle = (a + b) / 2
    inside = _between(p, np.take_along_axis(bearing, left, 1), np.take_along_axis(bearing, right, 1), middle)
    man = _man_behind(p, d, inside & here[..., None])
    return Gaps(here, left, right, middle, norm(a - b), gap_limit(norm(middle - p.origin[:, None])), man)


def _bearing(p: Picture, xy: Floats) -> Floats:
    """(F, n) angle off the line from the ball to the goal, counter-clockwise, of points (F, n, 2)."""
    return bearing_rad(p.goal_way[:, None], xy - p.origin[:, None])


def _between(p: Picture, left: Floats, right: Floats, middle: Floats) -> Bools:
    """(F, G, M) opponents whose bearing lies between two neighbours and who are beyond the gap."""
    seen = _bearing(p, p.opp)[:, None]
    beyond = norm(p.opp - p.origin[:, None])[:, None] > norm(middle - p.origin[:, None])[..., None] + BEHIND_M
    with np.errstate(invalid="ignore"):
        return np.asarray((left[..., None] < seen) & (seen < right[..., None]) & beyond)


def man_value(p: Picture, d: Decisions) -> Floats:
    """(F, M) how much a free opponent matters to the balance: the nearer to ball and goal, the more (own measure, D).

    Less in the presser's shadow, and nothing where a back-line player is there before his first touch.
    """
    held = held_by_line(p, d.role == PRESSURE, p.settings.control_time_s)
    free = p.opp_here & ~p.is_holder & ~p.offside & ~p.opp_keeper & ~marked(p, d.mark) & ~held
    ahead = np.clip((p.ball_goal_m[:, None] + BEHIND_BALL_M - p.opp_goal_m) / 10.0 + 1.0, 0.0, 1.0)
    value = (BASE + worth(p, p.opp)) * np.exp(-norm(p.opp - p.origin[:, None]) / VALUE_DECAY_M) * ahead
    return np.where(free, value * np.where(in_shadow(p, d), SHADOW_SHARE, 1.0), 0.0)


def behind_gaps(p: Picture, d: Decisions) -> Bools:
    """(F, M) the opponents who matter most behind some gap."""
    return np.asarray((d.gaps.man[:, :, None] == np.arange(p.opp.shape[1])).any(1))


def _man_behind(p: Picture, d: Decisions, inside: Bools) -> Ints:
    value = np.where(inside, man_value(p, d)[:, None], 0.0)
    return np.where(value.max(-1, initial=0.0) > 0, value.argmax(-1), NOBODY)
