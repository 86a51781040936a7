"""Small rules of one situation, as an analyst writes them: examples to read, to break and to set beside the stock."""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation


def the_nearest(situation: Situation) -> str:
    """The outfield player nearest to the ball goes, whatever his line and whichever side of the ball he is on.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> the_nearest(scene("behind the midfield"))
    '8'
    """
    return _nearest([p for p in situation.pressing if not p.is_goalkeeper], situation)


def the_nearest_goal_side(situation: Situation) -> str:
    """The nearest of those who are nearer to our goal line than the ball; of all, where nobody is.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> the_nearest_goal_side(scene("behind the midfield"))
    '4'
    """
    outfield = [p for p in situation.pressing if not p.is_goalkeeper]
    return _nearest([p for p in outfield if p.xy[0] < situation.ball_xy[0]] or outfield, situation)


def _nearest(players: Sequence[Player], situation: Situation) -> str:
    """Of two who are equally near the one with the lower number, so that the order of the sheet does not matter."""
    return min(players, key=lambda p: (round(dist(p.xy, situation.ball_xy), 6), p.number)).number


def the_last_listed(situation: Situation) -> str:
    """Whoever stands last on the sheet goes: a rule that depends on the order of the sheet, and so on no football."""
    return situation.pressing[-1].number


def always_inside(situation: Situation) -> str:
    """Steer towards the middle of the pitch.

    Examples
    --------
    >>> always_inside(Situation.line_up(ball_xy=(30, 10))), always_inside(Situation.line_up(ball_xy=(30, -10)))
    ('right', 'left')
    """
    return "right" if situation.ball_xy[1] > 0 else "left"


def always_outside(situation: Situation) -> str:
    """Steer towards the touchline."""
    return "left" if situation.ball_xy[1] > 0 else "right"
