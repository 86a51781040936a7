"""The plan of one picture: who does what, where, why, and what stays open."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.errors import as_a
from pressinglib.field.frames import Frames, sheets_of
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.roles import settings as v
from pressinglib.roles.back_line import comes_out, openness
from pressinglib.roles.balance import cover_distance_m
from pressinglib.roles.decided import Decided
from pressinglib.roles.picture import Floats, Picture, norm
from pressinglib.roles.pipeline import decide
from pressinglib.roles.presser import LAST_STAND_M, outnumbered
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.settings import DUTIES, ROLES
from pressinglib.tables import Table, by_number, listed, table_of

POINTS = 16
LAST_SECOND_M = 6.0  # about the last second of a run (D)
BEND = 0.45
FEW = 4  # more men than this are counted, not named
FAR_M = 4.0  # who ends further off the ball gives way


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
        d, n = self.plan.decisions, self.index
        return d.why[0, n] or Told(self.plan, n).of(CASES[int(d.duty[0, n])])

    def __repr__(self) -> str:
        x, y = self.target_xy
        return f"{self.number} ({self.role}): {self.duty}, at ({x:.1f}, {y:.1f}) in {self.arrival_s:.1f} s"


@dataclass(frozen=True, eq=False, repr=False)
class Plan(Decided):
    """The answer of `plan_press`. Tables give a dict a row, iterated over.

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
        return " ".join(filter(None, said(self)))

    def __repr__(self) -> str:
        lines = list(filter(None, said(self)))
        for role in ROLES:
            duties = [f"{number} {self.assignments[number].duty}" for number in self.in_role(role)]
            lines += [f"{role}: {'; '.join(duties)}"] if duties else []
        return "\n".join(lines)

    def table(self) -> Table:
        """Rows of number, role, duty, mark, target, arrival, reason; `.to_frame()` of it is a data frame."""
        return table_of({"number": a.number, "role": a.role, "duty": a.duty, "mark": a.mark,
                         "target_xy": tuple(round(float(v), 2) for v in a.target_xy),
                         "arrival_s": round(a.arrival_s, 2), "reason": a.reason} for a in self.assignments.values())

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

    By the stock rules and settings where no rulebook is given. PressingError for anything that is not a Situation, and
    whatever an own rule raises (RuleError).

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
    >>> plan_press(s).presser
    '9'
    """
    as_a(situation, Situation, "picture", "make one: Situation(...)")
    rules = as_rulebook(rulebook)
    picture = Picture(Frames.of([situation]), rules.settings)
    return Plan(situation, rules, picture, decide(picture, rules))


def plan_pictures(situations: Iterable[Situation], rulebook: Rulebook | None = None) -> dict[Situation, Plan]:
    """The plans of many pictures, as `plan_press` makes them; of forty of the same teams in a sixth of the time."""
    rules, alike = as_rulebook(rulebook), defaultdict[Any, list[Situation]](list)
    plans: dict[Situation, Plan] = {}
    for s in situations:
        alike[sheets_of(s)].append(s)
    for some in alike.values():
        picture = Picture(Frames.of(some), rules.settings)
        decisions = decide(picture, rules)
        plans |= {s: Plan(s, rules, picture.one(f), decisions.one(f)) for f, s in enumerate(some)}
    return plans


def arc(start: Floats, end: Floats, ball: Floats) -> Floats:
    """(16, 2) a curved run that comes in along the line from the denied option to the ball."""
    way, run = ball - end, float(np.hypot(*(end - start)))
    length = float(np.hypot(*way))
    if run < 1.0 or length < 1e-6:
        return np.array([start, end])
    bend = end - way / length * min(LAST_SECOND_M, BEND * run)
    t = np.linspace(0, 1, POINTS)[:, None]
    return np.asarray((1 - t) ** 2 * start + 2 * t * (1 - t) * bend + t**2 * end)


# -- Reasons in sentences that a coach would say, made only when asked for; they stand in `plan.toml`.

TOLD = tomllib.loads(Path(__file__).with_name("plan.toml").read_text("utf-8"))


class Told(dict[str, Any]):
    """What the sentences about the n-th player of the plan's picture ask for, worked out when they do."""

    def __init__(self, plan: Decided, n: int) -> None:
        super().__init__(plan=plan, n=n, mark=plan.mark(n), time=plan.arrival_s[n])

    def __missing__(self, key: str) -> str:
        return VALUES[key](self["plan"], self["n"])

    def of(self, case: str | Callable[[Decided, int], str]) -> str:
        """The sentence of a case."""
        name = case if isinstance(case, str) else case(self["plan"], self["n"])
        return str(TOLD["reasons"][name].format_map(self))


def _pressed(plan: Decided, n: int) -> str:
    return plan.state if plan.state == "loose" else plan.timing if plan.timing == "hold" else "press"


def _contained(plan: Decided, n: int) -> str:
    gives_way = ", outnumbered" if outnumbered(plan.picture)[0] else ", far"
    loose = ", keeper" if comes_out(plan.picture, plan.decisions)[0] else ", loose"
    return "contain" + (loose if plan.state == "loose" else gives_way if plan.end_distance_m > FAR_M else "")


def _denied(plan: Decided, n: int) -> str:
    if plan.decisions.role[0, n] == v.BACK_LINE:
        return "deny, line"
    p, s = plan.picture, plan.picture.settings
    touch_s = p.pass_s[0, plan.decisions.mark[0, n]] + s.control_time_s
    if plan.state == "open play" and plan.arrival_s[n] > touch_s + s.covered_s:
        return "deny, late"
    off_m = float(norm(plan.decisions.spot[0, n] - plan.decisions.end_xy[0]))
    return "deny, far" if off_m > 2 * float(cover_distance_m(p)[0]) else "deny"


def _dropped(plan: Decided, n: int) -> str:
    return "drop onto, gap" if (plan.decisions.gaps.man[0] == plan.decisions.mark[0, n]).any() else "drop onto"


def _blocked(plan: Decided, n: int) -> str:
    if any(gap["state"] == "open" for gap in plan.gaps):
        return "block, open gap"
    return "block, nobody presses" if plan.presser is None else "block"


def _how(plan: Decided, n: int) -> str:
    if plan.steer == "none" or plan.straight_on:
        return "go straight and slow him down. "
    hidden = [o for o, word in plan.account.items() if word == "shadow"]
    shut = f" with their {listed(hidden)} in your shadow" if hidden else ""
    return f"come from the {'right' if plan.steer == 'left' else 'left'}{shut}, and steer him to the {plan.steer}. "


def _whom(plan: Decided, n: int) -> str:
    moment = " on the ball" if plan.situation.receiver is None else ", while the pass travels"
    return f"their {plan.mark(n)}{moment}" if plan.mark(n) else "the ball"


def _ball(plan: Decided, n: int) -> str:
    covered = float(openness(plan.picture)[0]) < 0.5
    why = "the ball is covered" if covered else "the ball is too far off to come over the top at once"
    return "we have the ball" if plan.state == "won" else why


CASES: dict[int, str | Callable[[Decided, int], str]] = {
    v.PRESS: _pressed, v.CONTAIN: _contained, v.DENY: _denied, v.GUARD_STRAIGHT: "guard straight",
    v.GUARD_INSIDE: "guard inside", v.DROP_ONTO: _dropped, v.KEEP_BLOCK: _blocked, v.RECOVER: "recover",
    v.GUARD_FAR_SIDE: lambda plan, n: "far side, no limit" if plan.far_side_limit_m is None else "far side",
    v.HOLD_LINE: "line", v.STEP_UP: "line up", v.DROP_LINE: "line down", v.STEP_OUT: "step out",
    v.SWEEP: lambda plan, n: "sweep, ball" if comes_out(plan.picture, plan.decisions)[0] else "sweep",
    v.MIND: "mind"}
VALUES: dict[str, Callable[[Decided, int], str]] = {
    "how": _how, "whom": _whom, "ball": _ball, "press": lambda plan, n: Told(plan, n).of(_pressed),
    "off": lambda plan, n: plan.length(plan.end_distance_m, 0), "stand": lambda plan, n: plan.length(LAST_STAND_M, 0),
    "limit": lambda plan, n: plan.length(plan.far_side_limit_m or 0.0, 0)}


def said(plan: Decided) -> tuple[str, str]:
    """The plan in one or two sentences, and what is open."""
    head = _headline(plan)
    if plan.state == "won":
        return head, ""
    roles = [(role, plan.in_role(role)) for role in ("cover", "balance")]
    rest = "; ".join(f"{listed(who)} {role}{'s' if len(who) == 1 else ''}" for role, who in roles if who)
    return f"{head} {rest}." if rest else head, _open(plan)


def _open(plan: Decided) -> str:
    """Who is open as everybody stands, and who once the runs are made."""
    now, later = plan.open_now, [o for o, word in plan.account.items() if word == "free"]
    if not now and not later:
        return "No pass is on."
    runs = plan.arrival_s[(plan.decisions.mark >= 0)[0] | plan.decisions.presses[0]]  # to an opponent or the ball
    after = f"after {runs.max(initial=0.0):.1f} s"
    return (f"A pass is on, now and {after}, to {_their(now)}." if set(now) == set(later) else
            f"A pass is on now to {_their(now)}; {after} to {_their(later)}.")


def _their(numbers: list[str]) -> str:
    """A few by their numbers, many by how many they are."""
    if len(numbers) > FEW:
        return f"{len(numbers)} of them"
    return f"their {listed(sorted(numbers, key=by_number))}" if numbers else "nobody"


def _headline(plan: Decided) -> str:
    if plan.state == "won" or plan.presser is None:
        return "We have the ball." if plan.state == "won" else "Nobody presses: hold the block."
    if plan.timing == "hold":
        return f"{plan.presser} waits{'' if plan.state == 'open play' else ' for the restart'}."
    arrival = float(plan.arrival_s[plan.decisions.presser[0]])
    if plan.state == "loose" and plan.timing == "in time":
        return f"{plan.presser} wins the loose ball, there in {arrival:.1f} s."
    side = {"left": " from the right, steering left", "right": " from the left, steering right", "none": ""}[plan.steer]
    gives_way = plan.end_distance_m > FAR_M
    side = "" if gives_way else " straight on" if plan.straight_on else side
    word = "presses" if plan.timing != "late" else "drops and delays" if gives_way else "contains"
    when = _when(plan, arrival) if plan.state == "open play" else "restart"
    there = TOLD["there"]["gives way" if gives_way else when]
    return f"{plan.presser} {word}{side}, {plan.length(plan.end_distance_m, 1)} off, {there.format(arrival)}."


def _when(plan: Decided, arrival_s: float) -> str:
    """A carrier's next touch comes after the control time; only a ball pressed within about a second is covered."""
    p, s = plan.picture, plan.picture.settings
    late_s = arrival_s - float(ball_time(norm(p.origin - p.ball)[0], s.ball_mps)) - s.control_time_s
    return "with the first touch" if late_s <= 0 else "within a second" if late_s <= s.covered_s else "later"
