"""Room for labels: each goes where it covers least of what is already there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from math import dist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.pitch import Pitch, corridor, third
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.marks import XY
from pressinglib.show.style import LETTER_WIDTH

# -- What a picture without a plan says, in one true line; a plan brings its own words.


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


# -- What is written on a picture: numbers, slots or own names on the shirts; metres or yards.


NAMES = ("numbers", "slots", "none")
UNITS = {"metres": (1.0, "m"), "yards": (1 / 0.9144, "yd")}  # the international yard, 1959: 0.9144 m
LONGEST = 8  # as long as a number may be
LENGTH = re.compile(r"(\d+(?:\.\d+)?) m\b(?!/)")


def slot_letters(slot: str) -> str:
    """A slot in letters, as coaches write it.

    Examples
    --------
    >>> slot_letters("right centre-back"), slot_letters("goalkeeper"), slot_letters("outfield")
    ('RCB', 'GK', '')
    """
    if slot == "outfield":
        return ""
    return "GK" if slot == "goalkeeper" else "".join(word[0].upper() for word in re.split("[ -]", slot))


@dataclass(frozen=True)
class Labels:
    """How players are named and lengths are written.

    Parameters
    ----------
    names : "numbers", "slots" or "none"
    unit : "metres" or "yards"
    shirts : mapping
        From (team, number) to what stands on the shirt instead, such as {("pressing", "9"): "Nia"}; at most 8
        characters. It goes before `names`.
    upright : bool
        The picture will be shown with the pressing team attacking upwards: words then lie across the pitch.

    Raises
    ------
    UnknownName, BadInput

    Examples
    --------
    >>> Labels(unit="yards").length(9.144), Labels().length(9.144)
    ('10.0', '9.1')
    >>> Labels(names="letters")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: names on the shirts: expected one of numbers, slots, none; got 'letters'. ...
    """

    names: str = "numbers"
    unit: str = "metres"
    shirts: Mapping[tuple[str, str], str] = field(default_factory=dict)
    upright: bool = False

    def __post_init__(self) -> None:
        for kind, value, known in (("names on the shirts", self.names, NAMES), ("unit", self.unit, tuple(UNITS))):
            if value not in known:
                raise UnknownName(kind, value, known)
        for who, name in self.shirts.items():
            if not (isinstance(name, str) and len(name) <= LONGEST and name.isprintable()):
                raise BadInput(f"shirt of {who}", expected=f"at most {LONGEST} characters", got=repr(name),
                               todo="shorten it")

    def shirt(self, team: str, player: Player) -> str:
        """What stands on a player's shirt; a slot that is unknown leaves him his number."""
        own = self.shirts.get((team, player.number))
        if own is not None:
            return own
        return {"none": "", "slots": slot_letters(player.slot) or player.number}.get(self.names, player.number)

    def named(self, situation: Situation) -> Situation:
        """The picture with the shirts as numbers; a name that two wear gets the number behind it.

        Examples
        --------
        >>> s = Labels("slots").named(Situation.line_up(pressing="4-4-2", possession="3-4-3"))
        >>> [player.number for player in s.pressing][:5], s.on_ball
        (['GK', 'RB', 'RCB', 'LCB', 'LB'], 'CB')
        """
        if not self.shirts and self.names != "slots":
            return situation
        names = {team: self._names(team, situation.players(team)) for team in ("pressing", "possession")}
        theirs = dict(zip((p.number for p in situation.possession), names["possession"], strict=True))
        teams = {team: tuple(replace(p, number=name) for p, name in zip(situation.players(team), worn, strict=True))
                 for team, worn in names.items()}
        carrier, receiver = theirs.get(situation.carrier), theirs.get(situation.receiver)
        return replace(situation, **teams, carrier=carrier, receiver=receiver)

    def _names(self, team: str, players: tuple[Player, ...]) -> list[str]:
        worn = [self.shirt(team, player) or player.number for player in players]
        return [name if worn.count(name) == 1 else f"{name} {player.number}"[:LONGEST]
                for name, player in zip(worn, players, strict=True)]

    def named_plan(self, plan: Plan) -> Plan:
        """The same plan in these names: who is called what changes nothing in it."""
        situation = self.named(plan.situation)
        if situation is plan.situation:
            return plan
        frames = replace(plan.picture.frames, pressing_numbers=tuple(p.number for p in situation.pressing),
                         possession_numbers=tuple(p.number for p in situation.possession))
        return replace(plan, situation=situation, picture=replace(plan.picture, frames=frames))

    def length(self, metres: float, digits: int = 1) -> str:
        """A length in the unit, without its name."""
        return f"{metres * UNITS[self.unit][0]:.{digits}f}"

    def said(self, words: str) -> str:
        """A sentence with its metres in the unit.

        Examples
        --------
        >>> Labels(unit="yards").said("9 presses, 1.5 m off, at 7.8 m/s")
        '9 presses, 1.6 yd off, at 7.8 m/s'
        >>> Labels().said("1.5 m off")
        '1.5 m off'
        """
        if self.unit == "metres":
            return words
        return LENGTH.sub(lambda found: f"{self.length(float(found[1]))} {UNITS[self.unit][1]}", words)


# -- Room for labels: each goes where it covers least of what is already there.


EDGE_M = 1.5  # labels may hang over the lines by this much
ROUND = np.array([(1, 1), (1, -1), (-1, 1), (-1, -1), (0, 1), (0, -1), (-1, 0), (1, 0)], float)


def text_half(words: str, height_m: float) -> XY:
    """Half width and half height of a line of type, metres.

    Examples
    --------
    >>> text_half("P", 2.0)
    (0.62, 1.0)
    """
    return LETTER_WIDTH * height_m * len(words) / 2, height_m / 2


def around(xy: XY, reach_m: float, level: bool = False) -> NDArray[np.float64]:
    """Eight places (8, 2) at `reach_m` from a place, best first: the corners, or right and left if `level`.

    Examples
    --------
    >>> around((0, 0), 2.0)[4:6]
    array([[ 0.,  2.],
           [ 0., -2.]])
    """
    ways = ROUND[::-1] if level else ROUND
    return np.asarray(xy, float) + reach_m * ways / np.linalg.norm(ways, axis=1)[:, None]


class LabelPlacement:
    """The boxes that are taken in one picture; lives only while the picture is drawn.

    Parameters
    ----------
    pitch : Pitch
    boxes : iterable of (x, y, half width, half height)
    labels : Labels, optional
        How lengths are written here.
    """

    def __init__(self, pitch: Pitch, boxes: Iterable[tuple[float, float, float, float]] = (),
                 labels: Labels | None = None) -> None:
        self.labels = labels or Labels()
        self._corner = np.add(pitch.corner_xy, EDGE_M)
        self._boxes = list(boxes)

    def take(self, xy: XY, half: XY) -> None:
        """Mark a box as taken."""
        self._boxes.append((*xy, *half))

    def _lying(self, half: XY) -> XY:
        """Half a box of words along the pitch and across it."""
        return (half[1], half[0]) if self.labels.upright else half

    def place(self, candidates: ArrayLike, half: XY) -> XY:
        """The candidate (K, 2) whose box covers least; the first of equals. It is taken from now on.

        Examples
        --------
        >>> placement = LabelPlacement(Pitch(), [(0, 0, 2, 2)])
        >>> placement.place([(1, 0), (9, 0), (9, 1)], (1, 1)), placement.place([(9, 0), (9, 9)], (1, 1))
        ((9.0, 0.0), (9.0, 9.0))
        """
        places, half = np.asarray(candidates, float), self._lying(half)
        best = places[int(np.argmin(self._covered(places, half) + self._outside(places, half)))]
        xy = (float(best[0]), float(best[1]))
        self.take(xy, half)
        return xy

    def _covered(self, places: NDArray[np.float64], half: XY) -> NDArray[np.float64]:
        """How much (K,) of what is there each place would cover, square metres."""
        boxes = np.array(self._boxes).reshape(-1, 4)
        overlap = np.add(half, boxes[:, 2:]) - np.abs(places[:, None] - boxes[:, :2])
        return np.asarray(np.minimum(overlap, 2 * np.asarray(half)).clip(0).prod(-1).sum(-1))

    def _outside(self, places: NDArray[np.float64], half: XY) -> NDArray[np.float64]:
        return np.asarray(100 * (np.abs(places) + half - self._corner).clip(0).sum(-1))
