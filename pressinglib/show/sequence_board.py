"""A board that plays a sequence, lets anybody be moved at any moment, and plays on from there."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from pressinglib.play.sequence import Sequence
from pressinglib.play.simulation import replay
from pressinglib.show.board import Board
from pressinglib.show.board_state import History, Moment
from pressinglib.show.playback import Playing
from pressinglib.show.sequence_drawings import Take

PLAY_CONTROLS = ("play", "steps", "layers")


class SequenceBoard(Board):
    """A sequence to play, to wind and to take up anew; the last line of a cell shows it.

    Whoever is moved stands there at that moment, and the rest is played again with what is left of the actions: one
    step to undo.

    Parameters
    ----------
    sequence : Sequence
        Of `simulate`.
    controls : iterable of str
        As of a `Board`; "play" is its bar.
    how
        The other parameters of a `Board`.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play import Pass, simulate
    >>> board = SequenceBoard(simulate(scene("worked scene"), [Pass("4", at_s=0.5)], duration_s=2.0))
    >>> board.wind(1.0), board.moment.take.index
    (1.0, 10)
    >>> board.move("pressing", "9", (30, -5)), board.moment.take.from_s, board.undo(), board.moment.take.from_s
    (True, 1.0, True, 0.0)
    """

    def __init__(self, sequence: Sequence, *, controls: Iterable[str] = PLAY_CONTROLS, **how: Any) -> None:
        self._first = Take(sequence)
        self.playing = Playing(self._first.lasts_s, self._at, self._ended)
        super().__init__(self._first.situation, sequence.rulebook, controls=controls, **how)

    def begin(self, first: Moment) -> Moment:
        return replace(first, take=self._first)

    # -- time ----------------------------------------------------------------------------------------------------

    def press_play(self) -> None:
        """Play, or pause."""
        if self.playing.playing:
            self.playing.pause()
            self.changed()
        else:
            self.playing.play()
            self._fill()

    def wind(self, time_s: float) -> float:
        """Show another moment; no step to undo."""
        self.playing.wind(time_s)
        if not self.playing.playing:
            self.changed()
        return self.playing.time_s

    def step_time(self, steps: int) -> None:
        """Some moments on or back, and stop there."""
        self.playing.pause()
        take = self.moment.take
        self.wind(float(take.sequence.times[min(max(take.index + steps, 0), len(take.sequence) - 1)]))

    def at_speed(self, speed: float) -> None:
        """1 is true time."""
        self.playing.speed = speed

    def _at(self, time_s: float) -> None:
        """Show a moment: all of it where it is another one, else only the players on their way."""
        before = self.moment.take
        take = replace(before, time_s=time_s)
        self.moment = replace(self.history.now, situation=take.situation, take=take)
        self.session.sheet.history = replace(self.history, now=self.moment)
        self.plan, self.other_plan, self.complaint = take.plan, self.moment.other_plan(), ""
        if take.index != before.index:
            self.changed()
        elif self.playing.playing:
            self.moment = replace(self.moment, situation=take.between)
            self.canvas.show_players(self.drawing, self.shown.portrait, self.shown.part)

    def _ended(self) -> None:
        self.changed()

    # -- the hand in it ------------------------------------------------------------------------------------------

    def mirror(self) -> bool:
        """Not of a sequence: its actions name places."""
        self.complain("A sequence cannot be mirrored. Mirror the picture that it begins with.")
        return False

    def _go(self, make: Callable[[Moment], Moment], settled: bool = True, kind: str = "") -> bool:
        self.playing.pause()
        done = super()._go(lambda now: self._taken_up(now, make(now), settled), settled, kind)
        take = self.moment.take
        self.playing.lasts_s, self.playing.time_s = take.lasts_s, take.time_s
        return done

    def _taken_up(self, now: Moment, new: Moment, settled: bool) -> Moment:
        """The moment with the rest played anew, if anything in it has changed."""
        if not settled or new.take != now.take or (new.situation, new.wanted) == (now.situation, now.wanted):
            return new
        rest = replay(now.take.sequence, now.take.time_s, new.situation, rulebook=new.wanted)
        return replace(new, situation=rest.situations[0], take=Take(rest, 0.0, now.take.from_s + now.take.time_s))

    def _travel(self, way: Callable[[History[Moment]], History[Moment]]) -> bool:
        self.playing.pause()
        return super()._travel(way)

    def _say(self, words: str) -> None:
        self.panel.words.live = not self.playing.playing
        self.panel.words.text = f"{self.moment.take.words} {words}"
