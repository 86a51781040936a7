"""The picture: two teams, a ball, and who has it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from math import dist, hypot
from typing import Any, Literal

from pressinglib.errors import BadInput, as_a, as_items, as_known, as_number, as_xy
from pressinglib.field.build_up import build_up_xy
from pressinglib.field.formations import formation_slots, slot_numbers
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.field.player import XY, Player, plain
from pressinglib.field.zonal_block import lined_up_xy

Team = Literal["pressing", "possession"]
TEAMS: tuple[Team, Team] = ("pressing", "possession")
CONTROL_M = 1.5  # who is within this distance has the ball (own choice)
PASSER_M = 5.0  # a carrier further from the ball than this is a mistake
RESTARTS = ("throw-in", "goal kick", "keeper holds")
TEAM_SIZE = 11
HIGHEST_M = 100.0
BALL_TOP_MPS = 60.0  # no ball is kicked faster: a value above is a unit mistake (D)


@dataclass(frozen=True)
class Situation:
    """One moment, checked and frozen. The pressing team defends the goal at x = -length/2.

    Parameters
    ----------
    pitch : Pitch
    pressing, possession : tuple of Player
        1-11 players each, numbers unique in a team, at most one goalkeeper a team, at most 3 m off the pitch.
    ball_xy : tuple of float
    carrier : str, optional
        Number of the opponent on the ball. Default: the nearest within 1.5 m, unless a presser is nearer.
    receiver : str, optional
        Number of the opponent to whom the ball is travelling.
    ball_velocity : tuple of float
        m/s.
    ball_height_m : float
    restart : str, optional
        "throw-in", "goal kick" or "keeper holds".

    >>> s = Situation.line_up(pressing="4-2-3-1", possession="4-3-3", ball_xy=(30, 10))
    >>> s.mirrored().ball_xy, s.with_ball((0, 0)).state
    ((30.0, -10.0), 'loose')
    >>> s.moved("pressing", "99", (0, 0))
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: player: expected one of ...
    """

    pitch: Pitch
    pressing: tuple[Player, ...]
    possession: tuple[Player, ...]
    ball_xy: XY
    carrier: str | None = None
    receiver: str | None = None
    ball_velocity: XY = (0.0, 0.0)
    ball_height_m: float = 0.0
    restart: str | None = None

    def __post_init__(self) -> None:
        as_a(self.pitch, Pitch, "pitch", "use Pitch()")
        for team in TEAMS:
            object.__setattr__(self, team, self._checked_team(team, getattr(self, team)))
        self._check_ball()
        for number in (self.carrier, self.receiver):
            if number is not None:
                self.player("possession", number)
        if self.carrier is not None and self.receiver is None:
            away = dist(self.player("possession", self.carrier).xy, self.ball_xy)
            if away > PASSER_M:
                raise BadInput(f"carrier {self.carrier}", expected=f"within {PASSER_M:g} m of the ball",
                               got=f"{away:.1f} m", todo="move the ball to him, or leave the carrier out")

    def _checked_team(self, team: Team, players: Iterable[Player]) -> tuple[Player, ...]:
        what = f"{team} team"
        players = as_items(players, Player, what, f"1-{TEAM_SIZE} players", "give a tuple of Player", 1, TEAM_SIZE)
        numbers = [p.number for p in players]
        if len(set(numbers)) < len(numbers):
            raise BadInput(what, expected="each number once", got=", ".join(numbers), todo="renumber")
        if sum(p.is_goalkeeper for p in players) > 1:
            raise BadInput(what, expected="at most one goalkeeper", got="more", todo="change a slot")
        for p in players:
            self._check_place(p.xy, f"place of {team} {p.number}")
        return players

    def _check_place(self, xy: XY, what: str) -> None:
        if not self.pitch.holds(xy, OUTSIDE_M):
            half_x, half_y = (c + OUTSIDE_M for c in self.pitch.corner_xy)
            raise BadInput(what, expected=f"x within +-{half_x:g} and y within +-{half_y:g}",
                           got=f"({xy[0]:g}, {xy[1]:g})", todo="put it on the pitch (at most 3 m off)")

    def _check_ball(self) -> None:
        object.__setattr__(self, "ball_xy", as_xy(self.ball_xy, "ball"))
        self._check_place(self.ball_xy, "ball")
        object.__setattr__(self, "ball_velocity", as_xy(self.ball_velocity, "ball velocity"))
        as_number(round(hypot(*self.ball_velocity), 6), "speed of the ball in m/s", high=BALL_TOP_MPS)
        height_m = as_number(self.ball_height_m, "ball height in m", low=0, high=HIGHEST_M)
        object.__setattr__(self, "ball_height_m", height_m)
        if self.restart is not None:
            as_known(self.restart, RESTARTS, "restart", "for corners and free kicks there is no plan: open play only")


    def __repr__(self) -> str:
        number = self.on_ball or self.receiver
        who = f", {'at' if self.on_ball else 'on its way to'} their {number}" if number else ""
        lines = [f"Situation: {self.state}, ball at {_place(self.ball_xy)}{who}"]
        for team in TEAMS:
            players = [f"{p.number} {_place(p.xy)}" for p in self.players(team)]
            lines += [f"{team}: {', '.join(players[:6])}", *(f"  {', '.join(part)}" for part in [players[6:]] if part)]
        return "\n".join(lines)

    # -- reading -------------------------------------------------------------------------------------------------

    def players(self, team: Team) -> tuple[Player, ...]:
        """The players of "pressing" or "possession"."""
        as_known(team, TEAMS, "team", "use one of the two")
        return self.pressing if team == "pressing" else self.possession

    def player(self, team: Team, number: str) -> Player:
        """The player with this number, or BadInput that lists the numbers."""
        players = {p.number: p for p in self.players(team)}
        return players[as_known(number, players, "player", f"use a number of the {team} team")]

    @property
    def on_ball(self) -> str | None:
        """Number of the opponent who has the ball: the carrier given, else the nearest within 1.5 m."""
        if self.carrier is not None:
            return self.carrier if self.receiver is None else None
        away, number = self._nearest("possession")
        has_it = self.receiver is None and away <= min(CONTROL_M, self._nearest("pressing")[0])
        return number if has_it else None

    @property
    def state(self) -> str:
        """ "open play", "loose", "won" or the restart."""
        if self.restart is not None:
            return self.restart
        if self.on_ball is not None or self.receiver is not None:
            return "open play"
        return "won" if self._nearest("pressing")[0] <= CONTROL_M else "loose"

    def _nearest(self, team: Team) -> tuple[float, str]:
        return min((dist(p.xy, self.ball_xy), p.number) for p in self.players(team))

    # -- other pictures ------------------------------------------------------------------------------------------

    def moved(self, team: Team, number: str, xy: XY) -> Situation:
        """The picture with one player elsewhere; the carrier takes the ball along."""
        mover, to = self.player(team, number), as_xy(xy, f"place of {team} {number}")
        players = tuple(p.at(to) if p is mover else p for p in self.players(team))
        changes: dict[str, Any] = {team: players}
        if team == "possession" and number == self.on_ball:
            changes["ball_xy"] = tuple(b + n - o for b, n, o in zip(self.ball_xy, to, mover.xy, strict=True))
            changes["restart"] = self._restart_at(changes["ball_xy"])
        return replace(self, **changes)

    def with_ball(self, xy: XY, carrier: str | None = None) -> Situation:
        """The picture with the ball lying elsewhere, in play; dropped within 1.5 m of an opponent it is his."""
        ball = as_xy(xy, "ball")
        away, nearest = min((dist(p.xy, ball), p.number) for p in self.possession)
        if carrier is None and away <= CONTROL_M:
            carrier = nearest
        return replace(self, ball_xy=ball, carrier=carrier, receiver=None, ball_velocity=(0.0, 0.0), ball_height_m=0.0,
                       restart=self._restart_at(ball))

    def _restart_at(self, ball_xy: XY) -> str | None:
        """A throw-in stays one along the touchline; any other restart is over once the ball is elsewhere."""
        along = self.restart == "throw-in" and abs(ball_xy[1]) >= self.pitch.width_m / 2 - CONTROL_M
        return self.restart if along or ball_xy == self.ball_xy else None

    def mirrored(self) -> Situation:
        """Left and right swapped: numbers stay, slots change sides."""
        return replace(self, pressing=tuple(p.mirrored() for p in self.pressing),
                       possession=tuple(p.mirrored() for p in self.possession),
                       ball_xy=(self.ball_xy[0], -self.ball_xy[1]),
                       ball_velocity=(self.ball_velocity[0], -self.ball_velocity[1]))

    # -- plain values --------------------------------------------------------------------------------------------

    def to_dict(self) -> dict[str, Any]:
        """Plain values, as `save_situation` keeps them."""
        teams = {team: [p.to_dict() for p in self.players(team)] for team in TEAMS}
        return asdict(self, dict_factory=plain) | teams

    @classmethod
    def line_up(cls, pressing: str = "4-2-3-1", possession: str = "4-3-3", ball_xy: XY = (30.0, 0.0),
                build_up: str | None = None, pitch: Pitch | None = None) -> Situation:
        """Two formations: a zonal block for this ball, and the team in possession building up around it.

        Parameters
        ----------
        pressing, possession : str
            Line counts from the own goal up, such as "4-4-2"; goalkeepers are added.
        ball_xy : tuple of float
            The player in possession nearest to it is put on the ball.
        build_up : str, optional
            First and second line of the build-up, such as "2+3"; default by the formation.

        >>> s = Situation.line_up(pressing="4-4-2", possession="3-4-3", ball_xy=(35, -12), build_up="3+2")
        >>> s.state, len(s.pressing), len(s.possession)
        ('open play', 11, 11)
        """
        pitch = Pitch() if pitch is None else as_a(pitch, Pitch, "pitch", "use Pitch()")
        ball = as_xy(ball_xy, "ball")
        ours, theirs = formation_slots(pressing), formation_slots(possession)
        places = lined_up_xy(ours, ball, pitch), build_up_xy(theirs, ball, pitch, build_up)
        team, other = (tuple(map(Player, slot_numbers(slots), slots, xy))
                       for slots, xy in zip((ours, theirs), places, strict=True))
        return cls(pitch, team, other, ball).with_ball(ball)


def _place(xy: XY) -> str:
    return f"({xy[0]:.3g}, {xy[1]:.3g})"
