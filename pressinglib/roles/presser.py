"""Who presses, and whether he gets there in time."""

from __future__ import annotations

import numpy as np

from pressinglib.physics.ball import ball_time
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.picture import Bools, Floats, Ints, Picture, norm, pick
from pressinglib.roles.vocabulary import GOAL_KICK, HOLD, IN_TIME, KEEPER_HOLDS, LATE, NOBODY, WON

TIE_S = 1e-7  # goal-side goes first where two are equal
FRONT_LEAD_S = 0.3  # a front player who is this close to the first is taken (D)
METRES_LOWER = 10.0  # line of confrontation for each man short (D)
HIGH_SHORT_X = 45.0  # a high press with one man short confronts at x = 35 (D)


def choose_presser(p: Picture, d: Decisions) -> Ints:
    """The first to where the carrier (or receiver) will be, midfield and attack before the back line; (F,) index.

    A back-line player steps out only where no midfielder or forward is goal-side of the ball, or the back line gets
    there earlier by more than the setting `step_out_s`. Common practice; in open match data half of the duels are
    engaged by back-line players, so this is a teaching preference.
    """
    time = np.where(p.outfield, p.own_arrival(p.focus[:, None]) - TIE_S * p.goal_side, np.inf)
    best = np.where(eligible(p, time), time, np.inf)
    nobody = (p.state == WON) | ~np.isfinite(best.min(1)) | beyond_confrontation(p)
    return np.where(nobody, NOBODY, best.argmin(1))


def eligible(p: Picture, time: Floats) -> Bools:
    """(F, N) who may press, given everyone's time to the ball."""
    if p.settings.pressers == "anyone":
        return p.outfield
    first, front = time.min(1, keepdims=True), p.front
    near_enough = time <= first + np.where(p.goal_side, p.settings.step_out_s, FRONT_LEAD_S)
    front_goes = (front & near_enough).any(1, keepdims=True)
    return np.where(front_goes, front, p.outfield)


def confrontation_x(p: Picture) -> Floats:
    """(F,) where pressing begins; 10 m lower for each man short."""
    line, short = p.settings.confrontation_x_m, p.men_short
    if line is None:
        return np.where(short > 0, HIGH_SHORT_X - METRES_LOWER * short, np.inf)
    return line - METRES_LOWER * short


def beyond_confrontation(p: Picture) -> Bools:
    """(F,) the ball is further from our goal than the line of confrontation."""
    return p.focus[:, 0] > confrontation_x(p)


def choose_timing(p: Picture, d: Decisions) -> Ints:
    """In time, late or hold; (F,) code.

    While a pass travels he must arrive (0.3 s reaction, braking left out) no later than the receiver's first touch. With
    the ball at a carrier's feet he is in time if he can get into the carrier's straight way to goal within the setting
    `in_time_s`: own definition, grade D.
    """
    s = p.settings
    time = pick(p.own_arrival(p.focus[:, None], s.reaction_s, s.end_distance_m), d.presser)
    pass_s = ball_time(norm(p.origin - p.ball), s.ball_mps) + s.control_time_s
    in_time = np.where(p.receiver >= 0, time <= pass_s, pick(d.way_s[..., 1], d.presser) <= s.in_time_s)
    hold = (d.presser < 0) | np.isin(p.state, (GOAL_KICK, KEEPER_HOLDS))
    return np.where(hold, HOLD, np.where(in_time, IN_TIME, LATE))
