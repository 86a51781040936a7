"""The rules in their order, from a picture to what everybody does, and the plans of many frames as plain columns.

Spots do not collide, and crossing runs are swapped.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, RuleError, as_a
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.roles import settings as v
from pressinglib.roles.balance import far_man, find_gaps, limit_m
from pressinglib.roles.decisions import Decisions, Jobs, on_sheet, sheet_order
from pressinglib.roles.measures import AfterRuns, after_running, danger, short_options, to_holder_s
from pressinglib.roles.picture import Bools, Floats, Picture, norm, turned
from pressinglib.roles.presser import kept_out, take_over
from pressinglib.roles.rulebook import Rulebook, as_rulebook


def decide(p: Picture, rules: Rulebook) -> Decisions:
    """All decisions for the pictures, one rule after another."""
    d = Decisions(p)
    d.presser = rules.choose_presser(p, d)
    d.timing = rules.choose_timing(p, d)
    d.steer = rules.choose_steer(p, d)
    d.end_xy = rules.place_presser(p, d)
    d.take_over, d.take_over_s = take_over(p, d)
    d.give(_pressing(p, d), v.PRESSURE)
    d.options = short_options(p, d)
    d.far_man = far_man(p, d.mark)
    d.far_side_limit_m = limit_m(p, d.far_man)
    d.give(rules.choose_covers(p, d), v.COVER)
    d.gaps = find_gaps(p, d)
    d.give(rules.choose_balance(p, d), v.BALANCE)
    d.give(rules.choose_back_line(p, d), v.BACK_LINE)
    _place(p, d, rules)
    return d


def _pressing(p: Picture, d: Decisions) -> Jobs:
    """The presser's job, in the form of everybody's."""
    duty = np.where(d.timing == v.LATE, v.CONTAIN, v.PRESS)[:, None]
    duty = np.where(p.back & ~p.front & (duty == v.PRESS), v.STEP_OUT, duty)
    mark = np.where(d.presses, p.holder[:, None], -1)
    return Jobs(d.presses, duty, mark, np.broadcast_to(d.end_xy[:, None], p.own.shape))


def _place(p: Picture, d: Decisions, rules: Rulebook) -> None:
    """Anchors made free of collisions and crossing runs; an own rule's spots are set apart as well."""
    keeper = (d.role == v.GOALKEEPER) & p.own_here
    d.anchor = np.where(keeper[..., None], rules.place_goalkeeper(p, d)[:, None], d.anchor)
    swapped(p, d)
    d.anchor = spread(p, d, d.anchor)
    d.spot = d.anchor
    d.spot = spread(p, d, rules.settle_spots(p, d))


# -- Spots apart, and runs that do not cross.

APART_M, AT_BALL_M, IDLE_M = 2.5, 2.0, 5.0  # between two spots; two at the ball; round him who has no man (D)
A_LITTLE_M = 0.02  # more, so that rounding does not matter
RINGS_M = np.array([0.7, 1.4, 2.1, 3.0, 4.2, 6.0, 9.0, 13.0])
AROUND = turned(np.array([(-1.0, 0.0)]), np.arange(12) * np.pi / 6)  # the first towards the own goal
OFFSETS_M = np.concatenate([[(0.0, 0.0)], (RINGS_M[:, None, None] * AROUND).reshape(-1, 2)])
UP_COSTS, RUN_COSTS = 3.0, 0.5  # times the metres, of who has no man: further up, and of his run (D)
SWAPS = 6
WORTH_A_SWAP_M = 1.0  # less is not worth changing places for (D)
# Whose spot stands and whose gives way: presser, covers, balance, back line, goalkeeper.
ORDER_OF_ROLE, LAST_OF_FIELD = np.array([0, 2, 3, 1, 4]), 3.5


def spread(p: Picture, d: Decisions, spot: Floats) -> Floats:
    """Spots (F, N, 2) moved as little as possible until all are apart and on the pitch.

    2.5 m, two at the ball 2 m; who has no man stands 5 m from everybody: where somebody is, he is not needed.
    """
    spot = kept_out(p, p.pitch.inside(np.where(p.own_here[..., None], spot, np.nan)))
    idle = ((d.duty == v.RECOVER) | (d.duty == v.KEEP_BLOCK) & ~p.back) & ~d.by_own_rule
    apart, rank = np.where(idle, IDLE_M, APART_M), np.where(idle, LAST_OF_FIELD, ORDER_OF_ROLE[d.role])
    near = (_room_m(p.focus, spot, spot, apart, apart) < 0) & ~np.eye(spot.shape[1], dtype=bool)
    crowded = np.asarray(near.any((1, 2)))
    if crowded.any():
        spot = spot.copy()
        spot[crowded] = _placed_in_turn(p, crowded, *(a[crowded] for a in (p.focus, spot, apart, rank)))
    return spot


def _room_m(focus: Floats, some: Floats, others: Floats, apart: Floats, their_apart: Floats) -> Floats:
    """(F, n, m) how much further apart than they must be are places (F, n, 2) and (F, m, 2); inf for who is not there.
    """
    at_ball = [norm(xy - focus[:, None]) <= APART_M for xy in (some, others)]
    least = np.maximum(apart[:, :, None], their_apart[:, None])
    least = np.where(at_ball[0][:, :, None] & at_ball[1][:, None] & (least <= APART_M), AT_BALL_M, least)
    return np.nan_to_num(norm(some[:, :, None] - others[:, None]) - least, nan=np.inf)


def _placed_in_turn(p: Picture, some: Bools, focus: Floats, spot: Floats, apart: Floats, rank: Floats) -> Floats:
    """In some frames each player, the most important first, takes the place nearest to his spot that is still free."""
    out, rows, waits = np.full_like(spot, np.nan), np.arange(len(spot)), np.flatnonzero(some)
    for who in np.argsort(rank, axis=1, kind="stable").T:
        own, own_apart = spot[rows, who, None], apart[rows, who, None]
        place = own[:, 0].copy()
        tight = np.flatnonzero(_room_m(focus, own, out, own_apart, apart).min((1, 2)) < A_LITTLE_M)
        if len(tight):
            tries = kept_out(p, p.pitch.inside(own[tight] + OFFSETS_M), waits[tight])
            room = _room_m(focus[tight], tries, out[tight], own_apart[tight], apart[tight]).min(-1)
            up = norm(tries - p.goal) > norm(own[tight] - p.goal)  # who has no man gives way towards goal
            idle = own_apart[tight] > APART_M
            moved = norm(tries - own[tight]) * np.where(up & idle, UP_COSTS, 1.0)
            moved += idle * RUN_COSTS * norm(tries - p.own[waits[tight], who[tight], None])
            place[tight] = tries[np.arange(len(tight)), np.where(room >= A_LITTLE_M, moved, 1e3 - room).argmin(1)]
        out[rows, who] = place
    return out


def swapped(p: Picture, d: Decisions) -> None:
    """Two covers or balance players swap men where both together run less, and neither further than either before.

    Runs that cross always get shorter by a swap, so none are left but where somebody would run too far.
    """
    movable = np.isin(d.role, (v.COVER, v.BALANCE)) & ~p.back & (d.mark >= 0) & ~d.by_own_rule
    a, b = np.triu_indices(p.line.shape[1], 1)
    for _ in range(SWAPS):
        run, cross = norm(p.own - d.anchor), norm(p.own[:, :, None] - d.anchor[:, None])
        there, back = cross[:, a, b], cross[:, b, a]
        longer = np.maximum(there, back) > np.maximum(run[:, a], run[:, b])
        saved = np.where(movable[:, a] & movable[:, b] & ~longer, run[:, a] + run[:, b] - there - back, 0.0)
        frames = np.flatnonzero(saved.max(1, initial=0.0) > WORTH_A_SWAP_M)
        if not len(frames):  # one pair a frame
            return
        one, other = (pair[saved[frames].argmax(1)] for pair in (a, b))
        for array in (d.role, d.duty, d.mark, d.anchor):
            array[frames, one], array[frames, other] = array[frames, other].copy(), array[frames, one].copy()


MOST_GAPS = 8  # more covers than the settings allow make
FRAMES_AT_ONCE = 64  # keeps the arrays within the processor's cache (measured: 16 take 1.7 times as long, 256 1.2)


def plan_frames(frames: Frames, rulebook: Rulebook | None = None) -> dict[str, NDArray[Any]]:
    """The plans of F frames: who does what and where each should stand, in columns.

    Parameters
    ----------
    frames : Frames
        N players press, M have the ball; a player whose place is NaN is absent.
    rulebook : Rulebook, optional

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

    Notes
    -----
    A frame gets the plan that `plan_press` gives the same situation; 64 frames are planned at a time, so that memory
    stays small. BadInput for anything but Frames, and for a ball or a player beyond 3 m off the pitch.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
    >>> frames = Frames.of([s, s.with_ball((20, 0))])
    >>> plan = plan_frames(frames)
    >>> [frames.pressing_numbers[n] for n in plan["presser"]], plan["target_xy"].shape
    (['9', '10'], (2, 11, 2))
    """
    rules = as_rulebook(rulebook)
    _check(frames)
    parts = [_part(frames, k, rules) for k in range(0, max(len(frames), 1), FRAMES_AT_ONCE)]
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


def _part(frames: Frames, start: int, rules: Rulebook) -> dict[str, NDArray[Any]]:
    """The columns of some frames; the frame on which an own rule fails is counted from the first of all."""
    try:
        return _columns(frames.take(slice(start, start + FRAMES_AT_ONCE)), rules)
    except RuleError as error:
        if error.frame is None:
            raise
        raise error.on(start + error.frame) from error.__cause__


def _check(frames: Frames) -> None:
    as_a(frames, Frames, "frames", "make them with Frames.of(...)")
    players = np.concatenate([frames.pressing_xy, frames.possession_xy], axis=1)
    wrong = ~(frames.pitch.holds(players, OUTSIDE_M) | np.isnan(players).any(-1)).all(1)
    wrong |= ~frames.pitch.holds(frames.ball_xy, OUTSIDE_M)
    if wrong.any():
        f = int(np.flatnonzero(wrong)[0])
        raise BadInput(f"frame {f}", expected=f"ball and players at most {OUTSIDE_M:g} m off the pitch",
                       got=f"ball at {frames.ball_xy[f].round(1).tolist()}, or a player further off",
                       todo="check the origin (the centre spot) and the unit (metres), or leave the frame out")


def _columns(frames: Frames, rules: Rulebook) -> dict[str, NDArray[Any]]:
    p = Picture(frames, rules.settings)
    d = decide(p, rules)
    after = AfterRuns(p, d)
    return {"time_s": np.array(frames.time_s), "state": p.state, "presser": on_sheet(p.own_order, d.presser),
            "timing": d.timing, "steer": (d.steer * p.side).astype(int), **_by_player(p, d),
            "take_over": on_sheet(p.own_order, d.take_over), "take_over_s": d.take_over_s,
            "far_side_limit_m": np.where(np.isfinite(d.far_side_limit_m), d.far_side_limit_m, np.nan),
            "danger_before": danger(p, p.own), "danger_after": danger(p, after_running(p, d.spot)),
            "pressure_s": to_holder_s(p), **_by_opponent(p, after), **_gaps(p, after)}


def _by_player(p: Picture, d: Decisions) -> dict[str, NDArray[Any]]:
    arrival = p.own_running.braked_time(p.own, p.own_velocity, d.spot, p.settings.reaction_s)
    anchor, target = (np.where(p.own_here[..., None], p.turned_back(xy), np.nan) for xy in (d.anchor, d.spot))
    role, duty = (np.where(p.own_here, code, v.NOBODY) for code in (d.role, d.duty))
    columns = {"role": role, "duty": duty, "mark": on_sheet(p.opp_order, d.mark), "anchor_xy": anchor,
               "target_xy": target, "arrival_s": arrival}
    return {name: sheet_order(p.own_order, values) for name, values in columns.items()}


def _by_opponent(p: Picture, after: AfterRuns) -> dict[str, NDArray[Any]]:
    passed = p.opp_here & ~p.is_holder
    columns = {"account": np.where(p.opp_here, after.account, v.NOBODY),
               "lane_margin_s": np.where(passed, after.margin_s, np.nan),
               "lane_closed_by": np.where(passed, on_sheet(p.own_order, after.margins.argmin(-1)), v.NOBODY)}
    return {name: sheet_order(p.opp_order, values) for name, values in columns.items()}


def _gaps(p: Picture, after: AfterRuns) -> dict[str, NDArray[Any]]:
    """The gaps of a frame in the order of bearing, filled up to a fixed number of columns."""
    gaps = after.d.gaps
    left, right, filled = (on_sheet(p.own_order, index) for index in (gaps.left, gaps.right, after.filled_by))
    columns = {"gap_state": after.gap_state, "gap_width_m": gaps.width_m, "gap_limit_m": gaps.limit_m,
               "gap_left": left, "gap_right": right, "gap_filled_by": filled}
    most = ((0, 0), (0, max(MOST_GAPS - gaps.here.shape[1], 0)))
    none = {name: np.nan if name.endswith("_m") else v.NOBODY for name in columns}
    return {name: np.pad(np.where(gaps.here, values, none[name])[:, :MOST_GAPS], most, constant_values=none[name])
            for name, values in columns.items()}
