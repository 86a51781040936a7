"""What is written on a picture: shirts, lengths in metres or yards, one true line, and room for it all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import dist
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.errors import as_known
from pressinglib.field.pitch import Pitch, corridor, third
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.roles.decided import Length, in_metres
from pressinglib.roles.plan import Plan
from pressinglib.show.marks import XY
from pressinglib.show.style import LETTER_WIDTH, ROLES

# -- What a picture without a plan says; a plan brings its own words.

# Said so that nobody asks whose third, or whose left: the pressing team is "you".
THIRDS = ("low, near your box", "around halfway", "high, near their box")
CORRIDORS = ("out on your right", "right of centre", "in the middle", "left of centre", "out on your left")


def situation_title(situation: Situation) -> str:
    """Who has the ball, and where."""
    pitch, (x, y) = situation.pitch, situation.ball_xy
    return f"{_ball(situation)}, {THIRDS[int(third(pitch, x))]}, {CORRIDORS[int(corridor(pitch, y))]}"


def _ball(situation: Situation) -> str:
    if situation.restart is not None:
        return situation.restart.capitalize()
    if situation.receiver is not None:
        return f"Ball on its way to their {situation.receiver}"
    if situation.on_ball is not None:
        return f"Their {situation.on_ball} on the ball"
    return "Ball won" if situation.state == "won" else "Loose ball"


def situation_words(situation: Situation, length: Length = in_metres) -> str:
    """The picture without a plan: ball, numbers of players, and who is nearest to the ball."""
    nearest = min(situation.pressing, key=lambda p: (dist(p.xy, situation.ball_xy), p.number))
    away = length(dist(nearest.xy, situation.ball_xy), 1)
    return (f"{situation_title(situation)}; {len(situation.pressing)} against {len(situation.possession)}; "
            f"nearest of yours: {nearest.number}, {away} from the ball")


def role_rows(plan: Plan) -> list[tuple[str, str, str, str]]:
    """Number, role with its letter, duty and why of every player, presser first."""
    jobs = sorted(plan.assignments.values(), key=lambda job: list(ROLES).index(job.role))
    return [(job.number, f"{ROLES[job.role].letter} {job.role}", job.duty, job.reason) for job in jobs]


# -- Numbers on the shirts, or none; metres or yards.

NAMES = ("numbers", "none")
UNITS = {"metres": (1.0, "m"), "yards": (1 / 0.9144, "yd")}  # the international yard, 1959: 0.9144 m


@dataclass(frozen=True)
class Labels:
    """How players are named and lengths are written.

    Parameters
    ----------
    names : "numbers" or "none"
        What stands on the shirts.
    unit : "metres" or "yards"
    upright : bool
        The picture will be shown with the pressing team attacking upwards: words then lie across the pitch.
    least_m : float
        Height that type will have at least, where a picture is shown small: so much room it gets.

    Raises
    ------
    UnknownName

    Examples
    --------
    >>> Labels(unit="yards").measured(9.144), Labels().measured(9.144, 0)
    ('10.0 yd', '9 m')
    >>> Labels(names="letters")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: names on the shirts: expected one of numbers, none; got 'letters'. ...
    """

    names: str = "numbers"
    unit: str = "metres"
    upright: bool = False
    least_m: float = 0.0

    def __post_init__(self) -> None:
        as_known(self.names, NAMES, "names on the shirts")
        as_known(self.unit, UNITS, "unit")

    def shirt(self, player: Player) -> str:
        """What stands on a player's shirt."""
        return player.number if self.names == "numbers" else ""

    def worded(self, plan: Plan) -> Plan:
        """The same plan, its sentences in this unit."""
        return plan if self.unit == "metres" else replace(plan, length=self.measured)

    def length(self, metres: float) -> str:
        """A length in the unit, without its name: for a line on the picture."""
        return f"{metres * UNITS[self.unit][0]:.1f}"

    def measured(self, metres: float, digits: int = 1) -> str:
        """A length in the unit, with its name: for a sentence."""
        per_metre, name = UNITS[self.unit]
        return f"{metres * per_metre:.{digits}f} {name}"


# -- Room for labels: each goes where it covers least of what is already there.

EDGE_M = 1.5  # labels may hang over the lines by this much
ROUND = np.array([(1, 1), (1, -1), (-1, 1), (-1, -1), (0, 1), (0, -1), (-1, 0), (1, 0)], float)


def text_half(words: str, height_m: float) -> XY:
    """Half width and half height of a line of type, metres."""
    return LETTER_WIDTH * height_m * len(words) / 2, height_m / 2


def around(xy: XY, reach_m: float, level: bool = False) -> NDArray[np.float64]:
    """Eight places (8, 2) at `reach_m` from a place, best first: the corners, or right and left if `level`."""
    ways = ROUND[::-1] if level else ROUND
    return np.asarray(xy, float) + reach_m * ways / np.linalg.norm(ways, axis=1)[:, None]


class LabelPlacement:
    """The boxes (x, y, half width, half height) taken in one picture, its tokens, and how its lengths are written."""

    def __init__(self, pitch: Pitch, boxes: Iterable[tuple[float, float, float, float]] = (),
                 labels: Labels | None = None, tokens: Sequence[Any] = ()) -> None:
        self.labels, self.tokens = labels or Labels(), tokens
        self._corner = np.add(pitch.corner_xy, EDGE_M)
        self._boxes = list(boxes)

    def take(self, xy: XY, half: XY) -> None:
        """Mark a box as taken."""
        self._boxes.append((*xy, *half))

    def place(self, candidates: ArrayLike, half: XY) -> XY:
        """The candidate (K, 2) whose box covers least; the first of equals. It is taken from now on."""
        places, larger = np.asarray(candidates, float), max(1.0, self.labels.least_m / (2 * half[1]))
        half = (larger * half[0], larger * half[1])
        half = (half[1], half[0]) if self.labels.upright else half  # along the pitch and across it
        outside = (np.abs(places) + half - self._corner).clip(0).sum(-1)
        best = places[int(np.argmin(self._covered(places, half) + 100 * outside))]
        xy = (float(best[0]), float(best[1]))
        self.take(xy, half)
        return xy

    def _covered(self, places: NDArray[np.float64], half: XY) -> NDArray[np.float64]:
        """How much (K,) of what is there each place would cover, square metres."""
        boxes = np.array(self._boxes).reshape(-1, 4)
        overlap = np.add(half, boxes[:, 2:]) - np.abs(places[:, None] - boxes[:, :2])
        return np.asarray(np.minimum(overlap, 2 * np.asarray(half)).clip(0).prod(-1).sum(-1))
