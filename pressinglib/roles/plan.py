"""The plan of one picture: who does what, where, why, and what stays open."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from pressinglib.errors import as_a
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles import settings as v
from pressinglib.roles.back_line import openness
from pressinglib.roles.confidence import Confidence, confidence_of
from pressinglib.roles.cover import cover_distance_m
from pressinglib.roles.decided import Decided
from pressinglib.roles.picture import Floats, picture_of
from pressinglib.roles.pipeline import decide
from pressinglib.roles.presser import outnumbered
from pressinglib.roles.rulebook import Rulebook, as_rulebook
from pressinglib.roles.settings import DUTIES, ROLES
from pressinglib.tables import Rows, by_number, listed

POINTS = 16
LAST_SECOND_M = 6.0  # about the last second of a run (D)
BEND = 0.45
FEW = 4  # more men than this are counted, not named


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
        lines = self.words.replace(" Open now", "\nOpen now").splitlines()
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

    def confidence(self, copies: int = 64, error_m: float = 0.5, error_s: float = 0.2, seed: int = 0) -> Confidence:
        """How sure the plan is: in how many copies of the picture, measured a little wrong, the same is decided.

        Parameters
        ----------
        copies : int
        error_m : float
            Standard deviation of each coordinate of each player; 0.5 m is what broadcast tracking errs (P).
        error_s : float
            Standard deviation of the moment at which each was seen, along his velocity.
        seed : int

        Raises
        ------
        BadInput

        Examples
        --------
        >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(35, 12), build_up="2+3")
        >>> sure = plan_press(s).confidence()
        >>> sure.copies, max(sure.presser, key=sure.presser.get)
        (64, '9')
        """
        return confidence_of(self, copies, error_m, error_s, seed)

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
    as_a(situation, Situation, "picture", "make one: Situation(...)")
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


# -- Reasons in sentences that a coach would say, made only when asked for.


def reason(plan: Decided, n: int) -> str:
    """Why the n-th player of the plan's picture does what he does."""
    because = plan.decisions.why[0, n] or REASONS[int(plan.decisions.duty[0, n])]
    return because if isinstance(because, str) else because(plan, n)


def _step_out(plan: Decided, n: int) -> str:
    return f"No midfielder gets there in time: step out. {_press(plan, n)} The others close up behind you."


def _press(plan: Decided, n: int) -> str:
    if plan.state == "loose":
        return f"First to the loose ball, in {plan.arrival_s[n]:.1f} s: win it."
    if plan.timing == "hold":
        return "Nearest to the ball, but it is not in play: wait, ready to go with the first touch."
    moment = " on the ball" if plan.situation.receiver is None else ", while the pass travels"
    run = "Run fast, brake early, end an arm's length off; do not dive in."
    whom = f"their {plan.mark(n)}{moment}" if plan.mark(n) else "the ball"
    return f"First to {whom}: {_how(plan)}{run}"


def _how(plan: Decided) -> str:
    if plan.steer == "none" or plan.straight_on:
        return "go straight and slow him down. "
    hidden = [o for o, word in plan.account.items() if word == "shadow"]
    shut = f", your shadow on their {listed(hidden)}" if hidden else ""
    away = "right" if plan.steer == "left" else "left"
    return f"come from the {away}{shut}, and show him to the {plan.steer}. "


def _contain(plan: Decided, n: int) -> str:
    man, off_m = f"their {plan.mark(n)}", plan.end_distance_m
    if plan.state == "loose":
        return "An opponent gets to the loose ball first: stay goal-side of it, slow him down, wait for help."
    drop = f"drop off in front of {man}, goal-side"
    if off_m > 4 and outnumbered(plan.picture)[0]:
        return f"They outnumber us: {drop}, and engage about {plan.length(20, 0)} out."
    if off_m > 4:
        return f"Too far to come out: {drop}, slow him down and wait for help."
    off = plan.length(off_m, 0)
    return f"Nearest to {man}, but too late to stop him: stay goal-side, {off} off, slow him down and wait for help."


def _deny(plan: Decided, n: int) -> str:
    d, whom = plan.decisions, f"Their {plan.mark(n)} is an easy short pass: be with him when it comes"
    if float(np.hypot(*(d.spot[0, n] - d.end_xy[0]))) > 2 * float(cover_distance_m(plan.picture)[0]):
        return f"{whom}. From there you cannot help {plan.presser}: if he is beaten, the next man goes."
    return f"{whom}, and be ready to press if {plan.presser} is beaten."


def _drop(plan: Decided, n: int) -> str:
    behind = bool((plan.decisions.gaps.man[0] == plan.decisions.mark[0, n]).any())
    where = "waits behind the gap" if behind else "is free"
    return f"Their {plan.mark(n)} {where}: get goal-side of him, on the ball side, near enough to meet a pass to him."


def _block(plan: Decided, n: int) -> str:
    why = "Nobody presses here" if plan.presser is None else "Every gap has its man"
    if any(gap["state"] == "open" for gap in plan.gaps):
        why = "No gap is yours to close in time"
    return f"{why}: keep your place in the block, ball side and compact."


def _line(plan: Decided, n: int) -> str:
    covered = float(openness(plan.picture, plan.decisions)[0]) < 0.5
    why = "the ball is covered" if covered else "the ball is too far off to come over the top at once"
    why = "we have the ball" if plan.state == "won" else why
    up = plan.decisions.duty[0, n] == v.STEP_UP
    return f"{'Step up together and keep the lines close' if up else HOLD_LINE}: {why}."


def _far(plan: Decided, n: int) -> str:
    limit, near = plan.far_side_limit_m, "near enough to get out to a switch"
    if limit is not None:
        near = f"within {plan.length(limit, 0)} of their {plan.mark(n)}, or a switch beats you"
    return f"Last one on the far side: tuck in, but stay {near}."


HOLD_LINE = "Shift across with the ball as one line and hold"
GUARD = "Nobody to pick up: stay behind the presser, on the way {}, and press if he is beaten."
REASONS: dict[int, str | Callable[[Decided, int], str]] = {
    v.PRESS: _press, v.STEP_OUT: _step_out, v.CONTAIN: _contain, v.DENY: _deny, v.DROP_ONTO: _drop,
    v.GUARD_STRAIGHT: GUARD.format("straight to goal"), v.GUARD_INSIDE: GUARD.format("inside"),
    v.GUARD_FAR_SIDE: _far, v.KEEP_BLOCK: _block,
    v.RECOVER: "The ball has gone past you: run back, inside first, until you are between it and the goal.",
    v.HOLD_LINE: _line, v.STEP_UP: _line,
    v.DROP_LINE: "Drop together and narrow: nobody is on the ball, so the ball over the top is on.",
    v.MIND: lambda plan, n: f"They outnumber us: stay between their {plan.mark(n)} and the goal, at his "
                            "inside shoulder, and do not go to meet him.",
    v.SWEEP: "Stay on the line from ball to goal, high enough to sweep, not so high as to be chipped.",
}


def sentence(plan: Decided) -> str:
    """One or two sentences on the whole picture: the text alternative."""
    head = _headline(plan)
    if plan.state == "won":
        return head
    roles = [(role, plan.in_role(role)) for role in ("cover", "balance")]
    rest = "; ".join(f"{listed(who)} {role}{'s' if len(who) == 1 else ''}" for role, who in roles if who)
    return " ".join(part for part in (head, f"{rest}." if rest else "", _open(plan)) if part)


def _open(plan: Decided) -> str:
    """Who is open as everybody stands, and who once the runs are made."""
    now, later = plan.open_now, [o for o, word in plan.account.items() if word == "free"]
    if not now and not later:
        return "Nobody is open."
    after = f"after {plan.runs_s:.1f} s"
    return (f"Open now and {after}: {_their(now)}." if set(now) == set(later) else
            f"Open now: {_their(now)}; {after} {_their(later)}.")


def _their(numbers: list[str]) -> str:
    """A few by their numbers, many by how many they are."""
    if len(numbers) > FEW:
        return f"{len(numbers)} of them"
    return f"their {listed(sorted(numbers, key=by_number))}" if numbers else "nobody"


def _headline(plan: Decided) -> str:
    if plan.state == "won":
        return "We have the ball."
    if plan.presser is None:
        return "Nobody presses: hold the block."
    if plan.timing == "hold":
        return f"{plan.presser} waits{'' if plan.state == 'open play' else ' for the restart'}."
    arrival = float(plan.arrival_s[plan.decisions.presser[0]])
    if plan.state == "loose" and plan.timing == "in time":
        return f"{plan.presser} wins the loose ball, there in {arrival:.1f} s."
    side = {"left": " from the right, steering left", "right": " from the left, steering right", "none": ""}[plan.steer]
    gives_way = plan.end_distance_m > 4
    side = "" if gives_way else " straight on" if plan.straight_on else side
    word = "presses" if plan.timing != "late" else "drops and delays" if gives_way else "contains"
    there = WHEN["gives way" if gives_way else plan.when if plan.state == "open play" else "restart"].format(arrival)
    return f"{plan.presser} {word}{side}, {plan.length(plan.end_distance_m, 1)} off, {there}."


WHEN = {"with the first touch": "there with the first touch, in {:.1f} s",
        "within a second": "there within a second of the touch, in {:.1f} s",
        "later": "there in {:.1f} s; until then the ball is open",
        "gives way": "there in {:.1f} s; the ball stays open", "restart": "there in {:.1f} s"}
