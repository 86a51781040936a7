"""Faults of the whole team: the far side, the length of the block, and who is behind the ball."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.field.player import BACK
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles.balance import FAR_M, far_man, guard_spots, limit_m, recovery_spots, switch_s
from pressinglib.roles.decisions import BEHIND_BALL_M
from pressinglib.roles.picture import OPEN_S, Floats, Ints, norm
from pressinglib.roles.presser import MOST_BYPASSED, broken
from pressinglib.roles.snapshot import COMES_MPS, FaultFound, Fix, Snapshot, found, move

OFF_CENTRE_M = 5.0  # with the ball nearer to the middle than this there is no far side (D)
LONG_BLOCK_M = 45.0  # 29.7 +- 6.3 m, longer in 2 of 100 frames: own measurement in the match of Bassek et al. 2025
HALFWAY_M = 2.0  # a line this near to the halfway line, its spread, is on it (D)
SHORTER_M = 1.0  # ... and this much shorter once it is mended
WIDE_SLACK_M = 8.0  # a guard who could tuck in by this much stands too wide (D)
HIS_MAN_M, TUCK_M = 6.0, 3.0  # a man so near and further out is his; so far he comes in (D)
KEPT = 0.9  # share of the limit that a mended far side uses
COUNTER_SHARE = 0.6  # of the pitch's length: a ball further off is no counter-attack (D)


def far_side_too_narrow(st: Snapshot) -> Iterator[FaultFound]:
    """A midfielder or forward is left for the far side, but a switch is there before him."""
    if _front(st, far=True):
        yield from _go_out(st)


def no_balance(st: Snapshot) -> Iterator[FaultFound]:
    """An opponent in the far third of the width, and no midfielder or forward on that side of the pitch."""
    man = _far_man(st)
    if man is not None and not _front(st, far=True) and st.opp[man, 1] < -st.p.pitch.width_m / 6:
        yield from _go_out(st)


def far_side_too_wide(st: Snapshot) -> Iterator[FaultFound]:
    """The far-side player stands wider than a switch demands, and a free man is in the gap he leaves inside."""
    far = _front(st, far=True)
    y = np.where(st.counted & (st.opp[:, 1] < min(st.ball[1] - FAR_M, 0.0)), st.opp[:, 1], np.inf)
    man = int(y.argmin())
    if not far or y[man] == np.inf:
        return
    guard = min(far, key=lambda n: float(st.own[n, 1]))
    spare_m = float(limit_m(st.p, np.array([man]))[0] - norm(st.own[guard] - st.opp[man]))
    inner, free = _inside_gap(st, guard)
    if spare_m >= WIDE_SLACK_M and inner is not None and free is not None:
        ways = (st.onto(free) - st.own[guard], (st.own[inner] - st.own[guard]) / 2)  # as far as a switch allows
        tucked = (move(guard, st.own[guard] + way * min(1.0, KEPT * spare_m / max(float(norm(way)), 1e-9)), k)
                  for k, way in enumerate(ways))
        yield found((guard,), *tucked, m=spare_m, wide=st.foe(man), man=st.foe(free), inner=st.name(inner))


def far_side_runs_out(st: Snapshot) -> Iterator[FaultFound]:
    """One of the far side runs out, away from the ball, though no switch asks for it and no man out there is his."""
    if not st.at_feet or abs(st.ball[1]) < OFF_CENTRE_M or _far_man(st) is not None:
        return
    for n in _front(st, far=True):
        outside = st.counted & (st.opp[:, 1] < st.own[n, 1]) & (norm(st.opp - st.own[n]) < HIS_MAN_M)
        if st.own_run[n, 1] < -COMES_MPS and not outside.any():
            yield found((n,), move(n, st.own[n] + (0.0, min(TUCK_M, float(st.ball[1] - st.own[n, 1])))))


def block_too_long(st: Snapshot) -> Iterator[FaultFound]:
    """More than 45 m from the first player to the last, presser and goalkeeper left out.

    Not while the press is broken: then half of the front is on its way back. Nor with the line on the halfway line:
    nobody is offside in his own half, so further up it only leaves room behind.
    """
    who = st.outfield[st.outfield != st.presser]
    excess_m = float(np.ptp(st.own[who, 0])) - LONG_BLOCK_M if len(who) else 0.0
    if excess_m <= 0 or broken(st.p)[0] or st.own[who, 0].min() > -HALFWAY_M:
        return
    first, last = (int(who[k]) for k in (st.own[who, 0].argmax(), st.own[who, 0].argmin()))
    up = _drawn_in(st, who, st.own[last, 0] + excess_m + SHORTER_M, 1)
    down = _drawn_in(st, who, st.own[first, 0] - excess_m - SHORTER_M, -1)
    long_m = np.ceil(LONG_BLOCK_M + excess_m)  # what is called too long is never said to be as long as allowed
    yield found((first, last), Fix(up), Fix(down, 1), m=long_m, most=LONG_BLOCK_M)


def not_goal_side(st: Snapshot) -> Iterator[FaultFound]:
    """Fewer of us goal-side of the ball than attackers, the carrier among them, with the ball near enough to hurt."""
    back = st.p.outfield[0] & (st.p.goal_side[0] | (st.own[:, 0] < st.ball[0]))
    ours, theirs = int(back.sum()), int((st.counted & (st.opp[:, 0] < st.ball[0])).sum()) + 1
    late = sorted((int(n) for n in st.outfield if not back[n]), key=lambda n: float(st.p.own_goal_m[0, n]))
    if ours >= theirs or ours > MOST_BYPASSED or st.goal_m > COUNTER_SHARE * st.p.pitch.length_m or not late:
        return
    run = {n: recovery_spots(st.p)[0, n] for n in late[: theirs - ours]}
    yield found(run, Fix(run), theirs=theirs, ours=ours)


def _far_man(st: Snapshot) -> int | None:
    """The widest far-side opponent the line does not reach when a switch does, if nobody else does either.

    None where no switch can be played: with the ball in the middle there is no far side, to a man behind the ball it is
    no switch, and a carrier who faces his own goal plays none.
    """
    man = int(far_man(st.p, st.d.mark)[0])
    if abs(st.ball[1]) < OFF_CENTRE_M or man < 0 or st.p.opp_goal_m[0, man] > st.goal_m + BEHIND_BALL_M:
        return None
    if st.faces_away or not st.to_deny[man]:
        return None
    late_s = st.to_opp_s[:, man].min() - switch_s(st.p)[0, man]
    return man if late_s > OPEN_S else None


def _front(st: Snapshot, far: bool = False) -> list[int]:
    """Midfielders and forwards, the presser left out; with `far` those on the far side of the pitch."""
    return [int(n) for n in st.outfield if st.p.front[0, n] and n != st.presser and (not far or st.own[n, 1] < 0)]


def _go_out(st: Snapshot) -> Iterator[FaultFound]:
    """He who is first at the man out there, of midfield and attack, goes out just far enough."""
    man = _far_man(st)
    guard = min(_front(st), key=lambda n: float(st.to_opp_s[n, man]), default=None) if man is not None else None
    if man is not None and guard is not None:
        limit = limit_m(st.p, np.array([man]))
        spot = guard_spots(st.p, st.p.own, np.array([man]), KEPT * limit)[0, guard]
        yield found((guard,), move(guard, spot), man=st.foe(man), m=limit[0])


def _inside_gap(st: Snapshot, guard: int) -> tuple[int | None, int | None]:
    """The guard's neighbour in front of the line, and the nearest free opponent in a gap too wide between them."""
    inside = [int(n) for n in st.outfield if st.line[n] > BACK and st.own[n, 1] > st.own[guard, 1]]
    inner = min(inside, key=lambda n: float(st.own[n, 1]), default=None)
    if inner is None:
        return None, None
    way = st.own[inner] - st.own[guard]
    limit_m = float(gap_limit(norm(st.own[guard] + way / 2 - st.ball)))
    there = st.free & (st.opp[:, 1] > st.own[guard, 1]) & (st.opp[:, 1] < st.own[inner, 1])
    wide = norm(way) > limit_m and there.any()
    return inner, int(np.where(there, st.pass_m, np.inf).argmin()) if wide else None


def _drawn_in(st: Snapshot, who: Ints, x: float, sign: int) -> dict[int, Floats]:
    """Players beyond x on one end, put on it."""
    return {int(n): np.array([x, st.own[n, 1]]) for n in who if sign * (x - st.own[n, 0]) > 0}
