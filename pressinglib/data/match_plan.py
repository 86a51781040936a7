"""A match and what is planned of it: whose ball it is, which moments count, and their tables chunk by chunk."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.ball_possession import Phase, Possession, find_phases, possession
from pressinglib.data.tracking import Bools, Ints, Side, Tracking
from pressinglib.errors import BadInput, RuleError, as_number
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import lane_state
from pressinglib.roles.faults import FrameFault, faults_in_frames
from pressinglib.roles.measures import ACCOUNTS, GAP_STATES, OPEN
from pressinglib.roles.picture import norm
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import DUTIES, ROLES, STATES, STEERS, TIMINGS, WAYS

Array = NDArray[Any]
Columns = dict[str, Array]
Rows = tuple[Array, Columns]  # which frame each row is of, and its columns
TABLES = ("frames", "players", "lanes", "gaps", "faults")
PLACES, TIME_PLACES, DANGER_PLACES = 2, 3, 5  # decimals of metres, seconds and danger
ROWS_AT_ONCE = 1500  # a minute at 25 Hz: a minute of work is the most that a break costs
ROWS_TOGETHER = 128  # of these a slow rule shows that it goes on
MARGIN_S = 2.0  # read beside a chunk, for velocities and for the picture a second before
BEFORE_S = 1.0
SIDES: tuple[tuple[Side, int], ...] = (("home", -1), ("away", 1))  # who presses, and whose ball it is then


# -- the plans of some frames as tidy tables: one row a frame, a player, a lane, a gap or a fault ----------------------


def plan_tables(frames: Frames, plan: Columns, clock: Columns, faults: Sequence[FrameFault],
                ids: Sequence[str]) -> dict[str, Columns]:
    """The tables of `TABLES`: places in metres as the pressing team sees them (it attacks +x, its left is +y), numbers
    as texts, "" for nobody. `clock` holds what every table begins with, a value a frame; `ids` are the source's.
    """
    ours, theirs = (np.array([*sheet, ""], object) for sheet in (frames.pressing_numbers, frames.possession_numbers))
    made = (_frames(frames, plan, ours, theirs, faults), _players(frames, plan, ours, theirs, ids),
            _lanes(frames, plan, ours, theirs), _gaps(plan, ours), _faults(faults))
    return {name: {key: _rounded(key, values) for key, values in
                   ({key: values[rows] for key, values in clock.items()} | columns).items()}
            for name, (rows, columns) in zip(TABLES, made, strict=True)}


def _rounded(name: str, values: Array) -> Array:
    """Seconds to the thousandth, danger to five places, metres to the centimetre."""
    places = DANGER_PLACES if name.startswith("danger_") else TIME_PLACES if name.endswith("_s") else PLACES
    return np.round(values, places) if values.dtype.kind == "f" else values


def _words(words: Sequence[str], codes: Array) -> Array:
    """Words by their index, "" for -1."""
    return np.array([*words, ""], object)[codes]


def _frames(frames: Frames, plan: Columns, ours: Array, theirs: Array, faults: Sequence[FrameFault]) -> Rows:
    holder = np.where(frames.receiver >= 0, frames.receiver, frames.carrier)
    take_over = {f"take_over_{way}": ours[plan["take_over"][:, k]] for k, way in enumerate(WAYS)}
    take_over |= {f"take_over_{way}_s": plan["take_over_s"][:, k] for k, way in enumerate(WAYS)}
    return np.arange(len(frames)), {
        "ball_x": frames.ball_xy[:, 0], "ball_y": frames.ball_xy[:, 1], "on_ball": theirs[np.maximum(holder, -1)],
        "travels": (frames.receiver >= 0).astype(int), "state": _words(STATES, plan["state"]),
        "presser": ours[plan["presser"]], "timing": _words(TIMINGS, plan["timing"]),
        "steer": _words(STEERS, plan["steer"] + 1),
        "pressure_s": plan["pressure_s"], "open_lanes": (lane_state(plan["lane_margin_s"]) == "open").sum(1),
        "open_gaps": (plan["gap_state"] == OPEN).sum(1), "far_side_limit_m": plan["far_side_limit_m"], **take_over,
        "danger_before": plan["danger_before"], "danger_after": plan["danger_after"],
        "faults": np.bincount([f.frame for f in faults], minlength=len(frames)).astype(int)}


def _players(frames: Frames, plan: Columns, ours: Array, theirs: Array, ids: Sequence[str]) -> Rows:
    f, n = np.nonzero(plan["role"] >= 0)
    start, anchor, target = (values[f, n] for values in (frames.pressing_xy, plan["anchor_xy"], plan["target_xy"]))
    places = {"": start, "anchor_": anchor, "target_": target}
    xy = {f"{name}{axis}": at[:, k] for name, at in places.items() for k, axis in enumerate("xy")}
    duties = [words.replace("{mark}", "a man") for words in DUTIES]
    return f, {"number": ours[n], "player_id": _words(ids, n), "slot": _words(frames.pressing_slots, n),
               "role": _words(ROLES, plan["role"][f, n]), "duty": _words(duties, plan["duty"][f, n]),
               "mark": theirs[plan["mark"][f, n]], **xy, "run_m": norm(target - start),
               "arrival_s": plan["arrival_s"][f, n]}


def _lanes(frames: Frames, plan: Columns, ours: Array, theirs: Array) -> Rows:
    f, m = np.nonzero(np.isfinite(plan["lane_margin_s"]))
    margin, place = plan["lane_margin_s"][f, m], frames.possession_xy[f, m]
    state = np.asarray(lane_state(margin), object)
    closed_by = np.where(state == "open", "", ours[plan["lane_closed_by"][f, m]])
    return f, {"opponent": theirs[m], "x": place[:, 0], "y": place[:, 1], "margin_s": margin, "state": state,
               "closed_by": closed_by, "account": _words(ACCOUNTS, plan["account"][f, m])}


def _gaps(plan: Columns, ours: Array) -> Rows:
    f, g = np.nonzero(plan["gap_state"] >= 0)
    sides = {name: ours[plan[f"gap_{name}"][f, g]] for name in ("left", "right", "filled_by")}
    widths = {name: plan[f"gap_{name}"][f, g] for name in ("width_m", "limit_m")}
    return f, {**sides, **widths, "state": _words(GAP_STATES, plan["gap_state"][f, g])}


def _faults(faults: Sequence[FrameFault]) -> Rows:
    return np.array([fault.frame for fault in faults], int), {
        "kind": np.array([fault.kind for fault in faults], object),
        "players": np.array([" ".join(fault.players) for fault in faults], object)}


# -- a match, and which of its moments get a plan ----------------------------------------------------------------------


@dataclass(frozen=True)
class Chunk:
    """The moments from `start` up to `stop` of one phase."""

    number: int
    phase: Phase
    start: int
    stop: int


@dataclass(frozen=True, eq=False, repr=False)
class MatchPlan:
    """A match with its rulebook and what is planned of it: `rows` are the moments that get a plan."""

    match: Tracking
    rulebook: Rulebook
    whose: Possession
    rows: Ints
    chunks: tuple[Chunk, ...]
    with_faults: bool

    @classmethod
    def of(cls, match: Tracking, rulebook: Rulebook | None = None, per_second: float | None = None,
           with_faults: bool = True, rows_at_once: int = ROWS_AT_ONCE) -> MatchPlan:
        """Get ready: whose ball it is, phases with their formations, chunks of `rows_at_once` moments.

        Where no slot is known, they are those of the best-fitting formation of each phase. At most `per_second` moments
        a second are planned, all if it is left out; to look for faults takes about twice as long as the plans.
        """
        whose = possession(match)
        chunks = _chunks(find_phases(match, whose), rows_at_once)
        planned = whose.planned & _enough(match) & _sampled(match, per_second)
        parts = (chunk.start + np.flatnonzero(planned[chunk.start : chunk.stop]) for chunk in chunks)
        rows = np.concatenate([np.empty(0, int), *parts])
        return cls(match, rulebook or Rulebook(), whose, rows, chunks, with_faults)

    @property
    def phases(self) -> tuple[Phase, ...]:
        """Stretches with the same players."""
        return tuple(dict.fromkeys(chunk.phase for chunk in self.chunks))

    def __repr__(self) -> str:
        counts = ", ".join(f"{n} {words}" for words, n in self.counts().items())
        first, more = self.phases[:6], len(self.phases) - 6
        lines = [f"period {p.period}, from frame {self.match.frame_id[p.start]}: home {p.home}, away {p.away}"
                 for p in first]
        return "\n".join([f"Plan of a match: {counts}", *lines, *([f"and {more} more phases"] if more > 0 else [])])

    def counts(self) -> dict[str, int]:
        """Frames that are planned, and why others are not."""
        found = self.whose.counts()
        return {"frames": len(self.match), "planned": len(self.rows), "ball loose": found["loose"],
                "ball dead or unknown": found["dead"],
                "not asked for": found["held"] + found["pass"] - len(self.rows)}

    def tables(self, chunk: Chunk, failing: list[str] | None = None,
               done: Callable[[int], object] = lambda frames: None) -> dict[str, Columns]:
        """The tables of one chunk; `done` is told how many frames more are planned.

        `failing` collects what is said of frames on which an own rule fails: they are left out. None: it is raised.
        """
        parts = []
        for side, _ in SIDES:
            rows = self.rows_of(chunk, side)
            for start in range(0, max(len(rows), 1), ROWS_TOGETHER):
                together = rows[start : start + ROWS_TOGETHER]
                parts.append(self._of_rows(chunk, side, together, failing))
                done(len(together))
        return {name: _in_order([part[name] for part in parts]) for name in TABLES}

    def _of_rows(self, chunk: Chunk, side: Side, rows: Ints, failing: list[str] | None) -> dict[str, Columns]:
        rows, frames, plans = self.planned(chunk, side, rows, failing)
        ids, faults = self.match.frame_id[rows], list[FrameFault]()
        if self.with_faults:
            try:
                faults = faults_in_frames(frames, self.rulebook, self._before(chunk, rows, side, failing), BEFORE_S)
            except RuleError as error:  # those with a plan keep the rules: it is the picture a second before one
                raise error.on(f"a frame a second before {ids[0]} to {ids[-1]} of the match") from error.__cause__
        clock = {name: getattr(self.match, name)[rows] for name in ("frame_id", "period", "time_s", "clock_s")}
        clock["pressing"] = np.full(len(rows), side, object)
        return plan_tables(frames, plans, clock, faults, getattr(self.match, side).ids)

    def planned(self, chunk: Chunk, side: Side, rows: Ints, failing: list[str] | None = None,
                rules: Rulebook | None = None) -> tuple[Ints, Frames, Columns]:
        """Some moments, their pictures and plans; `failing` as for `tables`."""
        while True:
            frames = self.frames_of(chunk, side, rows)
            try:
                return rows, frames, plan_frames(frames, rules or self.rulebook)
            except RuleError as error:
                if error.frame is None:
                    raise
                named = error.on(f"frame {self.match.frame_id[rows[error.frame]]} of the match")
                if failing is None:
                    raise named from error.__cause__
                failing.append(str(named))
                rows = np.delete(rows, error.frame)

    def frames(self, chunk: Chunk, side: Side) -> tuple[Ints, Frames]:
        """The moments of a chunk in which `side` presses, and their pictures."""
        rows = self.rows_of(chunk, side)
        return rows, self.frames_of(chunk, side, rows)

    def rows_of(self, chunk: Chunk, side: Side | None = None) -> Ints:
        """The moments of a chunk that get a plan; with `side`, those in which it presses."""
        rows = self.rows[slice(*np.searchsorted(self.rows, (chunk.start, chunk.stop)))]
        return rows if side is None else rows[self.whose.team[rows] == dict(SIDES)[side]]

    def frames_of(self, chunk: Chunk, side: Side, rows: Ints) -> Frames:
        """The pictures of some moments in or near a chunk, in all of which `side` presses."""
        near, phase = self._near(chunk), chunk.phase
        first = max(near.start, phase.start)
        part = self.match.part(first, min(near.stop, phase.stop), phase.home_slots, phase.away_slots)
        return part.frames(side, rows - first, self.whose.carrier[rows], self.whose.receiver[rows])

    def only(self, chunk: Chunk) -> MatchPlan:
        """The plan of one chunk by itself, with no more of the match than its pictures need."""
        near, phase = self._near(chunk), chunk.phase
        match = self.match.part(near.start, near.stop, self.match.home.slots, self.match.away.slots)
        whose = Possession(*(getattr(self.whose, f.name)[near] for f in fields(Possession)))
        own = replace(phase, start=max(phase.start - near.start, 0), stop=min(phase.stop, near.stop) - near.start)
        alone = Chunk(chunk.number, own, chunk.start - near.start, chunk.stop - near.start)
        return replace(self, match=match, whose=whose, rows=self.rows_of(chunk) - near.start, chunks=(alone,))

    def _near(self, chunk: Chunk) -> slice:
        """The moments that the pictures of a chunk need."""
        time = self.match.time_s
        first, last = np.searchsorted(time, (time[chunk.start] - MARGIN_S, time[chunk.stop - 1] + MARGIN_S)).tolist()
        return slice(first, min(last + 1, len(time)))

    def situation(self, frame_id: int) -> Situation:
        """The picture of one frame, as the side that presses sees it; BadInput if nobody has the ball in it."""
        row = self._row(frame_id)
        chunk = next((c for c in self.chunks if c.start <= row < c.stop), None)
        if chunk is None or not self.whose.planned[row]:
            raise BadInput(f"frame {frame_id}", expected="a team that has the ball", got="a loose or dead ball",
                           todo="choose another frame")
        side: Side = "home" if self.whose.team[row] < 0 else "away"
        return self.frames_of(replace(chunk, start=row, stop=row + 1), side, np.array([row])).situation(0)

    def title(self, frame_id: int) -> str:
        """Which frame it is, who presses, and when."""
        row = self._row(frame_id)
        side = "home" if self.whose.team[row] < 0 else "away"
        minutes, seconds = divmod(int(self.match.clock_s[row]), 60)
        return f"Frame {frame_id}: {side} presses, period {self.match.period[row]}, {minutes}:{seconds:02d}"

    def _row(self, frame_id: int) -> int:
        ids = self.match.frame_id
        for row in np.flatnonzero(ids == frame_id):
            return int(row)
        raise BadInput("frame", expected=f"a number from {ids.min()} to {ids.max()} that is in the match",
                       got=str(frame_id), todo="choose another")

    def _before(self, chunk: Chunk, rows: Ints, side: Side, failing: list[str] | None) -> list[Situation | None]:
        """The picture a second before each moment, where the same side pressed then and the ball was in play."""
        time = self.match.time_s
        then = np.searchsorted(time, time[rows] - BEFORE_S - 1e-6)
        same = (then >= chunk.phase.start) & (self.whose.team[then] == self.whose.team[rows])
        same &= self.whose.planned[then] & (np.abs(time[rows] - time[then] - BEFORE_S) < BEFORE_S / 4)
        if failing is not None:
            same &= np.isin(then, self.planned(chunk, side, np.unique(then[same]), [])[0])
        frames, place = self.frames_of(chunk, side, then[same]), np.cumsum(same) - 1
        return [frames.situation(int(place[k])) if same[k] else None for k in range(len(rows))]


def _in_order(parts: list[Columns]) -> Columns:
    """One table of several, in the order of time."""
    order = np.argsort(np.concatenate([part["time_s"] for part in parts]), kind="stable")
    return {key: np.concatenate([part[key] for part in parts])[order] for key in parts[0]}


def _enough(match: Tracking) -> Bools:
    """(T,) both sides have somebody on the pitch."""
    return np.asarray(np.logical_and(*(np.isfinite(t.xy[..., 0]).sum(1) > 1 for t in (match.home, match.away))))


def _sampled(match: Tracking, per_second: float | None) -> Bools:
    """(T,) the first moment of every stretch of time."""
    if per_second is None:
        return np.ones(len(match), bool)
    rate = as_number(per_second, "moments a second", low=0.01, high=1000)
    stretch = np.floor((match.time_s - match.time_s[0]) * rate + 1e-6)
    return np.diff(stretch, prepend=-1.0) > 0


def _chunks(phases: tuple[Phase, ...], rows_at_once: int) -> tuple[Chunk, ...]:
    starts = [(phase, start) for phase in phases if phase.stop - phase.start > 1
              for start in range(phase.start, phase.stop, rows_at_once)]
    return tuple(Chunk(n, phase, start, min(start + rows_at_once, phase.stop))
                 for n, (phase, start) in enumerate(starts))
