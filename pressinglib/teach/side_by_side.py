"""Plans side by side: who goes and what stays open, for a case in which coaches differ."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pressinglib.roles.plan import Plan
from pressinglib.teach.card import listed, table_html

HEAD = ("", "goes", "there in", "steers", "open")


@dataclass(frozen=True, repr=False)
class SideBySide:
    """A small table, one plan a row; the same as text and as HTML.

    Parameters
    ----------
    plans : mapping
        From a few words to a plan.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> SideBySide({"here": plan_press(scene("worked scene"))})
    here: 9 goes, there in 3.3 s, steers left, open 1
    >>> SideBySide({})
    <BLANKLINE>
    """

    plans: Mapping[str, Plan]

    def __repr__(self) -> str:
        return "\n".join(f"{name}: {goes} goes, there in {time}, steers {side}, open {free}"
                         for name, goes, time, side, free in self.rows())

    def _repr_html_(self) -> str:
        return table_html(HEAD, self.rows())

    def rows(self) -> list[tuple[str, str, str, str, str]]:
        """Name, presser, time, steer side, open opponents."""
        return [(name, *_of(plan)) for name, plan in self.plans.items()]


def _of(plan: Plan) -> tuple[str, str, str, str]:
    free = [opponent for opponent, word in plan.account.items() if word == "free"]
    time = f"{plan.assignments[plan.presser].arrival_s:.1f} s" if plan.presser else "-"
    side = plan.steer if plan.steer != "none" else "neither way"
    return plan.presser or "nobody", time, side, listed(free) if free else "nobody"
