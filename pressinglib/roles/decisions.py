"""What has been decided about a picture so far, in arrays that the rules fill in turn; and what they ask of it."""


from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import FunctionType
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, shown
from pressinglib.field.player import BACK, GOALKEEPER
from pressinglib.roles import settings as v
from pressinglib.roles.picture import Bools, Floats, Ints, Picture

Rule = TypeVar("Rule", bound=Callable[..., Any])


def frame_rule(rule: Rule) -> Rule:
    """Mark a rule as one for arrays: it takes a Picture and the Decisions so far, of many frames at once.

    A function without the mark takes one Situation and is asked frame by frame, which is simpler and slower.

    Examples
    --------
    >>> @frame_rule
    ... def nobody_goes(picture, decisions):
    ...     return np.full(len(picture), NOBODY)
    >>> nobody_goes.takes_frames
    True
    """
    if not isinstance(rule, FunctionType):
        raise BadInput("rule", expected="a function", got=shown(rule), todo="put the mark above a def")
    rule.takes_frames = True  # type: ignore[attr-defined]
    return rule


class Jobs(NamedTuple):
    """Who does a job (F, N), his duty code, the opponent concerned (-1 nobody) and his anchor (F, N, 2)."""

    who: Bools
    duty: Ints
    mark: Ints
    anchor: Floats


class Gaps(NamedTuple):
    """Gaps between neighbours as seen from the ball, (F, G): G is the largest number in any frame."""

    here: Bools
    left: Ints  # index of the two neighbours, left one first as seen from the ball
    right: Ints
    middle: Floats  # (F, G, 2)
    width_m: Floats
    limit_m: Floats
    man: Ints  # the opponent behind it who matters most, -1 nobody


@dataclass(eq=False)
class Decisions:
    """Filled in the order of the fields; a rule reads what stands before its own."""

    presser: Ints  # (F,) index, -1 nobody
    timing: Ints  # (F,)
    steer: Ints  # (F,) sign of the y to which the carrier is steered, 0 none
    end_xy: Floats  # (F, 2) where the presser ends
    way_s: Floats  # (F, N, 3) time of each player to each way out
    take_over: Ints  # (F, 3) next presser by way out
    take_over_s: Floats  # (F, 3)
    options: Bools  # (F, M) short, easy options
    role: Ints  # (F, N)
    duty: Ints
    mark: Ints
    anchor: Floats  # (F, N, 2)
    spot: Floats  # (F, N, 2)
    gaps: Gaps
    far_man: Ints  # (F,) the far-side opponent who is guarded, -1 nobody
    far_side_limit_m: Floats  # (F,) how far from him his guard may stand, inf where there is nobody
    by_own_rule: Bools  # (F, N) who has his job from a rule of the user's own
    why: NDArray[Any]  # (F, N) the own rule's reason in its own words, else None
    shared: Jobs | None = None  # covers and balance as they were shared out, all at once

    @property
    def presses(self) -> Bools:
        """(F, N) who presses."""
        return is_player(self.presser, self.role.shape[1])

    @property
    def is_far_man(self) -> Bools:
        """(F, M) the far-side opponent who is guarded."""
        return is_player(self.far_man, self.options.shape[1])

    def give(self, jobs: Jobs, role: int) -> None:
        """Write some players' jobs into the arrays."""
        who = jobs.who
        self.role = np.where(who, role, self.role)
        self.duty = np.where(who, jobs.duty, self.duty)
        self.mark = np.where(who, jobs.mark, self.mark)
        self.anchor = np.where(who[..., None], jobs.anchor, self.anchor)

    def one(self, f: int) -> Decisions:
        """What was decided about frame f alone."""
        rows: Any = {name: rows[f:f + 1] for name, rows in vars(self).items() if isinstance(rows, np.ndarray)}
        gaps: Any = (part[f:f + 1] for part in self.gaps)
        return Decisions(**rows, gaps=Gaps(*gaps))


def undecided(p: Picture) -> Decisions:
    """Nobody presses; everyone stays where he is in the role of his line."""
    frames, players = p.line.shape
    role = np.where(p.line == GOALKEEPER, v.GOALKEEPER, np.where(p.line == BACK, v.BACK_LINE, v.BALANCE))
    duty = np.choose(np.minimum(p.line.clip(0), 2), [v.SWEEP, v.HOLD_LINE, v.KEEP_BLOCK])
    nobody, index = np.full(frames, v.NOBODY), np.zeros((frames, 0), int)
    return Decisions(
        presser=nobody, timing=np.full(frames, v.HOLD), steer=np.zeros(frames, int), end_xy=p.focus.copy(),
        way_s=np.full((frames, players, 3), np.inf), take_over=np.full((frames, 3), v.NOBODY),
        take_over_s=np.full((frames, 3), np.inf), options=np.zeros(p.opp.shape[:2], bool), role=role, duty=duty,
        mark=np.full((frames, players), v.NOBODY), anchor=p.own.copy(), spot=p.own.copy(),
        gaps=Gaps(index > 0, index, index, np.zeros((frames, 0, 2)), 0.0 * index, 0.0 * index, index),
        far_man=nobody, far_side_limit_m=np.full(frames, np.inf),
        by_own_rule=np.zeros((frames, players), bool), why=np.full((frames, players), None))


def is_player(index: Ints, count: int) -> Bools:
    """(F, N) mask of the player `index` (F,); all False where it is -1."""
    return np.arange(count) == np.asarray(index)[..., None]


def sheet_order(order: Ints, values: NDArray[Any]) -> NDArray[Any]:
    """Values (F, N, ...) by place, put into the order of the sheet."""
    out = np.empty_like(values)
    out[np.arange(len(order))[:, None], order] = values
    return out


def on_sheet(order: Ints, index: Ints) -> Ints:
    """Place in the sheet of players `index` (F, ...) of the picture; -1 stays."""
    rows = np.arange(len(order)).reshape(-1, *[1] * (index.ndim - 1))
    return np.where(index >= 0, order[rows, np.maximum(index, 0)], v.NOBODY)
