"""How sure a plan is: the same picture, measured a little wrong, planned again and again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pressinglib.errors import as_number, as_whole
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import TEAMS, Situation
from pressinglib.roles.decided import Decided
from pressinglib.roles.picture import picture_of, sheet_order
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
    p = picture_of(mismeasured(plan.situation, copies, error_m, error_s, seed), plan.rulebook.settings)
    d = decide(p, plan.rulebook)
    role, now = sheet_order(p.own_order, d.role), sheet_order(plan.picture.own_order, plan.decisions.role)
    who = [p.own_number(f, int(n)) if n >= 0 else "nobody" for f, n in enumerate(d.presser)]
    covers = float(((role == COVER) == (now == COVER)).all(1).mean())
    jobs = zip(p.frames.pressing_numbers, (role == now).mean(0).round(3).tolist(), strict=True)
    sides = (STEERS[int(side) + 1] for side in d.steer * p.side)
    return Confidence(len(p), _shares(who), _shares(sides), covers, dict(jobs))


def _shares(names: Iterable[str]) -> Shares:
    counted = Counter(names)
    return {name: count / counted.total() for name, count in counted.most_common()}


def mismeasured(situation: Situation, copies: int, error_m: float, error_s: float = 0.0, seed: int = 0) -> Frames:
    """Copies of a picture, measured a little wrong: each place by error_m a direction, each player early or late.

    Left and right are alike; the ball and whoever has it, or is about to, stay where they are.
    """
    count, one = as_whole(copies, "copies", 1, 10_000), Frames.of([situation])
    errors = as_number(error_m, "error_m", low=0, high=10), as_number(error_s, "error_s", low=0, high=2)
    place, moment = (np.random.default_rng((as_whole(seed, "seed"), stream)) for stream in (99, 98))
    number, side = situation.on_ball or situation.receiver, 1.0 if situation.ball_xy[1] >= 0 else -1.0
    wrong: dict[str, Any] = {}
    for team in TEAMS:
        xy, velocity = (np.repeat(getattr(one, f"{team}_{what}"), count, axis=0) for what in ("xy", "velocity"))
        late = moment.normal(0.0, errors[1], (*xy.shape[:2], 1)) * velocity
        off = place.normal(0.0, errors[0], xy.shape) * (1.0, side)
        wrong[f"{team}_xy"] = one.pitch.inside(xy + off + late, -OUTSIDE_M)
    holder = one.possession_numbers.index(number) if number else -2
    if number:
        wrong["possession_xy"][:, holder] = one.possession_xy[0, holder]
    carrier = np.full(count, -1 if situation.receiver else holder)
    return replace(one.take(np.zeros(count, int)), carrier=carrier, **wrong)
