"""What a board holds, as plain values: the picture with all that was asked for, its undo, its view, and its scenes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from pressinglib.errors import as_known, as_number
from pressinglib.field.player import Player
from pressinglib.field.scene_file import OwnMark, SceneFile, load_session, save_session, save_situation
from pressinglib.field.situation import Situation
from pressinglib.play import sequence as played
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.picture import Picture, turned
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.presser import end_distance_m, kept_out
from pressinglib.roles.rulebook import Rule, Rulebook
from pressinglib.roles.settings import LOOSE
from pressinglib.show.drawing import LAYERS, USUAL_LAYERS, known_names
from pressinglib.show.labels import Labels
from pressinglib.show.marks import XY
from pressinglib.show.primitives import Crop

SIDES = {"left": 1, "right": -1}
APPROACH_DEG = tuple(range(0, 80, 5))
LIMIT = 200  # steps kept; older ones are forgotten, the first never


# -- A sequence at a time.

@dataclass(frozen=True)
class SequenceAt:
    """A sequence, the time at which it is shown, and the time at which it was taken up from an earlier one."""

    sequence: played.Sequence
    time_s: float = 0.0
    from_s: float = 0.0

    @property
    def index(self) -> int:
        """Which moment of the sequence."""
        return self.sequence.index(self.time_s)

    @property
    def lasts_s(self) -> float:
        """To the last moment of the sequence."""
        return float(self.sequence.times[-1])

    @property
    def situation(self) -> Situation:
        """The picture."""
        return self.sequence.situations[self.index]

    @property
    def plan(self) -> Plan:
        """What the pressing team has in mind."""
        return self.sequence.plans[self.index]

    @property
    def between(self) -> Situation:
        """The picture between this moment and the next, for the eye."""
        k, count = self.index, len(self.sequence)
        share = np.interp(self.time_s, self.sequence.times, np.arange(count)) - k
        return blended(self.situation, self.sequence.situations[min(k + 1, count - 1)], float(share))


def blended(now: Situation, then: Situation, share: float) -> Situation:
    """All on the way from where they are now to where they are then."""
    if share <= 0:
        return now

    def mixed(here: XY, there: XY) -> XY:
        return here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])

    def on_the_way(team: str) -> tuple[Player, ...]:
        return tuple(p.at(mixed(p.xy, then.player(team, p.number).xy)) for p in now.players(team))

    return replace(now, pressing=on_the_way("pressing"), possession=on_the_way("possession"), carrier=None,
                   ball_xy=mixed(now.ball_xy, then.ball_xy))


# -- The picture, what was drawn on it, and what is asked for in place of a rule.

@dataclass(frozen=True)
class BoardState:
    """A scene and what was asked for: all that a step back takes back. A wish that is None is left to the rules."""

    situation: Situation
    steer: str | None = None  # "left" or "right", as the pressing team sees it
    approach_deg: float | None = None  # 0-90 off the ball-goal line, on the side that is denied
    rulebook: Rulebook = field(default_factory=Rulebook)
    marks: tuple[OwnMark, ...] = ()
    title: str = ""
    notes: str = ""
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
    """States in their order, and which of them is shown now; the first is never forgotten."""

    first: BoardState
    states: tuple[BoardState, ...]
    at: int = 0
    kind: str = ""  # of the last step

    @classmethod
    def of(cls, first: BoardState) -> History:
        """A history that begins with this state."""
        return cls(first, (first,))

    @property
    def now(self) -> BoardState:
        """The state that is shown."""
        return self.states[self.at]

    @property
    def past(self) -> tuple[BoardState, ...]:
        """Those that can be undone."""
        return self.states[:self.at]

    @property
    def future(self) -> tuple[BoardState, ...]:
        """Those that were undone, the nearest first."""
        return self.states[self.at + 1:]

    def then(self, new: BoardState, kind: str = "") -> History:
        """One step further; what was undone is forgotten. Steps of the same kind in a row count as one."""
        if new == self.now:
            return self
        before = self.past if kind and kind == self.kind else (*self.past, self.now)[-LIMIT:]
        return History(self.first, (*before, new), len(before), kind)

    def instead(self, now: BoardState) -> History:
        """Another state in place of the one shown, and no step."""
        return replace(self, states=(*self.past, now, *self.future))

    def go(self, steps: int) -> History:
        """Back or on again, where there is such a state."""
        return replace(self, at=self.at + steps, kind="") if 0 <= self.at + steps < len(self.states) else self


# -- What of it is shown, and how it is written: no undo touches that.

@dataclass(frozen=True)
class ViewOptions(Labels):
    """What a board shows, and how it is written; UnknownName or BadInput for what it cannot.

    `plan` False hides all that the plan says.
    """

    layers: tuple[str, ...] = USUAL_LAYERS
    plan: bool = True
    part: Crop = "whole"

    def __post_init__(self) -> None:
        super().__post_init__()
        object.__setattr__(self, "layers", known_names("layer", self.layers, LAYERS))


# -- The scenes on one board.

def scenes_of(path: str, board: BoardState) -> list[History]:
    """The scenes of a file, under the rules of a board."""
    rules = replace(board, steer=None, approach_deg=None)
    return [History.of(replace(rules, **vars(scene))) for scene in load_session(path)]


def save_scenes(scenes: Sequence[History], path: str) -> None:
    """All of them to a file; one alone as a scene file."""
    kept = [(now.situation, now.title, now.notes, now.marks) for now in (history.now for history in scenes)]
    if len(kept) > 1:
        save_session([SceneFile(*parts) for parts in kept], path)
    else:
        save_situation(kept[0][0], path, *kept[0][1:])
