"""Plans of many frames, as plain columns."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, RuleError
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.roles.danger import dangers
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.open_threats import AfterRuns
from pressinglib.roles.picture import Floats, Ints, Picture, pick, picture_of, sheet_order
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.settings import NOBODY

MOST_GAPS = 8  # more covers than the settings allow make
FRAMES_AT_ONCE = 64  # keeps the arrays within the processor's cache (measured: 16 take 1.7 times as long, 256 1.2)


def plan_frames(frames: Frames, rulebook: Rulebook | None = None) -> dict[str, NDArray[Any]]:
    """The plans of F frames: who does what and where each should stand, in columns.

    Parameters
    ----------
    frames : Frames
        N players press, M have the ball; a player whose place is NaN is absent.
    rulebook : Rulebook, optional
        The stock rules and settings if left out.

    Returns
    -------
    dict of ndarray
        One row a frame; players in the order of the two team sheets, -1 for nobody. Codes are places in the tuples of
        `pressinglib.roles` (STATES, ROLES and so on); metres, seconds.

        - time_s (F,): as in the frames
        - state (F,): code of STATES
        - presser (F,): index into the pressing sheet
        - timing (F,): code of TIMINGS
        - steer (F,): 1 left, -1 right, 0 none, as the pressing team sees it
        - role, duty (F, N): codes of ROLES and DUTIES, -1 where absent
        - mark (F, N): index into the possession sheet
        - anchor_xy, target_xy (F, N, 2): where the rule puts him, and where he settles; NaN where absent
        - arrival_s (F, N): time to the target, 0.3 s reaction and braking included
        - take_over, take_over_s (F, 3): next presser and his time, by WAYS; inf where nobody gets there
        - account (F, M): code of `ACCOUNTS`, -1 where absent
        - far_side_limit_m (F,): NaN where nobody is on the far side
        - danger_before, danger_after (F,): as `Plan.danger`
        - pressure_s (F,): time of the first to whoever has the ball or gets it, as `least_arrival`, less is more
        - lane_margin_s, lane_closed_by (F, M): arrival minus ball once the runs are made, and by whom (index into the
          pressing sheet); NaN and -1 for the holder and who is absent
        - gap_state (F, 8): code of `GAP_STATES`, -1 where there is no gap
        - gap_left, gap_right, gap_filled_by (F, 8): indexes into the pressing sheet
        - gap_width_m, gap_limit_m (F, 8)

    Raises
    ------
    BadInput
        For anything but Frames, and for a ball or a player beyond 3 m off the pitch.

    Notes
    -----
    A frame gets the plan that `plan_press` gives the same situation; 64 frames are planned at a time, so that
    memory stays small.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
    >>> frames = Frames.of([s, s.with_ball((20, 0))])
    >>> plan = plan_frames(frames)
    >>> [frames.pressing_numbers[n] for n in plan["presser"]], plan["target_xy"].shape
    (['9', '10'], (2, 11, 2))
    >>> len(plan_frames(frames.take(slice(0)))["presser"])
    0
    """
    rules = as_rulebook(rulebook)
    _check(frames)
    if not len(frames):
        return {name: column[:0] for name, column in _columns(_any_frame(frames), rules).items()}
    starts = range(0, len(frames), FRAMES_AT_ONCE)
    parts = [_part(frames, k, rules) for k in starts]
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


def _part(frames: Frames, start: int, rules: Rulebook) -> dict[str, NDArray[Any]]:
    """The columns of some frames; the frame on which an own rule fails is counted from the first of all."""
    try:
        return _columns(frames.take(slice(start, start + FRAMES_AT_ONCE)), rules)
    except RuleError as error:
        if error.frame is None:
            raise
        raise error.on(start + error.frame) from error.__cause__


def _any_frame(frames: Frames) -> Frames:
    """One frame with the same sheets, for the names and kinds of the columns of no frames at all."""
    ours, theirs = frames.pressing_numbers, frames.possession_numbers
    return Frames(frames.pitch, ours, frames.pressing_slots, theirs, frames.possession_slots,
                  np.zeros((1, len(ours), 2)), np.zeros((1, len(theirs), 2)), np.zeros((1, 2)))


def _check(frames: Frames) -> None:
    if not isinstance(frames, Frames):
        raise BadInput("frames", expected="Frames", got=type(frames).__name__, todo="make them with Frames.of(...)")
    players = np.concatenate([frames.pressing_xy, frames.possession_xy], axis=1)
    wrong = ~(frames.pitch.holds(players, OUTSIDE_M) | np.isnan(players).any(-1)).all(1)
    wrong |= ~frames.pitch.holds(frames.ball_xy, OUTSIDE_M)
    if wrong.any():
        f = int(np.flatnonzero(wrong)[0])
        raise BadInput(f"frame {f}", expected=f"ball and players at most {OUTSIDE_M:g} m off the pitch",
                       got=f"ball at {frames.ball_xy[f].round(1).tolist()}, or a player further off",
                       todo="check the origin (the centre spot) and the unit (metres), or leave the frame out")


def _columns(frames: Frames, rules: Rulebook) -> dict[str, NDArray[Any]]:
    p = picture_of(frames, rules.settings)
    d = decide(p, rules)
    danger_before, danger_after = dangers(p, d.spot)
    limit = np.where(np.isfinite(d.far_side_limit_m), d.far_side_limit_m, np.nan)
    after = AfterRuns(p, d)
    return {"time_s": np.array(frames.time_s), "state": p.state, "presser": _on_sheet(p.own_order, d.presser),
            "timing": d.timing, "steer": (d.steer * p.side).astype(int), **_by_player(p, d),
            "take_over": _on_sheet(p.own_order, d.take_over), "take_over_s": d.take_over_s,
            "account": sheet_order(p.opp_order, np.where(p.opp_here, after.account(), NOBODY)),
            "far_side_limit_m": limit, "danger_before": danger_before, "danger_after": danger_after,
            "pressure_s": _pressure_s(p), **_lanes(p, after), **_gaps(p, after)}


def _pressure_s(p: Picture) -> Floats:
    held = (p.holder >= 0)[:, None]
    return np.asarray(p.own_arrival(np.where(held, pick(p.opp, p.holder), p.ball)[:, None]).min(1))


def _lanes(p: Picture, after: AfterRuns) -> dict[str, NDArray[Any]]:
    passed = p.opp_here & ~p.is_holder
    closed_by = np.where(passed, _on_sheet(p.own_order, after.margins.argmin(-1)), NOBODY)
    columns = {"lane_margin_s": np.where(passed, after.margin_s, np.nan), "lane_closed_by": closed_by}
    return {name: sheet_order(p.opp_order, values) for name, values in columns.items()}


def _gaps(p: Picture, after: AfterRuns) -> dict[str, NDArray[Any]]:
    """The gaps of a frame in the order of bearing, filled up to a fixed number of columns."""
    gaps = after.d.gaps
    indexes = {"gap_left": gaps.left, "gap_right": gaps.right, "gap_filled_by": after.filled_by}
    columns: dict[str, tuple[NDArray[Any], float]] = {
        "gap_state": (after.gap_state, NOBODY), "gap_width_m": (gaps.width_m, np.nan),
        "gap_limit_m": (gaps.limit_m, np.nan),
        **{name: (_on_sheet(p.own_order, index), NOBODY) for name, index in indexes.items()}}
    return {name: _filled_up(np.where(gaps.here, values, none), none) for name, (values, none) in columns.items()}


def _filled_up(values: NDArray[Any], none: float) -> NDArray[Any]:
    """(F, G) with MOST_GAPS columns."""
    return np.pad(values[:, :MOST_GAPS], ((0, 0), (0, max(MOST_GAPS - values.shape[1], 0))), constant_values=none)


def _by_player(p: Picture, d: Decisions) -> dict[str, NDArray[Any]]:
    s = p.settings
    arrival = p.own_running.braked_time(p.own, p.own_velocity, d.spot, s.reaction_s)
    mark = _on_sheet(p.opp_order, d.mark)
    columns = {"role": np.where(p.own_here, d.role, NOBODY), "duty": np.where(p.own_here, d.duty, NOBODY), "mark": mark,
               "anchor_xy": _places(p, d.anchor), "target_xy": _places(p, d.spot), "arrival_s": arrival}
    return {name: sheet_order(p.own_order, values) for name, values in columns.items()}


def _places(p: Picture, xy: Floats) -> Floats:
    return np.where(p.own_here[..., None], p.turned_back(xy), np.nan)


def _on_sheet(order: Ints, index: Ints) -> Ints:
    """Place in the sheet of players `index` (F, ...) of the picture; -1 stays."""
    flat = index.reshape(len(index), -1)
    return np.where(flat >= 0, np.take_along_axis(order, np.maximum(flat, 0), 1), NOBODY).reshape(index.shape)
