"""The round that a board goes through: an event makes a new moment, the moment a plan. Knows no widget."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from pressinglib.errors import PressingError
from pressinglib.field.annotation import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.board_state import BoardState, EditedScene, History, Session
from pressinglib.show.figures import BALL, placed
from pressinglib.show.marks import XY
from pressinglib.show.playback import RunToPlan


class BoardModel:
    """A picture that is worked on: what can be done to it, what was done, and the plan of how it stands.

    Every change answers True if it could be made; else the last good picture stays and `complaint` says why.

    Parameters
    ----------
    situation : Situation
    rulebook : Rulebook, optional
    marks : iterable of OwnMark
        What was drawn on it before.

    Raises
    ------
    PressingError
        For a picture that has no plan.

    Examples
    --------
    >>> work = BoardModel(Situation.line_up(ball_xy=(35, 10)))
    >>> work.move("pressing", "9", (20, 0)), work.situation.player("pressing", "9").xy
    (True, (20.0, 0.0))
    >>> work.undo(), work.move("pressing", "9", (99, 0)), work.complaint[:31]
    (True, False, 'Not there: pressing 9 would be ')
    """

    def __init__(self, situation: Situation, rulebook: Rulebook | None = None, marks: Iterable[OwnMark] = ()) -> None:
        self.complaint = ""
        first = BoardState(situation, rulebook=rulebook or Rulebook(), marks=tuple(marks))
        self.session = Session([EditedScene(History.of(self.begin(first)))])
        self.run: RunToPlan | None = None
        self.held = False  # a hand has not let go
        self._show(self.history.now)
        self._listeners: list[Callable[[Any], None]] = []

    def begin(self, first: BoardState) -> BoardState:
        """What a board has at first."""
        return first

    @property
    def situation(self) -> Situation:
        """The picture as it is shown now."""
        return self.state.situation

    @property
    def rulebook(self) -> Rulebook:
        """The rules that are asked."""
        return self.state.rulebook

    @property
    def history(self) -> History[BoardState]:
        """What was done to this scene."""
        return self.session.scene.history

    def place_of(self, team: str, number: str) -> XY:
        """Where a player is, or the "ball" (number "")."""
        return self.situation.ball_xy if (team, number) == BALL else self.situation.player(team, number).xy

    def on_change(self, listener: Callable[[Any], None]) -> None:
        """Call `listener(self)` whenever picture or plan has changed, while a hand moves too."""
        self._listeners.append(listener)

    # -- changes of the picture ----------------------------------------------------------------------------------

    def move(self, team: str, number: str, xy: XY, kind: str = "") -> bool:
        """Move a player of "pressing" or "possession", or the "ball" (number ""); one step to undo.

        Moves of the same `kind` in a row count as one.
        """
        return self._go(lambda now: self._with(now, team, number, xy), kind=kind)

    def carry(self, team: str, number: str, xy: XY) -> bool:
        """The same while the hand has not let go: shown, and no step yet."""
        return self._go(lambda now: self._with(now, team, number, xy), settled=False)

    def move_ball(self, xy: XY, carrier: str | None = None) -> bool:
        """Put the ball elsewhere; one step to undo."""
        return self._go(lambda now: replace(now, situation=now.situation.with_ball(xy, carrier)))

    def show(self, situation: Situation) -> bool:
        """Put another picture there; one step to undo."""
        return self._go(lambda now: replace(now, situation=situation))

    def mirror(self) -> bool:
        """Swap left and right."""
        return self._go(BoardState.mirrored)

    def draw(self, mark: OwnMark) -> bool:
        """Add an arrow, a zone, a note or a ruler."""
        return self._go(lambda now: replace(now, marks=(*now.marks, mark)))

    def erase(self, index: int) -> bool:
        """Take one of the own marks away."""
        return self._go(lambda now: replace(now, marks=(*now.marks[:index], *now.marks[index + 1:])))

    # -- changes of the rules ------------------------------------------------------------------------------------

    def steer_to(self, side: str | None) -> bool:
        """Ask for a steer side, "left" or "right"; None leaves it to the rules."""
        return self._go(lambda now: replace(now, steer=side), kind="steer")

    def approach_at(self, angle_deg: float | None) -> bool:
        """Ask for an approach angle off the ball-goal line; None leaves it to the rules."""
        return self._go(lambda now: replace(now, approach_deg=angle_deg), kind="approach")

    def play_by(self, rulebook: Rulebook, kind: str = "") -> bool:
        """Ask other rules."""
        return self._go(lambda now: replace(now, rulebook=rulebook), kind=kind)

    def set(self, **settings: Any) -> bool:
        """Change settings of the rules."""
        return self._go(lambda now: replace(now, rulebook=now.rulebook.with_settings(**settings)),
                        kind=f"settings {sorted(settings)}")

    def compare(self, name: str = "", rulebook: Rulebook | None = None) -> bool:
        """Show beside the plan what other rules, of this name, would do; without rules: no more."""
        return self._go(lambda now: replace(now, other=None if rulebook is None else (name, rulebook)))

    # -- back and forth ------------------------------------------------------------------------------------------

    def undo(self) -> bool:
        """Take the last change back."""
        return self._travel(History.undone)

    def redo(self) -> bool:
        """Do it again."""
        return self._travel(History.redone)

    def reset(self) -> bool:
        """Back to the first picture; can be undone."""
        return self._travel(History.reset)

    # -- scenes --------------------------------------------------------------------------------------------------

    def turn(self, steps: int) -> bool:
        """To a later or an earlier scene of the session."""
        return self._scenes(lambda session: session.turn(steps))

    def new_scene(self, title: str = "") -> bool:
        """A new scene that begins with this picture."""
        return self._scenes(lambda session: session.add(title))

    def remove_scene(self) -> bool:
        """Take this scene out of the session; the last one stays."""
        return self._scenes(Session.remove)

    def open(self, path: str) -> bool:
        """Add the scenes of a file and show the first of them."""
        return self._scenes(lambda session: session.open(path) or True)

    def save(self, path: str) -> bool:
        """Save all scenes to one file."""
        return self._scenes(lambda session: session.save(path) or True)

    def _scenes(self, act: Callable[[Session], bool]) -> bool:
        self._stop()
        try:
            done = act(self.session)
        except Exception as error:
            return self._refuse(error_text(error))
        return self._go(lambda now: now) and done

    # -- the run to the plan -------------------------------------------------------------------------------------

    def run_to_plan(self) -> None:
        """Everybody runs to his spot in true time; again: pause, and on."""
        if self.run is None:
            self.run = RunToPlan(self.plan, self._ran, self._stop_and_plan)
        self.run.play_or_pause()
        self.changed()

    def _ran(self, situation: Situation) -> None:
        self.state = replace(self.history.now, situation=situation)
        self.ran()

    def ran(self) -> None:
        """A picture of the run is to be shown."""

    def _stop_and_plan(self) -> None:
        self._go(lambda now: now)

    def _stop(self) -> None:
        """Whatever happens during a run ends it where it is, as a step."""
        run, self.run = self.run, None
        if run is not None:
            run.playback.pause()
            self.session.scene.history = self.history.then(replace(self.history.now, situation=run.situation))

    # -- the round itself ----------------------------------------------------------------------------------------

    def _with(self, now: BoardState, team: str, number: str, xy: XY) -> BoardState:
        return replace(now, situation=placed(now.situation, team, number, xy))

    def _show(self, moment: BoardState) -> None:
        plan, other = moment.plan(), moment.other_plan()
        self.state, self.plan, self.other_plan = moment, plan, other

    def _go(self, make: Callable[[BoardState], BoardState], settled: bool = True, kind: str = "") -> bool:
        """Show a new moment. Nothing that fails gets out: whoever drags in a notebook would never see it."""
        self._stop()
        try:
            moment = make(self.history.now)
            self._show(moment)
        except Exception as error:
            return self._refuse(error_text(error), settled)
        if settled:
            self.session.scene.history = self.history.then(moment, kind)
        self.complaint, self.held = "", not settled
        self.changed()
        return True

    def _refuse(self, why: str, settled: bool = True) -> bool:
        if settled:
            self._show_last_good()
        self.complaint, self.held = why, not settled
        self.changed()
        return False

    def _show_last_good(self) -> None:
        """The last settled moment; as it is shown, if its rule does not even answer that any more."""
        try:
            self._show(self.history.now)
        except Exception:
            self.state = replace(self.state, situation=self.plan.situation)

    def _travel(self, way: Callable[[History[BoardState]], History[BoardState]]) -> bool:
        """To another place in the history; False at its end."""
        self._stop()
        before = self.history
        self.session.scene.history = way(before)
        if self._go(lambda now: now):
            return self.history is not before
        why, self.session.scene.history = self.complaint, before
        return self._refuse(why)

    def changed(self) -> None:
        """Tell those who listen; a listener's failure becomes a complaint."""
        for listener in self._listeners:
            try:
                listener(self)
            except Exception as error:
                self.complaint = error_text(error)


def error_text(error: Exception) -> str:
    """An error in words: ours are sentences already.

    Examples
    --------
    >>> error_text(ValueError("no")), error_text(PressingError("no players"))
    ('ValueError: no', 'no players')
    """
    return str(error) if isinstance(error, PressingError) else f"{type(error).__name__}: {error}"
