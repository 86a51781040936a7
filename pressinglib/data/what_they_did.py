"""What the rules say against what the players did: where each was sent, and where he was two seconds later."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.shares import Share
from pressinglib.data.tracking import Side
from pressinglib.roles.plan_frames import plan_frames
from pressinglib.roles.vocabulary import ROLES

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
LATER_S = 2.0  # the running after which spots are judged


@dataclass(frozen=True)
class Followed:
    """One role: medians of how far its spots were off, and how far two seconds later; how often he came nearer."""

    role: str
    asked_m: float
    left_m: float
    nearer: Share

    def __repr__(self) -> str:
        return f"{self.role}: {self.asked_m:.1f} m off, {self.left_m:.1f} m two seconds later; nearer {self.nearer}"


def what_they_did(plan: MatchPlan, later_s: float = LATER_S) -> list[Followed]:
    """For each role: how far the player was from his spot, and how far after a while.

    Parameters
    ----------
    plan : MatchPlan
    later_s : float
        Only moments after which the same side still presses so long are counted.

    Returns
    -------
    list of Followed
        In the order of the roles; those that nobody had are left out.

    Notes
    -----
    The spots are those for the ball as it was; meanwhile it has moved, and good players went with it. So to have come
    nearer is a hint that they ran as the rules say, and not to have come nearer is no fault (own measure, grade D).
    """
    parts = [_off(plan, k, side, whose, later_s) for k in range(len(plan.chunks)) for side, whose in SIDES]
    role, asked, left = (np.concatenate(values) for values in zip(*parts, strict=True))
    return [_followed(word, asked[role == code], left[role == code]) for code, word in enumerate(ROLES)
            if (role == code).any()]


def _followed(role: str, asked: Floats, left: Floats) -> Followed:
    return Followed(role, float(np.median(asked)), float(np.median(left)), Share(int((left < asked).sum()), len(left)))


def _off(plan: MatchPlan, chunk: int, side: Side, whose: int, later_s: float) -> tuple[Ints, Floats, Floats]:
    """Role, distance to the spot, and distance to the same spot later, one a player and moment."""
    rows, frames = plan.frames(plan.chunks[chunk], side)
    time, phase = plan.match.time_s, plan.chunks[chunk].phase
    then = np.searchsorted(time, time[rows] + later_s - 1e-6)
    fits = (then < phase.stop) & (plan.whose.team[np.minimum(then, len(time) - 1)] == whose)
    fits &= np.abs(time[np.minimum(then, len(time) - 1)] - time[rows] - later_s) < later_s / 4
    frames, then = frames.take(fits), then[fits]
    columns = plan_frames(frames, plan.rulebook)
    ours, turn = (plan.match.home, 1.0) if side == "home" else (plan.match.away, -1.0)
    asked = _length(columns["target_xy"] - frames.pressing_xy)
    left = _length(columns["target_xy"] - turn * ours.xy[then])
    known = (columns["role"] >= 0) & np.isfinite(left)
    return columns["role"][known], asked[known], left[known]


def _length(way: Floats) -> Floats:
    return np.asarray(np.hypot(way[..., 0], way[..., 1]))
