"""The rules in their order: from a picture to what everybody does."""

from __future__ import annotations

import numpy as np

from pressinglib.roles.approach import kept_out
from pressinglib.roles.balance import far_man, find_gaps, limit_m
from pressinglib.roles.danger import danger
from pressinglib.roles.decisions import Decisions, Jobs, is_player, undecided
from pressinglib.roles.final_positions import after_running, spread, swapped
from pressinglib.roles.marking import short_options
from pressinglib.roles.picture import Floats, Picture
from pressinglib.roles.presser import take_over, way_times
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import BACK_LINE, BALANCE, CONTAIN, COVER, LATE, PRESS, PRESSURE, STEP_OUT
from pressinglib.roles.settings import GOALKEEPER as KEEPER


def decide(p: Picture, rules: Rulebook) -> Decisions:
    """All decisions for the pictures, one rule after another."""
    d = undecided(p)
    d.way_s = way_times(p)
    d.presser = rules.choose_presser(p, d)
    d.timing = rules.choose_timing(p, d)
    d.steer = rules.choose_steer(p, d)
    d.end_xy = rules.place_presser(p, d)
    d.take_over, d.take_over_s = take_over(p, d)
    d.give(_pressing(p, d), PRESSURE)
    d.options = short_options(p, d)
    d.far_man = far_man(p, d.mark)
    d.far_side_limit_m = limit_m(p, d.far_man)
    d.give(rules.choose_covers(p, d), COVER)
    d.gaps = find_gaps(p, d)
    d.give(rules.choose_balance(p, d), BALANCE)
    d.give(rules.choose_back_line(p, d), BACK_LINE)
    _place(p, d, rules)
    return d


def _pressing(p: Picture, d: Decisions) -> Jobs:
    """The presser's job, in the form of everybody's."""
    who = is_player(d.presser, p.line.shape[1])
    duty = np.where(d.timing == LATE, CONTAIN, PRESS)[:, None]
    duty = np.where(p.back & ~p.front & (duty == PRESS), STEP_OUT, duty)
    mark = np.where(who, p.holder[:, None], -1)
    return Jobs(who, duty, mark, np.broadcast_to(d.end_xy[:, None], p.own.shape))


def _place(p: Picture, d: Decisions, rules: Rulebook) -> None:
    """Anchors made free of collisions and crossing runs; an own rule's spots are set apart as well."""
    keeper = (d.role == KEEPER) & p.own_here
    d.anchor = np.where(keeper[..., None], rules.place_goalkeeper(p, d)[:, None], d.anchor)
    swapped(p, d)
    d.anchor = kept_out(p, d.anchor)
    d.anchor = spread(p, d.anchor, d.role)
    d.spot = d.anchor
    d.spot = spread(p, rules.settle_spots(p, d), d.role)


def dangers(p: Picture, d: Decisions) -> tuple[Floats, Floats]:
    """(F,) danger with everybody standing where he is, and after 2 s of running to the spots."""
    return danger(p, p.own), danger(p, after_running(p, d.spot[:, :, None])[:, :, 0])
