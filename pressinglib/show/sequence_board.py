"""A board that plays a sequence, lets anybody be moved at any moment, and plays on from there."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import numpy as np

from pressinglib.play.sequence import Sequence, replay
from pressinglib.show.board import Board
from pressinglib.show.board_state import BoardState, SequenceAt
from pressinglib.show.controls import Display
from pressinglib.show.playback import Playback

LOOKS = 9  # at as many moments the room that a film needs is measured
PLAY_CONTROLS = ("play", "steps", "move", "layers")


class SequenceBoard(Board):
    """A sequence to play, to wind and to take up anew; the last line of a cell shows it.

    Whoever is moved stands there at that moment, and the rest is played again with what is left of the actions: one
    step to undo.

    Parameters
    ----------
    sequence : Sequence
        Of `simulate`.
    controls : iterable of str
        As of a `Board`; "play" is its bar. Without "steps", to take it back, nobody can be moved.
    how
        The other parameters of a `Board`.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.play import Pass, simulate
    >>> board = SequenceBoard(simulate(scene("worked scene"), [Pass("4", at_s=0.5)], duration_s=2.0))
    >>> board.wind(1.0), board.state.sequence_at.index
    (1.0, 10)
    >>> board.move("pressing", "9", (30, -5)), board.state.sequence_at.from_s, board.undo()
    (True, 1.0, True)
    """

    def __init__(self, sequence: Sequence, *, controls: Iterable[str] = PLAY_CONTROLS, **how: Any) -> None:
        self.taken_up = SequenceAt(sequence)
        self.playback = Playback(self.taken_up.lasts_s, self._at, self.changed)
        super().__init__(self.taken_up.situation, sequence.rulebook, controls=controls, **how)

    def build(self) -> Display:
        """Room under the picture for all of it; nothing for the hand to take where nobody could take it back."""
        home, take = super().build(), self.state.sequence_at
        for time_s in np.linspace(0.0, take.lasts_s, LOOKS):
            then = replace(take, time_s=float(time_s))
            self._show(replace(self.state, situation=then.situation, sequence_at=then))
            self.canvas.show(self.drawing, self.view.part)
        self._show(self.history.now)
        self.changed()
        if "steps" not in self.controls:
            self.canvas.pick, self.canvas.label = {"ids": []}, "the picture"
        return home

    # -- time ----------------------------------------------------------------------------------------------------

    def play_or_pause(self) -> None:
        """Play, or pause."""
        self.playback.play_or_pause()
        (self._fill if self.playback.playing else self.changed)()

    def wind(self, time_s: float) -> float:
        """Show another moment; no step to undo."""
        self.playback.wind(time_s)
        if not self.playback.playing:
            self.changed()
        return self.playback.time_s

    def step_time(self, steps: int) -> None:
        """Some moments on or back, and stop there."""
        self.playback.pause()
        take = self.state.sequence_at
        self.wind(float(take.sequence.times[min(max(take.index + steps, 0), len(take.sequence) - 1)]))

    def _at(self, time_s: float) -> None:
        """Show a moment: all of it where it is another one, else only the players on their way."""
        before = self.state.sequence_at
        take = replace(before, time_s=time_s)
        self.state = replace(self.history.now, situation=take.situation, sequence_at=take)
        self.scenes[self.at] = self.history.instead(self.state)
        self.plan, self.complaint = take.plan, ""
        if take.index != before.index:
            self.changed()
        elif self.playback.playing:
            self.state = replace(self.state, situation=take.between)
            self.canvas.show_players(self.drawing, self.view.part)

    # -- the hand in it ------------------------------------------------------------------------------------------

    def mirror(self) -> bool:
        """Not of a sequence: its actions name places."""
        self.complain("A sequence cannot be mirrored. Mirror the picture that it begins with.")
        return False

    def _go(self, make: Callable[[BoardState], BoardState], settled: bool = True, kind: str = "") -> bool:
        self.playback.pause()
        done = super()._go(lambda now: self._taken_up(now, make(now), settled), settled, kind)
        take = self.state.sequence_at
        self.playback.lasts_s, self.playback.time_s = take.lasts_s, take.time_s
        return done

    def _taken_up(self, now: BoardState, new: BoardState, settled: bool) -> BoardState:
        """The moment with the rest played anew, if anything in it has changed."""
        before = now.sequence_at
        if not settled or new.sequence_at != before or (new.situation, new.wanted) == (now.situation, now.wanted):
            return new
        rest = replay(before.sequence, before.time_s, new.situation, rulebook=new.wanted)
        after = SequenceAt(rest, 0.0, before.from_s + before.time_s)
        return replace(new, situation=rest.situations[0], sequence_at=after)

    def _say(self, words: str) -> None:
        take, playing = self.state.sequence_at, self.playback.playing
        self.panel.words.live = not playing
        self.panel.words.text = f"{take.from_s + take.time_s:.1f} s." + f" {words}" * (not playing)
