"""The rules in their order, from a picture to what everybody does; spots do not collide, crossing runs are swapped."""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import Pitch
from pressinglib.roles.approach import kept_out
from pressinglib.roles.balance import far_man, find_gaps, limit_m
from pressinglib.roles.decisions import Decisions, Jobs, is_player, undecided
from pressinglib.roles.marking import short_options
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, turned
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


# -- Spots apart, and runs that do not cross.

APART_M, AT_BALL_M = 2.5, 2.0  # between two spots; between two at the ball
A_LITTLE_M = 0.02  # more, so that rounding does not matter
RINGS_M = np.array([0.0, 0.7, 1.4, 2.1, 3.0, 4.2, 6.0, 9.0, 13.0])
PUSH_DIRECTIONS = 12
SWAPS = 6
WORTH_A_SWAP_M = 1.0  # less is not worth changing places for (D)
# Whose spot stands and whose gives way: presser, covers, balance, back line, goalkeeper.
ORDER_OF_ROLE = np.array([0, 2, 3, 1, 4])


def around_m(directions: int) -> Floats:
    """(directions, 2) points 1 m around a place, the first towards the own goal."""
    angles = np.arange(directions) * 2 * np.pi / directions
    return turned(np.broadcast_to(np.array([-1.0, 0.0]), (directions, 2)), angles)


def spread(p: Picture, spot: Floats, role: Ints) -> Floats:
    """Spots (F, N, 2) moved as little as possible until all are 2.5 m apart, 2 m at the ball, and on the pitch."""
    spot = p.pitch.inside(np.where(p.own_here[..., None], spot, np.nan))
    crowded = too_near(spot, p.focus).any((1, 2))
    if crowded.any():
        spot = spot.copy()
        spot[crowded] = _placed_in_turn(p.pitch, p.focus[crowded], spot[crowded], role[crowded])
    return spot


def too_near(spot: Floats, focus: Floats) -> Bools:
    """(F, N, N) pairs of different players whose spots are less than 2.5 m apart, at the ball 2 m."""
    near = _room_m(focus, spot, spot) < 0
    return np.asarray(near & ~np.eye(spot.shape[1], dtype=bool))


def _room_m(focus: Floats, some: Floats, others: Floats) -> Floats:
    """(F, n, m) how much further apart than they must be are places (F, n, 2) and (F, m, 2); inf for who is not there.
    """
    at_ball = [norm(xy - focus[:, None]) <= APART_M for xy in (some, others)]
    least = np.where(at_ball[0][:, :, None] & at_ball[1][:, None], AT_BALL_M, APART_M)
    return np.nan_to_num(norm(some[:, :, None] - others[:, None]) - least, nan=np.inf)


def _placed_in_turn(pitch: Pitch, focus: Floats, spot: Floats, role: Ints) -> Floats:
    """Each player, the most important first, takes the place nearest to his spot that is still free."""
    frames, players = spot.shape[:2]
    order = np.argsort(ORDER_OF_ROLE[role], axis=1, kind="stable")
    offsets = (RINGS_M[:, None, None] * around_m(PUSH_DIRECTIONS)).reshape(-1, 2)
    out, rows = np.full_like(spot, np.nan), np.arange(frames)
    for k in range(players):
        who = order[:, k]
        tries = pitch.inside(spot[rows, who][:, None] + offsets)
        room = _room_m(focus, tries, out).min(-1)
        moved = norm(tries - spot[rows, who][:, None])
        cost = np.where(room >= A_LITTLE_M, moved, 1e3 - room)
        out[rows, who] = tries[rows, np.nan_to_num(cost, nan=0.0).argmin(1)]
    return out


def swapped(p: Picture, d: Decisions) -> None:
    """Two covers or balance players swap men where both together run less, and neither further than either before.

    Runs that cross always get shorter by a swap, so none are left but where somebody would run too far.
    """
    for _ in range(SWAPS):
        a, b, frames = _best_swap(p, d)
        if not len(frames):
            return
        for array in (d.role, d.duty, d.mark, d.anchor):
            array[frames, a], array[frames, b] = array[frames, b].copy(), array[frames, a].copy()


def _best_swap(p: Picture, d: Decisions) -> tuple[Ints, Ints, Ints]:
    """One pair a frame: indices a, b and the frames in which a swap is worth it."""
    movable = ((d.role == COVER) | (d.role == BALANCE)) & ~p.back & (d.mark >= 0) & ~d.by_own_rule
    pair = movable[:, :, None] & movable[:, None] & np.triu(np.ones((p.line.shape[1],) * 2, bool), 1)
    run, cross = norm(p.own - d.anchor), norm(p.own[:, :, None] - d.anchor[:, None])
    saved = run[:, :, None] + run[:, None] - cross - cross.swapaxes(1, 2)
    longest = np.maximum(cross, cross.swapaxes(1, 2)) - np.maximum(run[:, :, None], run[:, None])
    saved = np.where(pair & (longest <= 0.0), saved, 0.0)
    best = saved.reshape(len(saved), -1)
    frames = np.flatnonzero(best.max(1, initial=0.0) > WORTH_A_SWAP_M)
    a, b = np.unravel_index(best[frames].argmax(1), saved.shape[1:])
    return a, b, frames
