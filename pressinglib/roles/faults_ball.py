"""Faults behind the presser: the covers' depth, distance and side, and the gaps between them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.field.player import ATTACKING, HOLDING
from pressinglib.roles.approach import INTO_SHADOW_DEG, NEAR_GOAL_M, offset_limit_deg
from pressinglib.roles.cover import cover_distance_m
from pressinglib.roles.gaps import find_gaps
from pressinglib.roles.marking import denial_places, goal_side_places, option_value
from pressinglib.roles.picture import Floats, norm, turned, unit
from pressinglib.roles.presser import outnumbered
from pressinglib.roles.snapshot import COMES_MPS, ENGAGED_M, LEVEL_M, Found, Mend, Standing
from pressinglib.tables import by_number, listed

# -- Faults at the ball: nobody goes, two go, or one goes in a way that opens more than it closes.


EQUAL_S = 0.2  # two who are equal within this may each wait for the other (D)
TWO_ON_BALL_M, SAME_SIDE_DEG = 3.0, 60.0
AT_END_M = 2.5  # a presser this near has ended his run (D)
STRAIGHT_DEG = 15.0  # less than this off the line to goal shows no side (D)
AHEAD_DEG, SQUARE_DEG = 45.0, 135.0  # exits: straight on, and to either side; what lies behind is no exit (D)
HOLDING_MAN_M = 5.0
WAITS_M = 10.0  # a block that waits this far from the ball is not asked to press (D)


def no_pressure(st: Standing) -> Iterator[Found]:
    """Nobody goal-side within 4 m or a second, the carrier facing us, the ball in reach of the block."""
    first, end = st.sent() if _left_alone(st) else (None, st.ball)
    if first is not None:
        who = st.name(first)
        yield Found((first,), f"Their {_carrier(st)} has time and his head up: {who}, the first who could be there, is "
                    f"{st.ball_m[first]:.0f} m off. Every pass and every run behind the line is on.",
                    (Mend(f"{who}: go, brake early and end an arm's length off, goal-side.", {first: end}),))


def nobody_goes(st: Standing) -> Iterator[Found]:
    """Two who are equally near in time, both more than 4 m off: each leaves it to the other."""
    time = np.where(st.p.goal_side & st.p.outfield, st.p.to_ball_s, np.inf)[0]
    a, b = (int(n) for n in time.argsort(kind="stable")[[0, min(1, len(time) - 1)]])
    if a == b or not _left_alone(st) or not time[b] - time[a] <= EQUAL_S or min(st.ball_m[[a, b]]) <= ENGAGED_M:
        return
    goes = b if st.sent()[0] == b else a
    other = a if goes == b else b
    yield Found((a, b), f"{st.name(a)} and {st.name(b)} are equally near the ball, and each waits for the other.",
                (Mend(f"{st.name(goes)}: call it and go. {st.name(other)}: cover behind him.",
                      {goes: st.sent(goes)[1]}),))


def two_press(st: Standing) -> Iterator[Found]:
    """Two within 3 m of the ball, from the same side, while a near opponent is free."""
    if st.presser is None or (st.ball_m <= TWO_ON_BALL_M).sum() < 2 or st.goal_m < NEAR_GOAL_M or st.sprung:
        return
    free = st.free & st.short
    if not free.any():
        return
    man = int(np.where(free, option_value(st.p, st.d)[0], -1.0).argmax())
    first, foe = st.name(st.presser), st.foe(man)
    for n in map(int, np.flatnonzero(st.ball_m <= TWO_ON_BALL_M)):
        if n != st.presser and _turn_deg(st, n, st.presser) <= SAME_SIDE_DEG:
            mend = f"{first} presses alone. {st.name(n)}: leave the ball and get onto the lane to {foe}."
            yield Found((st.presser, n), f"{first} and {st.name(n)} press the ball from one side, and {foe} is free.",
                        (Mend(mend, {n: denial_places(st.p)[0, man]}),))


def straight_press(st: Standing) -> Iterator[Found]:
    """The presser ends on the ball-goal line, and two of the three short exits stay open."""
    n = st.presser
    if n is None or st.ball_m[n] > AT_END_M or st.goal_m < NEAR_GOAL_M or abs(_off_deg(st, st.own[n])) >= STRAIGHT_DEG:
        return
    free = [m for m in _exits(st) if st.lane_open[m]]
    if len(free) >= 2:
        foes = listed(sorted((st.p.opp_number(0, m) for m in free), key=by_number))
        yield Found((n,), f"{st.name(n)} comes straight on and shows no side: their {foes} stay open.",
                    tuple(Mend(_arc(st, n, end), {n: end}) for end in _bent_ends(st)))


def opens_own_man(st: Standing) -> Iterator[Found]:
    """A free opponent in the short radius, not in the shadow, whose nearest defender is the presser: he was his.

    Not one behind the ball: a pass back beats nobody.
    """
    n = st.presser
    if n is None:
        return
    ahead = st.p.opp_goal_m[0] <= st.goal_m + LEVEL_M
    his = st.free & st.short & ahead & (st.to_opp_s.argmin(0) == n)
    if his.any():
        man = int(np.where(his, norm(st.opp - st.own[n]), np.inf).argmin())
        yield Found((n,), f"{st.name(n)} has left {st.foe(man)} to press, and nobody has picked him up: one pass beats "
                    "him.", tuple(_shut(st, n, man)))


def midfield_stays(st: Standing) -> Iterator[Found]:
    """A forward presses and nobody follows: the holding opponent ahead of the ball is free, nobody within 5 m."""
    n = st.presser
    ahead = st.short & (np.abs(st.bearing_deg(st.opp)) <= AHEAD_DEG)
    if n is None or st.line[n] < ATTACKING or not ahead.any():
        return
    man = int(np.where(ahead, st.pass_m, np.inf).argmin())
    others = st.outfield[st.outfield != n]
    midfield = others[(st.line[others] >= HOLDING) & (st.line[others] <= ATTACKING)]
    near = norm(st.own[others] - st.opp[man]).min(initial=np.inf)
    if st.free[man] and near > HOLDING_MAN_M and len(midfield):
        who = int(midfield[st.to_opp_s[midfield, man].argmin()])
        yield Found((n, who), f"{st.name(n)} presses and the midfield stays: {st.foe(man)} is free ahead of the ball, "
                    f"the nearest of us {near:.0f} m from him.",
                    (Mend(f"{st.name(who)}: step up with the press and deny {st.foe(man)}.",
                          {who: denial_places(st.p)[0, man]}),))


def _left_alone(st: Standing) -> bool:
    """An open ball that nobody is on, nor on his way to. Two exceptions that may be planned: a block that waits, all of
    it goal-side, well off the ball; and a line that gives way because it is outnumbered."""
    waits = bool(st.p.goal_side[0][st.outfield].all() and st.ball_m.min() > WAITS_M)
    return st.open_ball and st.presser is None and not (waits or outnumbered(st.p)[0] or _somebody_comes(st))


def _somebody_comes(st: Standing) -> bool:
    """One of those goal-side runs at the ball: he need not be told to go."""
    comes_mps = (st.p.own_velocity[0] * unit(st.ball - st.own)).sum(-1)
    return bool((comes_mps[st.p.goal_side[0] & st.p.outfield[0]] > COMES_MPS).any())


def _carrier(st: Standing) -> str:
    return st.p.opp_number(0, int(st.p.carrier[0]))


def _off_deg(st: Standing, xy: Floats) -> float:
    return float(st.bearing_deg(xy))


def _turn_deg(st: Standing, n: int, other: int) -> float:
    """Angle between two players as seen from the ball."""
    return abs((_off_deg(st, st.own[n]) - _off_deg(st, st.own[other]) + 180.0) % 360.0 - 180.0)


def _exits(st: Standing) -> list[int]:
    """The nearest opponent in the short radius straight on, to the left and to the right of the carrier."""
    off = st.bearing_deg(st.opp)
    sides = [np.abs(off) <= AHEAD_DEG] + [(sign * off > AHEAD_DEG) & (sign * off <= SQUARE_DEG) for sign in (1, -1)]
    return [int(np.where(st.short & side, st.pass_m, np.inf).argmin()) for side in sides if (st.short & side).any()]


def _bent_ends(st: Standing) -> list[Floats]:
    """Where an arc would end: by the rulebook, else as far round as the place allows, to either side."""
    reach = st.p.settings.end_distance_m
    by_rule = st.sent(st.presser)[1]
    limit = np.radians(min(float(offset_limit_deg(st.p)[0]), 45.0))
    return [by_rule, *(st.ball + turned(st.to_goal, sign * limit) * reach for sign in (1, -1))]


def _arc(st: Standing, n: int, end: Floats) -> str:
    return f"{st.name(n)}: come in an arc from the {st.side(-_off_deg(st, end))}, so that your shadow shuts that side."


def _shut(st: Standing, n: int, man: int) -> Iterator[Mend]:
    """The presser's shadow on his man, as far as the angle allows; else the next player takes the man."""
    off, limit = _off_deg(st, st.opp[man]), float(offset_limit_deg(st.p)[0])
    angle = np.sign(off) * np.clip(abs(off) - st.p.settings.trusted_shadow_deg + INTO_SHADOW_DEG, 0.0, limit)
    end = st.ball + turned(st.to_goal, np.radians(angle)) * st.p.settings.end_distance_m
    yield Mend(f"{st.name(n)}: bend the run so that your shadow lies on {st.foe(man)}.", {n: end})
    others = st.outfield[st.outfield != n]
    if len(others):
        who = int(others[st.to_opp_s[others, man].argmin()])
        yield Mend(f"{st.name(who)}: take {st.foe(man)} when {st.name(n)} goes.", {who: denial_places(st.p)[0, man]})


# -- Faults behind the presser: the covers' depth, distance and side, and the gaps between them.


DEPTH_M = 1.5
BAND_M = 1.5  # how far a cover may be from his distance (D)
TOO_NEAR = 0.5  # nearer than this share of his distance, one turn beats both (D)
SHOWS_DEG = 15.0  # a presser this far off the line to goal shows a side (D)
GAP_M = 3.0  # who drops into a gap stands at most this far off the man (D)
HELPERS = 3


def flat_cover(st: Standing) -> Iterator[Found]:
    """A cover within his distance, who denies nobody, stands less than 1.5 m deeper than the presser.

    Not where another one of ours is within that distance and deeper: he who gets past the two meets the third.
    """
    for n, presser in _idle(st):
        within = norm(st.own - st.own[presser]) <= _distance_m(st) + BAND_M
        deep = (st.own - st.own[presser]) @ st.to_goal >= DEPTH_M
        if within[n] and not deep[n] and not (within & deep & st.p.outfield[0]).any():
            yield Found((n,), f"{st.name(n)} stands flat with {st.name(presser)}: one pass or one turn beats both.",
                        (Mend(f"{st.name(n)}: drop behind {st.name(presser)}, towards our goal.", {n: _spot(st, n)}),))


def cover_too_near(st: Standing) -> Iterator[Found]:
    """A cover who denies nobody stands so near to the presser that both are beaten at once."""
    for n, presser in _idle(st):
        apart_m = st.apart_m(n, presser)
        if apart_m < TOO_NEAR * _distance_m(st):
            yield Found((n,), f"{st.name(n)} is {apart_m:.1f} m from {st.name(presser)}: who beats one beats both.",
                        (*_come_off(st, n, presser), *_take_a_man(st, n)))


def cover_too_far(st: Standing) -> Iterator[Found]:
    """The nearest is beyond cover distance, denies nobody, and nobody meets a carrier who gets past in time."""
    late = st.d.take_over_s[0, 1] > st.p.settings.take_over_limit_s
    n, presser = next(_idle(st), (-1, -1))
    if late and n >= 0 and n == st.covers[0] and st.apart_m(n, presser) > _distance_m(st) + BAND_M:
        first = st.name(presser)
        yield Found((n,), f"{st.name(n)}, the nearest to {first}, is {st.apart_m(n, presser):.0f} m away: past {first} "
                    "nobody meets the carrier in time.",
                    (Mend(f"{st.name(n)}: come to {_distance_m(st):.0f} m behind {first}, on the line to our goal.",
                          {n: _behind(st, 0.0)}),))


def cover_wrong_side(st: Standing) -> Iterator[Found]:
    """The presser shows one side, all covers wait on the other, and nobody takes over on the side shown."""
    shown, idle = _shown(st), [n for n, _ in _idle(st)]
    late = st.d.take_over_s[0, 1 - shown] > st.p.settings.take_over_limit_s
    wrong = [n for n in idle if shown * (st.own[n] - st.ball)[1] < 0]
    if shown and late and wrong and len(wrong) == len(st.covers) and st.presser is not None:
        n, presser, side = wrong[0], st.name(st.presser), st.side(shown)
        yield Found((n,), f"{presser} shows him to the {side}, but {st.name(n)} covers on the other side: the way he "
                    "is pushed is open.",
                    (Mend(f"{st.name(n)}: come across to the {side}, behind {presser}.",
                          {n: _behind(st, -shown * st.p.settings.cover_angle_deg)}),))


def gap_open(st: Standing) -> Iterator[Found]:
    """A gap too wide and an open lane through it to an opponent; somebody still reaches him for his first touch."""
    for left, right, man in _open_gaps(st):
        if st.reached[man]:
            yield _gap(st, left, right, man, f"the pass through to {st.foe(man)} is on.")


def gap_open_with_man(st: Standing) -> Iterator[Found]:
    """The same, and nobody reaches the receiver in time."""
    for left, right, man in _open_gaps(st):
        if not st.reached[man]:
            yield _gap(st, left, right, man, f"{st.foe(man)} waits behind it and can turn before anybody is there.")


def _idle(st: Standing) -> Iterator[tuple[int, int]]:
    """Covers who deny nobody, each with the presser: denying comes before nearness."""
    for n in st.covers:
        if st.presser is not None and not (st.denies[n] & st.near).any():
            yield n, st.presser


def _come_off(st: Standing, n: int, presser: int) -> Iterator[Mend]:
    """Back to cover distance, on the side on which he is or on the line to goal."""
    change = f"{st.name(n)}: come off, to {_distance_m(st):.0f} m behind {st.name(presser)}"
    yield Mend(f"{change}.", {n: _spot(st, n)})
    yield Mend(f"{change}, on the line to our goal.", {n: _behind(st, 0.0)})


def _take_a_man(st: Standing, n: int) -> Iterator[Mend]:
    """Away from the presser onto a near man whom nobody else denies, the one who matters most first."""
    others = np.delete(st.denies, n, axis=0).any(0)
    value = np.where(st.short & ~others, option_value(st.p, st.d)[0], -np.inf)
    for man in value.argsort()[::-1][:HELPERS]:
        if np.isfinite(value[man]):
            yield Mend(f"{st.name(n)}: come off and deny {st.foe(int(man))}.", {n: denial_places(st.p)[0, man]})


def _distance_m(st: Standing) -> float:
    return float(cover_distance_m(st.p)[0])


def _behind(st: Standing, off_deg: float) -> Floats:
    """The place at cover distance behind the presser, so far off the way to goal."""
    return st.own[st.presser] + turned(st.to_goal, np.radians(off_deg)) * _distance_m(st)


def _spot(st: Standing, n: int) -> Floats:
    """Where the cover belongs: at cover distance, on the side on which he already is."""
    side = float(np.sign(st.bearing_deg(st.own[n]) - st.bearing_deg(st.own[st.presser])))
    return _behind(st, side * st.p.settings.cover_angle_deg)


def _shown(st: Standing) -> int:
    """Sign of the y to which the presser's place shows the carrier; 0 for none."""
    off = 0.0 if st.presser is None else float(st.bearing_deg(st.own[st.presser]))
    return int(np.sign(off)) if abs(off) >= SHOWS_DEG else 0


def _open_gaps(st: Standing) -> Iterator[tuple[int, int, int]]:
    """Neighbours too far apart, and the opponent who matters most behind the gap, if his lane is open."""
    if st.presser is None:
        return
    gaps = find_gaps(st.p, st.d)
    for g in np.flatnonzero(gaps.here[0] & (gaps.width_m > gaps.limit_m)[0]):
        man = int(gaps.man[0, g])
        if man >= 0 and st.near[man] and st.lane_open[man]:
            yield int(gaps.left[0, g]), int(gaps.right[0, g]), man


def _gap(st: Standing, left: int, right: int, man: int, hurt: str) -> Found:
    """One of the others drops onto the man; where there are none, one of the two."""
    others = [int(n) for n in st.outfield if n not in (left, right, st.presser)]
    pool = np.array(others or st.outfield)
    helpers = pool[st.to_opp_s[pool, man].argsort(kind="stable")][:HELPERS]
    place, wide_m = goal_side_places(st.p, GAP_M)[0, man], st.apart_m(left, right)
    return Found((left, right), f"The gap between {st.name(left)} and {st.name(right)} is {wide_m:.0f} m wide: {hurt}",
                 tuple(Mend(f"{st.name(n)}: drop onto {st.foe(man)}, goal-side, shaded to the ball.", {int(n): place})
                       for n in helpers))
