"""Faults of movement: seen from the picture before, or from how fast somebody comes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.field.player import GOALKEEPER
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import arrival_time, rest_arrival_time
from pressinglib.roles.approach import broken
from pressinglib.roles.back_line import CATCH_M, CHIP_DEG, CHIP_MPS, LANDING_BEHIND_M, LONG_BALL_M, MOST_ACROSS_M
from pressinglib.roles.marking import goal_side_places
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Bools, Floats, Ints, norm, pick, unit
from pressinglib.roles.presser import outnumbered
from pressinglib.roles.snapshot import COMES_MPS, LEVEL_M, Found, Mend, Movement, Standing
from pressinglib.tables import by_number, listed

# -- Faults of the last line: back line and goalkeeper.


OUT_M = 4.0  # a back-line player this much higher than the rest has stepped out (D)
RUNNER_M = 8.0  # an opponent this near to the line's height can run into the hole (D)
SLIDE_M = 3.0  # who slides across ends this near to the runner (D)
CHIP_GRACE_S = 0.3  # the measure by which the goalkeeper is placed fades over this time
RACE_S = 0.1  # a race lost by less is open (D)
RUNS_BACK_MPS = 3.0  # a line that goes back faster than this is running, not holding (D)
LEAST_LINE = 3  # fewer are no line


def full_back_steps(st: Standing) -> Iterator[Found]:
    """A back-line player has stepped out, nobody has slid across nor is on his way, and an opponent is at the hole."""
    out, rest = _stepped_out(st)
    runner = None if out is None else _runner(st, out, rest)
    if out is None or runner is None or _slides(st, rest, runner):
        return
    near = int(min(rest, key=lambda n: abs(float(st.own[n, 1] - st.opp[runner, 1]))))
    back = np.array([np.median(st.own[rest, 0]), st.own[out, 1]])
    him, man = st.name(out), st.foe(runner)
    slide = goal_side_places(st.p, SLIDE_M)[0, runner]
    yield Found((out, near), f"{him} has stepped out and nobody is across to {man}, who can run into the hole.",
                (Mend(f"{st.name(near)}: slide across behind {him}, onto {man}; the others close up.",
                      {**_closed_up(st, rest, float(slide[1] - st.own[near, 1])), near: slide}),
                 Mend(f"{him}: back into the line.", {out: back})))


def broken_line(st: Standing) -> Iterator[Found]:
    """With a covered ball one hangs back behind all others by more than the spread, and plays an opponent onside.

    Not while the line runs back: then he who is deepest covers the race.
    """
    line = _line(st)
    if len(line) < LEAST_LINE or not st.covered_ball or np.median(st.p.own_velocity[0, line, 0]) < -RUNS_BACK_MPS:
        return
    deepest, second = (int(n) for n in line[st.own[line, 0].argsort(kind="stable")][:2])
    height = float(st.own[second, 0])
    behind_m = height - float(st.own[deepest, 0])
    kept_on = st.counted & (st.opp[:, 0] < min(height, st.ball[0], 0.0))
    if behind_m > st.p.settings.line_spread_m and kept_on.any():
        man = st.foe(int(np.where(kept_on, st.opp[:, 0], np.inf).argmin()))
        yield Found((deepest,), f"{st.name(deepest)} hangs {behind_m:.1f} m behind the line and plays {man} onside.",
                    (Mend(f"{st.name(deepest)}: up, level with {st.name(second)}.",
                          {deepest: np.array([height, st.own[deepest, 1]])}),))


def keeper_too_high(st: Standing) -> Iterator[Found]:
    """A chip of 18 m/s at 45 degrees comes down in the goal before he is back."""
    n = _keeper(st)
    if n is not None and st.at_feet and _back_s(st, n) > lofted_time(st.goal_m, CHIP_MPS, CHIP_DEG) + CHIP_GRACE_S:
        yield Found((n,), f"{st.name(n)} is {st.p.own_goal_m[0, n]:.0f} m off his goal: a chip drops in behind him.",
                    (Mend(f"{st.name(n)}: drop, on the line from ball to goal.", {n: _best(st)}),))


def keeper_too_deep(st: Standing) -> Iterator[Found]:
    """A runner is first to a ball over the top that the goalkeeper, in his place, would win."""
    n = _keeper(st)
    if n is None:
        return
    lost = _lost_s(st, st.own[n]) > RACE_S
    if not lost.any():
        return
    best = _best(st)
    saved = lost & (_lost_s(st, best) < 0)
    if saved.any() and norm(best - st.p.goal) > st.p.own_goal_m[0, n]:
        yield Found((n,), f"{st.name(n)} is only {st.p.own_goal_m[0, n]:.0f} m off his goal: a ball over the top is "
                    "the runner's.",
                    (Mend(f"{st.name(n)}: come up on the line from ball to goal and sweep.", {n: best}),))


def _line(st: Standing) -> Ints:
    """Indices of the back line, a presser from it among them."""
    return np.flatnonzero(st.p.back[0])


def _stepped_out(st: Standing) -> tuple[int | None, Ints]:
    """The back-line player who is well higher than the others, and these."""
    line = _line(st)
    if len(line) < LEAST_LINE:
        return None, line
    out = int(line[st.own[line, 0].argmax()])
    rest = line[line != out]
    return out if st.own[out, 0] - np.median(st.own[rest, 0]) >= OUT_M else None, rest


def _runner(st: Standing, out: int, rest: Ints) -> int | None:
    """The opponent nearest to the place that was left, at the height of the line, whom nobody reaches for his touch."""
    left = np.array([np.median(st.own[rest, 0]), st.own[out, 1]])
    y = st.own[rest, 1]
    low, high = y[y < left[1]].max(initial=-np.inf), y[y > left[1]].min(initial=np.inf)
    in_hole = (st.opp[:, 1] > low) & (st.opp[:, 1] < high) & (np.abs(st.opp[:, 0] - left[0]) <= RUNNER_M)
    there = np.where(st.counted & in_hole & (st.opp[:, 0] < st.ball[0]) & ~st.reached, norm(st.opp - left), np.inf)
    return int(there.argmin()) if np.isfinite(there.min(initial=np.inf)) else None


def _slides(st: Standing, rest: Ints, runner: int) -> bool:
    """One of the line is running across to him: he need not be told to."""
    across_mps = (st.p.own_velocity[0, rest] * unit(st.opp[runner] - st.own[rest])).sum(-1)
    return bool((across_mps > COMES_MPS).any())


def _closed_up(st: Standing, who: Ints, across_m: float) -> dict[int, Floats]:
    """The others go half the way of him who slides, no further than a line shifts in one picture."""
    shift_m = float(np.clip(across_m / 2, -MOST_ACROSS_M, MOST_ACROSS_M))
    return {int(n): st.own[n] + (0.0, shift_m) for n in who}


def _keeper(st: Standing) -> int | None:
    found = np.flatnonzero(st.line == GOALKEEPER)
    return int(found[0]) if len(found) else None


def _best(st: Standing) -> Floats:
    """Where the rulebook puts the goalkeeper behind the line as it stands."""
    return np.asarray(st.rulebook.place_goalkeeper(st.p, st.d)[0])


def _back_s(st: Standing, n: int) -> float:
    s, run_m = st.p.settings, max(float(st.p.own_goal_m[0, n]) - CATCH_M, 0.0)
    return float(rest_arrival_time(run_m, s.alpha_per_s, s.top_speed_mps)) + s.reaction_s


def _lost_s(st: Standing, place: Floats) -> Floats:
    """(L,) by how much a runner is first at each landing place: before a goalkeeper at `place` and all of us."""
    s, p, landing = st.p.settings, st.p, _landing(st)
    run = arrival_time(st.opp[:, None], p.opp_velocity[0][:, None], landing, s.alpha_per_s, s.top_speed_mps)
    ball = lofted_time(norm(landing - st.ball), s.switch_mps, SWITCH_ANGLE_DEG)
    first = np.maximum(np.where(st.counted[:, None], run, np.inf).min(0), ball)
    us = arrival_time(st.own[:, None], p.own_velocity[0][:, None], landing, s.alpha_per_s, s.top_speed_mps,
                      s.reaction_s, s.reach_m)
    sweep = rest_arrival_time(np.maximum(norm(place - landing) - s.reach_m, 0.0), s.alpha_per_s, s.top_speed_mps)
    ours = np.where(p.outfield[0][:, None], us, np.inf).min(0)
    return np.asarray(np.minimum(ours, sweep + s.reaction_s) - first)


def _landing(st: Standing) -> Floats:
    """(L, 2) where a ball over the top comes down: behind the line, a little to the ball's side."""
    x = np.maximum(st.own[_line(st), 0].min(initial=0.0) - LANDING_BEHIND_M, 2.0 - st.p.pitch.length_m / 2)
    return np.stack([x, np.full(len(x), 0.3 * st.ball[1])], axis=-1)


# -- Faults of movement: seen from the picture before, or from how fast somebody comes.


DIVE_M, DIVE_MPS = 2.0, 3.0
CLOSE_BALL_M = 1.0  # a ball further from the carrier's feet is anybody's (D)
FIRST_TOUCH_MPS = 3.0  # a ball that still rolls faster past the receiver is not under control (D)
GROWS_MPS = 2.0  # 4 m in 2 s
WIDE_M = 20.0  # between the back line and the mean of those before it; less is no room to play in (D)
UP_MPS = 0.5  # the front presses: it goes up faster than this (D)
LINE_MPS = 1.5  # a line that moves slower than this holds (D)
RUNS_MPS = 4.0  # towards our goal: a run behind the line (D)
RUNNER_BEHIND_M = 10.0  # an opponent this near to the line's height can run behind it (D)
IN_AIR_M = 1.0


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
    runner = st.counted & (np.abs(st.opp[:, 0] - height) <= RUNNER_BEHIND_M)
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
    near = st.counted & (np.abs(st.opp[:, 0] - np.median(st.own[back, 0])) <= RUNNER_BEHIND_M)
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
    return listed(sorted(map(st.name, _all(who)), key=by_number))


def _carrier(st: Standing) -> str:
    return st.p.opp_number(0, int(st.p.carrier[0]))
