"""One player in a picture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from math import hypot
from typing import Any

from pressinglib.errors import as_known, as_number, as_text, as_xy

XY = tuple[float, float]
TOP_SPEED_MPS = 15.0  # nobody runs faster: a value above is a unit mistake
NUMBER_LENGTH = 8
GOALKEEPER, BACK, HOLDING, MIDFIELD, ATTACKING, FORWARD = range(6)
OUTFIELD = "outfield"

# Slot -> line, from the own goal up. Terms of common practice.
LINE_OF_SLOT: dict[str, int] = {
    "goalkeeper": GOALKEEPER,
    **dict.fromkeys(["right back", "left back", "right centre-back", "left centre-back", "centre-back",
                     "right wing-back", "left wing-back"], BACK),
    **dict.fromkeys(["right holding midfielder", "left holding midfielder", "central holding midfielder"], HOLDING),
    **dict.fromkeys(["right midfielder", "left midfielder", "central midfielder",
                     "right wide midfielder", "left wide midfielder"], MIDFIELD),
    **dict.fromkeys(["right winger", "left winger", "attacking midfielder", "right attacking midfielder",
                     "left attacking midfielder"], ATTACKING),
    **dict.fromkeys(["centre-forward", "right forward", "left forward"], FORWARD),
}
SLOTS: tuple[str, ...] = (*LINE_OF_SLOT, OUTFIELD)
WING_BACKS = frozenset({"right wing-back", "left wing-back"})


def check_slot(slot: object) -> str:
    """The slot itself, or UnknownName with the list of slots."""
    return as_known(slot, SLOTS, "slot", "use a slot of the list, or 'outfield' where it is unknown")


def mirrored_slot(slot: str) -> str:
    """The slot with left and right swapped."""
    side, blank, rest = slot.partition(" ")
    return {"left": "right", "right": "left"}.get(side, side) + blank + rest


def plain(values: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    """Named values as a file keeps them."""
    return {name: list(value) if isinstance(value, tuple) else value for name, value in values}


@dataclass(frozen=True)
class Player:
    """A player: the number on the shirt, the slot, and where he stands.

    Parameters
    ----------
    number : str
        Shown on the shirt; unique in a team; 1-8 characters.
    slot : str
        One of `pressinglib.field.player.SLOTS`; "outfield" where it is unknown.
    xy : tuple of float
        Metres, origin at the centre spot.
    velocity : tuple of float
        m/s.
    facing_deg : float, optional
        Direction of the body, degrees from +x towards +y; None is unknown.
    top_speed_mps : float, optional
        His own, 3 to 12 m/s: every clock uses it. None: as everybody, by the settings.

    >>> Player("9", "centre-forward", (27, -2)).xy
    (27.0, -2.0)
    >>> Player("9", "centre-forward", (27, float("nan")))
    Traceback (most recent call last):
    pressinglib.errors.BadInput: place of player 9: expected two finite numbers (x, y); got (27, nan). ...
    """

    number: str
    slot: str
    xy: XY
    velocity: XY = (0.0, 0.0)
    facing_deg: float | None = None
    top_speed_mps: float | None = None

    def __post_init__(self) -> None:
        as_text(self.number, "player number", 1, NUMBER_LENGTH, todo="write it in quotes, as on the shirt")
        check_slot(self.slot)
        velocity = as_xy(self.velocity, f"velocity of player {self.number}")
        as_number(round(hypot(*velocity), 6), f"speed of player {self.number} in m/s", high=TOP_SPEED_MPS)
        object.__setattr__(self, "xy", as_xy(self.xy, f"place of player {self.number}"))
        object.__setattr__(self, "velocity", velocity)
        if self.facing_deg is not None:
            object.__setattr__(self, "facing_deg", as_number(self.facing_deg, f"facing of player {self.number}"))
        if self.top_speed_mps is not None:
            top = as_number(self.top_speed_mps, f"top speed of player {self.number} in m/s", low=3, high=12)
            object.__setattr__(self, "top_speed_mps", top)

    @property
    def is_goalkeeper(self) -> bool:
        """Whether the slot is the goalkeeper's."""
        return LINE_OF_SLOT.get(self.slot) == GOALKEEPER


    @property
    def line(self) -> int | None:
        """The line of the slot (0 goalkeeper .. 5 forwards); None for "outfield"."""
        return LINE_OF_SLOT.get(self.slot)

    def at(self, xy: XY) -> Player:
        """The same player in another place."""
        return replace(self, xy=xy)

    def mirrored(self) -> Player:
        """The player on the other side of the pitch; the number stays, left and right in the slot swap."""
        facing = None if self.facing_deg is None else -self.facing_deg
        return replace(self, slot=mirrored_slot(self.slot), xy=(self.xy[0], -self.xy[1]),
                       velocity=(self.velocity[0], -self.velocity[1]), facing_deg=facing)

    def to_dict(self) -> dict[str, Any]:
        """Plain values for a file."""
        values = asdict(self, dict_factory=plain)
        return values if self.top_speed_mps else {key: values[key] for key in values if key != "top_speed_mps"}
