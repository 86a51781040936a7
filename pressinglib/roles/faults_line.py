"""Faults of the last line, of movement (seen from the picture before, or from speeds), and of the whole team."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.field.player import BACK, GOALKEEPER
from pressinglib.physics.lanes import gap_limit
from pressinglib.roles import back_line
from pressinglib.roles.back_line import faces_away
from pressinglib.roles.balance import FAR_M, far_man, guard_spots, limit_m, recovery_spots, switch_s
from pressinglib.roles.picture import OPEN_S, Bools, Floats, Ints, norm, unit
from pressinglib.roles.presser import MOST_BYPASSED, broken, outnumbered
from pressinglib.roles.snapshot import COMES_MPS, LEVEL_M, FaultFound, Fix, Snapshot, found, move

OUT_M = 4.0  # a back-line player this much higher than the rest has stepped out (D)
RUNNER_M = 8.0  # an opponent this near to the line's height can run into the hole (D)
RACE_S = 0.1  # a race lost by less is open (D)
RUNS_BACK_MPS = 3.0  # a line that goes back faster than this is running, not holding (D)
LEAST_LINE = 3  # fewer are no line


def full_back_steps(st: Snapshot) -> Iterator[FaultFound]:
    """A back-line player has stepped out, nobody has slid across nor is on his way, and an opponent is at the hole."""
    line = np.flatnonzero(st.p.back[0])
    if len(line) < LEAST_LINE:
        return
    out = int(line[st.own[line, 0].argmax()])
    rest = line[line != out]
    back = np.array([np.median(st.own[rest, 0]), st.own[out, 1]])
    runner = _runner(st, back, rest) if st.own[out, 0] - back[0] >= OUT_M else None
    if runner is None:
        return
    across_mps = (st.p.own_velocity[0, rest] * unit(st.opp[runner] - st.own[rest])).sum(-1)
    if (across_mps > COMES_MPS).any():  # one of the line is on his way: he need not be told to
        return
    near = int(min(rest, key=lambda n: abs(float(st.own[n, 1] - st.opp[runner, 1]))))
    slide = st.onto(runner)
    # The others close up half the way, no further than a line shifts in one picture.
    close_m = np.clip((slide[1] - st.own[near, 1]) / 2, -back_line.MOST_ACROSS_M, back_line.MOST_ACROSS_M)
    across = Fix({**{int(n): st.own[n] + (0.0, close_m) for n in rest}, near: slide})
    yield found((out, near), across, move(out, back, 1), man=st.foe(runner))


def _runner(st: Snapshot, left: Floats, rest: Ints) -> int | None:
    """The opponent nearest to the place that was left, at the height of the line, whom nobody reaches for his touch."""
    y = st.own[rest, 1]
    low, high = y[y < left[1]].max(initial=-np.inf), y[y > left[1]].min(initial=np.inf)
    in_hole = (st.opp[:, 1] > low) & (st.opp[:, 1] < high) & (np.abs(st.opp[:, 0] - left[0]) <= RUNNER_M)
    there = np.where(st.counted & in_hole & (st.opp[:, 0] < st.ball[0]) & ~st.reached, norm(st.opp - left), np.inf)
    return int(there.argmin()) if np.isfinite(there.min(initial=np.inf)) else None


def broken_line(st: Snapshot) -> Iterator[FaultFound]:
    """With a covered ball one hangs back behind all others by more than the spread, and plays an opponent onside.

    Not while the line runs back: then he who is deepest covers the race.
    """
    line = np.flatnonzero(st.p.back[0])
    if len(line) < LEAST_LINE or not st.covered_ball or np.median(st.p.own_velocity[0, line, 0]) < -RUNS_BACK_MPS:
        return
    deepest, second = (int(n) for n in line[st.own[line, 0].argsort(kind="stable")][:2])
    height = float(st.own[second, 0])
    behind_m = height - float(st.own[deepest, 0])
    kept_on = st.counted & (st.opp[:, 0] < min(height, st.ball[0], 0.0))
    if behind_m > st.p.settings.line_spread_m and kept_on.any():
        man = st.foe(np.where(kept_on, st.opp[:, 0], np.inf).argmin())
        level = move(deepest, np.array([height, st.own[deepest, 1]]))
        yield found((deepest,), level, man=man, m=behind_m, second=st.name(second))


def keeper_too_high(st: Snapshot) -> Iterator[FaultFound]:
    """A chip of 18 m/s at 45 degrees comes down in the goal before he is back."""
    for n in _keeper(st):
        if st.at_feet and back_line.chip_late_s(st.p, st.p.own_goal_m[:, [n]])[0, 0] > back_line.CHIP_GRACE_S:
            yield found((n,), move(n, _best(st)), m=st.p.own_goal_m[0, n])


def keeper_too_deep(st: Snapshot) -> Iterator[FaultFound]:
    """A runner is first to a ball over the top that the goalkeeper, in his place, would win."""
    for n in _keeper(st):
        if (lost := _lost_s(st, st.own[n]) > RACE_S).any():
            best = _best(st)
            if (lost & (_lost_s(st, best) < 0)).any() and norm(best - st.p.goal) > st.p.own_goal_m[0, n]:
                yield found((n,), move(n, best), m=st.p.own_goal_m[0, n])


def _keeper(st: Snapshot) -> list[int]:
    return np.flatnonzero(st.line == GOALKEEPER).tolist()


def _best(st: Snapshot) -> Floats:
    """Where the rulebook puts the goalkeeper behind the line as it stands."""
    return np.asarray(st.rulebook.place_goalkeeper(st.p, st.d)[0])


def _lost_s(st: Snapshot, place: Floats) -> Floats:
    """(L,) by how much a runner is first at each landing place: before a goalkeeper at `place` and all of us."""
    p, s = st.p, st.p.settings
    landing = back_line.landing_places(p, np.where(p.back, p.own[..., 0], 0.0).min(1))
    us = np.where(p.outfield[..., None], p.own_arrival(landing[:, None], s.reaction_s, s.reach_m), np.inf).min(1)
    ours = np.minimum(us, back_line.sweeping_s(p, place[None, None], landing)[:, 0])
    return np.asarray((ours - back_line.first_behind_s(p, landing))[0])


# -- Movement.

DIVE_M, DIVE_MPS = 2.0, 3.0
CLOSE_BALL_M = 1.0  # a ball further from the carrier's feet is anybody's (D)
FIRST_TOUCH_MPS = 3.0  # a ball that still rolls faster past the receiver is not under control (D)
LINE_MPS = 1.5  # a line that moves slower than this holds (D)
RUNS_MPS = 4.0  # towards our goal: a run behind the line (D)
RUNNER_BEHIND_M = 10.0  # an opponent this near to the line's height can run behind it (D)
IN_AIR_M = 1.0


def diving_in(st: Snapshot) -> Iterator[FaultFound]:
    """The presser comes on at more than 3 m/s inside 2 m, at a carrier who sees him and has the ball close."""
    n = st.presser
    if n is None or st.ball_m[n] > DIVE_M or st.closing_mps[n] <= DIVE_MPS or faces_away(st.p)[0]:
        return
    if norm(st.opp[st.p.carrier[0]] - st.ball) > CLOSE_BALL_M:  # he has let it run
        return
    near_m, off_m = st.p.settings.end_distance_m, st.p.settings.contain_distance_m
    yield found((n,), move(n, _off(st, n, near_m)), move(n, _off(st, n, off_m), 1), mps=st.closing_mps[n], m=off_m)


def late_jump(st: Snapshot) -> Iterator[FaultFound]:
    """Their man got the ball since the picture before and has it under control; ours comes too fast to hold him up."""
    if st.before is None or not st.at_feet or faces_away(st.p)[0] or st.before.situation.on_ball == st.carrier:
        return
    if norm(st.p.ball_velocity[0] - st.p.opp_velocity[0, st.p.carrier[0]]) > FIRST_TOUCH_MPS:  # it is not his yet
        return
    able = st.p.outfield[0] & (st.p.own_goal_m[0] < st.goal_m + LEVEL_M)
    n = int(np.where(able, st.ball_m, np.inf).argmin())
    s, mps = st.p.settings, float(st.closing_mps[n])
    comes = DIVE_M < st.ball_m[n] and mps > DIVE_MPS and st.ball_m[n] - s.running.braking_m(mps) < s.end_distance_m
    if able[n] and comes:
        places = (st.sent(n, late=True)[1], _off(st, n, s.contain_distance_m))
        yield found((n,), *(move(n, place) for place in places), m=s.contain_distance_m)


def runs_up_open(st: Snapshot) -> Iterator[FaultFound]:
    """The back line, or one of it, goes up though the carrier has time to play behind it; not he who goes to the ball.
    """
    back = _back(st) & st.p.goal_side[0]
    if not back.any() or not _open(st) or (st.before is not None and not _open(st.before)):
        return
    up_mps = np.where(back, st.up_mps - max(-_forward_mps(st), 0.0), -np.inf)
    who = back & (up_mps > (LINE_MPS if np.median(up_mps[back]) > LINE_MPS and back.sum() >= LEAST_LINE else COMES_MPS))
    who &= np.arange(len(back)) != st.sent()[0]
    off_m = np.where(st.counted, np.abs(st.opp[:, 0] - np.median(st.own[back, 0])), np.inf)
    if who.any() and off_m.min() <= RUNNER_BEHIND_M:
        drop = _shift(st, who, -float(up_mps[who].max()) * st.seconds)
        goes = "steps" if who.sum() == 1 else "step"
        yield found(np.flatnonzero(who).tolist(), drop, man=st.foe(off_m.argmin()), goes=goes)


def line_drops_covered(st: Snapshot) -> Iterator[FaultFound]:
    """The back line goes back though the ball is covered, faster than the ball comes.

    Of a line to speak of, in open play along the ground, that does not give way because it is outnumbered. Not where a
    runner goes as well: whether to go with him or to leave him offside is contested.
    """
    back, then = _back(st), st.before
    if then is None or back.sum() < LEAST_LINE or outnumbered(st.p)[0] or not all(
            one.at_feet and one.covered_ball for one in (st, then)):
        return
    seen = back & np.isfinite(st.own_way[:, 0])
    down_m = -float(np.median(st.own_way[seen, 0])) if seen.any() else 0.0
    near = st.counted & (np.abs(st.opp[:, 0] - np.median(st.own[back, 0])) <= RUNNER_BEHIND_M)
    stays = not (st.opp_run[near, 0] < -RUNS_MPS).any()
    low = max(st.p.ball_height_m[0], then.p.ball_height_m[0]) <= IN_AIR_M
    if low and stays and down_m - max(_forward_mps(st), 0.0) * st.seconds > LINE_MPS * st.seconds:
        yield found(np.flatnonzero(back).tolist(), _shift(st, back, down_m), m=down_m)


def _open(st: Snapshot) -> bool:
    """A carrier who can play forward, near enough for a ball behind the line."""
    back_x = st.own[st.p.back[0], 0]
    near = back_x.size and st.ball[0] - back_x.mean() <= back_line.LONG_BALL_M
    return bool(near and st.at_feet and not st.covered_ball)


def _forward_mps(st: Snapshot) -> float:
    """How fast the ball comes towards our goal: since the picture before, else as it goes now."""
    if st.before is None:
        return float(-st.p.ball_velocity[0, 0])
    return (st.before.situation.ball_xy[0] - st.situation.ball_xy[0]) / st.seconds


def _back(st: Snapshot) -> Bools:
    """The back line, without a presser from it."""
    return st.p.back[0] & (np.arange(len(st.own)) != st.presser)


def _off(st: Snapshot, n: int, distance_m: float) -> Floats:
    """The place so far from the ball, on his way to it, if need be round to our goal's side."""
    way = unit(st.own[n] - st.ball)
    return st.ball + (way if way @ st.to_goal > 0 else unit(way + st.to_goal)) * distance_m


def _shift(st: Snapshot, who: Bools, up_m: float) -> Fix:
    """Some players go up (or back)."""
    return Fix({n: st.own[n] + (up_m, 0.0) for n in np.flatnonzero(who).tolist()})


# -- The whole team: the far side, the length of the block, and who is behind the ball.

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
    if not _front(st, far=True):
        yield from _go_out(st, st.p.pitch.width_m / 6)


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

    Not while the press is broken: half of the front is on its way back. Nor with the line on the halfway line.
    """
    who = st.outfield[st.outfield != st.presser]
    x = st.own[who, 0]
    excess_m = float(np.ptp(x)) - LONG_BLOCK_M if len(who) else 0.0
    if excess_m <= 0 or broken(st.p)[0] or x.min() > -HALFWAY_M:
        return
    ends = ((x.min() + excess_m + SHORTER_M, 1), (x.max() - excess_m - SHORTER_M, -1))
    up, down = ({int(n): np.array([end, st.own[n, 1]]) for n in who if sign * (end - st.own[n, 0]) > 0}
                for end, sign in ends)
    long_m = np.ceil(LONG_BLOCK_M + excess_m)  # what is called too long is never said to be as long as allowed
    yield found((int(who[x.argmax()]), int(who[x.argmin()])), Fix(up), Fix(down, 1), m=long_m, most=LONG_BLOCK_M)


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

    None where no switch can be played: from the middle, to a man behind the ball, by one who faces his own goal.
    """
    man = int(far_man(st.p, st.d.mark)[0])
    if abs(st.ball[1]) < OFF_CENTRE_M or man < 0 or faces_away(st.p)[0] or not st.to_deny[man]:
        return None
    late_s = st.to_opp_s[:, man].min() - switch_s(st.p)[0, man]
    return man if late_s > OPEN_S else None


def _front(st: Snapshot, far: bool = False) -> list[int]:
    """Midfielders and forwards, the presser left out; with `far` those on the far side of the pitch."""
    return [int(n) for n in st.outfield if st.p.front[0, n] and n != st.presser and (not far or st.own[n, 1] < 0)]


def _go_out(st: Snapshot, wide_m: float = 0.0) -> Iterator[FaultFound]:
    """He who is first at the man out there, of midfield and attack, goes out just far enough."""
    man, front = _far_man(st), _front(st)
    if man is not None and st.opp[man, 1] < -wide_m and front:
        guard, limit = front[int(st.to_opp_s[front, man].argmin())], limit_m(st.p, np.array([man]))
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
    return inner, int(np.where(there, st.p.pass_m[0], np.inf).argmin()) if wide else None
