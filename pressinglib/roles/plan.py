"""The plan of one picture: who does what, where, why, and what stays open."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.physics.braking import braked_arrival_time
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.explain import reason, sentence
from pressinglib.roles.open_threats import ACCOUNTS, Carried
from pressinglib.roles.picture import Picture, picture_of
from pressinglib.roles.pipeline import dangers, decide
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import DUTIES, NOBODY, ROLES, STATES, TIMINGS, WAYS

# -- The runs: straight, but the presser's is an arc that brings his shadow onto the denied option.


POINTS = 16
LAST_SECOND_M = 6.0  # about the last second of a run (D)
BEND = 0.45


def path_to(plan: Plan, n: int, target: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 2) the run of the n-th player to his target, in the frame of the picture as it came."""
    p, d = plan.picture, plan.decisions
    start = p.turned_back(p.own)[0, n]
    if n != d.presser[0] or d.steer[0] == 0:
        return np.array([start, target])
    focus = p.turned_back(p.focus)[0]
    return arc(start, target, focus)


def arc(start: NDArray[np.float64], end: NDArray[np.float64], ball: NDArray[np.float64]) -> NDArray[np.float64]:
    """(16, 2) a curved run that comes in along the line from the denied option to the ball.

    Examples
    --------
    >>> arc(np.array([10.0, 0]), np.array([20.0, 8]), np.array([20.0, 10]))[[0, -1]].tolist()
    [[10.0, 0.0], [20.0, 8.0]]
    """
    way, run = ball - end, float(np.hypot(*(end - start)))
    length = float(np.hypot(*way))
    if run < 1.0 or length < 1e-6:
        return np.array([start, end])
    bend = end - way / length * min(LAST_SECOND_M, BEND * run)
    t = np.linspace(0, 1, POINTS)[:, None]
    return np.asarray((1 - t) ** 2 * start + 2 * t * (1 - t) * bend + t**2 * end)


# -- The plan of one picture: who does what, where, why, and what stays open.


Array = NDArray[np.float64]
STRAIGHT_COSINE = float(np.cos(np.radians(10.0)))


@dataclass(frozen=True, eq=False)
class Assignment:
    """What one player of the pressing team does."""

    number: str
    role: str  # "pressure", "cover", "balance", "back line" or "goalkeeper"
    duty: str
    mark: str | None
    anchor_xy: Array  # (2,) where the rule puts him
    target_xy: Array  # (2,) where he settles
    path: Array  # (n, 2) his run
    arrival_s: float  # with 0.3 s reaction and braking
    plan: Plan

    @cached_property
    def reason(self) -> str:
        """A sentence that a coach would say."""
        return reason(self.plan, self)


@dataclass(frozen=True, eq=False)
class Plan:
    """The answer of `plan_press`. Rows are lists of plain dicts.

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
    >>> plan = plan_press(s)
    >>> plan.state, plan.timing, len(plan.assignments)
    ('open play', 'in time', 11)
    """

    situation: Situation
    rulebook: Rulebook
    picture: Picture
    decisions: Decisions

    # -- what is decided -----------------------------------------------------------------------------------------

    @property
    def state(self) -> str:
        """ "open play", "loose", "won" or a restart."""
        return STATES[self.picture.state[0]]

    @property
    def presser(self) -> str | None:
        """Number of the presser."""
        return self._own(self.decisions.presser[0])

    @property
    def timing(self) -> str:
        """ "in time", "late" or "hold"."""
        return TIMINGS[self.decisions.timing[0]]

    @property
    def steer(self) -> str:
        """ "left", "right" or "none", as the pressing team sees it."""
        side = self.decisions.steer[0] * self.picture.side[0]
        return "left" if side > 0 else "right" if side < 0 else "none"

    @property
    def end_xy(self) -> Array:
        """(2,) where the presser ends."""
        return self._turned(self.decisions.end_xy[:, None])[0]

    @property
    def end_distance_m(self) -> float:
        """How far from the ball the presser ends."""
        return float(np.hypot(*(self.decisions.end_xy[0] - self.picture.focus[0])))

    @property
    def straight_on(self) -> bool:
        """The presser ends on the line from the ball to the goal, within 10 degrees, and so hides no side."""
        way, end = self.picture.goal_way[0], self.decisions.end_xy[0] - self.picture.focus[0]
        return float(way @ end) >= STRAIGHT_COSINE * float(np.hypot(*end))

    @property
    def men_behind_gaps(self) -> set[str]:
        """Opponents who matter most behind the gaps between presser and covers."""
        return {self.picture.opp_number(0, int(m)) for m in self.decisions.gaps.man[0] if m != NOBODY}

    @cached_property
    def assignments(self) -> dict[str, Assignment]:
        """By number: every player of the pressing team, in the order of the picture."""
        index = {self.picture.own_number(0, n): n for n in range(self.picture.line.shape[1])}
        anchors, targets = self._turned(self.decisions.anchor), self._turned(self.decisions.spot)
        times = self._arrival_s()
        paths = [path_to(self, n, targets[n]) for n in range(len(targets))]
        return {q.number: self._assignment(q.number, n, anchors[n], targets[n], paths[n], float(times[n]))
                for q in self.situation.pressing for n in [index[q.number]]}

    def _assignment(self, number: str, n: int, anchor: Array, target: Array, path: Array, time_s: float) -> Assignment:
        d = self.decisions
        mark = self._opp(d.mark[0, n])
        duty = DUTIES[d.duty[0, n]].format(mark=f"their {mark}" if mark else "the ball")
        return Assignment(number, ROLES[d.role[0, n]], duty, mark, anchor, target, path, time_s, self)

    def _arrival_s(self) -> Array:
        """(N,) time to the spot: 0.3 s reaction, braking."""
        p, s = self.picture, self.picture.settings
        return np.asarray(braked_arrival_time(p.own[0], p.own_velocity[0], self.decisions.spot[0], s.alpha_per_s,
                                              s.top_speed_mps, s.reaction_s, 0.0, s.deceleration_mps2))

    # -- what stays open -----------------------------------------------------------------------------------------

    @cached_property
    def _carried(self) -> Carried:
        return Carried(self.picture, self.decisions)

    @cached_property
    def lanes(self) -> list[dict[str, Any]]:
        """Rows opponent, state, margin_s, closed_by: the next passes once the runs are made, most open first."""
        return self._carried.lanes(0)

    @cached_property
    def gaps(self) -> list[dict[str, Any]]:
        """Rows between, width_m, limit_m, state, filled_by."""
        return self._carried.gaps(0)

    @cached_property
    def take_over(self) -> dict[str, tuple[str | None, float]]:
        """By way out: the next presser and his time in seconds; None and inf where nobody gets there."""
        d = self.decisions
        return {way: (self._own(d.take_over[0, k]), round(float(d.take_over_s[0, k]), 2)) for k, way in enumerate(WAYS)}

    @cached_property
    def account(self) -> dict[str, str]:
        """By opponent: what keeps him out of the game, or "free"."""
        code, p = self._carried.account()[0], self.picture
        by_number = {p.opp_number(0, m): ACCOUNTS[code[m]] for m in range(len(code))}
        return {q.number: by_number[q.number] for q in self.situation.possession}

    @property
    def far_side_limit_m(self) -> float | None:
        """How far the far-side guard may stand from the far-side man; None if there is none."""
        limit = self.decisions.far_side_limit_m
        return float(limit[0]) if limit is not None and np.isfinite(limit[0]) else None

    @cached_property
    def danger(self) -> tuple[float, float]:
        """Before, and after 2 s of running to the spots (our own measure, grade D)."""
        before, after = dangers(self.picture, self.decisions)
        return float(before[0]), float(after[0])

    # -- words and values ----------------------------------------------------------------------------------------

    @cached_property
    def words(self) -> str:
        """The plan in a few words, always true to the picture."""
        return sentence(self)

    def table(self) -> list[dict[str, Any]]:
        """Rows of number, role, duty, mark, target, arrival, reason."""
        return [{"number": a.number, "role": a.role, "duty": a.duty, "mark": a.mark,
                 "target_xy": tuple(round(float(v), 2) for v in a.target_xy), "arrival_s": round(a.arrival_s, 2),
                 "reason": a.reason} for a in self.assignments.values()]

    def to_dict(self) -> dict[str, Any]:
        """Everything as plain values, fit for JSON."""
        limit = self.far_side_limit_m
        gaps = [{**g, "between": list(g["between"])} for g in self.gaps]
        return {"state": self.state, "presser": self.presser, "timing": self.timing, "steer": self.steer,
                "assignments": self.table(), "lanes": self.lanes, "gaps": gaps,
                "take_over": {way: [who, time if who else None] for way, (who, time) in self.take_over.items()},
                "account": self.account,
                "far_side_limit_m": None if limit is None else round(limit, 2), "danger": list(self.danger),
                "words": self.words}

    # -- numbers -------------------------------------------------------------------------------------------------

    def _own(self, n: int) -> str | None:
        return None if n == NOBODY else self.picture.own_number(0, int(n))

    def _opp(self, m: int) -> str | None:
        return None if m == NOBODY else self.picture.opp_number(0, int(m))

    def _turned(self, xy: Array) -> Array:
        return self.picture.turned_back(xy)[0]


def plan_press(situation: Situation, rulebook: Rulebook | None = None) -> Plan:
    """Who presses, covers and balances, where each should stand, why, and what stays open.

    Parameters
    ----------
    situation : Situation
    rulebook : Rulebook, optional
        The stock rules and settings if left out.

    Raises
    ------
    PressingError
        For anything that is not a Situation, and whatever an own rule raises (RuleError).

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
    >>> plan_press(s).presser
    '9'
    >>> plan_press("a picture")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: picture: expected a Situation; got str. ...
    """
    if not isinstance(situation, Situation):
        raise BadInput("picture", expected="a Situation", got=type(situation).__name__, todo="make one: Situation(...)")
    rules = Rulebook() if rulebook is None else rulebook
    if not isinstance(rules, Rulebook):
        raise BadInput("rulebook", expected="a Rulebook", got=type(rules).__name__, todo="make one with Rulebook(...)")
    picture = picture_of(Frames.of([situation]), rules.settings)
    return Plan(situation, rules, picture, decide(picture, rules))
