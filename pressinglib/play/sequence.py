"""A sequence: what a press looks like as it happens, simulated moment by moment, and taken up again at any of them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence as Many
from dataclasses import asdict, dataclass, fields, replace
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import as_a, as_number
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.play.actions import Action, SimulationOptions, checked_actions
from pressinglib.play.game import Game
from pressinglib.play.game_state import Event
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.faults import Fault, find_faults
from pressinglib.roles.measures import danger, to_holder_s
from pressinglib.roles.picture import Picture
from pressinglib.roles.plan import Plan
from pressinglib.roles.rulebook import Rulebook, as_rulebook
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
        What was asked for; `left` are the actions under way and to come at each moment, their times counted from it.
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
    left: tuple[tuple[Action, ...], ...]

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
        before: Any = {} if over_s < SHORTEST_S - 1e-9 else {"before": self.situations[j], "before_s": over_s}
        return find_faults(self.situations[k], self.rulebook, trap=self.options.trap, **before)

    def __repr__(self) -> str:
        lines = [f"Sequence: {len(self)} moments, 0 to {self.times[-1]:.3g} s, {len(self.events)} events"]
        lines += [f"{event.time_s:.1f} s  {event.words}" for event in self.events[:SHOWN]]
        return "\n".join([*lines, *["..."] * (len(self.events) > SHOWN)])

    def table(self) -> Table:
        """One row a moment: time, who has the ball or is about to, presser, timing, pressure, danger, events."""
        rows = []
        for time_s, now, plan, pressure_s, danger_now, events in map(self.at, self.times.tolist()):
            ball = now.on_ball or plan.state if now.receiver is None else f"to {now.receiver}"
            rows.append((round(time_s, 3), plan.state, ball, plan.presser, plan.timing, plan.steer,
                         round(pressure_s, 2), round(danger_now, 3), "; ".join(e.words for e in events)))
        return Table(COLUMNS, rows)


def simulate(situation: Situation, actions: Many[Action] = (), rulebook: Rulebook | None = None, step_s: float = 0.1,
             duration_s: float | None = None, late_s: float = 0.0, seed: int | None = None, attackers: str = "stay",
             trap: str | None = None, just_lost: bool = False) -> Sequence:
    """The press as it happens: theirs act, the pressing team answers.

    Parameters
    ----------
    situation : Situation
        The beginning. Where our team has the ball ("won"), the first pass is the one that gives it away.
    actions : list of Pass, Dribble, Touch, Run
        In any order. What is done with the ball waits until somebody of theirs has it under control; what cannot be
        done is left out, and an event says so.
    rulebook : Rulebook, optional
    step_s : float
        0.05 to 0.5 s.
    duration_s : float, optional
        Default: until 4 s after the last action. It ends earlier when the ball is won or out of play.
    late_s : float
        How much too late the presser starts each time the ball is played.
    seed : int, optional
        With a seed passes stray and one in five who reach a pass miss it (grade D).
    attackers : "stay" or "seek"
        Those of theirs who have no task stay, or seek an open lane within 4 m every half second, and keep their shape.
    trap : str, optional
        Number of the opponent who is left free on purpose, and closed down by two when the ball goes to him.
    just_lost : bool
        The ball has just been lost: reaction 0.7 s, and the counter-press begins at once, for 5 s.

    Notes
    -----
    Players run by drive minus drag (`Running`), brake, and act upon something new after 0.3 s; 0.7 s when they were
    beaten or the ball was lost. A team that waits at a line of confrontation goes on a trigger (`find_triggers`). A
    pass is cut out by whoever of us is at its lane before the ball and its receiver. Duels follow rules of our own
    (`pressinglib.play.ball_race`): no forecast of who wins a ball.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.play.actions import Pass
    >>> sequence = simulate(scene("worked scene"), [Pass("6", at_s=0.5)], duration_s=2)
    >>> sequence.events[0].kind, len(sequence), sequence.at(1.0).plan.presser
    ('pass played', 21, '10')
    """
    as_a(situation, Situation, "picture", "make one: Situation(...)")
    rules, given = as_rulebook(rulebook), checked_actions(situation, actions)
    options = SimulationOptions(step_s, duration_s, late_s, seed, attackers, trap, just_lost)
    if options.trap is not None:
        situation.player("possession", options.trap)
    game = Game(situation, given, rules, options)
    while game.goes_on():
        game.step()
    rows: Any = {f.name: np.concatenate([getattr(frame, f.name) for frame in game.frames]) for f in fields(Frames)[5:]}
    frames = replace(game.frames[0], **rows)
    p = Picture(frames, rules.settings)
    events = tuple(sorted(game.now.events, key=lambda event: event.time_s))
    return Sequence(frames, rules, given, options, events, to_holder_s(p), danger(p, p.own), tuple(game.decided),
                    tuple(game.left))


# -- A sequence taken up again at any moment, as it was or with somebody standing elsewhere.

def replay(sequence: Sequence, time_s: float, situation: Situation | None = None, **changes: Any) -> Sequence:
    """Played on from a moment, with what is left of its actions; times start at 0 again.

    From `situation`, else the picture of the moment: so a player may have been moved. `changes` are other arguments of
    `simulate` than the sequence had, such as `late_s` or `rulebook`. A first touch that was not over is over, and
    nobody is surprised any more. Raises whatever `simulate` raises.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.play.actions import Pass
    >>> sequence = simulate(scene("worked scene"), [Pass("4", at_s=0.5), Pass("3", at_s=2)], duration_s=3)
    >>> rest = replay(sequence, 1.0)
    >>> [(a.to, a.at_s) for a in rest.actions], float(rest.times[-1])
    ([('3', 1.0)], 2.0)
    """
    k = sequence.index(time_s)
    now_s = float(sequence.times[k])
    options = asdict(sequence.options) | {"just_lost": False, "rulebook": sequence.rulebook}
    if options["duration_s"] is not None:
        options["duration_s"] = max(options["duration_s"] - now_s, 0.0)
    return simulate(situation or sequence.situations[k], sequence.left[k], **options | changes)
