"""What a board holds, as plain values: the picture with all that was asked for, its undo, its view, and its scenes."""

from __future__ import annotations

import os
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from pressinglib.errors import PressingError, as_known, as_number
from pressinglib.field.scene_file import OwnMark, SceneFile, load_session, save_session, save_situation
from pressinglib.field.situation import Situation
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.picture import Picture, turned
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.presser import end_distance_m, kept_out
from pressinglib.roles.rulebook import Rule, Rulebook
from pressinglib.roles.settings import LOOSE
from pressinglib.show.drawing import LAYERS, USUAL_LAYERS, Drawing, draw_plan, draw_situation, known_names
from pressinglib.show.labels import Labels
from pressinglib.show.moments import SequenceAt
from pressinglib.show.primitives import Crop, crop_box

SIDES = {"left": 1, "right": -1}
APPROACH_DEG = tuple(range(0, 80, 5))
LIMIT = 200  # steps kept; older ones are forgotten, the first never
MOST = 100  # scenes: as many as a session file holds


# -- The picture, what was drawn on it, and what is asked for in place of a rule.

@dataclass(frozen=True)
class BoardState:
    """A picture and what was asked for: all that a step back takes back. A wish that is None is left to the rules."""

    situation: Situation
    steer: str | None = None  # "left" or "right", as the pressing team sees it
    approach_deg: float | None = None  # 0-90 off the ball-goal line, on the side that is denied
    rulebook: Rulebook = field(default_factory=Rulebook)
    marks: tuple[OwnMark, ...] = ()
    sequence_at: SequenceAt | None = None

    def __post_init__(self) -> None:
        if self.steer is not None:
            as_known(self.steer, SIDES, "steer side", "or None, to leave it to the rules")
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

    def mirrored(self) -> BoardState:
        """Left and right swapped in all of it."""
        side = {"left": "right", "right": "left"}.get(self.steer or "")
        return replace(self, situation=self.situation.mirrored(), steer=side,
                       marks=tuple(mark.mirrored() for mark in self.marks))


def _steering(sign: int) -> Rule:
    @frame_rule
    def choose_steer(p: Picture, d: Decisions) -> Any:
        return np.where((d.presser < 0) | (p.state == LOOSE), 0, sign * p.side).astype(int)

    return choose_steer


def _approaching(angle_deg: float) -> Rule:
    @frame_rule
    def place_presser(p: Picture, d: Decisions) -> Any:
        way = turned(p.goal_way, np.radians(angle_deg) * d.steer)
        return kept_out(p, p.pitch.inside(p.focus + way * end_distance_m(p, d)[:, None], 0.5))

    return place_presser


# -- Undo and redo.

@dataclass(frozen=True)
class History:
    """The first state, those before the one shown now, and those that were undone (nearest first)."""

    first: BoardState
    now: BoardState
    past: tuple[BoardState, ...] = ()
    future: tuple[BoardState, ...] = ()
    kind: str = ""  # of the last step

    @classmethod
    def of(cls, first: BoardState) -> History:
        """A history that begins with this state."""
        return cls(first, first)

    def then(self, new: BoardState, kind: str = "") -> History:
        """One step further; what was undone is forgotten. Steps of the same kind in a row count as one."""
        if new == self.now:
            return self
        past = self.past if kind and kind == self.kind else (*self.past, self.now)[-LIMIT:]
        return History(self.first, new, past, kind=kind)

    def undone(self) -> History:
        """One step back, if there is one."""
        if not self.past:
            return self
        return History(self.first, self.past[-1], self.past[:-1], (self.now, *self.future))

    def redone(self) -> History:
        """The step back taken back, if there was one."""
        if not self.future:
            return self
        return History(self.first, self.future[0], (*self.past, self.now), self.future[1:])

    def reset(self) -> History:
        """Back to the first state, as a step that can be undone."""
        return self.then(self.first)


# -- What of it is shown, and how it is written: no undo touches that.

@dataclass(frozen=True)
class ViewOptions:
    """What a board shows; UnknownName or BadInput for what it cannot.

    `plan` False hides all that the plan says; with `start` whoever has moved leaves a ghost where he stood at first.
    """

    layers: tuple[str, ...] = USUAL_LAYERS
    plan: bool = True
    portrait: bool = False
    part: Crop = "whole"
    labels: Labels = field(default_factory=Labels)
    start: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "layers", known_names("layer", self.layers, LAYERS))

    def with_part(self, part: Crop, situation: Situation) -> ViewOptions:
        """Another part of this pitch."""
        crop_box(situation.pitch, part, 0.0)
        return replace(self, part=part)

    def drawing(self, state: BoardState, plan: Plan, before: Situation | None = None) -> Drawing:
        """The drawing of a state; `before` gives the ghosts."""
        how: dict[str, Any] = {"labels": replace(self.labels, upright=self.portrait), "marks": state.marks,
                               "start": before}
        if not self.plan:
            return draw_situation(state.situation, **how)
        return draw_plan(state.situation, plan, self.layers, **how)


# -- The scenes on one board.

@dataclass
class EditedScene:
    """One scene with its title and notes, and what was done to it."""

    history: History
    title: str = ""
    notes: str = ""

    @property
    def untouched(self) -> bool:
        """Nothing was done to it and nothing can be lost."""
        return not (self.history.past or self.history.future or self.title or self.notes)

    def to_file(self) -> SceneFile:
        """As a file keeps it."""
        now = self.history.now
        return SceneFile(now.situation, self.title, self.notes, now.marks)


@dataclass
class Session:
    """All scenes, and which one is on the board."""

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
        rules = replace(self.scene.history.now, steer=None, approach_deg=None)
        fresh = [EditedScene(History.of(replace(rules, situation=scene.situation, marks=scene.marks)), scene.title,
                             scene.notes) for scene in load_session(path)]
        kept = [] if len(self.scenes) == 1 and self.scene.untouched else self.scenes
        if len(kept) + len(fresh) > MOST:
            raise PressingError(f"Together {len(kept) + len(fresh)} scenes: a session holds at most {MOST}.")
        self.scenes, self.at = [*kept, *fresh], len(kept)

    def save(self, path: str | os.PathLike[str]) -> None:
        """All scenes to a file; one alone as a scene file."""
        scenes = [scene.to_file() for scene in self.scenes]
        if len(scenes) > 1:
            save_session(scenes, path)
        else:
            save_situation(scenes[0].situation, path, scenes[0].title, scenes[0].notes, scenes[0].marks)
