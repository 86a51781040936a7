"""The slots a player can have, and the line each stands in."""

from __future__ import annotations

from pressinglib.errors import UnknownSlot

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
    """The slot itself, or UnknownSlot with the list of slots.

    Examples
    --------
    >>> check_slot("left back")
    'left back'
    >>> check_slot("libero")
    Traceback (most recent call last):
    pressinglib.errors.UnknownSlot: ...
    """
    if not isinstance(slot, str) or slot not in SLOTS:
        raise UnknownSlot("slot", slot, SLOTS, todo="use a slot of the list, or 'outfield' where it is unknown")
    return slot


def mirrored_slot(slot: str) -> str:
    """The slot with left and right swapped.

    Examples
    --------
    >>> mirrored_slot("left back"), mirrored_slot("centre-forward")
    ('right back', 'centre-forward')
    """
    side, _, rest = slot.partition(" ")
    return {"left": "right", "right": "left"}.get(side, side) + (f" {rest}" if rest else "")
