"""A picture with some players elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation

Places = Mapping[str, XY]  # by number
NOBODY: Places = MappingProxyType({})


def placed(situation: Situation, ours: Places, theirs: Places = NOBODY) -> Situation:
    """The picture with players of the pressing team, and of the other, somewhere else.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> picture = placed(scene("worked scene"), {"6": (1, 2)}, {"9": (3, 4)})
    >>> picture.player("pressing", "6").xy, picture.player("possession", "9").xy
    ((1.0, 2.0), (3.0, 4.0))
    """
    for number, xy in ours.items():
        situation = situation.moved("pressing", number, xy)
    for number, xy in theirs.items():
        situation = situation.moved("possession", number, xy)
    return situation
