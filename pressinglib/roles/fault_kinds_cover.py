"""Faults behind the presser: the covers' depth, distance and side, and the gaps between them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.roles.cover import cover_distance_m
from pressinglib.roles.gaps import find_gaps
from pressinglib.roles.marking import denial_places, goal_side_places
from pressinglib.roles.options import option_value
from pressinglib.roles.picture import Floats, norm, turned
from pressinglib.roles.standing import Found, Mend, Standing

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
