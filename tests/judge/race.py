"""The judge: another model than the one the method works with says how dangerous a picture has become.

    judged danger = sum over receivers of worth(place) * attackers' share of control at that place

All players have moved for some seconds, attackers with their velocity in a straight line (on the pitch), the ball with
its holder. Then the ball is played to the place of each attacker who is not offside (Law 11), along the ground up to
25 m, beyond that lofted. Who gets it is the race of Spearman 2018 (grade A): rate 3.99 /s, spread 0.54 s, defenders
1.72 times as quick to settle it; everybody runs by drive minus drag after 0.3 s of reaction. Worth is that of the
method, 0.05 + 0.9 exp(-distance to goal / 25 m) (grade D). Lanes, shadows and the pressure on the ball count for
nothing here: that is what makes it another model, and also what it does not see.
"""

from __future__ import annotations

import numpy as np

from pressinglib.field.pitch import Pitch
from pressinglib.physics.ball import ball_time, lofted_time
from pressinglib.physics.lanes import offside_line_x
from pressinglib.physics.motion import RUNNING
from pressinglib.physics.pitch_control import control_shares
from pressinglib.roles.measures import worth
from pressinglib.roles.picture import Floats, Picture, norm, pick

REACTION_S = 0.3
LOFT_FROM_M = 25.0
SHORT_S = 0.05


def run(p: Picture, target: Floats, time_s: float) -> tuple[Floats, Floats]:
    """Places and velocities (F, N, 2) of the pressing team after running for its targets."""
    places, before = (
        RUNNING.reached_xy(p.own, p.own_velocity, target, t, reaction_s=REACTION_S) for t in (time_s, time_s - SHORT_S))
    return places, (places - before) / SHORT_S


def drifted(pitch: Pitch, xy: Floats, velocity: Floats, time_s: float) -> Floats:
    """Places after keeping the velocity, on the pitch."""
    return pitch.inside(xy + velocity * time_s)


def judged_danger(p: Picture, places: Floats, velocity: Floats, time_s: float) -> Floats:
    """(F,) judged danger with the pressing team at places (F, N, 2), moving with velocity."""
    opp = drifted(p.pitch, p.opp, p.opp_velocity, time_s)
    start = _ball(p, opp)
    counts = p.opp_here & ~p.is_holder & ~_offside(p, places, opp, start)
    length = norm(opp - start[:, None])
    ball_s = np.where(length > LOFT_FROM_M, lofted_time(length), ball_time(length))
    attack = np.where(counts[:, None], _times(opp, p.opp_velocity, opp), np.inf)
    defence = _times(places, velocity, opp)
    share = control_shares(attack, defence, np.where(counts, ball_s, 0.0))[0]
    return np.where(counts, share * worth(p, opp), 0.0).sum(1)


def _ball(p: Picture, opp: Floats) -> Floats:
    """(F, 2) the ball has gone with its holder; a loose one lies where it was."""
    return np.where((p.holder >= 0)[:, None], pick(opp, p.holder), p.ball)


def _offside(p: Picture, places: Floats, opp: Floats, ball: Floats) -> Floats:
    line = offside_line_x(places[..., 0], ball[:, 0], -p.pitch.length_m / 2)
    return (opp[..., 0] < line[:, None] - 1e-9) & ~np.isin(p.state, (3, 4))[:, None]


def _times(xy: Floats, velocity: Floats, to: Floats) -> Floats:
    """(F, R, N) arrival times of players at the places (F, R, 2); inf where absent."""
    time = RUNNING.time(xy[:, None], velocity[:, None], to[:, :, None], reaction_s=REACTION_S)
    return np.where(np.isnan(time), np.inf, time)
