"""What has been decided about a picture so far, in arrays that the rules fill in turn; and what they ask of it."""


from __future__ import annotations

from collections.abc import Callable
from copy import copy
from functools import wraps
from types import FunctionType
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, PressingError, RuleError, shown
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


class Decisions:
    """Filled in the order of the attributes; a rule reads what stands before its own.

    At first nobody presses, and everyone stays where he is in the role of his line.
    """

    def __init__(self, p: Picture) -> None:
        frames, players, none = len(p), p.line.shape, np.zeros((len(p), 0), int)
        line = np.minimum(p.line, 2)  # goalkeeper, back line, all others
        self.presser: Ints = np.full(frames, v.NOBODY)  # (F,) index, -1 nobody
        self.timing: Ints = np.full(frames, v.HOLD)  # (F,)
        self.steer: Ints = np.zeros(frames, int)  # (F,) sign of the y to which the carrier is steered, 0 none
        self.end_xy: Floats = p.focus.copy()  # (F, 2) where the presser ends
        self.take_over: Ints = np.full((frames, 3), v.NOBODY)  # (F, 3) next presser by way out
        self.take_over_s: Floats = np.full((frames, 3), np.inf)  # (F, 3)
        self.options: Bools = np.zeros(p.opp.shape[:2], bool)  # (F, M) short, easy options
        self.role: Ints = np.array([v.GOALKEEPER, v.BACK_LINE, v.BALANCE])[line]  # (F, N)
        self.duty: Ints = np.array([v.SWEEP, v.HOLD_LINE, v.KEEP_BLOCK])[line]
        self.mark: Ints = np.full(players, v.NOBODY)
        self.anchor: Floats = p.own.copy()  # (F, N, 2)
        self.spot: Floats = p.own.copy()  # (F, N, 2)
        self.gaps = Gaps(none > 0, none, none, np.zeros((frames, 0, 2)), 0.0 * none, 0.0 * none, none)
        self.far_man: Ints = np.full(frames, v.NOBODY)  # (F,) the far-side opponent who is guarded, -1 nobody
        self.far_side_limit_m: Floats = np.full(frames, np.inf)  # (F,) how far his guard may stand, inf: nobody
        self.by_own_rule: Bools = np.zeros(players, bool)  # (F, N) who has his job from a rule of the user's own
        self.why: NDArray[Any] = np.full(players, None)  # (F, N) the own rule's reason in its own words, else None
        self.shared: Jobs | None = None  # covers and balance as they were shared out, all at once

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

    def but(self, **changed: Any) -> Decisions:
        """The same with some arrays changed."""
        other = copy(self)
        vars(other).update(changed)
        return other

    def one(self, f: int) -> Decisions:
        """What was decided about frame f alone."""
        rows = {name: rows[f:f + 1] for name, rows in vars(self).items() if isinstance(rows, np.ndarray)}
        gaps: Any = (part[f:f + 1] for part in self.gaps)
        return self.but(**rows, gaps=Gaps(*gaps), shared=None)


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


# -- own rules for frames

# What the rules decide that name no jobs.
FORMS = {"choose_presser": "presser", "choose_timing": "timing", "choose_steer": "steer", "place_presser": "end_xy",
         "place_goalkeeper": "end_xy", "settle_spots": "anchor"}


def checked(name: str, rule: Callable[..., Any]) -> Callable[..., Any]:
    """An own rule for frames: what it raises, and an answer of another form than the stock rule's, is a RuleError."""
    @frame_rule
    @wraps(rule, assigned=(), updated=())
    def over_frames(p: Picture, d: Decisions) -> Any:
        try:
            answer = rule(p, d)
        except PressingError:
            raise
        except (Exception, SystemExit) as error:
            raise RuleError(name, "some frames", f"{type(error).__name__}: {error}") from error
        limits = {"choose_presser": p.own.shape[1], "choose_timing": len(v.TIMINGS), "choose_steer": 2}
        forms = [(getattr(d, FORMS[name]), limits.get(name, 0))] if name in FORMS else [
            (d.by_own_rule, 2), (d.duty, len(v.DUTIES)), (d.mark, p.opp.shape[1]), (d.anchor, 0)]
        given = (answer,) if name in FORMS else answer if isinstance(answer, Jobs) else ()
        if len(given) != len(forms) or not all(_fits(a, *form) for a, form in zip(given, forms, strict=True)):
            told = ", ".join(f"{a.dtype.kind}{a.shape}" for a, _ in forms)
            raise RuleError(name, "some frames", f"the rule gave {shown(answer)}", "give what the stock rule gives: "
                            f"{'Jobs of ' * (name not in FORMS)}arrays {told} of numbers of players and codes")
        return answer

    return over_frames


def _fits(answer: Any, form: Any, most: int) -> bool:
    """An array of this form; codes from -1 up to `most`."""
    return bool(isinstance(answer, np.ndarray) and answer.shape == form.shape
            and np.can_cast(answer.dtype, form.dtype, "same_kind")
            and (form.ndim != 2 or np.isfinite(answer).all())
            and (not most or ((answer >= -1) & (answer < most)).all()))
