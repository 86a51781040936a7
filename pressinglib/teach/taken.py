"""Who is taken: which of ours takes the pass to each of theirs away, all of them as they stand.

The measures are those of `denial`, with one more: the presser takes away what lies in his shadow, as far as it is
trusted, and nothing else.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.player import Player
from pressinglib.physics.ball import ball_time
from pressinglib.physics.lanes import lane_margins, shadowed
from pressinglib.physics.motion import arrival_time
from pressinglib.physics.offside import offside_line_m
from pressinglib.teach.denial import CLOSED_S, LEVEL_M
from pressinglib.teach.stand import Stand


class Taken:
    """The outfield players of a picture against the next pass.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> picture = scene("worked scene")
    >>> taken = Taken(Stand(plan_press(picture), picture.moved("pressing", "11", (24, 28))))
    >>> taken.by("3"), taken.by("6"), taken.free
    (['11'], ['10'], {'4'})
    """

    def __init__(self, stand: Stand) -> None:
        s, line_x = stand.situation, offside_line_m(stand.situation)
        self.stand = stand
        self.ours = [p for p in s.pressing if not p.is_goalkeeper]
        self.theirs = [p for p in s.possession if not p.is_goalkeeper and p.number != s.on_ball and p.xy[0] >= line_x]
        self.presser = next((p for p in self.ours if p.number == _presser(stand)), None)

    def by(self, man: str) -> list[str]:
        """Who takes the pass to this opponent away; empty where nobody does, or he is offside."""
        row = self._row(man)
        return [] if row is None else [p.number for p, holds in zip(self.ours, self.holds[row], strict=True) if holds]

    @property
    def free(self) -> set[str]:
        """Opponents, their goalkeeper left out, to whom the next pass pays."""
        return {p.number for p, row in zip(self.theirs, self.holds, strict=True) if not row.any()}

    def in_reach(self, man: str) -> bool:
        """Whether somebody, the presser left out, is with him by his first touch, on whatever side of him."""
        return self._row(man) is not None and self.nearest(man)[1] <= 0

    def nearest(self, man: str) -> tuple[str, float, bool]:
        """Who would be with him first, seconds after his first touch, and whether he is goal-side; no presser."""
        row = self.late_s[self._row(man)]
        first = int(np.where([p is self.presser for p in self.ours], np.inf, row).argmin())
        return self.ours[first].number, float(row[first]), bool(self.goal_side[self._row(man), first])

    @cached_property
    def holds(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he cuts the pass out, or is goal-side of the man by his first touch."""
        found = self._cut_out | (self.goal_side & (self.late_s <= 0))
        if self.presser is not None:
            ball, trusted = self.stand.situation.ball_xy, self.stand.plan.rulebook.settings.trusted_shadow_deg
            found[:, self.ours.index(self.presser)] = shadowed(self.presser.xy, ball, _xy(self.theirs), trusted)
        return found

    @cached_property
    def late_s(self) -> NDArray[np.float64]:
        """(theirs, ours) seconds by which he is with the man after the first touch."""
        s, theirs = self.stand.plan.rulebook.settings, _xy(self.theirs)[:, None]
        touch_s = ball_time(np.hypot(*(theirs - self.stand.situation.ball_xy).T).T, s.ball_mps) + s.control_time_s
        reach_s = arrival_time(_xy(self.ours), (0.0, 0.0), theirs, s.alpha_per_s, s.top_speed_mps, s.reaction_s,
                               s.reach_m)
        return np.asarray(reach_s - touch_s)

    @cached_property
    def goal_side(self) -> NDArray[np.bool_]:
        """(theirs, ours) whether he is nearer his goal than the man, or level with him."""
        ours, theirs = (np.array([self.stand.goal_m(p.xy) for p in team]) for team in (self.ours, self.theirs))
        return np.asarray(ours <= theirs[:, None] + LEVEL_M)

    @property
    def _cut_out(self) -> NDArray[np.bool_]:
        s, ours = self.stand.plan.rulebook.settings, _xy(self.ours)
        margin_s = lane_margins(self.stand.situation.ball_xy, _xy(self.theirs), ours, np.zeros_like(ours), s.reach_m,
                                s.reaction_s, s.ball_mps, alpha_per_s=s.alpha_per_s, top_speed_mps=s.top_speed_mps)
        return np.asarray(margin_s < CLOSED_S)

    def _row(self, man: str) -> int | None:
        return next((row for row, p in enumerate(self.theirs) if p.number == man), None)


def _xy(players: list[Player]) -> NDArray[np.float64]:
    return np.array([p.xy for p in players], dtype=float).reshape(-1, 2)


def _presser(stand: Stand) -> str | None:
    found = stand.standing.presser
    return None if found is None else stand.standing.name(found)
