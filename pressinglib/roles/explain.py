"""Reasons in sentences that a coach would say, made only when asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from pressinglib.roles import settings as v
from pressinglib.roles.back_line import openness
from pressinglib.roles.cover import cover_distance_m
from pressinglib.tables import listed

if TYPE_CHECKING:
    from pressinglib.roles.plan import Assignment, Plan


def reason(plan: Plan, a: Assignment) -> str:
    """Why this player does this."""
    p, d = plan.picture, plan.decisions
    n = next(k for k in range(p.line.shape[1]) if p.own_number(0, k) == a.number)
    words: Callable[[Plan, Assignment], str] = _BY_DUTY[int(d.duty[0, n])]
    return words(plan, a)


def _step_out(plan: Plan, a: Assignment) -> str:
    return f"No midfielder gets there in time: step out. {_press(plan, a)} The others close up behind you."


def _press(plan: Plan, a: Assignment) -> str:
    if plan.state == "loose":
        return f"First to the loose ball, in {a.arrival_s:.1f} s: win it."
    if plan.timing == "hold":
        return "Nearest to the ball, but it is not in play: wait, ready to go with the first touch."
    moment = " on the ball" if plan.situation.receiver is None else ", while the pass travels"
    run = "Run fast, brake early, end an arm's length off; do not dive in."
    whom = f"their {a.mark}{moment}" if a.mark else "the ball"
    return f"First to {whom}: {_how(plan)}{run}"


def _how(plan: Plan) -> str:
    if plan.steer == "none" or plan.straight_on:
        return "go straight and slow him down. "
    hidden = [o for o, word in plan.account.items() if word == "shadow"]
    shut = f", your shadow on their {listed(hidden)}" if hidden else ""
    away = "right" if plan.steer == "left" else "left"
    return f"come from the {away}{shut}, and show him to the {plan.steer}. "


def _contain(plan: Plan, a: Assignment) -> str:
    if plan.state == "loose":
        return "An opponent gets to the loose ball first: stay goal-side of it, slow him down, wait for help."
    if plan.end_distance_m > 4:
        path = f"give way in the path of their {a.mark}, goal-side"
        return f"More of them than of us: {path}, and engage about 20 m from goal."
    return f"Nearest to their {a.mark}, but too late to stop him: stay goal-side 3 m off, slow him down, wait for help."


def _deny(plan: Plan, a: Assignment) -> str:
    whom = f"Their {a.mark} is a short, easy pass: be there before the ball"
    if float(np.hypot(*(a.target_xy - plan.end_xy))) > 2 * float(cover_distance_m(plan.picture)[0]):
        return f"{whom}. You are then far from {plan.presser}: if he is beaten, others must help. That is the risk."
    return f"{whom}, and stay ready to press if {plan.presser} is beaten."


def _guard(way: str) -> str:
    return f"Nobody to deny here: stand behind the presser in the {way} way, next to press if he is beaten."


def _drop(plan: Plan, a: Assignment) -> str:
    behind = a.mark in plan.men_behind_gaps
    where = "waits behind the gap" if behind else "is free"
    which = "the pass through" if behind else "a pass to him"
    return f"Their {a.mark} {where}: drop goal-side of him, shaded to the ball, so that {which} finds you there."


def _block(plan: Plan, a: Assignment) -> str:
    why = "Nobody presses here" if plan.presser is None else "Every gap has its man"
    if any(gap["state"] == "open" for gap in plan.gaps):
        why = "No gap is yours to close in time"
    return f"{why}: keep your place in the block, ball side and compact."


def _hold_line(plan: Plan, a: Assignment) -> str:
    return f"Shift across with the ball as one line and hold: {_because(plan)}."


def _step_line(plan: Plan, a: Assignment) -> str:
    return f"Step up together and keep the lines close: {_because(plan)}."


def _because(plan: Plan) -> str:
    if plan.state == "won":
        return "we have the ball"
    covered = float(openness(plan.picture, plan.decisions)[0]) < 0.5
    return "the ball is covered" if covered else "the ball is too far off to come over the top at once"


def _far(plan: Plan, a: Assignment) -> str:
    limit = plan.far_side_limit_m
    reach = f"no further than {limit:.0f} m from their {a.mark}" if limit is not None else "in reach of the switch"
    return f"Last one on the far side: tuck in, but {reach}, or the switch beats you."


_BY_DUTY = {
    v.PRESS: _press, v.STEP_OUT: _step_out, v.CONTAIN: _contain, v.DENY: _deny,
    v.GUARD_STRAIGHT: lambda plan, a: _guard("straight"), v.GUARD_INSIDE: lambda plan, a: _guard("inside"),
    v.GUARD_OUTSIDE: lambda plan, a: _guard("outside"), v.DROP_ONTO: _drop, v.GUARD_FAR_SIDE: _far,
    v.STEP_INTO_GAP: lambda plan, a: "Nobody stands behind this gap: step up into it and shorten the pitch.",
    v.KEEP_BLOCK: _block,
    v.RECOVER: lambda plan, a: "The ball has gone past you: run back on the inside line until you are goal-side.",
    v.HOLD_LINE: _hold_line, v.STEP_UP: _step_line,
    v.DROP_LINE: lambda plan, a: "Drop together and narrow: nobody is on the ball, so the ball over the top is on.",
    v.MIND: lambda plan, a: (f"More of them than of us: stay between their {a.mark}, the ball and the goal, inside "
                            "shoulder, and do not go to meet him."),
    v.SWEEP: lambda plan, a: "Stay on the line from ball to goal, high enough to sweep, not so high as to be chipped.",
}


def sentence(plan: Plan) -> str:
    """One or two sentences on the whole picture: the text alternative."""
    head = _headline(plan)
    if plan.state == "won":
        return head
    roles = {role: [a.number for a in plan.assignments.values() if a.role == role] for role in ("cover", "balance")}
    rest = [f"{listed(who)} {role}{'s' if len(who) == 1 else ''}" for role, who in roles.items() if who]
    free = [o for o, word in plan.account.items() if word == "free"]
    still = f"Open: their {listed(free)}." if free else "Nobody is left open."
    return " ".join(part for part in (head, ("; ".join(rest) + ".") if rest else "", still) if part)


def _headline(plan: Plan) -> str:
    if plan.state == "won":
        return "We have the ball."
    if plan.presser is None:
        return "Nobody presses: hold the block."
    arrival = plan.assignments[plan.presser].arrival_s
    if plan.timing == "hold":
        return f"{plan.presser} waits{'' if plan.state == 'open play' else ' for the restart'}."
    if plan.state == "loose" and plan.timing == "in time":
        return f"{plan.presser} wins the loose ball, there in {arrival:.1f} s."
    side = {"left": " from the right, steering left", "right": " from the left, steering right", "none": ""}[plan.steer]
    side = " straight on" if plan.straight_on else side
    gives_way = plan.timing == "late" and plan.end_distance_m > 4
    word = "gives way" if gives_way else "contains" if plan.timing == "late" else "presses"
    return f"{plan.presser} {word}{side}, {plan.end_distance_m:.1f} m off, there in {arrival:.1f} s."
