"""What the person at the board asks for in place of a rule: a steer side, an approach angle."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pressinglib.errors import UnknownName
from pressinglib.field.player import as_number
from pressinglib.field.situation import Situation
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Picture, turned
from pressinglib.roles.rulebook import Rule, Rulebook
from pressinglib.roles.steering import end_distance_m, kept_out
from pressinglib.roles.vocabulary import LOOSE

SIDES = {"left": 1, "right": -1}
APPROACH_DEG = tuple(range(0, 80, 5))


@dataclass(frozen=True)
class Moment:
    """A picture and what was asked for; None leaves it to the rules.

    Parameters
    ----------
    situation : Situation
    steer : "left", "right" or None
        As the pressing team sees it.
    approach_deg : float or None
        0-90: how far off the ball-goal line the presser ends, on the side that is denied.

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

    def __post_init__(self) -> None:
        if self.steer is not None and self.steer not in SIDES:
            raise UnknownName("steer side", self.steer, tuple(SIDES), todo="or None, to leave it to the rules")
        if self.approach_deg is not None:
            as_number(self.approach_deg, "approach angle in degrees", low=0, high=90)

    def rules(self, rulebook: Rulebook) -> Rulebook:
        """The rulebook with the wishes in it."""
        wishes: dict[str, Rule] = {}
        if self.steer is not None:
            wishes["choose_steer"] = _steering(SIDES[self.steer])
        if self.approach_deg is not None:
            wishes["place_presser"] = _approaching(self.approach_deg)
        return replace(rulebook, **wishes) if wishes else rulebook

    def mirrored(self) -> Moment:
        """Left and right swapped in all of it."""
        other = {"left": "right", "right": "left"}.get(self.steer or "")
        return replace(self, situation=self.situation.mirrored(), steer=other)


def _steering(sign: int) -> Rule:
    def choose_steer(p: Picture, d: Decisions) -> Any:
        return np.where((d.presser < 0) | (p.state == LOOSE), 0, sign * p.side).astype(int)

    return choose_steer


def _approaching(angle_deg: float) -> Rule:
    def place_presser(p: Picture, d: Decisions) -> Any:
        way = turned(p.goal_way, np.radians(angle_deg) * d.steer)
        return kept_out(p, p.pitch.inside(p.focus + way * end_distance_m(p, d)[:, None], 0.5))

    return place_presser
