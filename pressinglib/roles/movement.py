"""Two pictures of one play, a short time apart: what everybody did between them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pressinglib.field.situation import Team
from pressinglib.physics.braking import braking_distance
from pressinglib.roles.picture import Bools, Floats, norm, unit
from pressinglib.roles.standing import Mend, Standing


@dataclass(frozen=True, eq=False)
class Movement:
    """The picture `now` and, if there is one, the picture `seconds` before it.

    Arrays are in the order of `now` and turned to its side; NaN for who was not in the picture before.
    """

    now: Standing
    then: Standing | None
    seconds: float

    def mended(self, mend: Mend) -> Movement:
        """The same two pictures once a change is made in the later one."""
        changed = self.now.moved(mend.moves)
        return replace(self, now=Standing.of(changed, self.now.rulebook, self.now.trap))

    # -- where everybody was -------------------------------------------------------------------------------------

    @cached_property
    def own_then(self) -> Floats:
        """(N, 2) places of the pressing team in the picture before."""
        p = self.now.p
        return self._places("pressing", [p.own_number(0, n) for n in range(p.own.shape[1])])

    @cached_property
    def opp_then(self) -> Floats:
        """(M, 2) places of the opponents in the picture before."""
        p = self.now.p
        return self._places("possession", [p.opp_number(0, m) for m in range(p.opp.shape[1])])

    @property
    def ball_forward_m(self) -> float:
        """How far the ball has come towards our goal."""
        return 0.0 if self.then is None else self.then.situation.ball_xy[0] - self.now.situation.ball_xy[0]

    def _places(self, team: Team, numbers: list[str]) -> Floats:
        was = {} if self.then is None else {q.number: q.xy for q in self.then.situation.players(team)}
        side = float(self.now.p.side[0])
        return np.array([was.get(number, (np.nan, np.nan)) for number in numbers]) * (1.0, side)

    # -- how fast they are ---------------------------------------------------------------------------------------

    @cached_property
    def own_run(self) -> Floats:
        """(N, 2) m/s. A picture without velocities: what they are at least, by the way since the picture before."""
        return self._run(self.now.p.own_velocity[0], self.now.own - self.own_then)

    @cached_property
    def opp_run(self) -> Floats:
        """(M, 2) the same of the opponents."""
        return self._run(self.now.p.opp_velocity[0], self.now.opp - self.opp_then)

    def _run(self, velocity: Floats, way: Floats) -> Floats:
        """Who has run `way` has now at least his mean speed, less what full braking all the time takes off."""
        moving = np.nan_to_num(self.now.p.own_velocity).any() or np.nan_to_num(self.now.p.opp_velocity).any()
        if moving or self.then is None:
            return np.nan_to_num(velocity)
        mean_mps = norm(way) / self.seconds
        least_mps = np.maximum(mean_mps - self.now.p.settings.deceleration_mps2 * self.seconds / 2, 0.0)
        return np.nan_to_num(way / self.seconds * (least_mps / np.maximum(mean_mps, 1e-9))[:, None])

    @cached_property
    def closing_mps(self) -> Floats:
        """(N,) how fast each comes nearer to the ball at a carrier's feet, by his own run alone.

        A carrier who runs at somebody who stands is not dived at; one who is chased and not caught neither.
        """
        way = unit(self.now.ball - self.now.own)
        carrier = self.opp_run[int(self.now.p.carrier[0])]
        return np.minimum((self.own_run * way).sum(-1), ((self.own_run - carrier) * way).sum(-1))

    @cached_property
    def ends_m(self) -> Floats:
        """(N,) how far from the ball each ends if he brakes now; less than nothing for who runs past it."""
        brake_m = braking_distance(np.maximum(self.closing_mps, 0.0), self.now.p.settings.deceleration_mps2)
        return np.asarray(norm(self.now.own - self.now.ball) - brake_m)

    # -- lines ---------------------------------------------------------------------------------------------------

    def up_m(self, who: Bools) -> float:
        """How far some players of ours have gone up, towards the other goal, on the median; NaN for none."""
        way = (self.now.own - self.own_then)[who & np.isfinite(self.own_then[:, 0]), 0]
        return float(np.median(way)) if len(way) else float("nan")
