"""Where a hand may put somebody: on the pitch or just off it, and not on top of another player."""

from __future__ import annotations

from math import dist

from pressinglib.errors import PressingError
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import Situation
from pressinglib.show.marks import XY

BALL = ("ball", "")
NEAR_M, FAR_M = 0.5, 5.0  # a small step and a large one
ROOM_M = 0.5  # two bodies side by side (own choice)
TEAMS = {"pressing": "pressing", "possession": "in possession"}


def called(team: str, number: str) -> str:
    """A player, or the ball, in words.

    Examples
    --------
    >>> called("possession", "5"), called("ball", "")
    ('in possession 5', 'the ball')
    """
    return "the ball" if (team, number) == BALL else f"{TEAMS.get(team, team)} {number}"


def placed(situation: Situation, team: str, number: str, xy: XY) -> Situation:
    """The picture with a player, or the ball, put elsewhere by hand.

    Raises
    ------
    PressingError
        In plain words, if the place is off the pitch or taken.

    Examples
    --------
    >>> s = Situation.line_up(ball_xy=(35, 10))
    >>> placed(s, "pressing", "9", (20, 0)).player("pressing", "9").xy
    (20.0, 0.0)
    >>> placed(s, "pressing", "9", s.player("pressing", "10").xy)
    Traceback (most recent call last):
    pressinglib.errors.PressingError: Not there: pressing 10 stands where pressing 9 would. Leave 0.5 m between them.
    """
    if not situation.pitch.holds(xy, OUTSIDE_M):
        raise PressingError(f"Not there: {called(team, number)} would be off the pitch. "
                            f"At most {OUTSIDE_M:g} m beyond the lines.")
    if (team, number) == BALL:
        return situation.with_ball(xy)
    for side in TEAMS:
        for player in situation.players(side):
            if (side, player.number) != (team, number) and dist(player.xy, xy) < ROOM_M:
                raise PressingError(f"Not there: {called(side, player.number)} stands where {called(team, number)} "
                                    f"would. Leave {ROOM_M:g} m between them.")
    return situation.moved(team, number, xy)
