"""A moment of the board: the picture, what its reader drew on it, and what he asks for in place of a rule."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from pressinglib.errors import UnknownName
from pressinglib.field.own_mark import OwnMark
from pressinglib.field.player import as_number
from pressinglib.field.situation import Situation
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Picture, turned
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rule, Rulebook
from pressinglib.roles.steering import end_distance_m, kept_out
from pressinglib.roles.vocabulary import LOOSE
from pressinglib.show.take import Take

SIDES = {"left": 1, "right": -1}
APPROACH_DEG = tuple(range(0, 80, 5))


@dataclass(frozen=True)
class Moment:
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
    take : Take, optional
        The moment of a sequence that this is.

    Raises
    ------
    UnknownName, BadInput

    Examples
    --------
    >>> Moment(Situation.line_up(ball_xy=(30, 10)), "left").mirrored().steer
    'right'
    """

    situation: Situation
    steer: str | None = None
    approach_deg: float | None = None
    rulebook: Rulebook = field(default_factory=Rulebook)
    other: tuple[str, Rulebook] | None = None
    marks: tuple[OwnMark, ...] = ()
    take: Take | None = None

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
        if self.take is not None and self.situation == self.take.situation:
            return self.take.plan
        return plan_press(self.situation, self.wanted)

    def other_plan(self) -> Plan | None:
        """What the rules to compare with say, if there are any."""
        return None if self.other is None else plan_press(self.situation, self.other[1])

    def mirrored(self) -> Moment:
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
