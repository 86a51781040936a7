"""Both teams and the ball: where they are drawn, how they move, and where they were.

Whoever stands so near to another that a number would be hidden is drawn a little aside, with a thin line to his true
place where that shows. Nothing but the drawing knows of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, dist, hypot, radians, sin

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation
from pressinglib.show.labels import Labels
from pressinglib.show.marks import Area, Arrow, Label, Line, Mark, Points, Token, as_points, trimmed
from pressinglib.show.style import BALL_M, TOKEN_M

AT_FEET_M = 2.0  # a ball nearer to a player than this is shown at his rim, so that his number stays readable
APART_M = 1.95 * TOKEN_M  # between the middles of two tokens
ROUNDS, ENOUGH_M, NEAR_M = 60, 0.03, 3.0
MOVED_M = 0.5
NOSE_M = 1.75  # outside the token, or it would lie below it
BALL = ("ball", "")  # in place of team and number


def players(situation: Situation, labels: Labels | None = None, held: tuple[str, str] | None = None
            ) -> tuple[Mark, ...]:
    """Tokens of the team in possession, the pressing team and the ball, in this order; how they move, if known.

    Whoever is `held` by a hand is drawn where he is, and the others make room.
    """
    labels = labels or Labels()
    people = [(team, p) for team in ("possession", "pressing") for p in situation.players(team)]
    true = [*(p.xy for _, p in people), situation.ball_xy]
    fixed = [*((team, p.number) == held for team, p in people), held == BALL]
    shown = as_points(_apart(situation, true, fixed))
    teams = [Token("players", team, xy, labels.shirt(p), p.number)
             for (team, p), xy in zip(people, shown, strict=False)]
    leaders = [Line("players", "leader", (xy, there)) for xy, there in zip(shown[:-1], true, strict=False)
               if dist(xy, there) > TOKEN_M]
    moving = [mark for (_, p), xy in zip(people, shown, strict=False) for mark in _moving(p, xy, shown)]
    return (*_travelling(situation), *leaders, *moving, *teams, Token("players", "ball", shown[-1], ""))


def _apart(situation: Situation, true: list[XY], fixed: list[bool]) -> NDArray[np.float64]:
    """Places (N + 1, 2), the ball last, moved as little as it takes that no number lies under another token.

    A ball at somebody's feet lies at his rim, on the side where it is.
    """
    people, ball = np.array(true[:-1]), np.array(true[-1])
    away = np.hypot(*(people - ball).T)
    need = np.full((len(true), len(true)), APART_M)
    need[-1] = need[:, -1] = APART_M / 2 + BALL_M
    owner = int(away.argmin())
    if away[owner] < AT_FEET_M:
        need[-1, owner] = need[owner, -1] = AT_FEET_M
        out = ball - people[owner] if away[owner] > 0.05 else np.array([-1.0, 1.0 if people[owner, 1] >= 0 else -1.0])
        if fixed[-1]:  # the man makes room for it
            people[owner] = ball - out / np.hypot(*out) * AT_FEET_M
        else:
            ball = people[owner] + out / np.hypot(*out) * AT_FEET_M
    return set_apart(np.array([*people, ball]), need, 1.0 - np.array(fixed))


def set_apart(places: NDArray[np.float64], need: NDArray[np.float64], free: NDArray[np.float64]) -> NDArray[np.float64]:
    """Places (N, 2) pushed apart until each pair keeps what it needs (N, N); `free` 0 holds one where he is."""
    xy = (places @ (1, 1j)).tolist()  # a place as one complex number
    near = np.abs(np.subtract.outer(xy, xy)) < need + NEAR_M
    i_and_j = np.argwhere(np.triu(near, 1) & ((free[:, None] + free) > 0)).tolist()
    pairs = [(i, j, float(need[i, j]), float(free[i]), float(free[j])) for i, j in i_and_j]
    for _ in range(ROUNDS):
        pushed = xy.copy()
        for i, j, keep, one, other in pairs:
            way = xy[i] - xy[j]
            if keep - abs(way) > ENOUGH_M:
                step = (way / abs(way) if way else 1.0) * (keep - abs(way)) / (one + other)
                pushed[i] += one * step
                pushed[j] -= other * step
        if pushed == xy:
            break
        xy = pushed
    return np.stack([np.real(xy), np.imag(xy)], axis=-1)


def ghosts(start: Situation, now: Iterable[Token], labels: Labels | None = None) -> tuple[Mark, ...]:
    """Where those were who have moved since the start of the work, and the ball; a dotted arrow to where they are."""
    before, after = players(start, labels), {(m.style, m.number): m.xy for m in now}
    moved = [(m, xy) for m in before if isinstance(m, Token)
             and (xy := after.get((m.style, m.number))) and dist(m.xy, xy) >= MOVED_M]
    ways = (Arrow("start", "moved", trimmed((m.xy, xy), TOKEN_M, TOKEN_M)) for m, xy in moved)
    return (*(Token("start", f"ghost {m.style}", m.xy, m.words, m.number) for m, _ in moved), *ways)


def sent(situation: Situation, spots: NDArray[np.float64], labels: Labels) -> tuple[Mark, ...]:
    """Where a choice sends ours (N, 2), as ghosts with a dotted arrow."""
    pairs = list(zip(situation.pressing, as_points(spots), strict=True))
    return (*(Token("choice", "ghost pressing", xy, labels.shirt(p), p.number) for p, xy in pairs),
            *(Arrow("choice", "moved", trimmed((p.xy, xy), TOKEN_M, TOKEN_M)) for p, xy in pairs))


def _moving(player: Player, xy: XY, tokens: Iterable[XY]) -> list[Mark]:
    """Where he faces, how fast he can run if that is known (over no other token), where he runs in the next second."""
    (x, y), (vx, vy) = xy, player.velocity
    marks: list[Mark] = []
    if player.facing_deg is not None:
        marks.append(Area("body", "facing", nose(xy, player.facing_deg, NOSE_M)))
    if player.top_speed_mps is not None:
        beside = [(x + right * (TOKEN_M + 0.8), y + up * TOKEN_M) for up in (-1, 1) for right in (1, -1)]
        clear = max(beside, key=lambda place: round(min(dist(place, other) for other in tokens), 3))
        marks.append(Label("speed", "speed", clear, f"{player.top_speed_mps:g}"))
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
    return [Arrow("ball", "pass", trimmed((situation.ball_xy, end), 0.0, 1.3 * TOKEN_M))]
