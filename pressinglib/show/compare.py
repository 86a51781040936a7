"""Two plans of one picture on one drawing: the first in full, the second where it differs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import dist
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan
from pressinglib.show.ink import OTHER
from pressinglib.show.look import ROLES
from pressinglib.show.marks import Label, Line, Mark, Spot, as_points

DIFFERS_M = 1.0
LETTER_OFF_M = 3.0


def draw_compared(situation: Situation, plan: Plan, other: Plan, names: tuple[str, str] = ("these rules", "others"),
                  layers: Iterable[str] = USUAL_LAYERS, title: str | None = None, **how: Any) -> Drawing:
    """The picture with its plan, and thin dashed forms where another plan puts somebody elsewhere.

    Parameters
    ----------
    situation : Situation
    plan, other : Plan
        Both of this picture.
    names : (str, str)
        Of the two, in a few words.
    layers, title, how
        As in `draw_plan`; layers show the first plan.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.roles.rulebook import Rulebook
    >>> s = Situation.line_up(ball_xy=(35, 10))
    >>> drawing = draw_compared(s, plan_press(s), plan_press(s, Rulebook().with_settings(steering="inside")))
    >>> drawing.words.count("Others: "), any(mark.layer == "other" for mark in drawing.marks)
    (1, True)
    >>> same = draw_compared(s, plan_press(s), plan_press(s))
    >>> any(mark.layer == "other" for mark in same.marks)
    False
    """
    drawing = draw_plan(situation, plan, layers, title, **how)
    marks = [mark for number in plan.assignments for mark in _elsewhere(plan, other, number)]
    labels = drawing.labels
    apart = labels.said("; ".join(differences(labels.named_plan(plan), labels.named_plan(other))))
    second = f"{_head(names[1])}: {labels.said(labels.named_plan(other).words)}"
    second += f" With {names[1]}: {apart}." if apart else " Nobody stands elsewhere."
    words = f"{_head(names[0])}: {drawing.words} {second}"
    return replace(drawing, marks=(*drawing.marks, *marks), words=words, other=names[1])


def differences(plan: Plan, other: Plan) -> list[str]:
    """What the second plan does otherwise, in short phrases: presser, side, roles, spots, who stays open.

    Parameters
    ----------
    plan, other : Plan
        Both of one picture.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> s = Situation.line_up(ball_xy=(35, 10))
    >>> differences(plan_press(s), plan_press(s))
    []
    """
    phrases = []
    if plan.presser != other.presser:
        phrases.append(f"{other.presser or 'nobody'} presses instead of {plan.presser or 'nobody'}")
    if plan.steer != other.steer:
        phrases.append("no side is shown" if other.steer == "none" else f"he is steered {other.steer}")
    phrases += [phrase for number in plan.assignments for phrase in _otherwise(plan, other, number)]
    return phrases + _opened(plan, other)


def _otherwise(plan: Plan, other: Plan, number: str) -> list[str]:
    """One player: another role, or a spot more than a metre away."""
    mine, job = plan.assignments[number], other.assignments[number]
    dx, dy = job.target_xy - mine.target_xy
    if mine.role != job.role:
        return [f"{number}: {ROLES[job.role].word} instead of {ROLES[mine.role].word}"]
    if dist(mine.target_xy, job.target_xy) < DIFFERS_M:
        return []
    ways = [f"{abs(step):.1f} m {word}" for step, word in ((dx, "higher" if dx > 0 else "deeper"),
                                                         (dy, "further left" if dy > 0 else "further right"))
            if abs(step) >= DIFFERS_M / 2]
    return [f"{number} stands " + " and ".join(ways)]


def _opened(plan: Plan, other: Plan) -> list[str]:
    """Opponents who are free with one plan and not with the other."""
    ours, theirs = ({number for number, state in p.account.items() if state == "free"} for p in (plan, other))
    names = [q.number for q in plan.situation.possession]
    more, less = ([n for n in names if n in a - b] for a, b in ((theirs, ours), (ours, theirs)))
    return [f"their {', '.join(group)} {word}" for group, word in ((more, "open as well"), (less, "no longer open"))
            if group]


def _elsewhere(plan: Plan, other: Plan, number: str) -> list[Mark]:
    """A player's spot by the other plan, if it is another one or another role."""
    mine, job = plan.assignments[number], other.assignments[number]
    here, there = as_points([mine.target_xy, job.target_xy])
    if dist(here, there) < DIFFERS_M and mine.role == job.role:
        return []
    style, start = OTHER + job.role, other.situation.player("pressing", number).xy
    marks: list[Mark] = [Spot("other", style, there)]
    marks += [Line("other", style, (start, there))] if dist(start, there) > LETTER_OFF_M else []
    return [*marks, Label("other", style, (there[0] - LETTER_OFF_M, there[1]), ROLES[job.role].letter)]


def _head(name: str) -> str:
    return name[:1].upper() + name[1:]
