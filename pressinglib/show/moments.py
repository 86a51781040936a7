"""One moment after another: a sequence at a time, and drawings of a run or of a press as it happens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from pressinglib.errors import BadInput, as_number
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.play.sequence import Sequence
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan
from pressinglib.show.labels import Labels, situation_title
from pressinglib.show.layers import players
from pressinglib.show.marks import XY
from pressinglib.show.playback import Runs

LATELY_S = 1.0  # an event is told for so long
MOVING = ("players", "body", "run", "ball")  # layers that go with the players; the run itself is seen


@dataclass(frozen=True)
class SequenceAt:
    """A sequence, the time at which it is shown, and the time at which it was taken up from an earlier one."""

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
        sentences = [f"{words[:1].upper()}{words[1:].removesuffix('.')}." for words in lately]
        return " ".join([f"{self.from_s + self.time_s:.1f} s.", *sentences])

    @property
    def between(self) -> Situation:
        """The picture between this moment and the next, for the eye."""
        k, times = self.index, self.sequence.times
        if k + 1 >= len(times):
            return self.situation
        share = (self.time_s - times[k]) / (times[k + 1] - times[k])
        return blended(self.situation, self.sequence.situations[k + 1], min(max(float(share), 0.0), 1.0))


def blended(now: Situation, then: Situation, share: float) -> Situation:
    """All on the way from where they are now to where they are then."""
    if share <= 0:
        return now

    def mixed(here: XY, there: XY) -> XY:
        return here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])

    def on_the_way(team: str) -> tuple[Player, ...]:
        return tuple(p.at(mixed(p.xy, then.player(team, p.number).xy)) for p in now.players(team))

    return replace(now, pressing=on_the_way("pressing"), possession=on_the_way("possession"), carrier=None,
                   ball_xy=mixed(now.ball_xy, then.ball_xy))


def timed_drawings(what: Plan | Sequence, step_s: float = 0.1, layers: Iterable[str] = USUAL_LAYERS,
                   labels: Labels | None = None) -> Iterator[tuple[float, Drawing]]:
    """Time and drawing of the run to a plan's spots until everybody stands, or of a sequence, its plan with each."""
    step_s, layers = as_number(step_s, "step of time in s", low=0.04, high=10.0), tuple(layers)
    if isinstance(what, Plan):
        return _of_run(draw_plan(what.situation, what, layers, labels=labels), Runs(what), step_s)
    if isinstance(what, Sequence):
        return _of_sequence(what, step_s, layers, labels or Labels())
    raise BadInput("moments", expected="a Plan, for the run to its spots, or a Sequence", got=type(what).__name__,
                   todo="give one of them")


def _of_run(drawing: Drawing, runs: Runs, step_s: float) -> Iterator[tuple[float, Drawing]]:
    for time_s in np.arange(0.0, runs.lasts_s + step_s, step_s).tolist():
        yield time_s, at_time(drawing, runs.at(time_s), time_s)


def at_time(drawing: Drawing, situation: Situation, time_s: float) -> Drawing:
    """The same drawing with the players of a later moment, and the time in its title.

    What the plan says is not worked out anew, so this is fast enough for every step of a moving picture.
    """
    still = tuple(mark for mark in drawing.marks if mark.layer not in MOVING)
    moved = tuple(mark for mark in players(situation, drawing.labels) if mark.layer != "run")
    return replace(drawing, marks=(*still, *moved), title=f"{time_s:.1f} s: {drawing.title}")


def _of_sequence(sequence: Sequence, step_s: float, layers: tuple[str, ...], labels: Labels
                 ) -> Iterator[tuple[float, Drawing]]:
    shown_s = -np.inf
    for time_s, situation, plan in zip(sequence.times.tolist(), sequence.situations, sequence.plans, strict=True):
        if time_s >= shown_s + step_s - 1e-9:
            shown_s, title = time_s, situation_title(labels.named(situation))
            yield time_s, draw_plan(situation, plan, layers, f"{time_s:.1f} s: {title}", labels=labels)
