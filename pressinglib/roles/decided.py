"""What is decided about one picture, as plain values in the frame of the picture as it came; and how sure it is."""


from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any, cast

import numpy as np

from pressinglib.errors import as_number, as_whole
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import TEAMS, Situation
from pressinglib.physics.lanes import lane_state
from pressinglib.roles.decisions import Decisions, sheet_order
from pressinglib.roles.measures import ACCOUNTS, GAP_STATES, AfterRuns, after_running, danger
from pressinglib.roles.picture import Floats, Picture, pick
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import COVER, ROLES, STATES, STEERS, TIMINGS, WAYS
from pressinglib.tables import Table, listed, table_of

Length = Callable[[float, int], str]  # how a sentence says a length: metres and digits become "1.5 m"
STRAIGHT_COSINE = float(np.cos(np.radians(10.0)))


def in_metres(length_m: float, digits: int) -> str:
    """A length as it is said where nobody asked for another unit."""
    return f"{length_m:.{digits}f} m"


@dataclass(frozen=True, eq=False)
class Decided:
    """One picture, the rules it was planned by, and what they decided."""

    situation: Situation
    rulebook: Rulebook
    picture: Picture
    decisions: Decisions
    length: Length = in_metres

    @property
    def state(self) -> str:
        """ "open play", "loose", "won" or a restart."""
        return STATES[self.picture.state[0]]

    @property
    def presser(self) -> str | None:
        """Number of the presser."""
        return cast(str | None, self.picture.own_number(0, self.decisions.presser[0]))

    @property
    def timing(self) -> str:
        """ "in time", "late" or "hold"."""
        return TIMINGS[self.decisions.timing[0]]

    @property
    def steer(self) -> str:
        """ "left", "right" or "none", as the pressing team sees it."""
        side = self.decisions.steer[0] * self.picture.side[0]
        return "left" if side > 0 else "right" if side < 0 else "none"

    @property
    def end_xy(self) -> Floats:
        """(2,) where the presser ends."""
        return self.picture.turned_back(self.decisions.end_xy)[0]

    @property
    def end_distance_m(self) -> float:
        """How far from the ball the presser ends."""
        return float(np.hypot(*(self.decisions.end_xy[0] - self.picture.focus[0])))

    @property
    def straight_on(self) -> bool:
        """The presser ends on the line from the ball to the goal, within 10 degrees, and so hides no side."""
        way, end = self.picture.goal_way[0], self.decisions.end_xy[0] - self.picture.focus[0]
        return float(way @ end) >= STRAIGHT_COSINE * float(np.hypot(*end))

    @cached_property
    def arrival_s(self) -> Floats:
        """(N,) time of each player to his spot: reaction, braking."""
        p, s = self.picture, self.picture.settings
        return p.own_running.at(0).braked_time(p.own[0], p.own_velocity[0], self.decisions.spot[0], s.reaction_s)

    def in_role(self, role: str) -> list[str]:
        """Numbers of those in a role, in the order of the sheet."""
        has = {self.picture.own_number(0, int(n)) for n in np.flatnonzero(self.decisions.role[0] == ROLES.index(role))}
        return [q.number for q in self.situation.pressing if q.number in has]

    # -- what stays open ---------------------------------------------------------------------------------------------

    @cached_property
    def after_runs(self) -> AfterRuns:
        """The picture once everybody stands at his spot (row 0), and as they stand now (row 1)."""
        p, d = self.picture, self.decisions
        return AfterRuns(p, d.but(spot=np.concatenate([d.spot, p.own]),
                                  end_xy=np.concatenate([d.end_xy, pick(p.own, d.presser)])))

    def _account(self, row: int) -> dict[str, str]:
        words = {self.picture.opp_number(0, m): ACCOUNTS[code] for m, code in enumerate(self.after_runs.account[row])}
        return {q.number: words[q.number] for q in self.situation.possession}

    @cached_property
    def account(self) -> dict[str, str]:
        """By opponent: what keeps him out of the game once the runs are made, or "free"."""
        return self._account(0)

    @cached_property
    def open_now(self) -> list[str]:
        """Numbers of the opponents whom nobody keeps out of the game as everybody stands now."""
        return [number for number, word in self._account(1).items() if word == "free"]

    @cached_property
    def lanes(self) -> Table:
        """Rows opponent, state, margin_s, closed_by: the next passes once the runs are made, most open first."""
        p, rows = self.picture, []
        for m in np.flatnonzero(p.opp_here[0] & ~p.is_holder[0]):
            margins = self.after_runs.margins[0, m]
            state = str(lane_state(margins.min()))
            rows.append({"opponent": p.opp_number(0, m), "state": state, "margin_s": round(float(margins.min()), 3),
                         "closed_by": None if state == "open" else p.own_number(0, margins.argmin())})
        return table_of(sorted(rows, key=lambda r: -r["margin_s"]))

    @cached_property
    def gaps(self) -> Table:
        """Rows between, width_m, limit_m, state, filled_by; most open first, empty ones last."""
        gaps, after, number = self.decisions.gaps, self.after_runs, partial(self.picture.own_number, 0)
        rows = [{"between": (number(gaps.left[0, g]), number(gaps.right[0, g])),
                 "width_m": round(float(gaps.width_m[0, g]), 2), "limit_m": round(float(gaps.limit_m[0, g]), 2),
                 "state": GAP_STATES[after.gap_state[0, g]], "filled_by": number(after.filled_by[0, g])}
                for g in np.flatnonzero(gaps.here[0])]
        return table_of(sorted(rows, key=lambda r: (r["state"] == "empty", r["limit_m"] - r["width_m"])))

    @cached_property
    def take_over(self) -> dict[str, tuple[str | None, float]]:
        """By way out: the next presser and his time in seconds; None and inf where nobody gets there."""
        who, times, number = self.decisions.take_over[0], self.decisions.take_over_s[0], self.picture.own_number
        return {way: (number(0, n), round(float(time), 2)) for way, n, time in zip(WAYS, who, times, strict=True)}

    @property
    def far_side_limit_m(self) -> float | None:
        """How far the far-side guard may stand from the far-side man; None if there is none."""
        limit = float(self.decisions.far_side_limit_m[0])
        return limit if np.isfinite(limit) else None

    @cached_property
    def danger(self) -> tuple[float, float]:
        """Before, and after 2 s of running to the spots (our own measure, grade D)."""
        p = self.picture
        before, after = danger(p, np.concatenate([p.own, after_running(p, self.decisions.spot)])).tolist()
        return before, after

    def confidence(self, copies: int = 64, error_m: float = 0.5, error_s: float = 0.2, seed: int = 0) -> Confidence:
        """How sure the plan is: in how many copies of the picture, measured a little wrong, the same is decided.

        `error_m` is the standard deviation of each coordinate of each player (broadcast tracking errs 0.5 m, P),
        `error_s` that of the moment at which each was seen, along his velocity.

        Examples
        --------
        >>> from pressinglib.roles.plan import plan_press
        >>> plan_press(Situation.line_up(ball_xy=(35, 12))).confidence().copies
        64
        """
        p = Picture(mismeasured(self.situation, copies, error_m, error_s, seed), self.rulebook.settings)
        d = decide(p, self.rulebook)
        role, now = sheet_order(p.own_order, d.role), sheet_order(self.picture.own_order, self.decisions.role)
        who = (p.own_number(f, n) or "nobody" for f, n in enumerate(d.presser))
        covers = float(((role == COVER) == (now == COVER)).all(1).mean())
        jobs = zip(p.frames.pressing_numbers, (role == now).mean(0).round(3).tolist(), strict=True)
        sides = (STEERS[int(side) + 1] for side in d.steer * p.side)
        return Confidence(len(p), _shares(who), _shares(sides), covers, dict(jobs))

    def mark(self, n: int) -> str | None:
        """Number of the opponent whom the n-th player of the picture is concerned with."""
        return cast(str | None, self.picture.opp_number(0, self.decisions.mark[0, n]))


SURE = 0.8  # less is said (D)
RIVAL = 0.2  # who is named beside the first is likelier (D)
Shares = dict[str, float]


@dataclass(frozen=True, repr=False)
class Confidence:
    """In which share of the copies the same was decided; `repr` says what is close.

    `presser` and `steer` hold shares by whoever presses ("nobody": none does), and by the side to which he steers;
    `covers` that with the same set of covers, `jobs` by number that in which he has the role of the plan.
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


def _rivals(shares: Shares) -> list[str]:
    """Who is likely, the likeliest first."""
    return [name for name, share in shares.items() if share > RIVAL]


def _shares(names: Iterable[str]) -> Shares:
    counted = Counter(names)
    return {name: count / counted.total() for name, count in counted.most_common()}


def mismeasured(situation: Situation, copies: int, error_m: float, error_s: float = 0.0, seed: int = 0) -> Frames:
    """Copies of a picture, measured a little wrong: each place by error_m a direction, each player early or late.

    Left and right are alike; the ball and whoever has it, or is about to, stay where they are.
    """
    many = Frames.of([situation]).take(np.zeros(as_whole(copies, "copies", 1, 10_000), int))
    errors = as_number(error_m, "error_m", low=0, high=10), as_number(error_s, "error_s", low=0, high=2)
    place, moment = (np.random.default_rng((as_whole(seed, "seed"), stream)) for stream in (99, 98))
    number, side = situation.on_ball or situation.receiver, 1.0 if situation.ball_xy[1] >= 0 else -1.0
    wrong: dict[str, Any] = {}
    for team in TEAMS:
        xy, velocity = (getattr(many, f"{team}_{what}") for what in ("xy", "velocity"))
        late = moment.normal(0.0, errors[1], (*xy.shape[:2], 1)) * velocity
        off = place.normal(0.0, errors[0], xy.shape) * (1.0, side)
        wrong[f"{team}_xy"] = many.pitch.inside(xy + off + late, -OUTSIDE_M)
    holder = many.possession_numbers.index(number) if number else -2
    if number:
        wrong["possession_xy"][:, holder] = many.possession_xy[:, holder]
    return replace(many, carrier=np.full(len(many), -1 if situation.receiver else holder), **wrong)
