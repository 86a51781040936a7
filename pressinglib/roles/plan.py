"""The plan of one picture: who does what, where, why, and what stays open."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from pressinglib.errors import BadInput
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles.decided import Decided
from pressinglib.roles.explain import reason, sentence
from pressinglib.roles.picture import Floats, picture_of
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.settings import DUTIES, ROLES
from pressinglib.tables import Rows

POINTS = 16
LAST_SECOND_M = 6.0  # about the last second of a run (D)
BEND = 0.45


@dataclass(frozen=True, eq=False)
class Assignment:
    """What one player of the pressing team does."""

    number: str
    role: str  # "pressure", "cover", "balance", "back line" or "goalkeeper"
    duty: str
    mark: str | None
    anchor_xy: Floats  # (2,) where the rule puts him
    target_xy: Floats  # (2,) where he settles
    path: Floats  # (n, 2) his run
    arrival_s: float  # with 0.3 s reaction and braking
    plan: Plan
    index: int  # his place in the plan's picture

    @cached_property
    def reason(self) -> str:
        """A sentence that a coach would say."""
        return reason(self.plan, self.index)

    def __repr__(self) -> str:
        x, y = self.target_xy
        return f"{self.number} ({self.role}): {self.duty}, at ({x:.1f}, {y:.1f}) in {self.arrival_s:.1f} s"


@dataclass(frozen=True, eq=False, repr=False)
class Plan(Decided):
    """The answer of `plan_press`. Rows are lists of plain dicts, which a notebook shows as tables.

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
    >>> plan = plan_press(s)
    >>> plan.state, plan.timing, len(plan.assignments)
    ('open play', 'in time', 11)
    >>> plan.assignments["9"]
    9 (pressure): press their 5, at (34.7, 10.5) in 3.0 s
    """

    @cached_property
    def assignments(self) -> dict[str, Assignment]:
        """By number: every player of the pressing team, in the order of the picture."""
        p, d = self.picture, self.decisions
        index = {p.own_number(0, n): n for n in range(p.line.shape[1])}
        anchors, targets = p.turned_back(d.anchor)[0], p.turned_back(d.spot)[0]
        found = {}
        for number, n in ((q.number, index[q.number]) for q in self.situation.pressing):
            mark = self.mark(n)
            duty = DUTIES[d.duty[0, n]].format(mark=f"their {mark}" if mark else "the ball")
            found[number] = Assignment(number, ROLES[d.role[0, n]], duty, mark, anchors[n], targets[n],
                                       self._path(n, targets[n]), float(self.arrival_s[n]), self, n)
        return found

    def _path(self, n: int, target: Floats) -> Floats:
        """(k, 2) the run of a player: straight, but the presser's brings his shadow onto the denied option."""
        p, d = self.picture, self.decisions
        start = p.turned_back(p.own)[0, n]
        curved = n == d.presser[0] and d.steer[0] != 0
        return arc(start, target, p.turned_back(p.focus)[0]) if curved else np.array([start, target])

    @cached_property
    def words(self) -> str:
        """The plan in a few words, always true to the picture."""
        return sentence(self)

    def __repr__(self) -> str:
        lines = [self.words]
        for role in ROLES:
            duties = [f"{number} {self.assignments[number].duty}" for number in self.in_role(role)]
            lines += [f"{role}: {'; '.join(duties)}"] if duties else []
        return "\n".join(lines)

    def table(self) -> Rows:
        """Rows of number, role, duty, mark, target, arrival, reason; `.to_frame()` of it is a data frame."""
        return Rows({"number": a.number, "role": a.role, "duty": a.duty, "mark": a.mark,
                     "target_xy": tuple(round(float(v), 2) for v in a.target_xy), "arrival_s": round(a.arrival_s, 2),
                     "reason": a.reason} for a in self.assignments.values())

    def to_frame(self) -> Any:
        """`table` as a data frame, which needs pandas."""
        return self.table().to_frame()

    def to_dict(self) -> dict[str, Any]:
        """Everything as plain values, fit for JSON."""
        limit = self.far_side_limit_m
        gaps = [{**g, "between": list(g["between"])} for g in self.gaps]
        return {"state": self.state, "presser": self.presser, "timing": self.timing, "steer": self.steer,
                "assignments": list(self.table()), "lanes": list(self.lanes), "gaps": gaps,
                "take_over": {way: [who, time if who else None] for way, (who, time) in self.take_over.items()},
                "account": self.account,
                "far_side_limit_m": None if limit is None else round(limit, 2), "danger": list(self.danger),
                "words": self.words}


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
    rules = as_rulebook(rulebook)
    picture = picture_of(Frames.of([situation]), rules.settings)
    return Plan(situation, rules, picture, decide(picture, rules))


def arc(start: Floats, end: Floats, ball: Floats) -> Floats:
    """(16, 2) a curved run that comes in along the line from the denied option to the ball."""
    way, run = ball - end, float(np.hypot(*(end - start)))
    length = float(np.hypot(*way))
    if run < 1.0 or length < 1e-6:
        return np.array([start, end])
    bend = end - way / length * min(LAST_SECOND_M, BEND * run)
    t = np.linspace(0, 1, POINTS)[:, None]
    return np.asarray((1 - t) ** 2 * start + 2 * t * (1 - t) * bend + t**2 * end)
