"""Faults of movement: seen from the picture before, or from how fast somebody comes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.roles.back_line import LONG_BALL_M
from pressinglib.roles.movement import Movement
from pressinglib.roles.picture import Bools, Floats, norm, pick, unit
from pressinglib.roles.presser import outnumbered
from pressinglib.roles.standing import LEVEL_M, Found, Mend, Standing, listed
from pressinglib.roles.steering import broken

DIVE_M, DIVE_MPS = 2.0, 3.0
CLOSE_BALL_M = 1.0  # a ball further from the carrier's feet is anybody's (D)
FIRST_TOUCH_MPS = 3.0  # a ball that still rolls faster past the receiver is not under control (D)
GROWS_MPS = 2.0  # 4 m in 2 s
WIDE_M = 20.0  # between the back line and the mean of those before it; less is no room to play in (D)
UP_MPS = 0.5  # the front presses: it goes up faster than this (D)
LINE_MPS = 1.5  # a line that moves slower than this holds (D)
RUNS_MPS = 4.0  # towards our goal: a run behind the line (D)
RUNNER_M = 10.0  # an opponent this near to the line's height can run behind it (D)
IN_AIR_M = 1.0
LEAST_LINE = 3


def diving_in(mv: Movement) -> Iterator[Found]:
    """The presser comes on at more than 3 m/s inside 2 m, at a carrier who sees him and has the ball close."""
    st, n = mv.now, mv.now.presser
    if n is None or st.ball_m[n] > DIVE_M or mv.closing_mps[n] <= DIVE_MPS or st.faces_away or not _close(st):
        return
    yield Found((n,), f"{st.name(n)} comes in at {mv.closing_mps[n]:.0f} m/s and cannot stop: one touch past him, and "
                "he is out of the game.",
                (Mend(f"{st.name(n)}: brake earlier, end an arm's length off, side-on, and wait for his touch.",
                      {n: _off(st, n, st.p.settings.end_distance_m)}),
                 Mend(f"{st.name(n)}: stand off, {st.p.settings.contain_distance_m:.0f} m, side-on, and hold him up.",
                      {n: _off(st, n, st.p.settings.contain_distance_m)})))


def late_jump(mv: Movement) -> Iterator[Found]:
    """Their man got the ball since the picture before and has it under control; ours comes too fast to hold him up."""
    st = mv.now
    if mv.then is None or not st.at_feet or st.faces_away or not (_new_on_ball(mv) and _controlled(st)):
        return
    able = st.p.outfield[0] & (st.p.own_goal_m[0] < st.goal_m + LEVEL_M)
    n = int(np.where(able, st.ball_m, np.inf).argmin())
    comes = DIVE_M < st.ball_m[n] and mv.closing_mps[n] > DIVE_MPS and mv.ends_m[n] < st.p.settings.end_distance_m
    if able[n] and comes:
        off_m = st.p.settings.contain_distance_m
        change = (f"{st.name(n)}: go while the ball travels. Now it is there: brake, {off_m:.0f} m off and goal-side, "
                  "and hold him up.")
        yield Found((n,), f"{st.name(n)} jumps late: their {_carrier(st)} has the ball under control and can go either "
                    "way.", (Mend(change, {n: st.sent(n, late=True)[1]}), Mend(change, {n: _off(st, n, off_m)})))


def lines_part(mv: Movement) -> Iterator[Found]:
    """The front goes up, the back line goes back, and there is room to play between.

    Not while the line holds: a front that closes in and a line that waits for it to arrive are what a plan asks for.
    """
    st, back = mv.now, _back(mv.now)
    front = st.p.outfield[0] & ~st.p.back[0] & ~_is(st, st.presser)
    if not _judged(mv, back) or front.sum() < LEAST_LINE or broken(st.p)[0]:
        return
    up_m, grown_m = mv.up_m(front), mv.up_m(front) - mv.up_m(back)
    room_m = float(st.own[front, 0].mean() - st.own[back, 0].mean())
    part = up_m > UP_MPS * mv.seconds and mv.up_m(back) < -LINE_MPS * mv.seconds
    if part and grown_m > GROWS_MPS * mv.seconds and room_m > WIDE_M:
        line_up = Mend(f"{_names(st, back)}: up with them, {grown_m:.0f} m.", _shifted(st, back, grown_m))
        front_back = Mend(f"{_names(st, front)}: hold; nobody goes up until the line goes with him.",
                          _shifted(st, front, -grown_m))
        first = (front_back, line_up) if _open(st) else (line_up, front_back)
        yield Found(_all(back), f"The front presses and the back line drops: {grown_m:.0f} m more between them in "
                    f"{mv.seconds:.1f} s, {room_m:.0f} m in all. There they receive and turn.", first)


def line_steps_open(mv: Movement) -> Iterator[Found]:
    """The back line goes up though the carrier has time to play behind it, and somebody is there to run."""
    st, back = mv.now, _back(mv.now)
    if not _judged(mv, back) or mv.then is None or not (_open(st) and _open(mv.then)):
        return
    height, up_m = float(np.median(st.own[back, 0])), mv.up_m(back)
    runner = st.counted & (np.abs(st.opp[:, 0] - height) <= RUNNER_M)
    if up_m - max(-mv.ball_forward_m, 0.0) > LINE_MPS * mv.seconds and runner.any():
        man = st.foe(int(np.where(runner, np.abs(st.opp[:, 0] - height), np.inf).argmin()))
        yield Found(_all(back), f"The line goes up by {up_m:.0f} m, and nobody is on the ball: it can be played behind "
                    f"you, for {man} to run onto.",
                    (Mend(f"{_names(st, back)}: while he has time, do not step. Drop, and up again when the ball is "
                          "covered.", _shifted(st, back, -up_m)),))


def line_drops_covered(mv: Movement) -> Iterator[Found]:
    """The back line goes back though the ball is covered, faster than the ball comes.

    Not where a runner goes as well: whether to go with him or to leave him offside is contested.
    """
    st, back = mv.now, _back(mv.now)
    if not _judged(mv, back) or mv.then is None or not (_covered(st) and _covered(mv.then)):
        return
    down_m = -mv.up_m(back)
    near = st.counted & (np.abs(st.opp[:, 0] - np.median(st.own[back, 0])) <= RUNNER_M)
    if (mv.opp_run[near, 0] < -RUNS_MPS).any():
        return
    if down_m - max(mv.ball_forward_m, 0.0) > LINE_MPS * mv.seconds:
        yield Found(_all(back), f"The ball is covered, and the line drops by {down_m:.0f} m: you give up the room in "
                    "front of you, and play their runners onside.",
                    (Mend(f"{_names(st, back)}: hold; he cannot play behind you now.", _shifted(st, back, down_m)),))


def _judged(mv: Movement, back: Bools) -> bool:
    """A line to speak of, in open play along the ground, that does not give way because it is outnumbered."""
    if mv.then is None or not (mv.now.in_play and mv.then.in_play):
        return False
    low = max(mv.now.p.ball_height_m[0], mv.then.p.ball_height_m[0]) <= IN_AIR_M
    return bool(low and back.sum() >= LEAST_LINE and not outnumbered(mv.now.p)[0])


def _open(st: Standing) -> bool:
    """A carrier who can play forward, near enough for a ball behind the line."""
    in_range = st.ball[0] - st.own[st.p.back[0], 0].mean() <= LONG_BALL_M
    return bool(st.at_feet and not st.covered_ball and in_range)


def _covered(st: Standing) -> bool:
    return st.at_feet and st.covered_ball


def _close(st: Standing) -> bool:
    """The ball is at the carrier's feet, not ahead of him."""
    return bool(norm(st.opp[st.p.carrier[0]] - st.ball) <= CLOSE_BALL_M)


def _new_on_ball(mv: Movement) -> bool:
    """The carrier had not got the ball in the picture before."""
    return mv.then is not None and mv.then.situation.on_ball != mv.now.p.opp_number(0, int(mv.now.p.carrier[0]))


def _controlled(st: Standing) -> bool:
    """The ball goes with the carrier; one that rolls past him is not his yet."""
    own = pick(st.p.opp_velocity, st.p.carrier)[0]
    return bool(norm(st.p.ball_velocity[0] - own) <= FIRST_TOUCH_MPS)


def _back(st: Standing) -> Bools:
    """The back line, without a presser from it."""
    return st.p.back[0] & ~_is(st, st.presser)


def _is(st: Standing, n: int | None) -> Bools:
    return np.arange(len(st.own)) == (-1 if n is None else n)


def _off(st: Standing, n: int, distance_m: float) -> Floats:
    """The place so far from the ball, on his way to it, if need be round to our goal's side."""
    way = unit(st.own[n] - st.ball)
    return st.ball + (way if way @ st.to_goal > 0 else unit(way + st.to_goal)) * distance_m


def _shifted(st: Standing, who: Bools, up_m: float) -> dict[int, Floats]:
    return {int(n): st.own[n] + (up_m, 0.0) for n in np.flatnonzero(who)}


def _all(who: Bools) -> tuple[int, ...]:
    return tuple(int(n) for n in np.flatnonzero(who))


def _names(st: Standing, who: Bools) -> str:
    return listed(map(st.name, _all(who)))


def _carrier(st: Standing) -> str:
    return st.p.opp_number(0, int(st.p.carrier[0]))
