"""Pictures of moment after moment: players on the run to their spots, and a press as it happens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from pressinglib.field.player import as_number
from pressinglib.field.situation import Situation
from pressinglib.play.sequence import Sequence
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan
from pressinglib.show.labels import Labels
from pressinglib.show.players import players
from pressinglib.show.runs import Runs
from pressinglib.show.words import situation_title

MOVING = ("players", "body", "run", "ball")  # layers that go with the players; the run itself is seen


def at_time(drawing: Drawing, situation: Situation, time_s: float) -> Drawing:
    """The same drawing with the players of a later moment, and the time in its title.

    What the plan says is not worked out anew, so this is fast enough for every step of a moving picture.

    Parameters
    ----------
    drawing : Drawing
        Of the moment at which the plan was made.
    situation : Situation
        The later moment, such as `Runs(plan).at(1.2)`.
    time_s : float

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.show.drawing import draw_plan
    >>> plan = plan_press(scene("worked scene"))
    >>> drawing = draw_plan(plan.situation, plan)
    >>> at_time(drawing, Runs(plan).at(1.2), 1.2).title
    'Their 5 on the ball, attacking third, left half-space: 1.2 s'
    >>> len(at_time(drawing, plan.situation, 0.0).marks) == len(drawing.marks)
    True
    """
    still = tuple(mark for mark in drawing.marks if mark.layer not in MOVING)
    moved = tuple(mark for mark in players(situation, drawing.labels) if mark.layer != "run")
    return replace(drawing, marks=(*still, *moved), title=f"{drawing.title}: {time_s:.1f} s")


def run_drawings(drawing: Drawing, runs: Runs, step_s: float = 0.1) -> Iterator[tuple[float, Drawing]]:
    """Time and drawing of every step of the runs, the first at 0 s, the last when everybody stands.

    Parameters
    ----------
    drawing : Drawing
        Of the plan that the runs belong to.
    runs : Runs
    step_s : float
        0.04-5 s between two drawings.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.show.drawing import draw_plan
    >>> plan = plan_press(scene("worked scene"))
    >>> times = [time for time, _ in run_drawings(draw_plan(plan.situation, plan), Runs(plan), 1.0)]
    >>> times[:3], times[-1] >= Runs(plan).lasts_s
    ([0.0, 1.0, 2.0], True)
    """
    step_s = as_number(step_s, "step of time in s", low=0.04, high=5.0)
    for time_s in np.arange(0.0, runs.lasts_s + step_s, step_s).tolist():
        yield time_s, at_time(drawing, runs.at(time_s), time_s)


def sequence_drawings(sequence: Sequence, layers: Iterable[str] = USUAL_LAYERS, step_s: float = 0.0,
                      labels: Labels | None = None) -> Iterator[tuple[float, Drawing]]:
    """Time and drawing of the moments of a sequence, each with the plan of its moment.

    Parameters
    ----------
    sequence : Sequence
        The answer of `simulate`.
    layers, labels
        As in `draw_plan`.
    step_s : float
        At least so many seconds between two drawings; 0 takes every moment.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play.actions import Pass
    >>> from pressinglib.play.simulate import simulate
    >>> sequence = simulate(scene("worked scene"), [Pass("4")])
    >>> shown = list(sequence_drawings(sequence, ["roles"], 0.5))
    >>> shown[0][0], shown[1][1].title
    (0.0, 'Ball on its way to their 4, attacking third, ...: 0.5 s')
    """
    layers, step_s = tuple(layers), as_number(step_s, "step of time in s", low=0.0, high=10.0)
    shown_s = -np.inf
    for time_s, situation, plan in zip(sequence.times.tolist(), sequence.situations, sequence.plans, strict=True):
        if time_s >= shown_s + step_s - 1e-9:
            shown_s, named = time_s, (labels or Labels()).named(situation)
            yield time_s, draw_plan(situation, plan, layers, f"{situation_title(named)}: {time_s:.1f} s", labels=labels)
