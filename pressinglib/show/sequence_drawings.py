"""Pictures of moment after moment: players on the run to their spots, and a press as it happens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from pressinglib.field.player import Player, as_number
from pressinglib.field.situation import Situation
from pressinglib.play.sequence import Sequence
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan
from pressinglib.show.figures import players
from pressinglib.show.labels import Labels, situation_title
from pressinglib.show.playback import Runs

# -- One moment of a sequence on a board: its picture, its plan, and what happened just before.


LATELY_S = 1.0  # an event is told for so long


@dataclass(frozen=True)
class SequenceAt:
    """A sequence, and the time at which it is shown.

    Parameters
    ----------
    sequence : Sequence
    time_s : float
    from_s : float
        The time at which the sequence was taken up from an earlier one.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play import Pass, simulate
    >>> take = SequenceAt(simulate(scene("worked scene"), [Pass("4", at_s=0.5)], duration_s=1.0), 0.6)
    >>> take.situation.receiver, take.words.startswith("0.6 s. ")
    ('4', True)
    """

    sequence: Sequence
    time_s: float = 0.0
    from_s: float = 0.0

    @property
    def index(self) -> int:
        """Which moment of the sequence."""
        return self.sequence.index(self.time_s)

    @property
    def lasts_s(self) -> float:
        """To the last moment of the sequence."""
        return float(self.sequence.times[-1])

    @property
    def situation(self) -> Situation:
        """The picture."""
        return self.sequence.situations[self.index]

    @property
    def plan(self) -> Plan:
        """What the pressing team has in mind."""
        return self.sequence.plans[self.index]

    @property
    def words(self) -> str:
        """When this is, and what has happened lately."""
        lately = [e.words for e in self.sequence.events if -1e-9 <= self.time_s - e.time_s < LATELY_S]
        return " ".join([f"{self.from_s + self.time_s:.1f} s.", *(_sentence(words) for words in lately)])

    @property
    def between(self) -> Situation:
        """The picture between this moment and the next, for the eye."""
        k, times = self.index, self.sequence.times
        if k + 1 >= len(times):
            return self.situation
        share = (self.time_s - times[k]) / (times[k + 1] - times[k])
        return blended(self.situation, self.sequence.situations[k + 1], min(max(float(share), 0.0), 1.0))


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"


def blended(now: Situation, then: Situation, share: float) -> Situation:
    """All on the way from where they are now to where they are then.

    Examples
    --------
    >>> s = Situation.line_up(ball_xy=(30, 10))
    >>> blended(s, s.moved("pressing", "9", (0, 0)).moved("pressing", "9", (10, 0)), 0.0) == s
    True
    """
    if share <= 0:
        return now

    def on_the_way(team: str) -> tuple[Player, ...]:
        return tuple(p.at(_mixed(p.xy, then.player(team, p.number).xy, share)) for p in now.players(team))

    return replace(now, pressing=on_the_way("pressing"), possession=on_the_way("possession"), carrier=None,
                   ball_xy=_mixed(now.ball_xy, then.ball_xy, share))


def _mixed(here: tuple[float, float], there: tuple[float, float], share: float) -> tuple[float, float]:
    (x0, y0), (x1, y1) = here, there
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


# -- Pictures of moment after moment: players on the run to their spots, and a press as it happens.


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
    >>> from pressinglib.play.simulation import simulate
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
