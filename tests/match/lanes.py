"""Do lanes tell which passes arrive? Physics lane, corridor, cone and coverage on passes read from tracking.

Two questions. Do completed passes run in lanes that are called open more often than the lanes to the other team-mates
at the same moment? And does a lane that is called free or blocked tell completed from failed passes? For the second the
lane is the one to the team-mate in whose direction the ball leaves, for completed and failed passes alike: the place
where a pass was cut out would give the answer away. Thresholds are fixed beforehand: a margin below 0 s, a defender
inside the shape, a coverage of 50 % or more. Published: Cascioli, Wang et al. 2025, on 69,500 passes.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.frames import Frames
from pressinglib.physics import in_cone, in_corridor, lane_coverage, lane_margins, lane_state
from tests.judge.duels import wilson
from tests.match.passes import Passes

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
RESAMPLED = 2000
COVERED_PERCENT = 50.0
PUBLISHED = {"physics": "67-68", "corridor": "53-57", "cone": "53-57", "coverage": "-"}


def margins(frames: Frames) -> Floats:
    """(F, M) seconds by which the nearest defender is too late for the lane to each team-mate of the passer."""
    lanes = lane_margins(frames.ball_xy, frames.possession_xy, frames.pressing_xy, frames.pressing_velocity)
    return lanes.min(-1)


def places(frames: Frames) -> tuple[Floats, Floats, Floats]:
    return frames.ball_xy, frames.possession_xy, frames.pressing_xy


# How blocked each lane is, (F, M), and from what value on it is called blocked.
BLOCKED: dict[str, tuple[Callable[[Frames], Floats], float]] = {
    "physics": (lambda frames: -margins(frames), 1e-12),
    "corridor": (lambda frames: in_corridor(*places(frames)).any(-1) * 1.0, 0.5),
    "cone": (lambda frames: in_cone(*places(frames)).any(-1) * 1.0, 0.5),
    "coverage": (lambda frames: lane_coverage(*places(frames)).max(-1), COVERED_PERCENT),
}


# -- open lanes --------------------------------------------------------------------------------------------------------


def open_lanes(many: list[Passes], like_m: float = np.inf) -> tuple[Bools, list[Bools]]:
    """For completed passes: whether the lane used was open, and the lanes to the others as far off within `like_m`."""
    used, others = [], []
    for passes in many:
        is_open = lane_state(margins(passes.frames)) == "open"
        off = passes.frames.possession_xy - passes.frames.ball_xy[:, None]
        length = np.hypot(off[..., 0], off[..., 1])
        for k in np.flatnonzero(passes.completed):
            man = passes.target[k]
            like = np.abs(length[k] - length[k, man]) <= like_m
            like[[man, passes.passer[k]]] = False
            used.append(is_open[k, man])
            others.append(is_open[k, like])
    return np.array(used), others


def lead_of_used(used: Bools, others: list[Bools], seed: int = 1) -> tuple[float, float, float, float]:
    """Share of open lanes among the others, and by how much the used ones lead it, with a 95 % interval.

    Passes with nobody else to compare are left out; whole passes are drawn again and again (bootstrap).
    """
    paired = np.array([(u, o.mean()) for u, o in zip(used, others, strict=True) if len(o)])
    draws = paired[np.random.default_rng(seed).integers(len(paired), size=(RESAMPLED, len(paired)))].mean(1)
    low, high = np.quantile(draws[:, 0] - draws[:, 1], [0.025, 0.975])
    return float(paired[:, 1].mean()), float((paired[:, 0] - paired[:, 1]).mean()), float(low), float(high)


# -- completed or failed -----------------------------------------------------------------------------------------------


def told(many: list[Passes], lane: str, ground_only: bool) -> tuple[Floats, Bools]:
    """How blocked the lane of each pass was, and whether the pass failed; passes meant for nobody are left out."""
    values, failed = [], []
    for passes in many:
        counts = (passes.meant >= 0) & ~(passes.lofted & ground_only)
        blocked = BLOCKED[lane][0](passes.frames)
        values.append(blocked[np.flatnonzero(counts), passes.meant[counts]])
        failed.append(~passes.completed[counts])
    return np.concatenate(values), np.concatenate(failed)


def balanced_accuracy(blocked: Bools, failed: Bools) -> tuple[float, float, float]:
    """Mean of the shares told right among failed and among completed passes, one half is guessing; 95 % interval.

    The intervals of the two shares (Wilson) are joined by squaring and adding (Newcombe 1998,
    10.1002/(SICI)1097-0258(19980430)17:8<873::AID-SIM779>3.0.CO;2-I): drawing again would make a share of 1 look sure.
    """
    shares = [(int(right.sum()), len(right)) for right in (blocked[failed], ~blocked[~failed])]
    middle = sum(k / n for k, n in shares) / 2
    low, high = (np.sqrt(sum((k / n - wilson(k, n)[end]) ** 2 for k, n in shares)) / 2 for end in (0, 1))
    return middle, float(middle - low), float(middle + high)


def ranked_right(value: Floats, failed: Bools) -> float:
    """Share of pairs of a failed and a completed pass in which the failed one is the more blocked, ties half (AUC)."""
    apart = value[failed][:, None] - value[~failed]
    return float((apart > 0).mean() + 0.5 * (apart == 0).mean())


def ranked_right_interval(value: Floats, failed: Bools, seed: int = 1) -> tuple[float, float]:
    """Its 95 % interval: passes drawn again and again, failed and completed apart."""
    random, drawn = np.random.default_rng(seed), []
    groups = np.flatnonzero(failed), np.flatnonzero(~failed)
    for _ in range(RESAMPLED):
        rows = np.concatenate([random.choice(group, len(group)) for group in groups])
        drawn.append(ranked_right(value[rows], failed[rows]))
    low, high = np.quantile(drawn, [0.025, 0.975])
    return float(low), float(high)


def lead_of_physics(many: list[Passes], rival: str, ground_only: bool, seed: int = 1) -> tuple[list[float], ...]:
    """How far the physics lane is ahead of a rival in balanced accuracy and in ranking, each with a 95 % interval.

    Both are asked about the same passes, drawn again and again, failed and completed apart: whether one tells more than
    the other shows in the difference, not in two intervals side by side.
    """
    values, limits = zip(*((told(many, lane, ground_only)[0], BLOCKED[lane][1]) for lane in ("physics", rival)),
                         strict=True)
    failed = told(many, rival, ground_only)[1]
    groups, random = (np.flatnonzero(failed), np.flatnonzero(~failed)), np.random.default_rng(seed)
    drawn = [np.arange(len(failed)), *(np.concatenate([random.choice(g, len(g)) for g in groups])
                                       for _ in range(RESAMPLED))]
    leads = np.array([[_lead(call, values, limits, failed, rows) for call in (_shares_right, _ranked)]
                      for rows in drawn])
    return tuple([leads[0, k], *np.quantile(leads[1:, k], [0.025, 0.975])] for k in (0, 1))


def _lead(call: Callable[..., float], values: tuple[Floats, ...], limits: tuple[float, ...], failed: Bools,
          rows: NDArray[np.intp]) -> float:
    ours, theirs = (call(value[rows], limit, failed[rows]) for value, limit in zip(values, limits, strict=True))
    return ours - theirs


def _shares_right(value: Floats, limit: float, failed: Bools) -> float:
    blocked = value >= limit
    return float(blocked[failed].mean() + (~blocked)[~failed].mean()) / 2.0


def _ranked(value: Floats, _: float, failed: Bools) -> float:
    return ranked_right(value, failed)


# -- printed -----------------------------------------------------------------------------------------------------------


def print_tables(many: list[Passes], show: Callable[[str], None] = print) -> None:
    """Both answers."""
    completed, lofted = sum(p.completed.sum() for p in many), sum(p.lofted.sum() for p in many)
    show(f"\npasses read from tracking: {sum(map(len, many))}, completed {completed}, lofted {lofted}")
    right = sum((p.meant == p.target)[p.completed].sum() for p in many)
    show(f"the team-mate in whose direction it left got the ball in {right} of {completed} completed passes")
    show("\nlanes called open (margin above 0.2 s) when a completed pass left")
    for words, like in (("any other team-mate", np.inf), ("others as far off within 5 m", 5.0)):
        used, others = open_lanes(many, like)
        low, high = wilson(int(used.sum()), len(used))
        share, lead, least, most = lead_of_used(used, others)
        show(f"  used {used.mean():.2f} ({low:.2f}-{high:.2f}), {words} {share:.2f}, "
             f"lead {lead:+.2f} ({least:+.2f} to {most:+.2f})")
    for words, ground_only in (("ground passes", True), ("all passes", False)):
        _print_told(many, words, ground_only, show)


def _print_told(many: list[Passes], words: str, ground_only: bool, show: Callable[[str], None]) -> None:
    failed = told(many, "cone", ground_only)[1]
    show(f"\n{words}: {(~failed).sum()} completed, {failed.sum()} failed; in % with 95 % interval")
    show(f"{'lane':<10}{'failed blocked':>16}{'completed free':>16}{'balanced accuracy':>20}{'published':>11}"
         f"{'ranked right':>20}")
    for lane, (_, limit) in BLOCKED.items():
        value, failed = told(many, lane, ground_only)
        blocked = value >= limit
        counts = [f"{right.sum()} of {len(right)}" for right in (blocked[failed], ~blocked[~failed])]
        ranked = ranked_right(value, failed), *ranked_right_interval(value, failed)
        cells = ["{:.0f} ({:.0f}-{:.0f})".format(*(100 * number for number in numbers))
                 for numbers in (balanced_accuracy(blocked, failed), ranked)]
        show(f"{lane:<10}{counts[0]:>16}{counts[1]:>16}{cells[0]:>20}{PUBLISHED[lane]:>11}{cells[1]:>20}")
    show("the physics lane ahead of, on the same passes")
    for rival in list(BLOCKED)[1:]:
        cells = ["{:+.0f} ({:+.0f} to {:+.0f})".format(*(100 * number for number in numbers))
                 for numbers in lead_of_physics(many, rival, ground_only)]
        show(f"{rival:<10}{cells[0]:>52}{cells[1]:>31}")
