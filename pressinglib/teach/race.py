"""The race to the ball, by number: who could be there when, from which line and which side."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.plan import Plan


class Race:
    """What the rule that chooses the presser looks at.

    Times are its own: flat out to where the carrier will be in half a second, without reaction and braking.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> race = Race(plan_press(scene("worked scene")))
    >>> race.first(2), race.in_back_line("9"), race.in_back_line("4"), race.time_s("1")
    (['9', '10'], False, True, inf)
    """

    def __init__(self, plan: Plan) -> None:
        p = plan.picture
        time = np.where(p.outfield, p.own_arrival(p.focus[:, None]), np.inf)
        self._index = {p.own_number(0, n): n for n in range(p.own.shape[1])}
        self._time, self._goal_side, self._front = time[0], p.goal_side[0], p.front[0]
        self.keepers = [q.number for q in plan.situation.pressing if q.is_goalkeeper]

    def time_s(self, number: str) -> float:
        """Seconds to the ball; infinite for the goalkeeper."""
        return float(self._time[self._index[number]])

    def in_back_line(self, number: str) -> bool:
        """Whether he plays in the back line, behind those who press first."""
        return not self._front[self._index[number]]

    def goal_side(self, number: str) -> bool:
        """Whether he is nearer the own goal than the ball."""
        return bool(self._goal_side[self._index[number]])

    def first(self, count: int) -> list[str]:
        """The numbers of those who could be there first."""
        return sorted(self._index, key=lambda number: (self.time_s(number), number))[:count]
