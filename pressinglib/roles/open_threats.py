"""What stays open when the plan is carried out: lanes, gaps, every opponent accounted for; and how dangerous it is."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.lanes import lane_state, rest_lane_margins
from pressinglib.roles.decisions import PASS_DECAY_M, Decisions, in_shadow, worth
from pressinglib.roles.picture import Floats, Ints, Picture, norm
from pressinglib.roles.settings import BACK_LINE, DROP_ONTO, NOBODY, ON_A_MAN

TOO_FAR_M = 45.0  # a pass longer than this gives everybody time to move (D)
PRESSED, DENIED, SHADOW, LANE_CLOSED, TOO_FAR, OFFSIDE, HELD, FREE = range(8)
ACCOUNTS = ("pressed", "denied", "shadow", "lane closed", "too far", "offside", "held by line", "free")
CLOSED, OPEN, EMPTY = range(3)
GAP_STATES = ("closed", "open", "empty")  # empty: no opponent can be reached through it


class AfterRuns:
    """A plan carried out: everybody stands at his spot, the ball and the opponents where they were; arrays (F, ...)."""

    def __init__(self, p: Picture, d: Decisions) -> None:
        s = p.settings
        self.p, self.d = p, d
        self.margins: Floats = rest_lane_margins(p.origin, p.opp, d.spot, s.reach_m, s.reaction_s, s.ball_mps,
                                                 running=p.own_running)

    @property
    def margin_s(self) -> Floats:
        """(F, M) least margin of any player against each lane."""
        return np.asarray(self.margins.min(-1))

    def account(self) -> Ints:
        """(F, M) code of what keeps each opponent out; the first that applies.

        A marker denies him, and one of the line who is goal-side holds him, who is there no later than his first touch.
        """
        p, d, s = self.p, self.d, self.p.settings
        gap = norm(d.spot[:, :, None] - p.opp[:, None]) - s.reach_m
        touch_s = ball_time(norm(p.opp - p.origin[:, None]), s.ball_mps) + s.control_time_s
        in_time = p.own_running.at(np.s_[:, :, None]).rest_time(gap, s.reaction_s) <= touch_s[:, None]
        marks = np.isin(d.duty, ON_A_MAN)[..., None] & (d.mark[..., None] == np.arange(p.opp.shape[1]))
        line = (d.role == BACK_LINE)[..., None] & (norm(d.spot - p.goal)[..., None] < p.opp_goal_m[:, None])
        denied, held = ((who & in_time).any(1) for who in (marks, line))
        far = norm(p.opp - p.origin[:, None]) > TOO_FAR_M
        tests = [(p.is_holder & (d.presser >= 0)[:, None], PRESSED), (p.offside, OFFSIDE), (denied, DENIED),
                 (in_shadow(p, d) & ~far, SHADOW), (self.margin_s < -0.2, LANE_CLOSED), (held, HELD), (far, TOO_FAR)]
        return np.select([test & (~p.is_holder | (code == PRESSED)) for test, code in tests],
                         [np.full(far.shape, code) for _, code in tests], FREE)

    def lanes(self, f: int) -> list[dict[str, Any]]:
        """Rows of frame f: opponent, state, margin_s, closed_by."""
        p = self.p
        rows = []
        for m in np.flatnonzero(p.opp_here[f] & ~p.is_holder[f]):
            margin, by = float(self.margins[f, m].min()), int(self.margins[f, m].argmin())
            state = str(lane_state(margin))
            rows.append({"opponent": p.opp_number(f, int(m)), "state": state, "margin_s": round(margin, 3),
                         "closed_by": None if state == "open" else p.own_number(f, by)})
        return sorted(rows, key=lambda r: -r["margin_s"])

    def gaps(self, f: int) -> list[dict[str, Any]]:
        """Rows of frame f: between, width_m, limit_m, state, filled_by; most open first, empty ones last."""
        gaps, p = self.d.gaps, self.p
        rows = []
        for g in np.flatnonzero(gaps.here[f]):
            filled = int(self.filled_by[f, g])
            rows.append({"between": (p.own_number(f, gaps.left[f, g]), p.own_number(f, gaps.right[f, g])),
                         "width_m": round(float(gaps.width_m[f, g]), 2), "limit_m": round(float(gaps.limit_m[f, g]), 2),
                         "state": GAP_STATES[self.gap_state[f, g]],
                         "filled_by": None if filled == NOBODY else p.own_number(f, filled)})
        return sorted(rows, key=lambda r: (r["state"] == "empty", r["limit_m"] - r["width_m"]))

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
    """(F,) danger with the pressing team standing still at the places (F, N, 2)."""
    s = p.settings
    places = np.where(p.own_here[..., None], places, np.nan)
    length = norm(p.opp - p.origin[:, None])
    margin = _least(rest_lane_margins(p.origin, p.opp, places, s.reach_m, s.reaction_s, s.ball_mps, LANE_POINTS,
                                      p.own_running).swapaxes(1, 2))
    fly = lofted_time(length, s.switch_mps, 25.0) + s.control_time_s
    gap = norm(places[:, :, None] - p.opp[:, None]) - s.reach_m
    land = p.own_running.at(np.s_[:, :, None]).rest_time(gap, s.reaction_s) - fly[:, None]
    margin = np.where(length > LOFT_FROM_M, np.maximum(margin, _least(land)), margin)
    chance = 1 / (1 + np.exp(np.clip(-margin / SOFT_MARGIN_S, -60, 60)))
    counts = p.opp_here & ~p.is_holder & ~p.offside
    receiver = np.where(counts, np.nan_to_num(worth(p, p.opp) * np.exp(-length / PASS_DECAY_M)), 0.0)
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


def dangers(p: Picture, spot: Floats) -> tuple[Floats, Floats]:
    """(F,) danger with everybody standing where he is, and after 2 s of running to the spots (F, N, 2)."""
    return danger(p, p.own), danger(p, after_running(p, spot))
