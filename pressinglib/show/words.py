"""What a picture without a plan says, in one true line; a plan brings its own words."""

from __future__ import annotations

from math import dist

from pressinglib.field.pitch import corridor, third
from pressinglib.field.situation import Situation

THIRDS = ("own third", "middle third", "attacking third")
CORRIDORS = ("right wing", "right half-space", "centre", "left half-space", "left wing")


def situation_title(situation: Situation) -> str:
    """Who has the ball, and where.

    Examples
    --------
    >>> situation_title(Situation.line_up(ball_xy=(30, 0)).with_ball((0, 0)))
    'Loose ball, middle third, centre'
    """
    return f"{_ball(situation)}, {_place(situation)}"


def _ball(situation: Situation) -> str:
    if situation.restart is not None:
        return situation.restart.capitalize()
    if situation.receiver is not None:
        return f"Ball on its way to their {situation.receiver}"
    if situation.on_ball is not None:
        return f"Their {situation.on_ball} on the ball"
    return "Ball won" if situation.state == "won" else "Loose ball"


def _place(situation: Situation) -> str:
    pitch, (x, y) = situation.pitch, situation.ball_xy
    return f"{THIRDS[int(third(pitch, x))]}, {CORRIDORS[int(corridor(pitch, y))]}"


def situation_words(situation: Situation) -> str:
    """The picture without a plan: ball, numbers of players, and who is nearest to the ball."""
    nearest = min(situation.pressing, key=lambda p: (dist(p.xy, situation.ball_xy), p.number))
    away = dist(nearest.xy, situation.ball_xy)
    return (f"{situation_title(situation)}; {len(situation.pressing)} against {len(situation.possession)}; "
            f"nearest of the pressing team: {nearest.number}, {away:.1f} m from the ball")
