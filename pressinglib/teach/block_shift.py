"""The block shifts as one: ten players the same way, so far that nobody in it or behind it is left alone.

How far is own arithmetic on the clocks of the rulebook (grade D): a man is left alone if none of the ten is within
reach of him at his first touch, were the ball passed to him now. Men beyond the block, higher than its foremost player,
are not the block's.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from pressinglib.field.block import lined_up_xy
from pressinglib.field.situation import Situation
from pressinglib.physics.motion import rest_arrival_time
from pressinglib.roles.picture import Bools, Floats, norm
from pressinglib.roles.plan import Plan
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.standing import Standing
from pressinglib.teach.placed import placed
from pressinglib.teach.set_number import Band

TRIES_M = np.arange(0.0, 25.01, 0.25)


def in_block(situation: Situation) -> Situation:
    """The pressing team in its block for this ball, at rest.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> in_block(scene("worked scene")).player("pressing", "9").xy
    (24.6, 5.0)
    """
    places = lined_up_xy(tuple(p.slot for p in situation.pressing), situation.ball_xy, situation.pitch)
    return replace(situation, pressing=tuple(
        replace(p, xy=(round(float(x), 1), round(float(y), 1)), velocity=(0.0, 0.0))
        for p, (x, y) in zip(situation.pressing, places, strict=True)))


def ten_shifted(situation: Situation, metres: float) -> Situation:
    """All but the goalkeeper so many metres across, towards the ball, as far as the pitch goes.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> start = scene("worked scene")
    >>> [ten_shifted(start, 3.0).player("pressing", number).xy for number in ("9", "1")]
    [(27.0, 1.0), (-33.0, 1.0)]
    """
    return across(situation, [p.number for p in situation.pressing if not p.is_goalkeeper], _way(situation) * metres)


def across(situation: Situation, numbers: Iterable[str], metres: float) -> Situation:
    """Some of the pressing team so many metres to their left, as far as the pitch goes.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> [across(scene("worked scene"), ["9"], m).player("pressing", "9").xy for m in (-3.0, 99.0)]
    [(27.0, -5.0), (27.0, 34.0)]
    """
    half_y = situation.pitch.corner_xy[1]
    stood = {n: situation.player("pressing", n).xy for n in numbers}
    return placed(situation, {n: (x, float(np.clip(y + metres, -half_y, half_y))) for n, (x, y) in stood.items()})


def ten_band(plan: Plan) -> Band:
    """From how few to how many metres leave nobody alone; an empty band if no shift does.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> low, best, high = ten_band(plan_press(scene("behind the midfield")))
    >>> low > high
    True
    """
    st = Standing.of(plan.situation, plan.rulebook)
    half_y, way = plan.situation.pitch.corner_xy[1], _way(plan.situation) * st.p.side[0]
    ten = np.repeat(st.own[None, st.outfield], len(TRIES_M), axis=0)
    ten[..., 1] = np.clip(ten[..., 1] + way * TRIES_M[:, None], -half_y, half_y)
    good = np.flatnonzero(~_alone(st, ten).any(-1))
    if len(good) < 2 or good[-1] - good[0] >= len(good):
        return Band(1.0, 0.0, 0.0)  # none, or none that a learner could reason out
    low, high = (float(TRIES_M[k]) for k in good[[0, -1]])
    return Band(low, (low + high) / 2, high)


def left_alone(situation: Situation, rulebook: Rulebook) -> tuple[str, ...]:
    """Numbers of the men in the block or behind it whom none of the ten reaches for a first touch.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> left_alone(scene("behind the midfield"), Rulebook())
    ('11', '2', '3', '7', '9')
    """
    st = Standing.of(situation, rulebook)
    alone = _alone(st, st.own[st.outfield])
    return tuple(sorted(st.p.opp_number(0, int(m)) for m in np.flatnonzero(alone)))


def _alone(st: Standing, ten: Floats) -> Bools:
    """(..., M) the same for places of the ten (..., 10, 2), who shift across alone: offside stays as it is."""
    s = st.p.settings
    away_m = np.maximum(norm(ten[..., None, :] - st.opp) - s.reach_m, 0.0)
    there_s = rest_arrival_time(away_m, s.alpha_per_s, s.top_speed_mps).min(-2) + s.reaction_s
    inside = st.counted & (st.opp[:, 0] <= ten[..., 0].max(-1)[..., None])
    return np.asarray(inside & (there_s > st.p.pass_s[0] + s.control_time_s))


def _way(situation: Situation) -> float:
    """1 if the ball lies to the left of the ten's middle, -1 if to the right."""
    middle = np.mean([p.xy[1] for p in situation.pressing if not p.is_goalkeeper])
    return 1.0 if situation.ball_xy[1] >= middle else -1.0
