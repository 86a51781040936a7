"""The model of a board: an event makes a new state, the state a plan. Knows no widget.

What a hand may do stands here too: where it may put somebody, and what a trail that it has drawn means.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import dist
from time import monotonic
from typing import Any

from shapely import LineString

from pressinglib.errors import PressingError
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.scene_file import CORNERS, MOST_SCENES, OwnMark
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.board_state import BoardState, History, save_scenes, scenes_of
from pressinglib.show.marks import XY, as_points, length_of
from pressinglib.show.playback import Playback, Runs
from pressinglib.show.tokens import BALL

NEAR_M, FAR_M = 0.5, 5.0  # a small step and a large one
ROOM_M = 0.5  # two bodies side by side (own choice)
TEAMS = {"pressing": "pressing", "possession": "in possession"}
SMOOTH_M = 0.4  # a hand trembles less than that
LEAST_M = 0.5
PAUSE_S = 1.0  # a hand that rests as long begins another step


class BoardModel:
    """A picture that is worked on: what can be done to it, what was done, and the plan of how it stands.

    Every change answers True if it could be made; else the last good picture stays and `complaint` says why.
    """

    def __init__(self, first: BoardState) -> None:
        self.complaint = ""
        self.scenes, self.at = [History.of(first)], 0
        self.run: Playback | None = None  # of the plan
        self.held = False  # a hand has not let go
        self._ended_s, self._moves = 0.0, 0  # when the last change was made, and how many pauses came before it
        self._show(self.history.now)
        self._listeners: list[Callable[[Any], None]] = []

    @property
    def situation(self) -> Situation:
        """The picture as it is shown now."""
        return self.state.situation

    @property
    def rulebook(self) -> Rulebook:
        """The rules that are asked."""
        return self.state.rulebook

    @property
    def history(self) -> History:
        """The scene on the board, and what was done to it."""
        return self.scenes[self.at]

    def place_of(self, team: str, number: str) -> XY:
        """Where a player is, or the "ball" (number "")."""
        return self.situation.ball_xy if (team, number) == BALL else self.situation.player(team, number).xy

    def on_change(self, listener: Callable[[Any], None]) -> None:
        """Call `listener(self)` whenever picture or plan has changed, while a hand moves too."""
        self._listeners.append(listener)

    # -- Changes of the picture.

    def move(self, team: str, number: str, xy: XY, kind: str = "") -> bool:
        """Move a player of "pressing" or "possession", or the "ball" (number ""); one step to undo.

        Moves of the same `kind` in a row count as one.
        """
        return self._go(lambda now: replace(now, situation=placed(now.situation, team, number, xy)), kind=kind)

    def carry(self, team: str, number: str, xy: XY) -> bool:
        """The same while the hand has not let go: shown, and no step yet."""
        return self._go(lambda now: replace(now, situation=placed(now.situation, team, number, xy)), settled=False)

    def move_all(self, places: Mapping[tuple[str, str], XY]) -> None:
        """Move several, planned once and one step to undo; who cannot stand there stays, and the complaint says why.

        Each by himself, if the rules have no plan for all of it.
        """
        refused: list[str] = []

        def moved(now: BoardState) -> BoardState:
            situation = now.situation
            for who, xy in places.items():
                try:
                    situation = placed(situation, *who, xy)
                except PressingError as error:
                    refused.append(str(error))
            return replace(now, situation=situation)

        if not self._go(moved) and len(places) > 1:
            refused += [self.complaint for who, xy in places.items() if not self.move(*who, xy)]
        if refused:
            self.complain(refused[-1])

    def complain(self, why: str) -> None:
        """Say what is wrong."""
        self.complaint = why

    def show(self, situation: Situation, marks: Sequence[OwnMark] | None = None) -> bool:
        """Put another picture there, with other marks if some are given; one step to undo."""
        more = {} if marks is None else {"marks": tuple(marks)}
        return self._go(lambda now: replace(now, situation=situation, **more))

    def mirror(self) -> bool:
        """Swap left and right."""
        return self._go(BoardState.mirrored)

    def draw_freehand(self, kind: str, trail: Sequence[XY], words: str = "") -> bool:
        """Add an arrow, a zone, a note ... from the trail of a hand."""
        return self._go(lambda now: replace(now, marks=(*now.marks, freehand(kind, trail, words))))

    def entitle(self, title: str) -> bool:
        """Give the scene a title."""
        return self._go(lambda now: replace(now, title=title))

    def erase(self, index: int) -> bool:
        """Take one of the own marks away."""
        return self._go(lambda now: replace(now, marks=(*now.marks[:index], *now.marks[index + 1:])))

    # -- Changes of the rules.

    def steer_to(self, side: str | None) -> bool:
        """Ask for a steer side, "left" or "right"; None leaves it to the rules."""
        return self._go(lambda now: replace(now, steer=side), kind="steer")

    def approach_at(self, angle_deg: float | None) -> bool:
        """Ask for an approach angle off the ball-goal line; None leaves it to the rules."""
        return self._go(lambda now: replace(now, approach_deg=angle_deg), kind="approach")

    def set(self, **settings: Any) -> bool:
        """Change settings of the rules."""
        return self._go(lambda now: replace(now, rulebook=now.rulebook.with_settings(**settings)),
                        kind=f"settings {sorted(settings)}")

    # -- Back and forth, and other scenes.

    def undo(self) -> bool:
        """Take the last change back."""
        return self._travel(lambda history: history.go(-1))

    def redo(self) -> bool:
        """Do it again."""
        return self._travel(lambda history: history.go(1))

    def reset(self) -> bool:
        """Back to the first picture, under the title of now; can be undone."""
        return self._travel(lambda history: history.then(replace(history.first, title=history.now.title)))

    def turn(self, steps: int) -> bool:
        """To a later or an earlier scene; False where there is none."""
        return self._on_board(self.scenes, self.at + steps)

    def new_scene(self, title: str = "") -> bool:
        """A new scene behind this one, beginning with its picture."""
        self._stop()
        fresh = History.of(replace(self.history.now, title=title, notes=""))
        return self._on_board([*self.scenes[:self.at + 1], fresh, *self.scenes[self.at + 1:]], self.at + 1)

    def remove_scene(self) -> bool:
        """Take this scene out; the last one stays."""
        others = [scene for scene in self.scenes if scene is not self.history]
        return self._on_board(others, min(self.at, len(others) - 1))

    def open(self, path: str) -> bool:
        """Add the scenes of a file behind those that are here, which nobody loses; show the first of them."""
        try:
            fresh = scenes_of(path, self.history.now)
        except BaseException as error:
            return self._refuse(error_text(error))
        named = self.history.now.title or self.history.now.notes
        kept = self.scenes if named or len(self.scenes) > 1 or len(self.history.states) > 1 else []
        return self._on_board([*kept, *fresh], len(kept))

    def save(self, path: str) -> bool:
        """Save all scenes to one file."""
        try:
            save_scenes(self.scenes, path)
        except BaseException as error:
            return self._refuse(error_text(error))
        return True

    def _on_board(self, scenes: list[History], at: int) -> bool:
        """Other scenes, and which of them is on the board."""
        self._stop()
        if len(scenes) > MOST_SCENES:
            return self._refuse(f"{len(scenes)} scenes: a file holds at most {MOST_SCENES}. Save it and begin another.")
        if not 0 <= at < len(scenes):
            return False
        self.scenes, self.at = scenes, at
        return self._rest()

    # -- The run to the plan.

    def run_to_plan(self) -> None:
        """Everybody runs to his spot in true time; again: pause, and on."""
        if self.run is None:
            runs = Runs(self.plan)
            self.run = Playback(runs.lasts_s, lambda time_s: self._ran(runs.at(time_s)), self._arrived)
        self.run.play_or_pause()
        self.changed()

    def _rest(self) -> bool:
        """Show what the history says."""
        return self._go(lambda now: now)

    def _ran(self, situation: Situation) -> None:
        self.state = replace(self.history.now, situation=situation)

    def _arrived(self) -> None:
        """A step, under the plan that they have carried out: another one would send some of them off again."""
        self._stop()
        self.state, self.arrived = self.history.now, True
        self.changed()

    def _stop(self) -> None:
        """Whatever happens during a run ends it where it is, as a step."""
        run, self.run = self.run, None
        if run is not None:
            run.pause()
            self.scenes[self.at] = self.history.then(replace(self.history.now, situation=self.situation))

    # -- The round itself.

    def _show(self, state: BoardState) -> None:
        self.state, self.plan, self.arrived = state, state.plan(), False

    def _go(self, make: Callable[[BoardState], BoardState], settled: bool = True, kind: str = "") -> bool:
        """Show a new state. Nothing that fails gets out, not even an exit: whoever drags would never see it."""
        self._stop()
        self._moves += monotonic() - self._ended_s > PAUSE_S
        try:
            state = make(self.history.now)
            self._show(state)
        except BaseException as error:
            return self._refuse(error_text(error), settled)
        if settled:
            self.scenes[self.at] = self.history.then(state, kind and f"{kind}, {self._moves}")
        self.complaint, self.held = "", not settled
        self.changed()
        self._ended_s = monotonic()
        return True

    def _refuse(self, why: str, settled: bool = True) -> bool:
        if settled:
            self._show_last_good()
        self.complaint, self.held = why, not settled
        self.changed()
        return False

    def _show_last_good(self) -> None:
        """The last settled state; as it is shown, if its rule does not even answer that any more."""
        try:
            self._show(self.history.now)
        except BaseException as error:
            error_text(error)
            self.state = replace(self.state, situation=self.plan.situation)

    def _travel(self, way: Callable[[History], History]) -> bool:
        """To another place in the history; False at its end."""
        self._stop()
        before = self.history
        self.scenes[self.at] = way(before)
        if self._rest():
            return self.history is not before
        why, self.scenes[self.at] = self.complaint, before
        return self._refuse(why)

    def changed(self) -> None:
        """Tell those who listen; a listener's failure becomes a complaint."""
        for listener in self._listeners:
            try:
                listener(self)
            except BaseException as error:
                self.complaint = error_text(error)


def error_text(error: BaseException) -> str:
    """An error in words: ours are sentences already. Who interrupts is no error, and goes on."""
    if isinstance(error, KeyboardInterrupt):
        raise error
    return str(error) if isinstance(error, PressingError) else f"{type(error).__name__}: {error}"


# -- What a hand may do.

def called(team: str, number: str) -> str:
    """A player, or the ball, in words."""
    return "the ball" if (team, number) == BALL else f"{TEAMS.get(team, team)} {number}"


def placed(situation: Situation, team: str, number: str, xy: XY) -> Situation:
    """The picture with a player, or the ball, put elsewhere by hand.

    A PressingError says it in plain words if the place is off the pitch, or another player stands there.
    """
    if not situation.pitch.holds(xy, OUTSIDE_M):
        raise PressingError(f"Not there: {called(team, number)} would be off the pitch. "
                            f"At most {OUTSIDE_M:g} m beyond the lines.")
    if (team, number) == BALL:
        return situation.with_ball(xy)
    for side in TEAMS:
        for player in situation.players(side):
            if (side, player.number) != (team, number) and dist(player.xy, xy) < ROOM_M:
                raise PressingError(f"Not there: {called(side, player.number)} stands where {called(team, number)} "
                                    f"would. Leave {ROOM_M:g} m between them.")
    return situation.moved(team, number, xy)


def freehand(kind: str, trail: Sequence[XY], words: str = "") -> OwnMark:
    """The mark that a trail means; PressingError for too little of it.

    An arrow, a pass, a dribble follows the hand, a ruler or goal joins its ends, a note or cone stands where it began.
    A zone is what a closed trail goes round, or the rectangle between the ends of one that hardly bends.
    """
    points = as_points(trail)
    if CORNERS[kind][1] == 1:
        if kind == "note" and not words.strip():
            raise PressingError("Write the words of the note first, then click where it shall stand.")
        return OwnMark(kind, points[:1], words)
    if len(points) < 2 or length_of(points) < LEAST_M:
        raise PressingError(f"Too short for {'an' if kind == 'arrow' else 'a'} {kind}: drag from one end to the other.")
    if CORNERS[kind][1] == 2:
        return OwnMark(kind, (points[0], points[-1]), words)
    smooth_m = SMOOTH_M
    while len(way := as_points(LineString(points).simplify(smooth_m).coords)) > CORNERS[kind][1]:
        smooth_m *= 1.5
    if kind == "zone" and len(way) == 2:
        (x0, y0), (x1, y1) = way
        way = (x0, y0), (x1, y0), (x1, y1), (x0, y1)
    return OwnMark(kind, way, words)
