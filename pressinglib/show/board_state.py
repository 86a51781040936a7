"""The scenes on one board: each with its title, its notes and its own undo; opened from a file and saved to one."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar

import numpy as np

from pressinglib.errors import PressingError, SceneFileError, UnknownName
from pressinglib.field.annotation import OwnMark
from pressinglib.field.player import as_number
from pressinglib.field.scene_file import SceneFile, load_scene, load_session, save_session, save_situation
from pressinglib.field.situation import Situation
from pressinglib.roles.approach import end_distance_m, kept_out
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Picture, turned
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rule, Rulebook
from pressinglib.roles.settings import LOOSE
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_compared, draw_plan, draw_situation, known_layers
from pressinglib.show.labels import Labels
from pressinglib.show.primitives import Crop, crop_box
from pressinglib.show.sequence_drawings import SequenceAt

# -- What was on the board before and after: undo and redo as a plain value.


T = TypeVar("T")
LIMIT = 200  # steps kept; older ones are forgotten, the first never


@dataclass(frozen=True)
class History(Generic[T]):
    """The first picture, those before the one shown now, and those that were undone (nearest first).

    Examples
    --------
    >>> h = History.of("a").then("b").then("c")
    >>> h.undone().now, h.undone().undone().redone().now, h.reset().now
    ('b', 'b', 'a')
    >>> History.of("a").undone().now
    'a'
    >>> History.of("a").then("b", "slider").then("c", "slider").undone().now
    'a'
    """

    first: T
    now: T
    past: tuple[T, ...] = ()
    future: tuple[T, ...] = ()
    kind: str = ""  # of the last step

    @classmethod
    def of(cls, first: T) -> History[T]:
        """A history that begins with this picture."""
        return cls(first, first)

    def then(self, new: T, kind: str = "") -> History[T]:
        """One step further; what was undone is forgotten. Steps of the same kind in a row count as one."""
        if new == self.now:
            return self
        past = self.past if kind and kind == self.kind else (*self.past, self.now)[-LIMIT:]
        return History(self.first, new, past, kind=kind)

    def undone(self) -> History[T]:
        """One step back, if there is one."""
        if not self.past:
            return self
        return History(self.first, self.past[-1], self.past[:-1], (self.now, *self.future))

    def redone(self) -> History[T]:
        """The step back taken back, if there was one."""
        if not self.future:
            return self
        return History(self.first, self.future[0], (*self.past, self.now), self.future[1:])

    def reset(self) -> History[T]:
        """Back to the first picture, as a step that can be undone."""
        return self.then(self.first)


# -- A moment of the board: the picture, what its reader drew on it, and what he asks for in place of a rule.


SIDES = {"left": 1, "right": -1}
APPROACH_DEG = tuple(range(0, 80, 5))


@dataclass(frozen=True)
class BoardState:
    """A picture and what was asked for: all that a step back takes back.

    Parameters
    ----------
    situation : Situation
    steer : "left", "right" or None
        As the pressing team sees it; None leaves it to the rules.
    approach_deg : float or None
        0-90: how far off the ball-goal line the presser ends, on the side that is denied.
    rulebook : Rulebook
    other : (str, Rulebook), optional
        Rules to compare with, and their name; wishes do not reach them.
    marks : tuple of OwnMark
        What was drawn by hand.
    take : SequenceAt, optional
        The moment of a sequence that this is.

    Raises
    ------
    UnknownName, BadInput

    Examples
    --------
    >>> BoardState(Situation.line_up(ball_xy=(30, 10)), "left").mirrored().steer
    'right'
    """

    situation: Situation
    steer: str | None = None
    approach_deg: float | None = None
    rulebook: Rulebook = field(default_factory=Rulebook)
    other: tuple[str, Rulebook] | None = None
    marks: tuple[OwnMark, ...] = ()
    sequence_at: SequenceAt | None = None

    def __post_init__(self) -> None:
        if self.steer is not None and self.steer not in SIDES:
            raise UnknownName("steer side", self.steer, tuple(SIDES), todo="or None, to leave it to the rules")
        if self.approach_deg is not None:
            as_number(self.approach_deg, "approach angle in degrees", low=0, high=90)

    @property
    def wanted(self) -> Rulebook:
        """The rulebook with the wishes in it."""
        wishes: dict[str, Rule] = {}
        if self.steer is not None:
            wishes["choose_steer"] = _steering(SIDES[self.steer])
        if self.approach_deg is not None:
            wishes["place_presser"] = _approaching(self.approach_deg)
        return replace(self.rulebook, **wishes) if wishes else self.rulebook

    def plan(self) -> Plan:
        """The plan of the picture; in a sequence the one that the team is carrying out."""
        if self.sequence_at is not None and self.situation == self.sequence_at.situation:
            return self.sequence_at.plan
        return plan_press(self.situation, self.wanted)

    def other_plan(self) -> Plan | None:
        """What the rules to compare with say, if there are any."""
        return None if self.other is None else plan_press(self.situation, self.other[1])

    def mirrored(self) -> BoardState:
        """Left and right swapped in all of it."""
        other = {"left": "right", "right": "left"}.get(self.steer or "")
        return replace(self, situation=self.situation.mirrored(), steer=other,
                       marks=tuple(mark.mirrored() for mark in self.marks))


def _steering(sign: int) -> Rule:
    def choose_steer(p: Picture, d: Decisions) -> Any:
        return np.where((d.presser < 0) | (p.state == LOOSE), 0, sign * p.side).astype(int)

    return choose_steer


def _approaching(angle_deg: float) -> Rule:
    def place_presser(p: Picture, d: Decisions) -> Any:
        way = turned(p.goal_way, np.radians(angle_deg) * d.steer)
        return kept_out(p, p.pitch.inside(p.focus + way * end_distance_m(p, d)[:, None], 0.5))

    return place_presser


# -- What of a moment a board shows, and how it is written: a plain value that no undo touches.


THESE = "these rules"


@dataclass(frozen=True)
class ViewOptions:
    """What a board shows.

    Parameters
    ----------
    layers : iterable of str
    plan : bool
        False hides all that the plan says.
    portrait : bool
        The pressing team attacks upwards.
    part : str or (x, x, y, y)
        See `pressinglib.show.part`.
    labels : Labels
    start : bool
        Whoever has moved leaves a ghost where he stood at first.

    Raises
    ------
    UnknownName, BadInput
    """

    layers: tuple[str, ...] = USUAL_LAYERS
    plan: bool = True
    portrait: bool = False
    part: Crop = "whole"
    labels: Labels = field(default_factory=Labels)
    start: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "layers", known_layers(self.layers))

    def with_layers(self, layers: Iterable[str]) -> ViewOptions:
        """These layers and no others."""
        return replace(self, layers=known_layers(layers))

    def with_labels(self, **labels: Any) -> ViewOptions:
        """Other names or another unit."""
        return replace(self, labels=replace(self.labels, **labels))

    def with_part(self, part: Crop, situation: Situation) -> ViewOptions:
        """Another part of this pitch."""
        crop_box(situation.pitch, part, 0.0)
        return replace(self, part=part)

    def drawing(self, moment: BoardState, plan: Plan, other: Plan | None = None,
                before: Situation | None = None) -> Drawing:
        """The drawing of a moment; `before` gives the ghosts.

        Examples
        --------
        >>> moment = BoardState(Situation.line_up(ball_xy=(35, 10)))
        >>> ViewOptions().drawing(moment, moment.plan()).words == moment.plan().words
        True
        >>> {mark.layer for mark in ViewOptions(plan=False).drawing(moment, moment.plan()).marks} >= {"roles"}
        False
        """
        labels = replace(self.labels, upright=self.portrait)
        how: dict[str, Any] = {"labels": labels, "marks": moment.marks, "start": before}
        if not self.plan:
            return draw_situation(moment.situation, **how)
        if other is not None and moment.other is not None:
            return draw_compared(moment.situation, plan, other, (THESE, moment.other[0]), self.layers, **how)
        return draw_plan(moment.situation, plan, self.layers, **how)


# -- The scenes on one board: each with its title, its notes and its own undo; opened from a file and saved to one.


MOST = 100  # as many as a session file holds


@dataclass
class EditedScene:
    """One scene and what was done to it."""

    history: History[BoardState]
    title: str = ""
    notes: str = ""

    @classmethod
    def of(cls, moment: BoardState, scene: SceneFile) -> EditedScene:
        """A scene of a file, under the rules of a moment."""
        fresh = replace(moment, situation=scene.situation, marks=scene.marks, steer=None, approach_deg=None)
        return cls(History.of(fresh), scene.title, scene.notes)

    @property
    def untouched(self) -> bool:
        """Nothing was done to it and nothing can be lost."""
        return not (self.history.past or self.history.future or self.title or self.notes)

    def scene(self) -> SceneFile:
        """As a file keeps it."""
        now = self.history.now
        return SceneFile(now.situation, self.title, self.notes, now.marks)


@dataclass
class Session:
    """All sheets, and which one is on the board.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> session = Session([EditedScene(History.of(BoardState(Situation.line_up())))])
    >>> session.add("press high"), session.at, session.turn(-1), session.at, session.turn(-1)
    (True, 1, True, 0, False)
    """

    scenes: list[EditedScene] = field(default_factory=list)
    at: int = 0

    @property
    def scene(self) -> EditedScene:
        """The one on the board."""
        return self.scenes[self.at]

    def turn(self, steps: int) -> bool:
        """To a later or an earlier scene; False where there is none."""
        if not 0 <= self.at + steps < len(self.scenes):
            return False
        self.at += steps
        return True

    def add(self, title: str) -> bool:
        """A new scene behind this one, beginning with its picture."""
        if len(self.scenes) >= MOST:
            raise PressingError(f"A session holds at most {MOST} scenes. Save this one and begin another.")
        here = self.scene.history.now
        self.scenes.insert(self.at + 1, EditedScene(History.of(here), title))
        return self.turn(1)

    def remove(self) -> bool:
        """Take this scene out; the last one stays."""
        if len(self.scenes) == 1:
            return False
        del self.scenes[self.at]
        self.at = min(self.at, len(self.scenes) - 1)
        return True

    def open(self, path: str | os.PathLike[str]) -> None:
        """The scenes of a file behind those that are here, which nobody loses; the first of them is shown."""
        fresh = [EditedScene.of(self.scene.history.now, scene) for scene in scenes_of(path)]
        kept = [] if len(self.scenes) == 1 and self.scene.untouched else self.scenes
        if len(kept) + len(fresh) > MOST:
            raise PressingError(f"Together {len(kept) + len(fresh)} scenes: a session holds at most {MOST}.")
        self.scenes, self.at = [*kept, *fresh], len(kept)

    def save(self, path: str | os.PathLike[str]) -> None:
        """All scenes to a file; one alone as a scene file."""
        scenes = [sheet.scene() for sheet in self.scenes]
        if len(scenes) > 1:
            save_session(scenes, path)
        else:
            save_situation(scenes[0].situation, path, scenes[0].title, scenes[0].notes, scenes[0].marks)


def scenes_of(path: str | os.PathLike[str]) -> tuple[SceneFile, ...]:
    """The scenes of a session file, or the one of a scene file."""
    try:
        return (load_scene(path),)
    except SceneFileError as error:
        if error.problems != ("a session of several scenes",):
            raise
        return load_session(path)
