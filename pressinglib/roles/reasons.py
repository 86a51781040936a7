"""Reasons in sentences that a coach would say, made only when asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from pressinglib.roles import vocabulary as v

if TYPE_CHECKING:
    from pressinglib.roles.plan import Assignment, Plan


def reason(plan: Plan, a: Assignment) -> str:
    """Why this player does this."""
    p, d = plan.picture, plan.decisions
    n = next(k for k in range(p.line.shape[1]) if p.own_number(0, k) == a.number)
    words: Callable[[Plan, Assignment], str] = _BY_DUTY[int(d.duty[0, n])]
    return words(plan, a)


def _press(plan: Plan, a: Assignment) -> str:
    if plan.state == "loose":
        return f"First to the loose ball, in {a.arrival_s:.1f} s: win it."
    if plan.timing == "hold":
        return "Nearest to the ball, but it is not in play: wait, ready to go with the first touch."
    whom = f"{a.mark} on the ball" if plan.situation.receiver is None else f"{a.mark}, while the pass travels"
    return f"First to {whom}: {_how(plan)}Run fast, brake early, end an arm's length off; do not dive in."


def _how(plan: Plan) -> str:
    if plan.steer == "none":
        return "go straight and slow him down. "
    hidden = [o for o, word in plan.account.items() if word == "shadow"]
    shut = f", your shadow on {_listed(hidden)}" if hidden else ""
    away = "right" if plan.steer == "left" else "left"
    return f"come from the {away}{shut}, and show him to the {plan.steer}. "


def _contain(plan: Plan, a: Assignment) -> str:
    return f"Nearest to {a.mark}, but too late to stop him: stay goal-side 3 m off, slow him down, wait for help."


def _deny(plan: Plan, a: Assignment) -> str:
    ready = f"stay ready to press if {plan.presser} is beaten"
    return f"{a.mark} is a short, easy pass: be there before the ball, and {ready}."


def _guard(way: str) -> str:
    return f"Nobody to deny here: stand behind the presser in the {way} way, next to press if he is beaten."


def _drop(plan: Plan, a: Assignment) -> str:
    return f"{a.mark} waits behind the gap: drop goal-side of him, shaded to the ball, so the pass through finds you."


def _far(plan: Plan, a: Assignment) -> str:
    limit = plan.far_side_limit_m
    reach = f"no further than {limit:.0f} m from {a.mark}" if limit is not None else "in reach of the switch"
    return f"Last one on the far side: tuck in, but {reach}, or the switch beats you."


_BY_DUTY = {
    v.PRESS: _press, v.STEP_OUT: _press, v.CONTAIN: _contain, v.DENY: _deny,
    v.GUARD_STRAIGHT: lambda plan, a: _guard("straight"), v.GUARD_INSIDE: lambda plan, a: _guard("inside"),
    v.GUARD_OUTSIDE: lambda plan, a: _guard("outside"), v.DROP_ONTO: _drop, v.GUARD_FAR_SIDE: _far,
    v.STEP_INTO_GAP: lambda plan, a: "Nobody stands behind this gap: step up into it and shorten the pitch.",
    v.KEEP_BLOCK: lambda plan, a: "Every gap has its man: keep your place in the block, ball side and compact.",
    v.RECOVER: lambda plan, a: "The ball has gone past you: run back on the inside line until you are goal-side.",
    v.HOLD_LINE: lambda plan, a: "Shift across with the ball as one line and hold: the ball is pressed.",
    v.STEP_UP: lambda plan, a: "Step up together: the ball is covered, keep the lines close.",
    v.DROP_LINE: lambda plan, a: "Drop together and narrow: nobody is on the ball, so the ball over the top is on.",
    v.SWEEP: lambda plan, a: "Stay on the line from ball to goal, high enough to sweep, not so high as to be chipped.",
}


def sentence(plan: Plan) -> str:
    """One or two sentences on the whole picture: the text alternative."""
    head = _headline(plan)
    roles = {role: [a.number for a in plan.assignments.values() if a.role == role] for role in ("cover", "balance")}
    rest = [f"{_listed(roles[r])} {word}" for r, word in (("cover", "cover"), ("balance", "balance")) if roles[r]]
    free = [o for o, word in plan.account.items() if word == "free"]
    still = f"Open: {_listed(free)}." if free else "Nobody is left open."
    return " ".join(part for part in (head, ("; ".join(rest) + ".") if rest else "", still) if part)


def _headline(plan: Plan) -> str:
    if plan.state == "won":
        return "We have the ball."
    if plan.presser is None:
        return "Nobody presses: hold the block."
    arrival = plan.assignments[plan.presser].arrival_s
    end = float(np.hypot(*(plan.decisions.end_xy[0] - plan.picture.focus[0])))
    if plan.timing == "hold":
        return f"{plan.presser} waits for the restart."
    side = {"left": " from the right, steering left", "right": " from the left, steering right", "none": ""}[plan.steer]
    word = "contains" if plan.timing == "late" else "presses"
    return f"{plan.presser} {word}{side}, {end:.1f} m off, there in {arrival:.1f} s."


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
