"""What stays open when the plan is carried out: lanes, gaps, and every opponent accounted for."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import lane_state, rest_lane_margins
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.marking import in_shadow
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm
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

    @cached_property
    def _in_time(self) -> Bools:
        """(F, N, M) who is, from his spot, at which opponent no later than the first touch."""
        p, s = self.p, self.p.settings
        gap = norm(self.d.spot[:, :, None] - p.opp[:, None]) - s.reach_m
        reach_s = p.own_running.at(np.s_[:, :, None]).rest_time(gap, s.reaction_s)
        touch_s = ball_time(norm(p.opp - p.origin[:, None]), s.ball_mps) + s.control_time_s
        return np.asarray(reach_s <= touch_s[:, None])

    def denied(self) -> Bools:
        """(F, M) opponents whose marker, from his spot, is there no later than their first touch."""
        p, d = self.p, self.d
        marking = np.isin(d.duty, ON_A_MAN)[..., None] & (
            d.mark[..., None] == np.arange(p.opp.shape[1]))
        return np.asarray((marking & self._in_time).any(1))

    def held(self) -> Bools:
        """(F, M) opponents whom a goal-side back-line player reaches no later than their first touch."""
        p, d = self.p, self.d
        line = (d.role == BACK_LINE)[..., None] & (norm(d.spot - p.goal)[..., None] < p.opp_goal_m[:, None])
        return np.asarray((line & self._in_time).any(1))

    def account(self) -> Ints:
        """(F, M) code of what keeps each opponent out; the first that applies."""
        p, d = self.p, self.d
        pressed = p.is_holder & (d.presser >= 0)[:, None]
        far = norm(p.opp - p.origin[:, None]) > TOO_FAR_M
        tests = [(pressed, PRESSED), (p.offside, OFFSIDE), (self.denied(), DENIED), (in_shadow(p, d) & ~far, SHADOW),
                 (self.margin_s < -0.2, LANE_CLOSED), (self.held(), HELD), (far, TOO_FAR)]
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
