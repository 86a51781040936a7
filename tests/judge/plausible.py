"""What a coach would frown at, counted."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.frames import Frames
from pressinglib.field.pitch import PENALTY_AREA_M
from pressinglib.field.player import BACK, LINE_OF_SLOT
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.settings import BACK_LINE, COVER, DUTIES, GOALKEEPER, TIMINGS

Array = NDArray[np.float64]
Columns = dict[str, NDArray[np.float64]]
LONG_M, CLOSE_M, PASSED_M = 25.0, 3.0, 3.0
BOX_FRONT_M, BOX_FRONT_HALF_M = 12.0, 11.0  # the space in front of the box: so deep, so far to either side
WIDE_LINE_M = 18.0


def _away(a: Array, b: Array) -> Array:
    return np.hypot(*np.moveaxis(a - b, -1, 0))


def _lines(frames: Frames) -> NDArray[np.int_]:
    return np.array([LINE_OF_SLOT.get(slot, BACK + 1) for slot in frames.pressing_slots])


def long_runs(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """Somebody in the field is sent more than 25 m."""
    far = _away(plan["target_xy"], frames.pressing_xy) > LONG_M
    return (far & (_lines(frames) > 0)).any(1)


def two_spots_close(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """Two spots less than 3 m apart."""
    spot = plan["target_xy"]
    apart = _away(spot[:, :, None], spot[:, None]) + 99 * np.eye(spot.shape[1])
    return (apart < CLOSE_M).any((1, 2))


def crossing_runs(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """Two midfielders or forwards run across each other's way, both more than 2 m."""
    start, end, front = frames.pressing_xy, plan["target_xy"], _lines(frames) > BACK
    runs = front & (_away(end, start) > 2.0)
    pair = runs[:, :, None] & runs[:, None] & np.triu(np.ones((len(front),) * 2, bool), 1)
    return (pair & _cross(start, end)).any((1, 2))


def _cross(start: Array, end: Array) -> NDArray[np.bool_]:
    a, b, c, e = start[:, :, None], end[:, :, None], start[:, None], end[:, None]

    def side(u: Array, v: Array, w: Array) -> Array:
        return (v[..., 0] - u[..., 0]) * (w[..., 1] - u[..., 1]) - (v[..., 1] - u[..., 1]) * (w[..., 0] - u[..., 0])

    return (side(a, b, c) * side(a, b, e) < 0) & (side(c, e, a) * side(c, e, b) < 0)


def nearer_goal_side_front_player(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """A midfielder or forward, goal-side of the ball, stands 3 m or more nearer to it than the one who presses."""
    goal = np.array(frames.pitch.own_goal_xy)
    away, goal_side = _away(frames.pressing_xy, frames.ball_xy[:, None]), _away(frames.pressing_xy, goal)
    goal_side = goal_side < _away(frames.ball_xy, goal)[:, None]
    his = away[np.arange(len(away)), plan["presser"].astype(int)]
    nearer = (away < his[:, None] - PASSED_M) & goal_side & (_lines(frames) > BACK)
    return nearer.any(1) & (plan["presser"] >= 0)


def box_front_empty(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """The ball in our third, and nobody's spot in our box or the space in front of it, in the middle."""
    edge = -frames.pitch.length_m / 2 + PENALTY_AREA_M + BOX_FRONT_M
    spot = plan["target_xy"][:, _lines(frames) > 0]
    there = (spot[..., 0] < edge) & (np.abs(spot[..., 1]) < BOX_FRONT_HALF_M)
    return (frames.ball_xy[:, 0] < -frames.pitch.length_m / 6) & (there.sum(1) < 2)


def no_midfielder_in_the_middle(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """The ball in our third, and no midfielder or forward between the line and the ball in the middle."""
    spot = plan["target_xy"][:, _lines(frames) > BACK]
    deep = frames.ball_xy[:, :1]
    there = (spot[..., 0] < deep + 12.0) & (np.abs(spot[..., 1]) < BOX_FRONT_HALF_M)
    return (frames.ball_xy[:, 0] < -frames.pitch.length_m / 6) & ~there.any(1)


def hole_in_the_line(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """Two neighbours of the back line further than 18 m apart."""
    y = np.sort(np.where(plan["role"] == BACK_LINE, plan["target_xy"][..., 1], np.nan), axis=1)
    return np.nanmax(np.diff(y, axis=1), axis=1, initial=0.0) > WIDE_LINE_M


def six_on_the_wing(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """Six or more spots within 15 m of a ball near a touchline."""
    wide = np.abs(frames.ball_xy[:, 1]) > frames.pitch.width_m / 2 - 10
    return wide & ((_away(plan["target_xy"], frames.ball_xy[:, None]) < 15).sum(1) >= 6)


def short_line(frames: Frames, plan: Columns) -> NDArray[np.bool_]:
    """Fewer than three keep the back line."""
    return (plan["role"] == BACK_LINE).sum(1) < 3


COUNTS: tuple[Callable[[Frames, Columns], NDArray[np.bool_]], ...] = (
    long_runs, two_spots_close, crossing_runs, nearer_goal_side_front_player, box_front_empty,
    no_midfielder_in_the_middle, hole_in_the_line, six_on_the_wing, short_line)


def counted(many: list[Frames]) -> dict[str, list[float]]:
    """By what is counted (the first line of its docstring): the moments, in s, at which it happens."""
    found: dict[str, list[float]] = {(c.__doc__ or "").strip(): [] for c in COUNTS}
    for frames in many:
        plan = plan_frames(frames)
        for count in COUNTS:
            found[(count.__doc__ or "").strip()] += frames.time_s[count(frames, plan)].tolist()
    return found


def print_tables(many: list[Frames], show: Callable[[str], None] = print) -> None:
    """What is counted, with the first moments at which it happens; then what the plans are made of."""
    total, plans = sum(map(len, many)), [plan_frames(frames) for frames in many]
    show(f"\nwhat a coach would frown at, of {total} plans")
    for words, moments in counted(many).items():
        show(f"{len(moments):4d}  {words}" + (f"  t = {', '.join(f'{t:.2f}' for t in moments[:4])}" if moments else ""))
    timing, covers, duty = (np.concatenate(a) for a in zip(
        *((p["timing"], (p["role"] == COVER).sum(1), p["duty"].ravel()) for p in plans), strict=True))
    show("timing: " + ", ".join(f"{word} {(timing == k).sum()}" for k, word in enumerate(TIMINGS)))
    show("covers: " + ", ".join(f"{n}: {(covers == n).sum()}" for n in range(covers.max() + 1)))
    print_runs(many, plans, show)
    show("duties a plan: " + ", ".join(f"{words} {(duty == k).sum() / total:.2f}" for k, words in enumerate(DUTIES)))


def print_runs(many: list[Frames], plans: list[Columns], show: Callable[[str], None]) -> None:
    """How far the players in the field are sent."""
    both = zip(plans, many, strict=True)
    run_m = np.concatenate([_away(p["target_xy"], f.pressing_xy)[p["role"] != GOALKEEPER] for p, f in both])
    show("runs, m: median {:.1f}, 90 % below {:.1f}, longest {:.1f}".format(*np.nanquantile(run_m, [0.5, 0.9, 1.0])))
