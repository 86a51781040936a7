"""What has been decided about a picture so far, in arrays that the rules fill in turn; and what they ask of it."""


from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from types import FunctionType
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, shown
from pressinglib.field.player import BACK, GOALKEEPER
from pressinglib.physics.lanes import shadowed
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, once, unit
from pressinglib.roles.settings import BACK_LINE, BALANCE, HOLD, HOLD_LINE, KEEP_BLOCK, NOBODY, SWEEP
from pressinglib.roles.settings import GOALKEEPER as KEEPER

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
        rows: dict[str, Any] = {x.name: getattr(self, x.name) for x in fields(self)}
        rows["gaps"] = Gaps(*(part[f:f + 1] for part in rows["gaps"]))
        return Decisions(**{name: row if name == "gaps" else row[f:f + 1] for name, row in rows.items()})


def undecided(p: Picture) -> Decisions:
    """Nobody presses; everyone stays where he is in the role of his line."""
    frames, players = p.line.shape
    role = np.where(p.line == GOALKEEPER, KEEPER, np.where(p.line == BACK, BACK_LINE, BALANCE))
    duty = np.choose(np.minimum(p.line.clip(0), 2), [SWEEP, HOLD_LINE, KEEP_BLOCK])
    nobody, index = np.full(frames, NOBODY), np.zeros((frames, 0), int)
    return Decisions(
        presser=nobody, timing=np.full(frames, HOLD), steer=np.zeros(frames, int), end_xy=p.focus.copy(),
        way_s=np.full((frames, players, 3), np.inf), take_over=np.full((frames, 3), NOBODY),
        take_over_s=np.full((frames, 3), np.inf), options=np.zeros(p.opp.shape[:2], bool), role=role, duty=duty,
        mark=np.full((frames, players), NOBODY), anchor=p.own.copy(), spot=p.own.copy(),
        gaps=Gaps(index > 0, index, index, np.zeros((frames, 0, 2)), 0.0 * index, 0.0 * index, index),
        far_man=nobody, far_side_limit_m=np.full(frames, np.inf),
        by_own_rule=np.zeros((frames, players), bool), why=np.full((frames, players), None))


def is_player(index: Ints, count: int) -> Bools:
    """(F, N) mask of the player `index` (F,); all False where it is -1."""
    return np.arange(count) == np.asarray(index)[..., None]


FORBIDDEN = 1e6

LEVEL_M = 2.5  # a back-line player this little behind his man still has him (D)

BEHIND_BALL_M = 4.0  # men this much further from our goal are no easy option ... (D)
CUT_BACK_M = 30.0  # ... unless they are this near to our goal
HELD_TOUCH_S = 0.2  # a man whom the line reaches this little after the ball is still held (D)
PASS_DECAY_M = 40.0


def least_total(cost: Floats, players: Bools, jobs: Bools) -> Ints:
    """(F, N) job of each player, -1 for none: as many pairs as possible at the least total of costs (F, N, J).

    Of players (F, N) and jobs (F, J) who take part (Kuhn 1955, 10.1002/nav.3800020109).
    """
    from scipy.optimize import linear_sum_assignment

    out, cost = np.full(players.shape, NOBODY), np.where(cost < FORBIDDEN, cost, FORBIDDEN)
    for f in np.flatnonzero(players.any(1) & jobs.any(1)):
        rows, columns = players[f].nonzero()[0], jobs[f].nonzero()[0]
        table = cost[f, rows[:, None], columns]
        chosen, job = linear_sum_assignment(table)
        out[f, rows[chosen]] = np.where(table[chosen, job] < FORBIDDEN, columns[job], NOBODY)
    return out


def slack_m(p: Picture, touch_s: float) -> Floats:
    """(F, M) from how far a standing player still reaches each opponent by so long after the ball."""
    s = p.settings
    return s.running.covered_m(p.pass_s + touch_s - s.reaction_s) + s.reach_m


@once
def has_goal_side(p: Picture) -> Bools:
    """(F, N, M) which of the line are goal-side of which opponents, or hardly behind them."""
    return np.asarray(p.back[..., None] & (p.own_goal_m[:, :, None] < p.opp_goal_m[:, None] + LEVEL_M))


def held_by_line(p: Picture, leavers: Bools, touch_s: float, before_m: float = np.inf) -> Bools:
    """(F, M) opponents not far before the line whom one of it, goal-side, reaches before the ball and the touch."""
    near = has_goal_side(p) & ~leavers[..., None] & (p.met[:, None, :, 0] - p.own[:, :, None, 0] <= before_m)
    return np.asarray((near & (p.marking_s <= p.pass_s[:, None] + touch_s)).any(1))


def marked(p: Picture, mark: Ints) -> Bools:
    """(F, M) opponents who are somebody's mark in (F, N)."""
    return np.asarray((mark[:, :, None] == np.arange(p.opp.shape[1])).any(1))


def toward(start: Floats, target: Floats, most_m: Floats | float) -> Floats:
    """The target, or the point `most_m` on the way to it."""
    way = target - start
    return np.asarray(start + unit(way) * np.minimum(norm(way), most_m)[..., None])


def worth(p: Picture, xy: Floats) -> Floats:
    """How much a place (F, ..., 2) is worth to the team in possession: 0.05 + 0.9 exp(-distance to goal / 25 m)."""
    return np.asarray(0.05 + 0.9 * np.exp(-norm(xy - p.goal) / 25.0))


def in_shadow(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the trusted cover shadow of a presser at his end spot."""
    hidden = shadowed(d.end_xy, p.origin, p.opp, p.settings.trusted_shadow_deg)
    return np.asarray(hidden & (d.presser >= 0)[:, None] & ~p.is_holder & p.opp_here)


def short_options(p: Picture, d: Decisions) -> Bools:
    """(F, M) opponents in the short radius whose lane nobody closes: defenders where they stand, nor the presser."""
    s = p.settings
    counted = p.opp_here & ~p.is_holder & ~p.offside & ~(p.opp_keeper & (s.count_goalkeeper == "no"))
    near = counted & (norm(p.opp - p.origin[:, None]) <= s.short_pass_m)
    level = (p.opp_goal_m <= p.ball_goal_m[:, None] + BEHIND_BALL_M) | (p.opp_goal_m <= CUT_BACK_M)
    open_lane = ~(p.cut_out & ~d.presses[:, None]).any(-1)  # he is on his way
    return np.asarray(near & level & ~in_shadow(p, d) & ~held_by_line(p, d.presses, HELD_TOUCH_S) & open_lane)
