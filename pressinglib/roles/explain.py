"""Reasons in sentences that a coach would say, made only when asked for."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pressinglib.roles import settings as v
from pressinglib.roles.back_line import openness
from pressinglib.roles.cover import cover_distance_m
from pressinglib.roles.decided import Decided
from pressinglib.tables import listed


def reason(plan: Decided, n: int) -> str:
    """Why the n-th player of the plan's picture does what he does."""
    because = REASONS[int(plan.decisions.duty[0, n])]
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
    man = f"their {plan.mark(n)}"
    if plan.state == "loose":
        return "An opponent gets to the loose ball first: stay goal-side of it, slow him down, wait for help."
    if plan.end_distance_m > 4:
        way = f"give way in the path of {man}, goal-side"
        return f"More of them than of us: {way}, and engage about {plan.length(20, 0)} from goal."
    off = plan.length(3, 0)
    return f"Nearest to {man}, but too late to stop him: stay goal-side {off} off, slow him down, wait for help."


def _deny(plan: Decided, n: int) -> str:
    d, whom = plan.decisions, f"Their {plan.mark(n)} is a short, easy pass: be there before the ball"
    if float(np.hypot(*(d.spot[0, n] - d.end_xy[0]))) > 2 * float(cover_distance_m(plan.picture)[0]):
        return f"{whom}. You are then far from {plan.presser}: if he is beaten, others must help. That is the risk."
    return f"{whom}, and stay ready to press if {plan.presser} is beaten."


def _drop(plan: Decided, n: int) -> str:
    behind = bool((plan.decisions.gaps.man[0] == plan.decisions.mark[0, n]).any())
    where = "waits behind the gap" if behind else "is free"
    which = "the pass through" if behind else "a pass to him"
    return f"Their {plan.mark(n)} {where}: drop goal-side of him, shaded to the ball, so that {which} finds you there."


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
    limit, reach = plan.far_side_limit_m, "in reach of the switch"
    if limit is not None:
        reach = f"no further than {plan.length(limit, 0)} from their {plan.mark(n)}"
    return f"Last one on the far side: tuck in, but {reach}, or the switch beats you."


HOLD_LINE = "Shift across with the ball as one line and hold"
GUARD = "Nobody to deny here: stand behind the presser in the {} way, next to press if he is beaten."
REASONS: dict[int, str | Callable[[Decided, int], str]] = {
    v.PRESS: _press, v.STEP_OUT: _step_out, v.CONTAIN: _contain, v.DENY: _deny, v.DROP_ONTO: _drop,
    v.GUARD_STRAIGHT: GUARD.format("straight"), v.GUARD_INSIDE: GUARD.format("inside"),
    v.GUARD_FAR_SIDE: _far, v.KEEP_BLOCK: _block,
    v.RECOVER: "The ball has gone past you: run back on the inside line until you are goal-side.",
    v.HOLD_LINE: _line, v.STEP_UP: _line,
    v.DROP_LINE: "Drop together and narrow: nobody is on the ball, so the ball over the top is on.",
    v.MIND: lambda plan, n: f"More of them than of us: stay between their {plan.mark(n)}, the ball and the goal, "
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
    free = [o for o, word in plan.account.items() if word == "free"]
    still = f"Open: their {listed(free)}." if free else "Nobody is left open."
    return " ".join(part for part in (head, f"{rest}." if rest else "", still) if part)


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
    side = " straight on" if plan.straight_on else side
    word = "presses" if plan.timing != "late" else "gives way" if plan.end_distance_m > 4 else "contains"
    return f"{plan.presser} {word}{side}, {plan.length(plan.end_distance_m, 1)} off, there in {arrival:.1f} s."
