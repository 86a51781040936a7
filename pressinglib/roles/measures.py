"""What can be measured: what stays open once a plan is carried out, how dangerous that is, and the shape of a team."""

from __future__ import annotations

import warnings
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
import shapely
from numpy.typing import ArrayLike

from pressinglib.errors import BadInput, as_array, as_whole
from pressinglib.field.pitch import PENALTY_AREA_M, PENALTY_MARK_M
from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.lanes import rest_lane_margins, shadowed
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, once, pick
from pressinglib.roles.settings import BACK_LINE, DROP_ONTO, NOBODY, ON_A_MAN

# -- Who could do what: measures of a picture, and of what is decided so far.

FORBIDDEN = 1e6

LEVEL_M = 2.5  # a back-line player this little behind his man still has him (D)

BEHIND_BALL_M = 4.0  # men this much further from our goal are no easy option ... (D)
FADE_M = 10.0  # ... and matter less and less ...
CUT_BACK_M = 30.0  # ... unless they are this near to our goal
HELD_TOUCH_S = 0.2  # a man whom the line reaches this little after the ball is still held (D)
PASS_DECAY_M = 40.0


def least_total(cost: Floats, players: Bools, jobs: Bools) -> Ints:
    """(F, N) job of each player, -1 for none: as many pairs as possible at the least total of costs (F, N, J).

    Of players (F, N) and jobs (F, J) who take part (Kuhn 1955, 10.1002/nav.3800020109).
    """
    from scipy.optimize import linear_sum_assignment

    out, cost = np.full(players.shape, NOBODY), np.where(cost < FORBIDDEN, cost, FORBIDDEN)
    for f in np.flatnonzero(players.any(1) & jobs.any(1)):
        rows, columns = players[f].nonzero()[0], jobs[f].nonzero()[0]
        table = cost[f, rows[:, None], columns]
        chosen, job = linear_sum_assignment(table)
        out[f, rows[chosen]] = np.where(table[chosen, job] < FORBIDDEN, columns[job], NOBODY)
    return out


def slack_m(p: Picture, touch_s: float) -> Floats:
    """(F, M) from how far a standing player still reaches each opponent by so long after the ball."""
    s = p.settings
    return s.running.covered_m(p.pass_s + touch_s - s.reaction_s) + s.reach_m


@once
def to_ball_s(p: Picture) -> Floats:
    """(F, N) time of each outfield player to the ball itself, no reaction; inf of the others."""
    return np.where(p.outfield, p.own_arrival(p.ball[:, None]), np.inf)


def to_holder_s(p: Picture) -> Floats:
    """(F,) time of the first to whoever has the ball or gets it, else to the ball, as `least_arrival`."""
    held_xy = np.where((p.holder >= 0)[:, None], pick(p.opp, p.holder), p.ball)
    return p.own_arrival(held_xy[:, None]).min(1)


@once
def has_goal_side(p: Picture) -> Bools:
    """(F, N, M) which of the line are goal-side of which opponents, or hardly behind them."""
    return np.asarray(p.back[..., None] & (p.own_goal_m[:, :, None] < p.opp_goal_m[:, None] + LEVEL_M))


def held_by_line(p: Picture, leavers: Bools, touch_s: float, before_m: float = np.inf) -> Bools:
    """(F, M) opponents not far before the line whom one of it, goal-side, reaches before the ball and the touch."""
    near = has_goal_side(p) & ~leavers[..., None] & (p.met[:, None, :, 0] - p.own[:, :, None, 0] <= before_m)
    return np.asarray((near & (p.marking_s <= p.pass_s[:, None] + touch_s)).any(1))


def marked(p: Picture, mark: Ints) -> Bools:
    """(F, M) opponents who are somebody's mark in (F, N)."""
    return np.asarray((mark[:, :, None] == np.arange(p.opp.shape[1])).any(1))


def worth(p: Picture, xy: Floats) -> Floats:
    """How much a place (F, ..., 2) is worth to the team in possession: 0.05 + 0.9 exp(-distance to goal / 25 m)."""
    return np.asarray(0.05 + 0.9 * np.exp(-norm(xy - p.goal) / 25.0))


def in_shadow(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the trusted cover shadow of a presser at his end spot."""
    hidden = shadowed(d.end_xy, p.origin, p.opp, p.settings.trusted_shadow_deg)
    return np.asarray(hidden & (d.presser >= 0)[:, None] & ~p.is_holder & p.opp_here)


def short_options(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the short radius whose lane nobody closes: defenders where they stand, nor the presser."""
    s = p.settings
    counted = p.opp_here & ~p.is_holder & ~p.offside & ~(p.opp_keeper & (s.count_goalkeeper == "no"))
    near = counted & (p.pass_m <= s.short_pass_m) & easy(p)
    open_lane = ~(p.cut_out & ~d.presses[:, None]).any(-1)  # he is on his way
    return np.asarray(near & ~in_shadow(p, d) & ~held_by_line(p, d.presses, HELD_TOUCH_S) & open_lane)


@once
def easy(p: Picture) -> Bools:
    """(F, M) opponents not far behind the ball, or near enough to our goal for a pass cut back."""
    return (p.opp_goal_m <= p.ball_goal_m[:, None] + BEHIND_BALL_M) | (p.opp_goal_m <= CUT_BACK_M)


@once
def ahead(p: Picture) -> Floats:
    """(F, M) 1 for who is ahead of the ball or hardly behind it, less the further he is behind."""
    return np.clip((p.ball_goal_m[:, None] + BEHIND_BALL_M - p.opp_goal_m) / FADE_M + 1.0, 0.0, 1.0)


def in_box(p: Picture) -> Bools:
    """(F, M) opponents so near to our goal that they are marked, whatever the line does."""
    return np.asarray(p.opp_goal_m <= PENALTY_AREA_M)


def of_line(p: Picture) -> Bools:
    """(F, N, M) which of the line have which opponents: goal-side of them, or they are in our box."""
    return has_goal_side(p) | p.back[..., None] & in_box(p)[:, None]


def cut_back(p: Picture) -> Bools:
    """(F, M) opponents to whom the ball may be cut back from beside our goal."""
    return (p.origin[:, :1] < PENALTY_MARK_M - p.pitch.length_m / 2) & (p.opp_goal_m <= CUT_BACK_M)


# -- What stays open.

TOO_FAR_M = 45.0  # a pass longer than this gives everybody time to move (D)
PRESSED, DENIED, SHADOW, LANE_CLOSED, TOO_FAR, OFFSIDE, HELD, FREE = range(8)
ACCOUNTS = ("pressed", "denied", "shadow", "lane closed", "too far", "offside", "held by line", "free")
CLOSED, OPEN, EMPTY = range(3)
GAP_STATES = ("closed", "open", "empty")  # empty: no opponent can be reached through it


class AfterRuns:
    """A plan carried out: everybody stands at his spot, the ball and the opponents where they were; arrays (F, ...).

    Beside one picture F sets of spots may stand.
    """

    def __init__(self, p: Picture, d: Decisions) -> None:
        s = p.settings
        self.p, self.d = p, d
        self.margins: Floats = rest_lane_margins(p.origin, p.opp, d.spot, s.reach_m, s.reaction_s, s.ball_mps,
                                                 running=p.own_running)
        self.margin_s: Floats = self.margins.min(-1)  # (F, M) least of any player against each lane

    @cached_property
    def account(self) -> Ints:
        """(F, M) code of what keeps each opponent out; the first that applies.

        A marker denies him, and one of the line who is goal-side holds him, who is there no later than his first touch.
        """
        p, d, s = self.p, self.d, self.p.settings
        gap = norm(d.spot[:, :, None] - p.opp[:, None]) - s.reach_m
        touch_s = ball_time(p.pass_m, s.ball_mps) + s.control_time_s
        in_time = p.own_running.at(np.s_[:, :, None]).rest_time(gap, s.reaction_s) <= touch_s[:, None]
        marks = np.isin(d.duty, ON_A_MAN)[..., None] & (d.mark[..., None] == np.arange(p.opp.shape[1]))
        line = (d.role == BACK_LINE)[..., None] & (norm(d.spot - p.goal)[..., None] < p.opp_goal_m[:, None])
        denied, held = ((who & in_time).any(1) for who in (marks, line))
        far = p.pass_m > TOO_FAR_M
        tests = [(p.is_holder & (d.presser >= 0)[:, None], PRESSED), (p.offside, OFFSIDE), (denied, DENIED),
                 (in_shadow(p, d) & ~far, SHADOW), (self.margin_s < -0.2, LANE_CLOSED), (held, HELD), (far, TOO_FAR)]
        return np.select([test & (~p.is_holder | (code == PRESSED)) for test, code in tests],
                         [np.full(far.shape, code) for _, code in tests], FREE)

    @cached_property
    def gap_state(self) -> Ints:
        """(F, G) code of GAP_STATES; -1 where there is no gap."""
        gaps = self.d.gaps
        shut = (self.filled_by != NOBODY) | (gaps.width_m <= gaps.limit_m)
        state = np.where(shut, CLOSED, np.where(gaps.man >= 0, OPEN, EMPTY))
        return np.where(gaps.here, state, NOBODY)

    @cached_property
    def filled_by(self) -> Ints:
        """(F, G) the balance player who was sent to a gap's man, or stands nearest to its middle as it asks; -1."""
        gaps, d = self.d.gaps, self.d
        player = np.arange(d.mark.shape[1])
        on_man = (d.mark[:, None] == gaps.man[..., None]) & (d.duty == DROP_ONTO)[:, None]
        on_man &= (gaps.man != NOBODY)[..., None]
        near = norm(d.spot[:, None] - gaps.middle[:, :, None]) <= gaps.limit_m[..., None] / 2
        near &= (player != gaps.left[..., None]) & (player != gaps.right[..., None])
        found = np.where(on_man.any(-1), on_man.argmax(-1), near.argmax(-1))
        return np.where((on_man | near).any(-1), found, NOBODY)


# How dangerous a picture is: our own definition (grade D), with all defenders standing still.
#     danger = freedom * sum over receivers [p * worth(place) * exp(-pass length / 40)] + worth(ball) * room

SOFT_MARGIN_S = 0.25
LOFT_FROM_M = 25.0
AHEAD_M = 4.0
NO_DEFENDER_S = 3.0
FREE_S, FREE_SOFT_S = 0.8, 0.2
LANE_POINTS = 8


def danger(p: Picture, places: Floats) -> Floats:
    """(F,) danger with the pressing team standing still at the places (F, N, 2); of one picture any number of them."""
    s = p.settings
    places = np.where(p.own_here[..., None], places, np.nan)
    margin = _least(rest_lane_margins(p.origin, p.opp, places, s.reach_m, s.reaction_s, s.ball_mps, LANE_POINTS,
                                      p.own_running).swapaxes(1, 2))
    fly = lofted_time(p.pass_m, s.switch_mps, 25.0) + s.control_time_s
    gap = norm(places[:, :, None] - p.opp[:, None]) - s.reach_m
    land = p.own_running.at(np.s_[:, :, None]).rest_time(gap, s.reaction_s) - fly[:, None]
    margin = np.where(p.pass_m > LOFT_FROM_M, np.maximum(margin, _least(land)), margin)
    chance = 1 / (1 + np.exp(np.clip(-margin / SOFT_MARGIN_S, -60, 60)))
    counts = p.opp_here & ~p.is_holder & ~p.offside
    receiver = np.where(counts, np.nan_to_num(worth(p, p.opp) * np.exp(-p.pass_m / PASS_DECAY_M)), 0.0)
    return np.asarray(_freedom(p, places) * (chance * receiver).sum(-1) + worth(p, p.origin) * _room(p, places))


def _freedom(p: Picture, places: Floats) -> Floats:
    """(F,) from 0.5 with somebody within 1 m of the ball to 1."""
    s = p.settings
    to_ball = _least(p.own_running.rest_time(norm(places - p.origin[:, None]) - 1.0, s.reaction_s))
    pressed = np.clip(-(to_ball - FREE_S) / FREE_SOFT_S, -60, 60)
    return np.asarray(0.5 + 0.5 / (1 + np.exp(pressed)), float)


def _room(p: Picture, places: Floats) -> Floats:
    """(F,) at most 1.5: the time of a goal-side defender to the place ahead of the ball, over 1.5 s."""
    s = p.settings
    ahead = p.origin + p.goal_way * AHEAD_M
    goal_side = norm(places - p.goal) < p.ball_goal_m[:, None]
    ahead_s = np.where(goal_side, p.own_running.rest_time(norm(places - ahead[:, None]), s.reaction_s), NO_DEFENDER_S)
    return np.asarray(np.minimum(1.5, np.minimum(_least(ahead_s), NO_DEFENDER_S) / 1.5), float)


def _least(values: Floats) -> Floats:
    """The least over the defenders (F, N, ...); who is not there does nothing."""
    return np.asarray(np.nan_to_num(values, nan=np.inf, posinf=np.inf).min(1))


def after_running(p: Picture, target: Floats) -> Floats:
    """(F, N, 2) where players are after 2 s of running for their targets (F, N, 2), 0.3 s reaction."""
    s = p.settings
    return p.own_running.reached_xy(p.own, p.own_velocity, target, s.run_time_s, s.reaction_s)


# -- The shape of a team, of points (..., N, 2) with any number of frames in front; NaN stands for absent players. Means
# and extents of a whole team hardly differ between good and bad defending; those of the five nearest to the ball do, a
# little (Forcher et al. 2024, 10.1177/17479541231172695, d = -0.08 to -0.16). None of these numbers is a mark.


class ShapeMeasures(NamedTuple):
    """Shape of a team; all but the centroid (..., 2) have shape (...)."""

    centroid_xy: Any
    length_m: Any
    width_m: Any
    hull_m2: Any
    stretch_m: Any
    spacing_m: Any


def shape_measures(xy: ArrayLike) -> ShapeMeasures:
    """Where a team is, how long and wide, how much room it spans, how far apart its players are.

    Of players (..., N, 2), as a rule without the goalkeeper: `centroid_xy` (..., 2); `length_m` along x and `width_m`
    along y, from first to last player; `hull_m2`, area of the convex hull; `stretch_m`, mean distance to the centroid;
    `spacing_m`, mean distance of all pairs. NaN where nobody is there, `spacing_m` also where one player is alone.
    BadInput if the last axis does not hold x and y.

    Examples
    --------
    >>> square = shape_measures([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> square.length_m, square.hull_m2, square.stretch_m.round(2)
    (np.float64(10.0), np.float64(100.0), np.float64(7.07))
    """
    points = as_array(xy, "players")
    if points.ndim < 2 or points.shape[-1] != 2 or points.shape[-2] == 0:
        raise BadInput("players", expected="points (..., players, 2)", got=f"shape {points.shape}",
                       todo="give x and y of each player on the last axis")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # of means over nobody: their NaN is the answer
        centroid = np.nanmean(points, axis=-2)
        extent = np.nanmax(points, axis=-2) - np.nanmin(points, axis=-2)
        stretch = np.nanmean(norm(points - centroid[..., None, :]), axis=-1)
        i, j = np.triu_indices(points.shape[-2], 1)
        spacing = np.nanmean(norm(points[..., i, :] - points[..., j, :]), axis=-1)
    return ShapeMeasures(centroid, extent[..., 0][()], extent[..., 1][()], _hull_m2(points), stretch, spacing)


def _hull_m2(xy: Floats) -> Any:
    """Areas by shapely; an absent player is put on one who is there, which changes no hull."""
    here = np.asarray(np.isfinite(xy[..., 0]))
    first = np.take_along_axis(xy, here.argmax(-1)[..., None, None], axis=-2)
    area = shapely.area(shapely.convex_hull(shapely.multipoints(np.nan_to_num(np.where(here[..., None], xy, first)))))
    return np.where(here.any(-1), area, np.nan)[()]


def short_in_front(spare: int = 1, own: int = 10, opponents: int = 11) -> int:
    """Press arithmetic: how many men a press is short in front when it keeps `spare` more than them at the back.

    `own` are outfield players, `opponents` all of them: their goalkeeper takes part in the build-up. What is missing,
    shadows, touchline and slow passes must do.

    Examples
    --------
    >>> short_in_front(), short_in_front(spare=0), short_in_front(own=9)
    (2, 1, 3)
    """
    return as_whole(opponents, "opponents") - as_whole(own, "own") + as_whole(spare, "spare men", -11)
