"""A sequence: what a press looks like as it happens, moment by moment."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import as_number
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.play.actions import Action, SimulationOptions
from pressinglib.play.game_state import Event
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.faults import Fault, find_faults
from pressinglib.roles.picture import Picture
from pressinglib.roles.plan import Plan
from pressinglib.roles.rulebook import Rulebook
from pressinglib.tables import Table

Floats = NDArray[np.float64]
FAULTS_OVER_S = 1.0  # two moments are so far apart when faults of moving are looked for
SHORTEST_S = 0.2  # ... or at least so far
SHOWN = 8  # events that are told when a sequence is printed
COLUMNS = ("time_s", "state", "ball", "presser", "timing", "steer", "pressure_s", "danger", "events")


class At(NamedTuple):
    """One moment of a sequence; `events` are those of its step."""

    time_s: float
    situation: Situation
    plan: Plan
    pressure_s: float
    danger: float
    events: tuple[Event, ...]


@dataclass(frozen=True, eq=False)
class Sequence:
    """The answer of `simulate`: F moments, everything by its index or by `at(time_s)`.

    Attributes
    ----------
    frames : Frames
        Places and velocities of all, ball, carrier, receiver, `time_s`.
    actions, options
        What was asked for; `done` are the actions that were carried out, each with its time.
    events : tuple of Event
        In the order of time.
    pressure_s : ndarray, (F,)
        Time of the first of us to whoever has the ball, as `least_arrival`: less is more pressure.
    danger : ndarray, (F,)
        Of the picture as it stands, as `plan.danger[0]` (our own measure, grade D).
    """

    frames: Frames
    rulebook: Rulebook
    actions: tuple[Action, ...]
    options: SimulationOptions
    events: tuple[Event, ...]
    pressure_s: Floats
    danger: Floats
    decided: tuple[tuple[Picture, Decisions], ...]
    done: tuple[tuple[float, Action], ...]

    def __len__(self) -> int:
        return len(self.frames)

    @property
    def times(self) -> Floats:
        """(F,) seconds."""
        return self.frames.time_s

    @cached_property
    def situations(self) -> tuple[Situation, ...]:
        """The picture of every moment."""
        return tuple(self.frames.situation(k) for k in range(len(self)))

    @cached_property
    def plans(self) -> tuple[Plan, ...]:
        """What the pressing team had in mind at every moment, roles handed on without flicker."""
        return tuple(Plan(self.situations[k], self.rulebook, *self.decided[k]) for k in range(len(self)))

    def index(self, time_s: float) -> int:
        """The last moment not after a time; before the first and after the last: these."""
        time = as_number(time_s, "time in s")
        return max(bisect_right(self.times, time + 1e-9) - 1, 0)

    def at(self, time_s: float) -> At:
        """The moment at a time: picture, plan, pressure, danger and what happened in its step."""
        k = self.index(time_s)
        until = self.times[k + 1] if k + 1 < len(self) else np.inf
        happened = tuple(e for e in self.events if self.times[k] - 1e-9 <= e.time_s < until - 1e-9)
        return At(float(self.times[k]), self.situations[k], self.plans[k], float(self.pressure_s[k]),
                  float(self.danger[k]), happened)

    def faults(self, time_s: float) -> list[Fault]:
        """The faults at a time, those that need two moments too: see `find_faults`.

        The picture before is that of `FAULTS_OVER_S` earlier; nearer to the beginning it is the first one.
        """
        k = self.index(time_s)
        j = self.index(float(self.times[k]) - FAULTS_OVER_S)
        over_s = float(self.times[k] - self.times[j])
        early = over_s < SHORTEST_S - 1e-9
        return find_faults(self.situations[k], self.rulebook, None if early else self.situations[j],
                           FAULTS_OVER_S if early else over_s, self.options.trap)

    def happened(self, kind: str) -> list[Event]:
        """The events of one kind."""
        return [e for e in self.events if e.kind == kind]

    def __repr__(self) -> str:
        lines = [f"Sequence: {len(self)} moments, 0 to {self.times[-1]:.3g} s, {len(self.events)} events"]
        lines += [f"{event.time_s:.1f} s  {event.words}" for event in self.events[:SHOWN]]
        return "\n".join([*lines, *["..."] * (len(self.events) > SHOWN)])

    def table(self) -> Table:
        """One row a moment: time, who has the ball or is about to, presser, timing, pressure, danger, events."""
        rows = []
        for k, (plan, situation) in enumerate(zip(self.plans, self.situations, strict=True)):
            here = self.at(float(self.times[k]))
            ball = situation.on_ball or plan.state if situation.receiver is None else f"to {situation.receiver}"
            rows.append((round(here.time_s, 3), plan.state, ball, plan.presser, plan.timing, plan.steer,
                         round(here.pressure_s, 2), round(here.danger, 3), "; ".join(e.words for e in here.events)))
        return Table(COLUMNS, rows)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, fit for JSON: actions, events, and every moment with its picture and its roles."""
        moments = [{**row, "situation": situation.to_dict(),
                    "roles": {n: a.role for n, a in plan.assignments.items()},
                    "duties": {n: a.duty for n, a in plan.assignments.items()}}
                   for row, situation, plan in zip(self.table(), self.situations, self.plans, strict=True)]
        return {"actions": [a.to_dict() for a in self.actions], "events": [e.to_dict() for e in self.events],
                "moments": moments}
