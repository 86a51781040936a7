"""What a pressing team could do in a picture: the method's answer and its rivals, as targets (F, N, 2)."""

from __future__ import annotations

import numpy as np

from pressinglib.field.frames import Frames
from pressinglib.roles.balance import block_reference
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.measures import least_total
from pressinglib.roles.picture import Floats, Picture, norm, unit
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook

MAN_M = 1.5  # who goes to a man ends this far goal-side of him
STAND, KEEP = "stand still", "keep running"
PLAN, SHIFT, NEAREST, MAN_FOR_MAN = "the plan", "block shift", "nearest opponent", "man-for-man"
MOVES = (PLAN, SHIFT, NEAREST, MAN_FOR_MAN, KEEP, STAND)


def planned(frames: Frames, rules: Rulebook | None = None) -> tuple[Picture, Decisions]:
    """The picture and what the method decides."""
    rules = rules or Rulebook()
    p = Picture(frames, rules.settings)
    return p, decide(p, rules)


def targets(p: Picture, d: Decisions) -> dict[str, Floats]:
    """By name, for all but keeping running. A goalkeeper of whom a rival says nothing goes where the plan puts him."""
    def with_keeper(xy: Floats) -> Floats:
        return np.where(p.outfield[..., None], xy, d.anchor)

    return {PLAN: d.spot, SHIFT: block_reference(p, np.zeros(p.line.shape, bool)),
            NEAREST: with_keeper(_nearest(p)), MAN_FOR_MAN: with_keeper(_man_for_man(p, d)), STAND: p.own}


def _men(p: Picture) -> Floats:
    """(F, M, 2) goal-side of each opponent."""
    return p.pitch.inside(p.opp + unit(p.goal - p.opp) * MAN_M, 0.5)


def _nearest(p: Picture) -> Floats:
    """Everyone to the opponent nearest to him, the carrier too, their goalkeeper not."""
    off = norm(p.own[:, :, None] - p.opp[:, None])
    off = np.where(p.opp_here[:, None] & ~p.opp_keeper[:, None], np.nan_to_num(off, nan=np.inf), np.inf)
    return np.take_along_axis(_men(p), off.argmin(-1)[..., None], 1)


def _man_for_man(p: Picture, d: Decisions) -> Floats:
    """Every outfield player one man, all runs together shortest (Kuhn 1955); who gets nobody keeps the block."""
    places = _men(p)
    cost = norm(p.own[:, :, None] - places[:, None])
    man = least_total(cost, p.outfield, p.opp_here & ~p.opp_keeper)
    spot = np.take_along_axis(places, np.maximum(man, 0)[..., None], 1)
    return np.where((man >= 0)[..., None], spot, block_reference(p, np.zeros(p.line.shape, bool)))
