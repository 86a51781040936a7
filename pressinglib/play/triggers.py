"""Triggers: moments in which theirs cannot play forward at once, so that a team that waits may go (common practice)."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, dist, hypot, radians, sin, tan

from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation
from pressinglib.roles.settings import Settings

TRIGGERS = ("heavy touch", "back pass", "slow square pass", "receiver facing own goal", "ball to the full-back",
            "lofted ball")
TOUCH_M = 6.0  # a loose ball this near to one of theirs was his (D)
BACK_M = 3.0  # a pass is back or forward if it goes this far (D)
SQUARE_DEG = 30.0  # off the line across the pitch (D)
SQUARE_FROM_M = 8.0
SLOW_MPS = 13.0  # a pass slower than this (D: the usual one is 15)
TURNED_AWAY_DEG = 100.0
ON_HIM_M = 6.0  # one of us is this near behind a receiver who has his back to us (D)
IN_THE_AIR_M = 2.0
RUNS_MPS = 2.0  # who runs this fast looks where he runs (D)
LAST_LINE = 4  # so many of theirs, the goalkeeper left out, are their last line (P)


def find_triggers(situation: Situation, settings: Settings | None = None) -> tuple[str, ...]:
    """The triggers in one picture, read from places and velocities (thresholds are grade D, the list common practice).

    Parameters
    ----------
    situation : Situation
    settings : Settings, optional
        For the width of the wing.

    Returns
    -------
    tuple of str
        Some of `TRIGGERS`, in their order.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> from dataclasses import replace
    >>> s = Situation.line_up(ball_xy=(20, 10))
    >>> find_triggers(replace(s, carrier=None, receiver="1", ball_velocity=(12, -4)))
    ('back pass',)
    >>> find_triggers(s)
    ()
    """
    if not isinstance(situation, Situation):
        raise BadInput("picture", expected="a Situation", got=type(situation).__name__, todo="make one: Situation(...)")
    s = Settings() if settings is None else settings
    if situation.receiver is None:
        return ("heavy touch",) if _got_away(situation) else ()
    him = situation.player("possession", situation.receiver)
    seen = {"back pass": him.xy[0] > situation.ball_xy[0] + BACK_M and situation.ball_velocity[0] > 0,
            "slow square pass": _slow_square(situation, him), "receiver facing own goal": _back_to_us(situation, him),
            "ball to the full-back": _to_full_back(situation, him, s),
            "lofted ball": situation.ball_height_m > IN_THE_AIR_M}
    return tuple(name for name in TRIGGERS if seen.get(name))


def checked_triggers(names: Sequence[str]) -> tuple[str, ...]:
    """The names, or UnknownName for one that is no trigger."""
    if isinstance(names, str) or not isinstance(names, Sequence):
        raise BadInput("triggers", expected="a list of names", got=repr(names), todo="put them in brackets")
    for name in names:
        if name not in TRIGGERS:
            raise UnknownName("trigger", name, TRIGGERS)
    return tuple(names)


def _got_away(situation: Situation) -> bool:
    """The ball is loose and still nearest to one of theirs."""
    ours, theirs = (min(dist(q.xy, situation.ball_xy) for q in team)
                    for team in (situation.pressing, situation.possession))
    return situation.state == "loose" and theirs <= min(ours, TOUCH_M)


def _slow_square(situation: Situation, him: Player) -> bool:
    """Across the pitch, along the ground, and slow enough to be run down."""
    dx, dy = him.xy[0] - situation.ball_xy[0], him.xy[1] - situation.ball_xy[1]
    square = abs(dx) <= abs(dy) * tan(radians(SQUARE_DEG)) and abs(dy) >= SQUARE_FROM_M
    return square and 0 < hypot(*situation.ball_velocity) <= SLOW_MPS and situation.ball_height_m <= IN_THE_AIR_M


def _back_to_us(situation: Situation, him: Player) -> bool:
    """Turned away from our goal, with one of us close behind him."""
    goal = situation.pitch.own_goal_xy
    (dx, dy), (look_x, look_y) = (goal[0] - him.xy[0], goal[1] - him.xy[1]), _looks(situation, him)
    cosine = (dx * look_x + dy * look_y) / max(hypot(dx, dy) * hypot(look_x, look_y), 1e-9)
    behind = [q for q in situation.pressing if not q.is_goalkeeper and dist(q.xy, him.xy) <= ON_HIM_M
              and dist(q.xy, goal) < dist(him.xy, goal)]
    return cosine < cos(radians(TURNED_AWAY_DEG)) and bool(behind)


def _looks(situation: Situation, him: Player) -> XY:
    """Where he looks: as known, else the way he runs, else at the ball that comes."""
    if him.facing_deg is not None:
        return cos(radians(him.facing_deg)), sin(radians(him.facing_deg))
    if hypot(*him.velocity) > RUNS_MPS:
        return him.velocity
    return situation.ball_xy[0] - him.xy[0], situation.ball_xy[1] - him.xy[1]


def _to_full_back(situation: Situation, him: Player, s: Settings) -> bool:
    """To one of their four deepest, near a touchline, from further inside."""
    deepest = sorted((q.xy[0] for q in situation.possession if not q.is_goalkeeper), reverse=True)[:LAST_LINE]
    wide = situation.pitch.width_m / 2 - abs(him.xy[1]) <= s.touchline_m
    return wide and him.xy[0] >= deepest[-1] and abs(him.xy[1]) > abs(situation.ball_xy[1]) + BACK_M
