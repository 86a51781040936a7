"""The plans of some frames as tidy tables: one row a frame, a player, a lane, a gap or a fault."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.frames import Frames
from pressinglib.physics.lanes import lane_state
from pressinglib.roles.account import ACCOUNTS, GAP_STATES, OPEN
from pressinglib.roles.fault_frames import FrameFault
from pressinglib.roles.vocabulary import DUTIES, ROLES, STATES, TIMINGS, WAYS

Array = NDArray[Any]
Columns = dict[str, Array]
STEERS = np.array(["right", "none", "left"])
TABLES = ("frames", "players", "lanes", "gaps", "faults")
PLACES = 2  # decimals of a metre
TIMES = 3


@dataclass(frozen=True, eq=False)
class Clock:
    """Where the frames come from, one a row: number, period, time, and which side presses."""

    frame_id: Array
    period: Array
    time_s: Array
    pressing: str

    def columns(self, rows: Array) -> Columns:
        """The columns that every table begins with, for these rows."""
        return {"frame_id": self.frame_id[rows], "period": self.period[rows],
                "time_s": np.round(self.time_s[rows], TIMES), "pressing": np.full(len(rows), self.pressing, object)}


def plan_tables(frames: Frames, plan: Columns, clock: Clock, faults: Sequence[FrameFault] = ()) -> dict[str, Columns]:
    """The five tables of `TABLES`.

    Parameters
    ----------
    frames : Frames
    plan : dict of ndarray
        From `plan_frames` of the same frames.
    clock : Clock
    faults : sequence of FrameFault

    Returns
    -------
    dict of dict of ndarray
        Places in metres as the pressing team sees them (it attacks +x, its left is +y); numbers are texts, "" for
        nobody.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.roles.plan_frames import plan_frames
    >>> frames = Frames.of([Situation.line_up(ball_xy=(35, 12))])
    >>> one = np.zeros(1)
    >>> tables = plan_tables(frames, plan_frames(frames), Clock(one, one, one, "home"))
    >>> [len(tables[name]["frame_id"]) for name in ("frames", "players", "lanes")], tables["frames"]["presser"][0]
    ([1, 11, 10], '9')
    """
    ours, theirs = (_numbers(sheet) for sheet in (frames.pressing_numbers, frames.possession_numbers))
    return {"frames": _frames(frames, plan, clock, ours, theirs, faults),
            "players": _players(frames, plan, clock, ours, theirs), "lanes": _lanes(frames, plan, clock, ours, theirs),
            "gaps": _gaps(plan, clock, ours), "faults": _faults(clock, faults)}


def _numbers(sheet: Sequence[str]) -> Array:
    """Numbers by index; the last one, so -1, is nobody."""
    return np.array([*sheet, ""], object)


def _words(words: Sequence[str], codes: Array) -> Array:
    return np.array([*words, ""], object)[codes]


def _frames(frames: Frames, plan: Columns, clock: Clock, ours: Array, theirs: Array,
            faults: Sequence[FrameFault]) -> Columns:
    holder = np.where(frames.receiver >= 0, frames.receiver, frames.carrier)
    lanes = lane_state(plan["lane_margin_s"])
    every = np.arange(len(frames))
    return {**clock.columns(every), "ball_x": np.round(frames.ball_xy[:, 0], PLACES),
            "ball_y": np.round(frames.ball_xy[:, 1], PLACES), "on_ball": theirs[np.maximum(holder, -1)],
            "travels": (frames.receiver >= 0).astype(int), "state": _words(STATES, plan["state"]),
            "presser": ours[plan["presser"]], "timing": _words(TIMINGS, plan["timing"]),
            "steer": STEERS[plan["steer"] + 1], "pressure_s": np.round(plan["pressure_s"], TIMES),
            "open_lanes": (lanes == "open").sum(1), "open_gaps": (plan["gap_state"] == OPEN).sum(1),
            "far_side_limit_m": np.round(plan["far_side_limit_m"], PLACES), **_take_over(plan, ours),
            "danger_before": np.round(plan["danger_before"], 5), "danger_after": np.round(plan["danger_after"], 5),
            "faults": np.bincount([f.frame for f in faults], minlength=len(frames)).astype(int)}


def _take_over(plan: Columns, ours: Array) -> Columns:
    who, time_s = plan["take_over"], plan["take_over_s"]
    numbers = {f"take_over_{way}": ours[who[:, k]] for k, way in enumerate(WAYS)}
    return {**numbers, **{f"take_over_{way}_s": np.round(time_s[:, k], TIMES) for k, way in enumerate(WAYS)}}


def _players(frames: Frames, plan: Columns, clock: Clock, ours: Array, theirs: Array) -> Columns:
    f, n = np.nonzero(plan["role"] >= 0)
    start, anchor, target = (values[f, n] for values in (frames.pressing_xy, plan["anchor_xy"], plan["target_xy"]))
    places = {"": start, "anchor_": anchor, "target_": target}
    xy = {f"{name}{axis}": np.round(at[:, k], PLACES) for name, at in places.items() for k, axis in enumerate("xy")}
    duty = np.array([words.replace("{mark}", "a man") for words in DUTIES], object)
    return {**clock.columns(f), "number": ours[n], "slot": np.array(frames.pressing_slots, object)[n],
            "role": _words(ROLES, plan["role"][f, n]), "duty": duty[plan["duty"][f, n]],
            "mark": theirs[plan["mark"][f, n]], **xy, "run_m": np.round(_length_m(target - start), PLACES),
            "arrival_s": np.round(plan["arrival_s"][f, n], TIMES)}


def _length_m(way: Array) -> Array:
    return np.asarray(np.hypot(way[:, 0], way[:, 1]))


def _lanes(frames: Frames, plan: Columns, clock: Clock, ours: Array, theirs: Array) -> Columns:
    f, m = np.nonzero(np.isfinite(plan["lane_margin_s"]))
    margin, place = plan["lane_margin_s"][f, m], frames.possession_xy[f, m]
    state = np.asarray(lane_state(margin), object)
    closed_by = np.where(state == "open", "", ours[plan["lane_closed_by"][f, m]])
    return {**clock.columns(f), "opponent": theirs[m], "x": np.round(place[:, 0], PLACES),
            "y": np.round(place[:, 1], PLACES), "margin_s": np.round(margin, TIMES), "state": state,
            "closed_by": closed_by, "account": _words(ACCOUNTS, plan["account"][f, m])}


def _gaps(plan: Columns, clock: Clock, ours: Array) -> Columns:
    f, g = np.nonzero(plan["gap_state"] >= 0)
    sides = {name: ours[plan[f"gap_{name}"][f, g]] for name in ("left", "right", "filled_by")}
    widths = {name: np.round(plan[f"gap_{name}"][f, g], PLACES) for name in ("width_m", "limit_m")}
    return {**clock.columns(f), **sides, **widths, "state": _words(GAP_STATES, plan["gap_state"][f, g])}


def _faults(clock: Clock, faults: Sequence[FrameFault]) -> Columns:
    rows = np.array([fault.frame for fault in faults], int)
    return {**clock.columns(rows), "kind": np.array([fault.kind for fault in faults], object),
            "players": np.array([" ".join(fault.players) for fault in faults], object)}
