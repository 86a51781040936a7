"""Why not mine? Two answers set side by side: danger, open lanes, open gaps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from pressinglib.field.situation import Situation
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import ROLES
from pressinglib.roles.snapshot import Standing
from pressinglib.tables import by_number, listed
from pressinglib.teach.verdict import Card, table_html

# -- Everybody's job in a plan, to read: number, role, and why.


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


# -- Plans side by side: who goes and what stays open, for a case in which coaches differ.


SIDE_BY_SIDE_HEAD = ("", "goes", "there in", "steers", "open")


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
        return table_html(SIDE_BY_SIDE_HEAD, self.rows())

    def rows(self) -> list[tuple[str, str, str, str, str]]:
        """Name, presser, time, steer side, open opponents."""
        return [(name, *_of(plan)) for name, plan in self.plans.items()]


def _of(plan: Plan) -> tuple[str, str, str, str]:
    free = [opponent for opponent, word in plan.account.items() if word == "free"]
    time = f"{plan.assignments[plan.presser].arrival_s:.1f} s" if plan.presser else "-"
    side = plan.steer if plan.steer != "none" else "neither way"
    return plan.presser or "nobody", time, side, listed(free) if free else "nobody"


# -- Why not mine? Two answers set side by side: danger, open lanes, open gaps.


WHY_NOT_HEAD = ("", "danger", "lanes open to", "gaps open")
GAP_FAULTS = ("gap open", "gap open with a man in it")


class Outcome(NamedTuple):
    """What is left open: danger (our own measure, D), opponents with an open lane, gaps as pairs of numbers."""

    danger: float
    lanes: tuple[str, ...]
    gaps: tuple[str, ...]


def outcome_of(what: Plan | Situation, rulebook: Rulebook) -> Outcome:
    """Of a plan once it is carried out, or of a picture as it stands.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> picture = scene("worked scene")
    >>> stands = outcome_of(picture, Rulebook())
    >>> carried_out = outcome_of(plan_press(picture), Rulebook())
    >>> stands.danger > carried_out.danger
    True
    """
    return _carried_out(what) if isinstance(what, Plan) else _standing(what, rulebook)


def _carried_out(plan: Plan) -> Outcome:
    lanes = tuple(row["opponent"] for row in plan.lanes if row["state"] == "open")
    gaps = tuple("-".join(row["between"]) for row in plan.gaps if row["state"] == "open")
    return Outcome(plan.danger[1], _in_order(lanes), gaps)


def _standing(situation: Situation, rulebook: Rulebook) -> Outcome:
    standing = Standing.of(situation, rulebook)
    lanes = tuple(standing.p.opp_number(0, int(m)) for m in (standing.lane_open & standing.counted).nonzero()[0])
    gaps = tuple("-".join(f.players[:2]) for f in find_faults(situation, rulebook) if f.kind in GAP_FAULTS)
    return Outcome(plan_press(situation, rulebook).danger[0], _in_order(lanes), gaps)


def _in_order(numbers: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(numbers, key=by_number))


@dataclass(frozen=True, repr=False)
class Compared(Card):
    """Two answers and what each leaves open; as text one line an answer.

    Examples
    --------
    >>> Compared.of({}, Rulebook())
    Side by side: danger is this library's own measure, and no study stands behind the number.
    """

    outcomes: tuple[tuple[str, Outcome], ...] = ()

    @classmethod
    def of(cls, plays: Mapping[str, Plan | Situation], rulebook: Rulebook) -> Compared:
        """From a name to a plan or a picture."""
        words = "danger is this library's own measure, and no study stands behind the number."
        return cls(words, tuple((name, outcome_of(what, rulebook)) for name, what in plays.items()))

    @property
    def head(self) -> str:
        """What it is."""
        return "Side by side"

    def __repr__(self) -> str:
        lines = [f"{name}: danger {danger}, lanes open to {lanes}, gaps open {gaps}"
                 for name, danger, lanes, gaps in self.rows()]
        return "\n".join([*lines, super().__repr__()])

    def _repr_html_(self) -> str:
        return table_html(WHY_NOT_HEAD, self.rows()) + super()._repr_html_()

    def rows(self) -> list[tuple[str, str, str, str]]:
        """Name, danger in hundredths, opponents with an open lane, open gaps."""
        return [(name, f"{100 * o.danger:.0f}", listed(o.lanes) if o.lanes else "nobody",
                 listed(o.gaps) if o.gaps else "none") for name, o in self.outcomes]
