"""Faults of the last line: back line and goalkeeper."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pressinglib.field.slots import GOALKEEPER
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import arrival_time, rest_arrival_time
from pressinglib.roles.back_line import MOST_ACROSS_M
from pressinglib.roles.goalkeeper import CATCH_M, CHIP_DEG, CHIP_MPS, LANDING_BEHIND_M
from pressinglib.roles.marking import goal_side_places
from pressinglib.roles.picture import SWITCH_ANGLE_DEG, Floats, Ints, norm, unit
from pressinglib.roles.standing import COMES_MPS, Found, Mend, Standing

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
