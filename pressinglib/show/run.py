"""The run to the plan: everybody to his spot in true time, with the ball."""

from __future__ import annotations

from collections.abc import Callable

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.playing import Playing
from pressinglib.show.runs import Runs


class RunToPlan:
    """A plan being run.

    Parameters
    ----------
    plan : Plan
    show : callable
        Called with every picture on the way.
    ended : callable
        Called when the last one stands.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> run = RunToPlan(plan_press(Situation.line_up(ball_xy=(35, 10))), lambda situation: None, lambda: None)
    >>> run.press()
    >>> run.words
    'The run is over.'
    """

    def __init__(self, plan: Plan, show: Callable[[Situation], None], ended: Callable[[], None]) -> None:
        self.plan, self.situation = plan, plan.situation
        self._runs, self._show = Runs(plan), show
        self.film = Playing(self._runs.lasts_s, self._at, ended)

    def press(self) -> None:
        """On, or pause."""
        if self.film.playing:
            self.film.pause()
        else:
            self.film.play()

    @property
    def words(self) -> str:
        """Where the run is, in whole seconds: a line that is read out must not change at every step."""
        film = self.film
        if film.time_s >= film.lasts_s:
            return "The run is over."
        state = "Running" if film.playing else "Paused"
        return f"{state}: {film.time_s:.0f} of {film.lasts_s:.0f} s on the way to the spots."

    def _at(self, time_s: float) -> None:
        self.situation = self._runs.at(time_s)
        self._show(self.situation)
