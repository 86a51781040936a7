"""Faults of pressure and cover: who goes and how, the covers' depth, distance and side, and the gaps between them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.field.pitch import third
from pressinglib.field.player import ATTACKING, BACK, HOLDING
from pressinglib.roles.balance import cover_distance_m, find_gaps, shares
from pressinglib.roles.measures import to_ball_s
from pressinglib.roles.picture import Floats, norm, turned, unit
from pressinglib.roles.presser import INTO_SHADOW_DEG, NEAR_GOAL_M, beyond_confrontation, offset_limit_deg, outnumbered
from pressinglib.roles.snapshot import COMES_MPS, ENGAGED_M, LEVEL_M, FaultFound, Fix, Snapshot, found, move

EQUAL_S = 0.2  # two who are equal within this may each wait for the other (D)
TWO_ON_BALL_M, SAME_SIDE_DEG = 3.0, 60.0
THREE_ON_BALL_M = 5.0  # so near is at the ball (D)
ONE_PLACE_M, HAS_M, GOES_OFF_M = 2.0, 4.0, 6.0  # nearer than this is one place; a man so near is had (D)
AHEAD_DEG = 45.0  # straight on (D)
HOLDING_MAN_M = 5.0
WAITS_M = 10.0  # a block that waits this far from the ball is not asked to press (D)


def no_pressure(st: Snapshot) -> Iterator[FaultFound]:
    """Nobody goal-side within 4 m or a second, the carrier facing us, the ball in reach of the block."""
    first, end = st.sent() if _left_alone(st) else (None, st.ball)
    if first is not None:
        yield found((first,), move(first, end), m=st.ball_m[first])


def nobody_goes(st: Snapshot) -> Iterator[FaultFound]:
    """Two who are equally near in time, both more than 4 m off: each leaves it to the other."""
    time = np.where(st.p.goal_side, to_ball_s(st.p), np.inf)[0]
    a, b = (int(n) for n in time.argsort(kind="stable")[[0, min(1, len(time) - 1)]])
    level = a != b and time[b] < np.inf and time[b] - time[a] <= EQUAL_S and min(st.ball_m[[a, b]]) > ENGAGED_M
    if level and _left_alone(st):
        goes, other = (b, a) if st.sent()[0] == b else (a, b)
        yield found((a, b), move(goes, st.sent(goes)[1]), other=st.name(other))


def two_press(st: Snapshot) -> Iterator[FaultFound]:
    """Two within 3 m of the ball, from the same side, while a near opponent is free."""
    man = _free_near(st)
    if st.presser is None or man is None:
        return
    for n in map(int, np.flatnonzero(st.ball_m <= TWO_ON_BALL_M)):
        turn_deg = abs(float(st.bearing_deg(st.own[n]) - st.bearing_deg(st.own[st.presser]) + 180.0) % 360.0 - 180.0)
        if n != st.presser and turn_deg <= SAME_SIDE_DEG:
            yield found((st.presser, n), move(n, st.onto(man)), man=st.foe(man))


def three_at_ball(st: Snapshot) -> Iterator[FaultFound]:
    """Three or more within 5 m of the ball, while a near opponent is free."""
    man, nearest = _free_near(st), st.ball_m.argsort(kind="stable").tolist()
    round_ball = nearest[:int((st.ball_m <= THREE_ON_BALL_M).sum())]
    if man is not None and len(round_ball) >= 3:
        who = min(round_ball[1:], key=lambda n: float(st.to_opp_s[n, man]))
        yield found(round_ball, move(who, st.onto(man)), man=st.foe(man))


def two_in_one_place(st: Snapshot) -> Iterator[FaultFound]:
    """Two away from the ball stand less than 2 m apart, and have not a man each."""
    idle = st.outfield[(st.ball_m[st.outfield] > THREE_ON_BALL_M) & (norm(st.own_run[st.outfield]) < COMES_MPS)]
    for k, n in enumerate(map(int, idle)):
        for other in map(int, idle[k + 1:]):
            if st.apart_m(n, other) < ONE_PLACE_M and (norm(st.opp[st.counted] - st.own[n]) < HAS_M).sum() < 2:
                way = unit(st.own[other] - st.own[n]) * GOES_OFF_M
                off = (move(other, st.own[n] + sign * way, 1) for sign in (1, -1))
                yield found((n, other), *_take_a_man(st, other), *_take_a_man(st, n), *off, m=GOES_OFF_M)


def _free_near(st: Snapshot) -> int | None:
    """The free man in the short radius who matters most; None in front of our goal and where a trap is closed."""
    free = st.free & st.short
    if not free.any() or st.goal_m < NEAR_GOAL_M or st.bait == int(st.p.holder[0]):
        return None
    return int(np.where(free, shares(st.p, st.d)[0], -1.0).argmax())


def opens_own_man(st: Snapshot) -> Iterator[FaultFound]:
    """A free opponent in the short radius, not in the shadow, whose nearest defender is the presser: he was his.

    Not one behind the ball: a pass back beats nobody. Nor with the ball at their goalkeeper: with him they are one
    more, and whoever goes to him leaves somebody.
    """
    n = st.presser
    if n is None or (st.p.is_holder & st.p.opp_keeper)[0].any():
        return
    ahead = st.p.opp_goal_m[0] <= st.goal_m + LEVEL_M
    his = st.free & st.short & ahead & (st.to_opp_s.argmin(0) == n)
    if his.any():
        man = int(np.where(his, norm(st.opp - st.own[n]), np.inf).argmin())
        yield found((n,), *_shut(st, n, man), man=st.foe(man))


def midfield_stays(st: Snapshot) -> Iterator[FaultFound]:
    """A forward presses and nobody follows: the holding opponent ahead of the ball is free, nobody within 5 m.

    He to whom a back-line player is first is the line's man, not the midfield's.
    """
    n = st.presser
    ahead = st.short & (np.abs(st.bearing_deg(st.opp)) <= AHEAD_DEG)
    if n is None or st.line[n] < ATTACKING or not ahead.any():
        return
    man = int(np.where(ahead, st.p.pass_m[0], np.inf).argmin())
    others = st.outfield[st.outfield != n]
    midfield = others[(st.line[others] >= HOLDING) & (st.line[others] <= ATTACKING)]
    near = norm(st.own[others] - st.opp[man]).min(initial=np.inf)
    of_line = st.line[others[st.to_opp_s[others, man].argmin()]] == BACK if len(others) else False
    if st.free[man] and near > HOLDING_MAN_M and len(midfield) and not of_line:
        who = int(midfield[st.to_opp_s[midfield, man].argmin()])
        yield found((n, who), move(who, st.onto(man)), man=st.foe(man), m=near)


def _left_alone(st: Snapshot) -> bool:
    """A carrier who can play forward, this side of the line of confrontation, and nobody on him nor on his way to him.

    Two exceptions may be planned: a block that waits, all of it goal-side, well off the ball, but not in our own third,
    as in our corner; a line that gives way because it is outnumbered.
    """
    if not st.at_feet or st.covered_ball or beyond_confrontation(st.p)[0] or st.presser is not None:
        return False
    goal_side = st.p.goal_side[0]
    waits = goal_side[st.outfield].all() and st.ball_m.min() > WAITS_M and third(st.p.pitch, st.ball[0]) > 0
    comes_mps = (st.p.own_velocity[0] * unit(st.ball - st.own)).sum(-1)[goal_side & st.p.outfield[0]]
    return not (waits or outnumbered(st.p)[0] or (comes_mps > COMES_MPS).any())


def _shut(st: Snapshot, n: int, man: int) -> Iterator[Fix]:
    """The presser's shadow on his man, as far as the angle allows; else the next player takes the man."""
    off, limit = float(st.bearing_deg(st.opp[man])), float(offset_limit_deg(st.p)[0])
    angle = np.sign(off) * np.clip(abs(off) - st.p.settings.trusted_shadow_deg + INTO_SHADOW_DEG, 0.0, limit)
    end = st.ball + turned(st.to_goal, np.radians(angle)) * st.p.settings.end_distance_m
    yield move(n, end)
    others = st.outfield[st.outfield != n]
    if len(others):
        yield move(int(others[st.to_opp_s[others, man].argmin()]), st.onto(man), 1)


# -- Behind the presser: the covers' depth, distance and side, and the gaps between them.

DEPTH_M = 1.5
BAND_M = 1.5  # how far a cover may be from his distance (D)
SHOWS_DEG = 15.0  # a presser this far off the line to goal shows a side (D)
HELPERS = 3
WITH_HIM_M = 15.0  # where all are further from the presser than this, nobody covers a side (D)


def flat_cover(st: Snapshot) -> Iterator[FaultFound]:
    """A cover within his distance, who denies nobody, stands less than 1.5 m deeper than the presser.

    Not where another one of ours is within that distance and deeper: he who gets past the two meets the third. He
    belongs at cover distance, on the side on which he already is.
    """
    for n, presser in _idle(st):
        off = st.own - st.own[presser]
        within, deep = norm(off) <= cover_distance_m(st.p)[0] + BAND_M, off @ st.to_goal >= DEPTH_M
        if within[n] and not deep[n] and not (within & deep & st.p.outfield[0]).any():
            side = float(np.sign(st.bearing_deg(st.own[n]) - st.bearing_deg(st.own[presser])))
            drops = move(n, _behind(st, side * st.p.settings.cover_angle_deg))
            yield found((n,), drops, first=st.name(presser))


def cover_wrong_side(st: Snapshot) -> Iterator[FaultFound]:
    """The presser shows one side, all covers wait on the other, and nobody takes over on the side shown.

    Only where one is with him: a block that waits further off covers the middle, not a side.
    """
    if st.presser is None or not st.covers or st.apart_m(st.covers[0], st.presser) > WITH_HIM_M:
        return
    off = float(st.bearing_deg(st.own[st.presser]))
    shown = int(np.sign(off)) if abs(off) >= SHOWS_DEG else 0  # sign of the y to which his place shows the carrier
    late = st.d.take_over_s[0, 1 - shown] > st.p.settings.take_over_limit_s
    wrong = [n for n, _ in _idle(st) if shown * (st.own[n] - st.ball)[1] < 0]
    if shown and late and wrong and len(wrong) == len(st.covers):
        there = move(wrong[0], _behind(st, -shown * st.p.settings.cover_angle_deg))
        side = "left" if shown * st.p.side[0] > 0 else "right"
        yield found(wrong[:1], there, first=st.name(st.presser), side=side)


def gap_open(st: Snapshot, reached: bool = True) -> Iterator[FaultFound]:
    """A gap too wide and an open lane through it to an opponent; somebody still reaches him for his first touch.

    Of the others one drops onto the man; where there are none, one of the two.
    """
    if st.presser is None:
        return
    gaps = find_gaps(st.p, st.d)
    for g in np.flatnonzero(gaps.here[0] & (gaps.width_m > gaps.limit_m)[0]):
        left, right, man = int(gaps.left[0, g]), int(gaps.right[0, g]), int(gaps.man[0, g])
        if man >= 0 and st.near[man] and st.lane_open[man] and st.reached[man] == reached:
            pool = np.setdiff1d(st.outfield, (left, right, st.presser))
            pool = pool if len(pool) else st.outfield
            helpers = pool[st.to_opp_s[pool, man].argsort(kind="stable")][:HELPERS].tolist()
            drops = (move(n, st.onto(man)) for n in helpers)
            yield found((left, right), *drops, man=st.foe(man), m=st.apart_m(left, right))


def gap_open_with_man(st: Snapshot) -> Iterator[FaultFound]:
    """The same, and nobody reaches the receiver in time."""
    return gap_open(st, reached=False)


def _idle(st: Snapshot) -> list[tuple[int, int]]:
    """Covers who deny nobody, each with the presser: denying comes before nearness."""
    return [(n, st.presser) for n in st.covers if st.presser is not None and not (st.denies[n] & st.near).any()]


def _take_a_man(st: Snapshot, n: int) -> Iterator[Fix]:
    """Off, onto a near man whom nobody else denies, the one who matters most first."""
    others = np.delete(st.denies, n, axis=0).any(0)
    value = np.where(st.short & ~others, shares(st.p, st.d)[0], -np.inf)
    for man in value.argsort()[::-1][:HELPERS]:
        if np.isfinite(value[man]):
            yield move(n, st.onto(man), man=st.foe(man))


def _behind(st: Snapshot, off_deg: float) -> Floats:
    """The place at cover distance behind the presser, so far off the way to goal."""
    return st.own[st.presser] + turned(st.to_goal, np.radians(off_deg)) * cover_distance_m(st.p)[0]
