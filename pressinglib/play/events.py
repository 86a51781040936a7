"""What happened in a sequence, when, to whom, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pressinglib.errors import UnknownName

KINDS = (
    "pass played", "pass forced back", "pass forced long", "pass received", "receiver free", "dribble", "heavy touch",
    "trigger seen", "trap closed", "carrier contained", "presser beaten", "taken over", "nobody takes over",
    "press broken", "recovered", "counter-press started", "counter-press aborted", "pass intercepted", "ball won",
    "offside", "out of play", "action left out",
)
OURS = ("pass intercepted", "ball won", "offside")  # the ball is ours after these
OVER = (*OURS, "out of play")
FAILURES = ("receiver free", "nobody takes over", "press broken")


@dataclass(frozen=True)
class Event:
    """Something that happened.

    Parameters
    ----------
    time_s : float
    kind : str
        One of `KINDS`.
    pressing, possession : tuple of str
        Numbers of the players concerned, of the pressing team and of theirs.
    words : str
        A sentence.

    Raises
    ------
    UnknownName

    Examples
    --------
    >>> Event(1.2, "ball won", ("9",), ("5",), "9 takes the ball off their 5.").to_dict()["kind"]
    'ball won'
    >>> Event(1.2, "goal", (), (), "")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: kind of event: expected one of pass played, ...
    """

    time_s: float
    kind: str
    pressing: tuple[str, ...]
    possession: tuple[str, ...]
    words: str

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise UnknownName("kind of event", self.kind, KINDS)

    def to_dict(self) -> dict[str, Any]:
        """Plain values."""
        return {"time_s": round(self.time_s, 3), "kind": self.kind, "pressing": list(self.pressing),
                "possession": list(self.possession), "words": self.words}
