"""Set a number: metres, seconds, degrees, within what the engine allows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from pressinglib.field.situation import Situation
from pressinglib.physics.braking import braked_arrival_time, speed_on_arrival
from pressinglib.physics.motion import arrival_time
from pressinglib.roles.plan import Plan
from pressinglib.teach.answers import number_of
from pressinglib.teach.exercise import Judge
from pressinglib.teach.verdict import Finding

# -- What stopping costs: the clock that runs through, and the clock that stands at the end.


def both_clocks(metres: float) -> str:
    """From rest: flat out, and with a stop at the end; reaction counted in both.

    Examples
    --------
    >>> both_clocks(8)
    '8 m: flat out 2.0 s, and then 7.0 m/s fast; with a stop 2.5 s'
    >>> both_clocks(0)
    '0 m: flat out 0.0 s, and then 0.0 m/s fast; with a stop 0.0 s'
    """
    rest, end = (0.0, 0.0), (metres, 0.0)
    flat, pace = arrival_time(rest, rest, end, reaction_s=0.3), speed_on_arrival(rest, rest, end, reaction_s=0.3)
    stop = braked_arrival_time(rest, rest, end, reaction_s=0.3)
    return f"{metres:g} m: flat out {flat:.1f} s, and then {pace:.1f} m/s fast; with a stop {stop:.1f} s"


# -- Set a number: metres, seconds, degrees, within what the engine allows.


class Band(NamedTuple):
    """The least and the most that does the job, and a good value between."""

    low: float
    best: float
    high: float


@dataclass(frozen=True)
class SetNumber(Judge):
    """Write a number; everything inside the band is right.

    Parameters
    ----------
    unit : str
        "m", "s" or "degrees".
    band : function of a Plan
        The band that does the job, worked out of the picture.
    too_little, too_much : str
        What happens then, a whole sentence.
    rule : str
        The second hint.
    players : bool
        Whether the question is about certain numbers, so that variants keep the formation.
    slider : (low, high), optional
        Set on a slider beside the board, which starts at `low`: that is not attempted yet.
    moved : function of a Situation and a number, optional
        What the number does to the picture.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> judge = SetNumber("m", lambda plan: Band(3, 4, 5), "He is there first.", "He is late.", "Count.")
    >>> plan = plan_press(Situation.line_up(ball_xy=(30, 10)))
    >>> judge.findings(plan, 6.25)[0].words
    '6.2 m is 1.2 m too much. He is late.'
    """

    unit: str
    band: Callable[[Plan], Band]
    too_little: str
    too_much: str
    rule: str
    players: bool = True
    slider: tuple[float, float] | None = None
    moved: Callable[[Situation, float], Situation] | None = None

    def read(self, answer: Any, situation: Situation) -> float:
        """A number, also with its unit."""
        return number_of(answer, self.unit)

    def findings(self, plan: Plan, value: float) -> list[Finding]:
        """Inside the band, or how far outside and what comes of it."""
        low, best, high = self.band(plan)
        if value < low:
            return [Finding(False, f"{self._said(value)} is {self._said(low - value)} too little. {self.too_little}")]
        if value > high:
            return [Finding(False, f"{self._said(value)} is {self._said(value - high)} too much. {self.too_much}")]
        return [Finding(True, f"From {self._said(low)} to {self._said(high)} does the job.")]

    def _said(self, value: float) -> str:
        return f"{value:.0f} {self.unit}" if self.unit == "degrees" else f"{value:.1f} {self.unit}"

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and one end of the band."""
        return self.rule, f"Less than {self._said(self.band(plan).low)} is too little. {self.too_little}"

    def model(self, plan: Plan) -> float:
        """The good value, in full tenths where that is still inside."""
        low, best, high = self.band(plan)
        short = round(best, 0 if self.unit == "degrees" else 1)
        return short if low <= short <= high else best

    def written(self, value: float) -> str:
        """With its unit."""
        return self._said(value)

    def shown(self, situation: Situation, value: float) -> Situation:
        """The picture with what the number does to it."""
        return situation if self.moved is None else self.moved(situation, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever some number does the job."""
        low, best, high = self.band(plan)
        return self if low <= best <= high and low < high else None

    @property
    def names_players(self) -> bool:
        """As the author said."""
        return self.players


class Furthest(SetNumber):
    """The limit is asked for: who stays well inside it does the job, but has not found it.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> judge = Furthest("m", lambda plan: Band(3, 4, 5), "He may stand further off.", "He is late.", "Count.")
    >>> plan = plan_press(Situation.line_up(ball_xy=(30, 10)))
    >>> [[finding.holds for finding in judge.findings(plan, metres)] for metres in (1.0, 4.5, 6.0)]
    [[True, False], [True, True], [False]]
    """

    def findings(self, plan: Plan, value: float) -> list[Finding]:
        """Too far, or in time and near the limit or not."""
        low, _, high = self.band(plan)
        if value > high:
            return super().findings(plan, value)
        return [Finding(True, f"{self._said(value)} off he is in time."),
                Finding(value >= low, f"The furthest is {self._said(high)}." if value >= low else self.too_little)]
