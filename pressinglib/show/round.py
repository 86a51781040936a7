"""The round that a board goes through: an event makes a new moment, the moment a plan. Knows no widget."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.history import History
from pressinglib.show.marks import XY
from pressinglib.show.wishes import Moment

BALL = ("ball", "")


class Round:
    """A picture that is worked on: what can be done to it, what was done, and the plan of how it stands.

    Every change answers True if it could be made; else the last good picture stays and `complaint` says why.

    Parameters
    ----------
    situation : Situation
    rulebook : Rulebook, optional

    Raises
    ------
    PressingError
        For a picture that has no plan.

    Examples
    --------
    >>> work = Round(Situation.line_up(ball_xy=(35, 10)))
    >>> work.move("pressing", "9", (20, 0)), work.situation.player("pressing", "9").xy
    (True, (20.0, 0.0))
    >>> work.undo(), work.move("pressing", "9", (99, 0)), work.complaint[:19]
    (True, False, 'place of pressing 9')
    """

    def __init__(self, situation: Situation, rulebook: Rulebook | None = None) -> None:
        self.rulebook = Rulebook() if rulebook is None else rulebook
        self.complaint = ""
        self.history = History.of(Moment(situation))
        self.moment, self.plan = self.history.now, self._planned(self.history.now)
        self._listeners: list[Callable[[Any], None]] = []

    @property
    def situation(self) -> Situation:
        """The picture as it is shown now."""
        return self.moment.situation

    def place_of(self, team: str, number: str) -> XY:
        """Where a player is, or the "ball" (number "")."""
        return self.situation.ball_xy if (team, number) == BALL else self.situation.player(team, number).xy

    def on_change(self, listener: Callable[[Any], None]) -> None:
        """Call `listener(self)` whenever picture or plan has changed, while a hand moves too."""
        self._listeners.append(listener)

    # -- changes -------------------------------------------------------------------------------------------------

    def move(self, team: str, number: str, xy: XY) -> bool:
        """Move a player of "pressing" or "possession", or the "ball" (number ""); one step to undo."""
        return self._go(lambda: self._with(team, number, xy))

    def carry(self, team: str, number: str, xy: XY) -> bool:
        """The same while the hand has not let go: shown, and no step yet."""
        return self._go(lambda: self._with(team, number, xy), settled=False)

    def move_ball(self, xy: XY, carrier: str | None = None) -> bool:
        """Put the ball elsewhere; one step to undo."""
        now = self.history.now
        return self._go(lambda: replace(now, situation=now.situation.with_ball(xy, carrier)))

    def show(self, situation: Situation) -> bool:
        """Put another picture of the same pitch there; one step to undo."""
        return self._go(lambda: replace(self.history.now, situation=situation))

    def steer_to(self, side: str | None) -> bool:
        """Ask for a steer side, "left" or "right"; None leaves it to the rules."""
        return self._go(lambda: replace(self.history.now, steer=side), kind="steer")

    def approach_at(self, angle_deg: float | None) -> bool:
        """Ask for an approach angle off the ball-goal line; None leaves it to the rules."""
        return self._go(lambda: replace(self.history.now, approach_deg=angle_deg), kind="approach")

    def mirror(self) -> bool:
        """Swap left and right."""
        return self._go(lambda: self.history.now.mirrored())

    def undo(self) -> bool:
        """Take the last change back."""
        return self._travel(self.history.undone())

    def redo(self) -> bool:
        """Do it again."""
        return self._travel(self.history.redone())

    def reset(self) -> bool:
        """Back to the first picture; can be undone."""
        return self._travel(self.history.reset())

    # -- the round itself ----------------------------------------------------------------------------------------

    def _with(self, team: str, number: str, xy: XY) -> Moment:
        """The last settled moment with one thing elsewhere."""
        now = self.history.now
        if (team, number) == BALL:
            return replace(now, situation=now.situation.with_ball(xy))
        return replace(now, situation=now.situation.moved(team, number, xy))

    def _planned(self, moment: Moment) -> Plan:
        return plan_press(moment.situation, moment.rules(self.rulebook))

    def _go(self, make: Callable[[], Moment], settled: bool = True, kind: str = "") -> bool:
        """Show a new moment. Nothing that fails gets out: whoever drags in a notebook would never see it."""
        try:
            moment = make()
            if moment.situation.pitch != self.situation.pitch:
                raise BadInput("picture", expected="the same pitch", got="another one", todo="begin anew with it")
            plan = self._planned(moment)
        except Exception as error:
            return self._refuse(told(error), settled)
        if settled:
            self.history = self.history.then(moment, kind)
        self.moment, self.plan, self.complaint = moment, plan, ""
        self.changed()
        return True

    def _refuse(self, why: str, settled: bool) -> bool:
        if settled:
            self.moment, self.plan = self.history.now, self._planned(self.history.now)
        self.complaint = why
        self.changed()
        return False

    def _travel(self, history: History[Moment]) -> bool:
        """To another place in the history; False at its end."""
        moved = history is not self.history
        self.history = history
        return self._go(lambda: history.now) and moved

    def changed(self) -> None:
        """Tell those who listen; a listener's failure becomes a complaint."""
        for listener in self._listeners:
            try:
                listener(self)
            except Exception as error:
                self.complaint = told(error)


def told(error: Exception) -> str:
    """An error in words: ours are sentences already.

    Examples
    --------
    >>> told(ValueError("no")), told(PressingError("no players"))
    ('ValueError: no', 'no players')
    """
    return str(error) if isinstance(error, PressingError) else f"{type(error).__name__}: {error}"
