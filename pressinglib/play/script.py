"""The actions of a sequence, in their order: what is due, and who is on a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.play.actions import Action, Dribble, Pass, Touch
from pressinglib.play.moment import Moment
from pressinglib.play.run import Run
from pressinglib.roles.picture import Floats, norm

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
    def of(cls, situation: Situation, actions: Sequence[Action]) -> Script:
        """The actions sorted by time; those at one time stay in their order."""
        actions = _checked(situation, actions)
        ball = [a for a in actions if not isinstance(a, Run)]
        runs = [a for a in actions if isinstance(a, Run)]
        return cls(sorted(ball, key=lambda a: a.at_s), sorted(runs, key=lambda a: a.at_s))

    def next_on_ball(self, time_s: float) -> Pass | Dribble | Touch | None:
        """The next action on the ball, if its time has come."""
        return self.ball[0] if self.ball and self.ball[0].at_s <= time_s + EARLY_S else None

    def start_runs(self, now: Moment) -> list[Run]:
        """Send off those whose time has come (given back), and drop the places that runners have passed."""
        due = [run for run in self.runs if run.at_s <= now.time_s + EARLY_S]
        self.runs = self.runs[len(due):]
        for run in due:
            self._send_off(now, run)
        self.running = {who: runner for who, runner in self.running.items() if not _is_over(now, who, runner)}
        return due

    def _send_off(self, now: Moment, run: Run) -> None:
        sheet = now.sheet.pressing_numbers if run.team == "pressing" else now.sheet.possession_numbers
        speed = np.inf if run.speed_mps is None else run.speed_mps
        places = [now.within(np.array(xy)) for xy in run.places]
        self.running[run.team, sheet.index(run.number)] = Runner(places, speed, run.until_s)

    def of_team(self, team: str) -> dict[int, Runner]:
        """Runners of one team by index."""
        return {k: runner for (side, k), runner in self.running.items() if side == team}


def _is_over(now: Moment, who: tuple[str, int], runner: Runner) -> bool:
    """Pass the places that lie behind; the run is over at its time, that of one of us at its last place."""
    team, k = who
    here = (now.own if team == "pressing" else now.opp)[k]
    while len(runner.places) > 1 and norm(runner.places[0] - here) < THERE_M:
        runner.places.pop(0)
    if runner.until_s is not None:
        return now.time_s >= runner.until_s - EARLY_S
    return team == "pressing" and len(runner.places) == 1 and bool(norm(runner.places[0] - here) < THERE_M)


def _checked(situation: Situation, actions: Sequence[Action]) -> list[Action]:
    """BadInput for anything that is no action, or speaks of a player who is not there."""
    if isinstance(actions, Action):
        actions = [actions]
    if not isinstance(actions, (list, tuple)):
        raise BadInput("actions", expected="a list of Pass, Dribble, Touch or Run", got=type(actions).__name__,
                       todo="put them in brackets")
    for action in actions:
        if not isinstance(action, Action):
            raise BadInput("actions", expected="Pass, Dribble, Touch or Run", got=repr(action), todo="use one of these")
        if isinstance(action, Pass) and action.to is not None:
            situation.player("possession", action.to)
        if isinstance(action, Run):
            situation.player(action.team, action.number)  # type: ignore[arg-type]
    return list(actions)
