"""How sure a plan is: the same picture, measured a little wrong, planned again and again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from pressinglib.errors import as_number, as_whole
from pressinglib.field.frames import Frames
from pressinglib.roles.decided import Decided
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Floats, Picture, picture_of, sheet_order
from pressinglib.roles.pipeline import decide
from pressinglib.roles.settings import COVER, STEERS
from pressinglib.tables import Rows, listed

SURE = 0.8  # less is said (D)
RIVAL = 0.2  # who is named beside the first (D)
Shares = dict[str, float]


@dataclass(frozen=True, repr=False)
class Confidence:
    """In which share of the copies the same was decided; `repr` says what is close.

    Parameters
    ----------
    copies : int
    presser, steer : dict from str to float
        Share of the copies by whoever presses ("nobody": none does), and by the side to which he steers.
    covers : float
        Share with the same set of covers.
    jobs : dict from str to float
        By number: share in which he has the role of the plan.
    """

    copies: int
    presser: Shares
    steer: Shares
    covers: float
    jobs: Shares

    @property
    def words(self) -> str:
        """What is close, in a coach's words."""
        close = [f"{listed(who, 'or')}: say it early." for who in [_rivals(self.presser)] if len(who) > 1]
        if len(sides := _rivals(self.steer)) > 1:
            close.append(f"Steering {listed(sides, 'or')} is close.")
        if self.covers < SURE:
            change = [number for number, share in self.jobs.items() if share < SURE]
            close.append(f"Half a metre decides whether {listed(change, 'or')} covers: talk early." if change else
                         "Half a metre changes who covers.")
        return " ".join(close) or "Clear: half a metre changes little."

    def __repr__(self) -> str:
        return self.words

    def table(self) -> Rows:
        """Rows of number and share."""
        return Rows({"number": number, "same_job": round(share, 2)} for number, share in self.jobs.items())


def _rivals(shares: Shares) -> list[str]:
    """The likeliest, and whoever comes near."""
    first, *others = sorted(shares, key=lambda name: -shares[name])
    return [first] if shares[first] >= SURE else [first, *(name for name in others if shares[name] >= RIVAL)]


def confidence_of(plan: Decided, copies: int, error_m: float, error_s: float, seed: int) -> Confidence:
    """As `Plan.confidence`."""
    count = as_whole(copies, "copies", 1, 10_000)
    pictures = _copies(plan, count, as_number(error_m, "error_m", low=0, high=10),
                       as_number(error_s, "error_s", low=0, high=2), as_whole(seed, "seed"))
    p = picture_of(pictures, plan.rulebook.settings)
    d = decide(p, plan.rulebook)
    numbers = [q.number for q in plan.situation.pressing]
    role, now = sheet_order(p.own_order, d.role), sheet_order(plan.picture.own_order, plan.decisions.role)
    same = role == now
    who = [p.own_number(f, int(n)) if n >= 0 else "nobody" for f, n in enumerate(d.presser)]
    covers = float(((role == COVER) == (now == COVER)).all(1).mean())
    return Confidence(count, _shares(who), _shares(_sides(p, d)), covers,
                      dict(zip(numbers, same.mean(0).round(3).tolist(), strict=True)))


def _sides(p: Picture, d: Decisions) -> list[str]:
    return [STEERS[int(side) + 1] for side in d.steer * p.side]


def _shares(names: Iterable[str]) -> Shares:
    counted = Counter(names)
    return {name: count / counted.total() for name, count in counted.most_common()}


def _copies(plan: Decided, copies: int, error_m: float, error_s: float, seed: int) -> Frames:
    """The picture measured wrong: each place by error_m a direction, each player early or late by error_s."""
    random = np.random.default_rng(seed)
    one = Frames.of([plan.situation])
    many = one.take(np.zeros(copies, int))

    def wrong(xy: Floats, velocity: Floats) -> Floats:
        late = random.normal(0.0, error_s, (*xy.shape[:-1], 1))
        return one.pitch.inside(xy + random.normal(0.0, error_m, xy.shape) + late * velocity)

    ours, theirs = wrong(many.pressing_xy, many.pressing_velocity), wrong(many.possession_xy, many.possession_velocity)
    holder = plan.picture.holder[0]
    if holder >= 0:  # the ball stays at his foot
        index = int(plan.picture.opp_order[0, holder])
        ball = many.ball_xy + theirs[:, index] - many.possession_xy[:, index]
    else:
        ball = wrong(many.ball_xy, many.ball_velocity)
    return replace(many, pressing_xy=ours, possession_xy=theirs, ball_xy=one.pitch.inside(ball))
