"""Playing over time: the runs of a plan in true time, and a clock to play, pause and wind."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from math import dist, exp, hypot, log1p, sqrt

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import DRAG_PER_M
from pressinglib.roles.plan import Assignment, Plan
from pressinglib.roles.settings import Settings
from pressinglib.show.marks import XY, as_points, length_of, place_along

# -- The runs of a plan: where everybody is after so many seconds, and where he begins to brake.
# The law is that of `Running` along the run, with the plan's reaction, top speed and braking; nobody arrives
# before he can stop. Opponents stay where they are, as in the plan's account of what stays open; a pass that travels
# goes on.

STEP_S = 0.02
LONGEST_S = 30.0
THERE_M = 0.01
NO_RUN_M = 0.5  # nobody brakes on a shorter way


def run_along(length_m: float, speed_mps: float, settings: Settings) -> tuple[list[float], float]:
    """Metres covered after every 0.02 s of a run that ends at rest, and the metres at which braking begins.

    Steps of the law v' = alpha (top speed - v); braking begins where v^2 / (2 b) is what is left (own arithmetic, grade
    D; braking b from the settings).
    """
    kept, brake = exp(-settings.alpha_per_s * STEP_S), settings.deceleration_mps2
    covered: list[float] = []
    way, speed, brakes_at = 0.0, speed_mps, -1.0
    while length_m - way > THERE_M and len(covered) < LONGEST_S / STEP_S:
        running = len(covered) * STEP_S >= settings.reaction_s
        free = settings.top_speed_mps * (1 - kept) + speed * kept if running else speed
        stops = sqrt((brake * STEP_S) ** 2 + 2 * brake * (length_m - way)) - brake * STEP_S
        if free >= stops and brakes_at < 0 and running:
            brakes_at = way
        speed = min(free, stops) if running else free
        way = min(way + speed * STEP_S, length_m)
        covered.append(way)
    return covered, max(brakes_at, 0.0)


class Runs:
    """All runs of a plan."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._ways = {job.number: (as_points(job.path), _covered(plan, job)[0]) for job in plan.assignments.values()}
        self.lasts_s = max(len(covered) for _, covered in self._ways.values()) * STEP_S  # until the last one stands

    def at(self, time_s: float) -> Situation:
        """The picture after some time of running."""
        if time_s <= 0:
            return self.plan.situation
        steps = int(time_s / STEP_S)
        players = tuple(self._moved(player, steps) for player in self.plan.situation.pressing)
        return _ball_on_its_way(replace(self.plan.situation, pressing=players), self.plan.rulebook.settings, time_s)

    def _moved(self, player: Player, steps: int) -> Player:
        """Where he is, at the speed that he has there."""
        points, covered = self._ways[player.number]
        if not covered:
            return player
        if steps >= len(covered):
            return replace(player, xy=points[-1], velocity=(0.0, 0.0))
        before, now = (place_along(points, covered[max(step, 0)]) for step in (steps - 2, steps - 1))
        vx, vy = ((new - old) / STEP_S for old, new in zip(before, now, strict=True))
        return replace(player, xy=now, velocity=(vx, vy)) if steps > 1 else player.at(now)


def brake_xy(plan: Plan, number: str) -> XY | None:
    """Where a player begins to brake; None if he hardly runs."""
    job = plan.assignments[number]
    points = as_points(job.path)
    if length_of(points) < NO_RUN_M:
        return None
    return place_along(points, _covered(plan, job)[1])


def _covered(plan: Plan, job: Assignment) -> tuple[list[float], float]:
    points = as_points(job.path)
    (x0, y0), (x1, y1) = points[0], points[1]
    first = hypot(x1 - x0, y1 - y0) or 1.0
    vx, vy = plan.situation.player("pressing", job.number).velocity
    return run_along(length_of(points), max((vx * (x1 - x0) + vy * (y1 - y0)) / first, 0.0), plan.rulebook.settings)


def _ball_on_its_way(situation: Situation, settings: Settings, time_s: float) -> Situation:
    """A pass along the ground, slowed by the air, until its receiver has it."""
    if situation.receiver is None:
        return situation
    end = situation.player("possession", situation.receiver).xy
    whole = dist(situation.ball_xy, end)
    gone = log1p(DRAG_PER_M * settings.ball_mps * time_s) / DRAG_PER_M
    if gone >= whole - THERE_M:
        return situation.with_ball(end, situation.receiver)
    x, y = (b + gone / whole * (e - b) for b, e in zip(situation.ball_xy, end, strict=True))
    return replace(situation, ball_xy=(x, y))


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
        if self.playing:
            self.pause()
        else:
            self.play()

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


class RunToPlan(Playback):
    """A plan being run: `show` is called with every picture on the way, `ended` when the last one stands."""

    def __init__(self, plan: Plan, show: Callable[[Situation], None], ended: Callable[[], None]) -> None:
        self.plan, self.situation, self._runs, self._picture = plan, plan.situation, Runs(plan), show
        super().__init__(self._runs.lasts_s, self._at, ended)

    @property
    def words(self) -> str:
        """Where the run is, in whole seconds: a line that is read out must not change at every step."""
        if self.time_s >= self.lasts_s:
            return "The run is over."
        state = "Running" if self.playing else "Paused"
        return f"{state}: {self.time_s:.0f} of {self.lasts_s:.0f} s on the way to the spots."

    def _at(self, time_s: float) -> None:
        self.situation = self._runs.at(time_s)
        self._picture(self.situation)
