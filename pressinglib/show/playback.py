"""Playing over time: the runs of a plan in true time, and a clock to play, pause and wind."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from math import dist, hypot, log1p

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import DRAG_PER_M
from pressinglib.physics.motion import Running
from pressinglib.roles.plan import Assignment, Plan
from pressinglib.roles.settings import Settings
from pressinglib.show.marks import XY, as_points, length_of, place_along

# -- The runs of a plan: where everybody is after so many seconds, and where he begins to brake.
# The law is that of `Running` along the run, with the plan's reaction and braking and his own top speed; nobody
# arrives before he can stop. Opponents stay where they are, as in the plan's account of what stays open; a pass that
# travels goes on.

STEP_S, LONGEST_S = 0.02, 30.0
THERE_M = 0.01
NO_RUN_M = 0.5  # nobody brakes on a shorter way


def run_along(length_m: float, speed_mps: float, law: Running, late_s: float) -> tuple[NDArray[np.float64], float]:
    """Metres covered at every 0.02 s of a run that ends at rest, and the metres at which braking begins.

    The law v' = alpha (top speed - v) after the reaction; braking begins where v^2 / (2 b) is what is left (own
    arithmetic, grade D; braking b from the settings).
    """
    if length_m <= THERE_M:
        return np.zeros(1), 0.0
    time, brake = np.arange(0.0, LONGEST_S, STEP_S), law.deceleration_mps2
    running = np.maximum(time - late_s, 0.0)
    gained = -np.expm1(-law.alpha_per_s * running)
    speed = speed_mps + (law.top_speed_mps - speed_mps) * gained
    way = speed_mps * time + (law.top_speed_mps - speed_mps) * (running - gained / law.alpha_per_s)
    k = int(np.argmax((way + speed**2 / (2 * brake) >= length_m) & (time >= late_s)))
    begins_m = min(float(way[k]), length_m)
    slowing = np.minimum(time - time[k], speed[k] / brake)
    way = np.where(time < time[k], way, begins_m + (length_m - begins_m) * (1 - (1 - slowing * brake / speed[k]) ** 2))
    return np.minimum(way[:np.argmax(way > length_m - THERE_M) + 1], length_m), begins_m


class Runs:
    """All runs of a plan."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._ways = {job.number: (as_points(job.path), _covered(plan, job)[0]) for job in plan.assignments.values()}
        self.lasts_s = max(len(covered) - 1 for _, covered in self._ways.values()) * STEP_S  # until the last one stands

    def at(self, time_s: float) -> Situation:
        """The picture after some time of running."""
        if time_s <= 0:
            return self.plan.situation
        players = tuple(self._moved(player, time_s / STEP_S) for player in self.plan.situation.pressing)
        return _ball_on_its_way(replace(self.plan.situation, pressing=players), self.plan.rulebook.settings, time_s)

    def _moved(self, player: Player, steps: float) -> Player:
        """Where he is, at the speed that he has there."""
        points, covered = self._ways[player.number]
        if steps >= len(covered) - 1:
            return replace(player, xy=points[-1], velocity=(0.0, 0.0))
        metres = np.interp([steps - 1, steps], np.arange(len(covered)), covered)
        before, now = (place_along(points, float(m)) for m in metres)
        vx, vy = ((new - old) / STEP_S for old, new in zip(before, now, strict=True))
        return replace(player, xy=now, velocity=(vx, vy)) if steps > 1 else player.at(now)


def brake_xy(plan: Plan, number: str) -> XY | None:
    """Where a player begins to brake; None if he hardly runs."""
    job = plan.assignments[number]
    points = as_points(job.path)
    return None if length_of(points) < NO_RUN_M else place_along(points, _covered(plan, job)[1])


def _covered(plan: Plan, job: Assignment) -> tuple[NDArray[np.float64], float]:
    points = as_points(job.path)
    he, s = plan.situation.player("pressing", job.number), plan.rulebook.settings
    way = np.subtract(points[1], points[0])
    toward = max(float(way @ he.velocity) / (hypot(*way) or 1.0), 0.0)
    return run_along(length_of(points), toward, s.running.of(he.top_speed_mps or np.nan), s.reaction_s)


def _ball_on_its_way(situation: Situation, settings: Settings, time_s: float) -> Situation:
    """A pass along the ground, slowed by the air, until its receiver has it."""
    if situation.receiver is None:
        return situation
    end = situation.player("possession", situation.receiver).xy
    gone = log1p(DRAG_PER_M * settings.ball_mps * time_s) / DRAG_PER_M
    if gone >= dist(situation.ball_xy, end) - THERE_M:
        return situation.with_ball(end, situation.receiver)
    return replace(situation, ball_xy=place_along((situation.ball_xy, end), gone))


# -- A clock: shown about 25 times a second in true time, to pause, to wind and to play on.

FRAME_S = 0.04
REST_S = 0.02  # between two pictures, for the hand that wants to pause


class Playback:
    """Calls `show(time_s)` while it plays, and `ended()` once at its end; speed 1 is true time.

    Where no event loop runs nobody could watch: there it is at its end at once.
    """

    def __init__(self, lasts_s: float, show: Callable[[float], None], ended: Callable[[], None]) -> None:
        self.lasts_s, self.speed, self.time_s, self.playing = lasts_s, 1.0, 0.0, False
        self._show, self._ended = show, ended
        self._next: asyncio.TimerHandle | None = None
        self._at_s = 0.0

    def play(self) -> None:
        """Play on from where it is; from the start if it is at its end."""
        if self.playing:
            return
        if self.time_s >= self.lasts_s:
            self.time_s = 0.0
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return self._to(self.lasts_s)
        self.playing, self._at_s = True, loop.time()
        self._next = loop.call_later(FRAME_S, self._tick, loop)

    def pause(self) -> None:
        """Stop where it is."""
        self.playing = False
        if self._next is not None:
            self._next.cancel()
            self._next = None

    def play_or_pause(self) -> None:
        """The other of the two."""
        (self.pause if self.playing else self.play)()

    def wind(self, time_s: float) -> None:
        """Go to a time; one that plays goes on from there."""
        self.time_s = min(max(time_s, 0.0), self.lasts_s)
        self._show(self.time_s)

    def _tick(self, loop: asyncio.AbstractEventLoop) -> None:
        """By the clock and not by counting: a busy moment costs pictures, no time."""
        now = loop.time()
        gone, self._at_s = now - self._at_s, now
        self._to(self.time_s + gone * self.speed)
        if self.playing:
            self._next = loop.call_later(max(FRAME_S - (loop.time() - now), REST_S), self._tick, loop)

    def _to(self, time_s: float) -> None:
        self.wind(time_s)
        if self.time_s >= self.lasts_s:
            self.pause()
            self._ended()
