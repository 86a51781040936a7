"""One check against the outside: what is published, where, how sure that is, and what the library says.

A file of this folder holds one source: its name in `SOURCE`, its checks in `CHECKS`. The tests assert these lists, and
`python -m tests.outside` prints the same lists as a table.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

# How sure the published value is: read in the laws of the game; read in the paper or in a peer-reviewed restatement;
# quoted by somebody else; quoted from memory; used by many without a source; worked out from the published formula, by
# hand or by a reference library.
GRADES = ("law", "published", "second-hand", "from memory", "common practice", "computed")


@dataclass(frozen=True)
class Check:
    """A value from outside, and ours.

    Parameters
    ----------
    what : str
        What is compared, with its unit.
    place : str
        Where in the source.
    grade : str
        One of `GRADES`, of the value from outside.
    published : number, word or truth value
    ours : callable
        Gives the library's value; called when the test runs or the table is printed.
    within : float
        Largest difference; as a rule half a digit more than what is printed there. Words must be equal.
    band : bool
        Whether `within` is a band of plausibility, such as a published deviation, and not rounding. It guards against
        nonsense and proves no formula; the table says so.
    """

    what: str
    place: str
    grade: str
    published: Any
    ours: Callable[[], Any]
    within: float = 0.0
    band: bool = False

    def __post_init__(self) -> None:
        if self.grade not in GRADES:
            raise ValueError(f"{self.what}: grade {self.grade!r}")

    def __str__(self) -> str:
        return self.what

    def is_number(self) -> bool:
        """Whether there is a difference to speak of."""
        return isinstance(self.published, (int, float)) and not isinstance(self.published, bool)

    @property
    def expected(self) -> Any:
        """What our value must equal."""
        return pytest.approx(self.published, rel=0.0, abs=self.within) if self.is_number() else self.published


def value_of(check: Check) -> Any:
    """Our value as a plain number, word or truth value."""
    value = np.asarray(check.ours())
    return value.item()


def refused(call: Callable[[], Any], error: type[Exception]) -> str:
    """ "refused" or "accepted"."""
    try:
        call()
    except error:
        return "refused"
    return "accepted"
