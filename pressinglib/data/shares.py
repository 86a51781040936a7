"""Shares with their intervals: how sure a count is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pressinglib.errors import BadInput


@dataclass(frozen=True)
class Share:
    """So many of so many; printed, with its 95 % interval.

    Parameters
    ----------
    hits, of : int

    Raises
    ------
    BadInput
        Unless 0 <= hits <= of.

    Notes
    -----
    Interval of Wilson 1927, 10.1080/01621459.1927.10502953 (grade A). It takes the cases for independent, which
    neighbouring frames of a match are not: there it is too narrow.

    Examples
    --------
    >>> Share(8, 10)
    8 of 10: 80 % (49-94)
    >>> Share(0, 0)
    0 of 0
    """

    hits: int
    of: int

    def __post_init__(self) -> None:
        if not 0 <= self.hits <= self.of:
            raise BadInput("share", expected="hits from 0 to the number of cases", got=f"{self.hits} of {self.of}",
                           todo="check the counts")

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval of the share; 0 and 1 of no cases."""
        if not self.of:
            return 0.0, 1.0
        z, missed = 1.96, self.of - self.hits
        middle, room = self.hits + z * z / 2, z * float(np.sqrt(self.hits * missed / self.of + z * z / 4))
        return (middle - room) / (self.of + z * z), (middle + room) / (self.of + z * z)

    def __repr__(self) -> str:
        if not self.of:
            return "0 of 0"
        low, high = self.interval
        return f"{self.hits} of {self.of}: {100 * self.hits / self.of:.0f} % ({100 * low:.0f}-{100 * high:.0f})"
