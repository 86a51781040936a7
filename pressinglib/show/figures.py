"""Both teams and the ball, as marks."""

from __future__ import annotations

from math import cos, dist, hypot, radians, sin

from pressinglib.errors import PressingError
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.show.labels import Labels
from pressinglib.show.marks import XY, Area, Arrow, Line, Mark, Points, Token, as_points
from pressinglib.show.style import TOKEN_M

# -- Where a hand may put somebody: on the pitch or just off it, and not on top of another player.


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


# -- Both teams and the ball, as marks.


AT_FEET_M = 1.75  # a ball nearer to a player than this is shown at his rim, so that his number stays readable
SHORTEST_M = 0.9  # a shorter arrow is only a head
MOVED_M = 0.5
NOSE_M = 1.75  # outside the token, or it would lie below it


def players(situation: Situation, labels: Labels | None = None) -> tuple[Mark, ...]:
    """Tokens of the team in possession, the pressing team and the ball, in this order; how they move, if known.

    Examples
    --------
    >>> s = Situation.line_up(ball_xy=(30, 10))
    >>> [sum(m.style == style for m in players(s)) for style in ("pressing", "possession", "ball")]
    [11, 11, 1]
    """
    labels = labels or Labels()
    teams = [Token("players", team, p.xy, labels.shirt(team, p), p.number)
             for team in ("possession", "pressing") for p in situation.players(team)]
    moving = [mark for p in (*situation.possession, *situation.pressing) for mark in _moving(p)]
    return (*_travelling(situation), *moving, *teams, Token("players", "ball", shown_ball(situation), ""))


def ghosts(start: Situation, now: Situation, labels: Labels | None = None) -> tuple[Mark, ...]:
    """Where those were who have moved since the start of the work, and the ball; a dotted arrow to where they are.

    Examples
    --------
    >>> s = Situation.line_up(ball_xy=(30, 10))
    >>> [m.text() for m in ghosts(s, s.moved("pressing", "9", (0, 0)))][:1]
    ["start: token ghost pressing '9' ..."]
    >>> ghosts(s, s)
    ()
    """
    labels = labels or Labels()
    pairs = [(team, old, new.xy) for team in ("possession", "pressing") for new in now.players(team)
             for old in start.players(team) if old.number == new.number]
    moved = [(Token("start", f"ghost {team}", old.xy, labels.shirt(team, old), old.number), xy)
             for team, old, xy in pairs if dist(old.xy, xy) >= MOVED_M]
    ball = (Token("start", "ghost ball", shown_ball(start), ""), shown_ball(now))
    moved += [ball] if dist(start.ball_xy, now.ball_xy) >= MOVED_M else []
    ways = [short((ghost.xy, xy), TOKEN_M, TOKEN_M) for ghost, xy in moved]
    return (*(ghost for ghost, _ in moved), *(Arrow("start", "moved", way) for way in ways if way))


def shown_ball(situation: Situation) -> XY:
    """Where the ball is drawn: where it lies, but never on a player's number."""
    ball = situation.ball_xy
    away, nearest = min((dist(p.xy, ball), p.xy) for p in (*situation.possession, *situation.pressing))
    if away >= AT_FEET_M:
        return ball
    out = (ball[0] - nearest[0], ball[1] - nearest[1]) if away > 0.05 else (-1.0, 1.0 if nearest[1] >= 0 else -1.0)
    length = hypot(*out) / AT_FEET_M
    return nearest[0] + out[0] / length, nearest[1] + out[1] / length


def _moving(player: Player) -> list[Mark]:
    """Where he faces, and where he runs within the next second."""
    (x, y), (vx, vy) = player.xy, player.velocity
    marks: list[Mark] = []
    if player.facing_deg is not None:
        marks.append(Area("body", "facing", nose(player.xy, player.facing_deg, NOSE_M)))
    if hypot(vx, vy) > TOKEN_M:
        marks.append(Line("run", "running", ((x, y), (x + vx, y + vy))))
    return marks


def nose(xy: XY, facing_deg: float, out_m: float) -> Points:
    """A small triangle that points where a player faces, `out_m` from his middle."""
    c, s = cos(radians(facing_deg)), sin(radians(facing_deg))
    corners = ((out_m, -0.7), (out_m + 1.1, 0.0), (out_m, 0.7))
    return tuple((xy[0] + c * a - s * b, xy[1] + s * a + c * b) for a, b in corners)


def _travelling(situation: Situation) -> list[Mark]:
    if situation.receiver is None:
        return []
    end = situation.player("possession", situation.receiver).xy
    way = short((situation.ball_xy, end), 0.0, 1.3 * TOKEN_M)
    return [Arrow("ball", "pass", way)] if way else []


def short(ends: tuple[XY, XY], start_m: float, end_m: float) -> Points:
    """A straight way without its first and last metres; empty if next to nothing is left.

    Examples
    --------
    >>> short(((0, 0), (10, 0)), 2, 3), short(((0, 0), (1, 0)), 2, 3)
    (((2.0, 0.0), (7.0, 0.0)), ())
    """
    length = dist(*ends)
    if length < start_m + end_m + SHORTEST_M:
        return ()
    shares = (start_m / length, 1 - end_m / length)
    return as_points([a + share * (b - a) for a, b in zip(*ends, strict=True)] for share in shares)
