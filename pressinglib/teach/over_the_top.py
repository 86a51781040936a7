"""The ball over the top: where it comes down, and who is first there: runner, line or goalkeeper.

Own arithmetic (D) on the clocks of the rulebook: the ball of a switch, runners as they run, ours after their reaction.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import dist

import numpy as np

from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation
from pressinglib.field.slots import BACK
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.motion import arrival_time
from pressinglib.physics.offside import offside_line_m
from pressinglib.roles.settings import Settings
from pressinglib.teach.criteria import Criterion
from pressinglib.teach.stand import Stand
from pressinglib.teach.verdict import Finding

RUNNER, LINE, KEEPER = "runner", "line", "keeper"
BEHIND_M, LOFT_DEG = 12.0, 25.0  # how far behind the line it comes down, and how steep it is played (D)
ASIDE = 0.3  # of the ball's own distance from the middle


def line_x(situation: Situation) -> float:
    """Where the deepest of the back line stands."""
    return min(p.xy[0] for p in situation.pressing if p.line == BACK)


def landing(situation: Situation) -> XY:
    """Behind the line, inside the pitch, a little to the ball's side."""
    return max(line_x(situation) - BEHIND_M, 2.0 - situation.pitch.length_m / 2), ASIDE * situation.ball_xy[1]


def race_s(situation: Situation, settings: Settings) -> dict[str, float]:
    """Seconds to the landing place: the first runner who is onside, with the ball; the first of the line; the keeper.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> race = race_s(scene("worked scene"), Settings())
    >>> {name: round(time_s, 1) for name, time_s in race.items()}
    {'runner': 3.1, 'line': 2.5, 'keeper': 2.7}
    """
    place, limit_x = landing(situation), offside_line_m(situation)

    def first(players: Iterable[Player], reaction_s: float, reach_m: float) -> float:
        xy, velocity = np.array([(p.xy, p.velocity) for p in players]).swapaxes(0, 1)
        return float(arrival_time(xy, velocity, place, settings.alpha_per_s, settings.top_speed_mps, reaction_s,
                                  reach_m).min())

    runners = [p for p in situation.possession if p.xy[0] >= limit_x and p.number != situation.on_ball]
    ours = settings.reaction_s, settings.reach_m
    line = first((p for p in situation.pressing if p.line == BACK), *ours)
    keeper = first((p for p in situation.pressing if p.is_goalkeeper), *ours)
    ball_s = float(lofted_time(dist(place, situation.ball_xy), settings.switch_mps, LOFT_DEG))
    return {RUNNER: max(first(runners, 0.0, 0.0), ball_s), LINE: line, KEEPER: keeper}


def sweeps(number: str) -> Criterion:
    """He is at the ball over the top before the runner, standing where he stands."""
    def criterion(stand: Stand) -> Finding:
        times = race_s(stand.situation, stand.plan.rulebook.settings)
        early_s = times[RUNNER] - times[KEEPER]
        return Finding(early_s >= 0, f"{number} is {abs(early_s):.1f} s "
                       f"{'before' if early_s >= 0 else 'after'} the runner.")

    return criterion


def stays_home(number: str, room_m: float = 8.0) -> Criterion:
    """He keeps room to his own line, and the space behind it is his to sweep."""
    def criterion(stand: Stand) -> Finding:
        between_m = line_x(stand.situation) - stand.own(number)[0]
        return Finding(between_m >= room_m, f"{between_m:.0f} m between {number} and the line"
                       + ("." if between_m >= room_m else f": {room_m:.0f} m at least."))

    return criterion
