"""Everybody's job in a plan, to read: number, role, and why."""

from __future__ import annotations

from dataclasses import dataclass

from pressinglib.roles.plan import Plan
from pressinglib.roles.vocabulary import ROLES
from pressinglib.teach.card import table_html


@dataclass(frozen=True, repr=False)
class Jobs:
    """A table, presser first; as text one line a player.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> print(repr(Jobs(plan_press(scene("worked scene")))).splitlines()[0])
    9, pressure: First to their 5 on the ball: ...
    """

    plan: Plan

    def __repr__(self) -> str:
        return "\n".join(f"{number}, {role}: {why}" for number, role, why in self.rows())

    def _repr_html_(self) -> str:
        return table_html(("No.", "Role", "Why"), self.rows())

    def rows(self) -> list[tuple[str, str, str]]:
        """Number, role and reason, in the order of the roles."""
        jobs = sorted(self.plan.assignments.values(), key=lambda job: ROLES.index(job.role))
        return [(job.number, job.role, job.reason) for job in jobs]
