"""What a simulation is asked for: how it is to run, its actions in their order, and who is on a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.play.actions import Action, Dribble, Pass, Run, Touch
from pressinglib.play.game_state import GameState
from pressinglib.play.triggers import TRIGGERS, checked_triggers
from pressinglib.roles.picture import Floats, norm

# -- How a sequence is simulated: the named arguments of `simulate`, checked.

ATTACKERS = ("stay", "seek")
SHORTEST_STEP_S, LONGEST_STEP_S = 0.05, 0.5
LONGEST_S = 60.0


@dataclass(frozen=True)
class SimulationOptions:
    """See `simulate`.

    Examples
    --------
    >>> SimulationOptions(late_s=0.4).late_s
    0.4
    >>> SimulationOptions(attackers="run")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: attackers: expected 'stay' or 'seek'; got 'run'. Use one of the two.
    """

    step_s: float = 0.1
    duration_s: float | None = None
    late_s: float = 0.0
    seed: int | None = None
    attackers: str = "stay"
    triggers: Sequence[str] = TRIGGERS
    trap: str | None = None
    just_lost: bool = False
    counter_press_s: float = 5.0
    handover_s: float = 0.4

    def __post_init__(self) -> None:
        for name, low, high in (("step_s", SHORTEST_STEP_S, LONGEST_STEP_S), ("late_s", 0.0, 3.0),
                                ("counter_press_s", 3.0, 8.0), ("handover_s", 0.0, 2.0)):
            object.__setattr__(self, name, as_number(getattr(self, name), name, low=low, high=high))
        if self.duration_s is not None:
            object.__setattr__(self, "duration_s", as_number(self.duration_s, "duration_s", low=0.0, high=LONGEST_S))
        if self.attackers not in ATTACKERS:
            raise BadInput("attackers", expected="'stay' or 'seek'", got=repr(self.attackers),
                           todo="use one of the two")
        if self.seed is not None and (isinstance(self.seed, bool) or not isinstance(self.seed, int) or self.seed < 0):
            raise BadInput("seed", expected="None or a whole number from 0", got=repr(self.seed), todo="give one")
        object.__setattr__(self, "triggers", checked_triggers(self.triggers))


# -- The actions, in their order.

THERE_M = 0.6  # a place on a path is passed when he is this near
EARLY_S = 1e-9


@dataclass(eq=False)
class Runner:
    """One on a run: the places ahead of him and how fast he wants to go."""

    places: list[Floats]
    speed_mps: float
    until_s: float | None


@dataclass(eq=False)
class Script:
    """What is still to come, the earliest first."""

    ball: list[Pass | Dribble | Touch]
    runs: list[Run]
    running: dict[tuple[str, int], Runner] = field(default_factory=dict)

    @classmethod
    def of(cls, actions: Sequence[Action]) -> Script:
        """The actions sorted by time; those at one time stay in their order."""
        by_time = sorted(actions, key=lambda action: action.at_s)
        return cls([a for a in by_time if isinstance(a, (Pass, Dribble, Touch))],
                   [a for a in by_time if isinstance(a, Run)])

    def next_on_ball(self, time_s: float) -> Pass | Dribble | Touch | None:
        """The next action on the ball, if its time has come."""
        return self.ball[0] if self.ball and self.ball[0].at_s <= time_s + EARLY_S else None

    def start_runs(self, now: GameState) -> list[Run]:
        """Send off those whose time has come (given back), and drop the places that runners have passed."""
        due = [run for run in self.runs if run.at_s <= now.time_s + EARLY_S]
        self.runs = self.runs[len(due):]
        for run in due:
            self._send_off(now, run)
        self.running = {who: runner for who, runner in self.running.items() if not _is_over(now, who, runner)}
        return due

    def _send_off(self, now: GameState, run: Run) -> None:
        sheet = now.sheet.pressing_numbers if run.team == "pressing" else now.sheet.possession_numbers
        speed = np.inf if run.speed_mps is None else run.speed_mps
        places = [now.within(np.array(xy)) for xy in run.places]
        self.running[run.team, sheet.index(run.number)] = Runner(places, speed, run.until_s)

    def of_team(self, team: str) -> dict[int, Runner]:
        """Runners of one team by index."""
        return {k: runner for (side, k), runner in self.running.items() if side == team}


def _is_over(now: GameState, who: tuple[str, int], runner: Runner) -> bool:
    """Pass the places that lie behind; the run is over at its time, that of one of us at its last place."""
    team, k = who
    here = (now.own if team == "pressing" else now.opp)[k]
    while len(runner.places) > 1 and norm(runner.places[0] - here) < THERE_M:
        runner.places.pop(0)
    if runner.until_s is not None:
        return now.time_s >= runner.until_s - EARLY_S
    return team == "pressing" and len(runner.places) == 1 and bool(norm(runner.places[0] - here) < THERE_M)
