"""The plan in force: it follows the plan of each moment, but nobody changes his job for a blink of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, unit
from pressinglib.roles.vocabulary import BACK_LINE, NOBODY
from pressinglib.roles.vocabulary import GOALKEEPER as KEEPER

STANDS_S = 0.3  # a new job must stand for this long, unless the ball is played or the presser changes (D: a reaction)
GLIDE_MPS = 8.0  # a spot moves no faster than a man runs (D)


@dataclass(frozen=True, eq=False)
class Steady:
    """The plan in force, in the order of the sheets and the frame of the picture as it came."""

    time_s: float
    presser: int
    role: Ints  # (N,)
    duty: Ints
    mark: Ints
    spot: Floats  # (N, 2)
    anchor: Floats
    wish: Ints  # (N, 3) job that waits to be taken up
    wished_s: Floats  # (N,) since when


def in_force(p: Picture, d: Decisions, before: Steady | None, now_s: float, at_once: bool) -> tuple[Decisions, Steady]:
    """The decisions in force now, and what to remember; `at_once`: the ball was played, everything new counts."""
    new = _fresh(p, d, now_s)
    if before is None or at_once or new.presser != before.presser:
        return d, new
    job = np.stack([new.role, new.duty, new.mark], axis=-1)
    wished_s = np.where((job == before.wish).all(-1), before.wished_s, now_s)
    keeps = _other_job(new, before) & (now_s - wished_s < STANDS_S - 1e-9)
    spot = np.where(keeps[:, None], before.spot, _gliding(new.spot, before, new, now_s))
    role, duty, mark = np.where(keeps, np.stack([before.role, before.duty, before.mark]), job.T)
    anchor = np.where(keeps[:, None], before.anchor, new.anchor)
    steady = replace(new, role=role, duty=duty, mark=mark, anchor=anchor, spot=spot, wish=job, wished_s=wished_s)
    return _written(p, d, steady), steady


def _fresh(p: Picture, d: Decisions, now_s: float) -> Steady:
    """The decisions of this moment, read off."""
    own, opp = p.own_order[0], p.opp_order[0]
    back = np.argsort(own)
    mark = np.where(d.mark[0] >= 0, opp[np.maximum(d.mark[0], 0)], NOBODY)
    role, duty, mark = d.role[0, back], d.duty[0, back], mark[back]
    presser = int(d.presser[0])
    return Steady(now_s, NOBODY if presser < 0 else int(own[presser]), role, duty, mark, p.turned_back(d.spot)[0, back],
                  p.turned_back(d.anchor)[0, back], np.stack([role, duty, mark], axis=-1), np.full(len(own), now_s))


def _other_job(new: Steady, before: Steady) -> Bools:
    """(N,) whose job is another one; to hold, to drop and to step are one job of the line."""
    line = (new.role == BACK_LINE) & (before.role == BACK_LINE) | (new.role == KEEPER)
    other = (new.role != before.role) | (new.duty != before.duty) | (new.mark != before.mark)
    presser = np.arange(len(line)) == new.presser
    return np.asarray(other & ~line & ~presser)


def _gliding(spot: Floats, before: Steady, new: Steady, now_s: float) -> Floats:
    """Spots that move towards the new ones no faster than a man runs; a new job has its spot at once."""
    same = ~_other_job(new, before) & (np.arange(len(spot)) != new.presser)
    way = spot - before.spot
    most = GLIDE_MPS * (now_s - before.time_s)
    step = before.spot + unit(way) * np.minimum(norm(way), most)[:, None]
    return np.where(same[:, None], step, spot)


def _written(p: Picture, d: Decisions, steady: Steady) -> Decisions:
    """The decisions in the order of the picture again."""
    own, opp = p.own_order, p.opp_order[0]
    place = np.append(np.argsort(opp), NOBODY)
    mark = place[steady.mark]
    flip = np.array([1.0, p.side[0]])
    return replace(d, role=steady.role[own], duty=steady.duty[own], mark=mark[own], spot=steady.spot[own] * flip,
                   anchor=steady.anchor[own] * flip)
